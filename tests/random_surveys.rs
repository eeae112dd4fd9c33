//! Worse news never takes a referral or a stop line away: random panels and marks, and after
//! each of them every kind of worse news, alone and in pairs.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

#[path = "random_surveys/drawn.rs"]
mod drawn;
#[path = "random_surveys/judged.rs"]
mod judged;
#[path = "together/laid.rs"]
mod laid;
#[path = "random_surveys/moves.rs"]
mod moves;
#[path = "random_surveys/written.rs"]
mod written;

use std::collections::BTreeMap;
use std::io::Write as _;

use drawn::{Drawn, Mark};
use judged::{Said, at_first_sight, in_full, in_report};
use moves::Move;
use proptest::prelude::*;
use proptest::test_runner::{RngSeed, TestRunner};
use rayon::prelude::*;

/// What was tried: surveys, referred marks, marks with a stop line, and each move's marks.
#[derive(Debug, Default)]
struct Tried {
    surveys: usize,
    marks: usize,
    referred: usize,
    stopped: usize,
    moves: BTreeMap<String, usize>,
    /// Stop lines that went with the list of fixings that said them.
    went_with_list: usize,
}

impl Tried {
    fn add(mut self, other: Self) -> Self {
        self.surveys += other.surveys;
        self.marks += other.marks;
        self.referred += other.referred;
        self.stopped += other.stopped;
        self.went_with_list += other.went_with_list;
        for (name, count) in other.moves {
            *self.moves.entry(name).or_default() += count;
        }
        self
    }
}

/// Worse news at one mark, and the survey with it.
struct Worse {
    news: Vec<Move>,
    number: usize,
    survey: Drawn,
}

/// Every single piece of worse news at every mark that has something to lose, and some pairs.
fn worse(drawn: &Drawn, before: &[Said], figures: (f64, f64), picks: &[(u32, u32)]) -> Vec<Worse> {
    let all = Move::all(figures.0, figures.1);
    let mut lists: Vec<Vec<Move>> = all.iter().map(|one| vec![*one]).collect();
    let pick = |number: u32| all[number as usize % all.len()];
    lists.extend(
        picks.iter().map(|(a, b)| vec![pick(*a), pick(*b)]).filter(|pair| pair[0] != pair[1]),
    );
    let mut found = Vec::new();
    for (number, said) in before.iter().enumerate() {
        if *said == Said::default() {
            continue;
        }
        for news in &lists {
            let mut survey = drawn.clone();
            if news.iter().all(|one| one.apply(&mut survey, number)) {
                found.push(Worse { news: news.clone(), number, survey });
            }
        }
    }
    found
}

/// What is said after each piece of news. Marks are judged one by one, so news about single
/// marks shares a panel.
fn after(drawn: &Drawn, all: &[Worse]) -> Vec<Said> {
    let at_marks: Vec<Mark> = all
        .iter()
        .filter(|one| !one.news.iter().any(|news| news.is_of_panel()))
        .map(|one| one.survey.marks[one.number].clone())
        .collect();
    let mut together = at_first_sight(&drawn.panel, &at_marks).into_iter();
    all.iter()
        .map(|one| {
            if one.news.iter().any(|news| news.is_of_panel()) {
                let mark = std::slice::from_ref(&one.survey.marks[one.number]);
                at_first_sight(&one.survey.panel, mark).remove(0)
            } else {
                together.next().expect("one a mark")
            }
        })
        .collect()
}

/// Looks at one random survey; the report is asked as well for some of them.
fn look(
    drawn: &Drawn,
    figures: (f64, f64),
    picks: &[(u32, u32)],
    with_report: bool,
    tried: &mut Tried,
) -> Result<(), TestCaseError> {
    let before = in_full(drawn);
    if with_report {
        prop_assert_eq!(&in_report(drawn), &before, "the report says otherwise");
    }
    tried.surveys += 1;
    tried.marks += before.len();
    tried.referred += before.iter().filter(|said| said.referred).count();
    tried.stopped += before.iter().filter(|said| !said.stops.is_empty()).count();
    let all = worse(drawn, &before, figures, picks);
    for (one, first_sight) in all.iter().zip(after(drawn, &all)) {
        for news in &one.news {
            *tried.moves.entry(news.name()).or_default() += 1;
        }
        let had = &before[one.number];
        let mut lost = had.lost(&first_sight);
        if !lost.is_empty() {
            // Laying out the repair may still refer it.
            lost = had.lost(&in_full(&one.survey)[one.number]);
        }
        if one.news.contains(&Move::ListGone) {
            // What a fixing stops cannot be said of a fixing nobody knows of; the referral stays.
            let referral = lost.iter().filter(|what| !what.starts_with("STOP-")).count();
            tried.went_with_list += lost.len() - referral;
            lost.retain(|what| !what.starts_with("STOP-"));
        }
        prop_assert!(
            lost.is_empty(),
            "{:?} at mark {} lost {lost:?}\n{}\n{}",
            one.news,
            one.number + 1,
            written::panel_file(drawn.panel.skin),
            written::survey(&drawn.panel, &drawn.marks)
        );
        if with_report && one.news.len() == 2 {
            let said = in_report(&one.survey);
            let lost = had.lost(&said[one.number]);
            let gone = one.news.contains(&Move::ListGone);
            prop_assert!(
                lost.iter().all(|what| gone && what.starts_with("STOP-")),
                "the report after {:?} lost {lost:?}",
                one.news
            );
        }
    }
    Ok(())
}

/// So many random surveys of one seed; every `report_each`-th is asked of the report as well.
fn run(cases: u32, seed: u64, report_each: usize) -> Tried {
    let tried = std::cell::RefCell::new(Tried::default());
    let mut runner = TestRunner::new(ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(seed),
        max_shrink_iters: 400,
        ..ProptestConfig::default()
    });
    let strategy = (
        drawn::drawn(),
        (1.02..2.5_f64, 0.1..0.95_f64),
        prop::collection::vec(any::<(u32, u32)>(), 8),
    );
    let outcome = runner.run(&strategy, |(drawn, figures, picks)| {
        let mut tried = tried.borrow_mut();
        let with_report = tried.surveys % report_each == report_each - 1;
        look(&drawn, figures, &picks, with_report, &mut tried)
    });
    if let Err(why) = outcome {
        panic!("seed {seed}: {why}");
    }
    tried.into_inner()
}

/// Every move was made at many marks that had something to lose.
fn enough(tried: &Tried, least: usize) {
    let _ = writeln!(std::io::stderr(), "{tried:#?}");
    assert!(tried.referred > tried.surveys / 2 && tried.referred < tried.marks, "{tried:?}");
    for one in Move::all(2.0, 0.5) {
        let made = tried.moves.get(&one.name()).copied().unwrap_or(0);
        assert!(made >= least, "{} was made {made} times", one.name());
    }
}

#[test]
fn worse_news_never_takes_a_referral_or_a_stop_line_away() {
    let tried = (0..4_u64)
        .into_par_iter()
        .map(|seed| run(60, 4000 + seed, 30))
        .reduce(Tried::default, Tried::add);
    enough(&tried, 20);
}

/// The same with ten thousand surveys: `cargo test --release --test random_surveys -- --ignored
/// --nocapture`.
#[test]
#[ignore = "it takes minutes"]
fn ten_thousand_random_surveys() {
    let tried = (0..20_u64)
        .into_par_iter()
        .map(|seed| run(500, 9000 + seed, 250))
        .reduce(Tried::default, Tried::add);
    assert_eq!(tried.surveys, 10_000);
    enough(&tried, 1000);
}

/// A thick moulding: the plies of a repair reach a hinge that the mark itself is clear of. That
/// reason, and what it stops, stays when something else refers the mark as well.
#[test]
fn a_ply_at_a_hinge_stays_a_reason_when_there_is_another() {
    use drawn::{Fixing, Fixings, Form, Panel};
    let hinge = Fixing { carries: "hinge", state: "sound", at: (200.0, 350.0), radius_mm: None };
    let panel = Panel {
        skin: 0,
        thickness_mm: 18.0,
        material: "hand_laid_polyester",
        roles: vec!["opens"],
        back: "reached",
        fixings: Fixings::Listed(vec![hinge]),
    };
    let mark = Mark {
        kind: "hole",
        form: Form::Rectangle,
        depth: "unknown",
        layer: "unknown",
        size: (20.0, 20.0),
        angle: 0.0,
        at: (410.0, 350.0),
        taped: false,
        lips: "no",
        evidence: Vec::new(),
        cause: "unknown",
        back: None,
        back_share: None,
        side: "outer",
        watch_only: false,
        reading: None,
        ends_mm: 0.0,
    };
    let before = Drawn { panel, marks: vec![mark] };
    let said = &in_full(&before)[0];
    assert!(said.referred && !said.stops.is_empty(), "{said:?}");
    for news in Move::all(1.5, 0.9) {
        let mut worse = before.clone();
        if news != Move::ListGone && news.apply(&mut worse, 0) {
            let lost = said.lost(&in_full(&worse)[0]);
            assert!(lost.is_empty(), "{news:?} lost {lost:?}");
        }
    }
}
