//! Random surveys with random finds: whatever was found, what was referred, held or stopped before
//! still is.

use std::collections::BTreeSet;
use std::io::Write as _;
use std::sync::OnceLock;

use plymend::read::job::{Named, TextFolder, job};
use plymend::report::Report;
use plymend::surface::mesh::Mesh;
use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::{RngSeed, TestRunner};
use rayon::prelude::*;

use super::drawn::{Drawn, EVIDENCE, Form, Mark, SKINS, drawn};
use super::written::{panel_file, survey};
use super::{closed, together};

/// A find at a mark: shares of its sizes, and what else was seen.
#[derive(Debug, Clone)]
struct Found {
    share: (f64, f64),
    by_area_or_ends: bool,
    depth: &'static str,
    through: bool,
    lips: &'static str,
    evidence: Vec<&'static str>,
}

fn found() -> impl Strategy<Value = Found> {
    let depth = select(vec!["unknown", "paint", "gel", "first_glass", "half", "full"]);
    let evidence = prop_oneof![
        3 => Just(Vec::new()),
        1 => prop::sample::subsequence(EVIDENCE.to_vec(), 1..3),
    ];
    let lips = select(vec!["not_tried", "no", "no", "yes"]);
    let share = prop_oneof![2 => 0.1..1.0_f64, 1 => 1.0..3.0_f64];
    (share.clone(), share, any::<bool>(), depth, prop::bool::weighted(0.15), lips, evidence)
        .prop_map(|(one, other, by_area_or_ends, depth, through, lips, evidence)| Found {
            share: (one, other),
            by_area_or_ends,
            depth,
            through,
            lips,
            evidence,
        })
}

fn text(id: usize, mark: &Mark, found: &Found) -> String {
    let (length, width) = mark.size;
    let sized = |size: f64, share: f64| (size * share).max(1.0);
    let is_line = matches!(mark.form, Form::Straight | Form::UnknownWay | Form::Traced);
    let size = match mark.form {
        Form::Straight | Form::Traced if found.by_area_or_ends => {
            let (a, b) = (length * (found.share.0 - 0.1), length * (found.share.1 - 0.1));
            format!("beyond_mm: ({a:.1}, {b:.1})")
        }
        _ if is_line => format!("length_mm: {:.1}", sized(length, found.share.0)),
        Form::Outline => {
            format!("area_m2: {:.7}", (length * width * found.share.0 * 1e-6).max(1e-6))
        }
        _ if found.by_area_or_ends => {
            format!("area_m2: {:.7}", (length * width * found.share.0 * 1e-6).max(1e-6))
        }
        _ => format!(
            "length_mm: {:.1}, width_mm: {:.1}",
            sized(length, found.share.0),
            sized(width, found.share.1)
        ),
    };
    let open = mark.is_through() || found.through || found.evidence.contains(&"through");
    let depth = if open && found.depth != "unknown" { "full" } else { found.depth };
    let through = if found.through { "yes" } else { "not_tried" };
    format!(
        "(mark: {id}, {size}, depth: {depth}, through: {through}, edges_move: {}, \
         evidence: [{}], by: \"x\", date: \"y\")",
        found.lips,
        found.evidence.join(", ")
    )
}

fn mesh(skin: usize) -> &'static Mesh {
    static MESHES: OnceLock<Vec<Mesh>> = OnceLock::new();
    let of = |skin| {
        let panel: String = panel_file(skin);
        let survey = "(format: 1, panels: [(name: \"p\", file: \"p.ron\")])";
        let texts = TextFolder::from([("survey.ron", survey), ("p.ron", panel.as_str())]);
        let job = job(&texts, "survey.ron", &Named::default()).expect("a sheet");
        plymend::skins(&job).expect("its skin").remove(0).mesh
    };
    &MESHES.get_or_init(|| (0..SKINS.len()).map(of).collect())[skin]
}

/// Both answers: from the survey alone and from what was found.
fn both(drawn: &Drawn, found: &[Found]) -> (Report, Report, String) {
    let found: Vec<String> = (1..)
        .zip(drawn.marks.iter().zip(found))
        .map(|(id, (mark, found))| text(id, mark, found))
        .collect();
    let found = format!("(format: 1, survey: \"survey.ron\", found: [{}])", found.join(",\n"));
    let survey = survey(&drawn.panel, &drawn.marks);
    let panel = panel_file(drawn.panel.skin);
    let texts = TextFolder::from([
        ("survey.ron", survey.as_str()),
        ("p.ron", panel.as_str()),
        ("found.ron", found.as_str()),
    ]);
    let named = Named { opened: Some("found.ron".to_owned()), ..Named::default() };
    let said = format!("{panel}\n{survey}\n{found}");
    let opened = job(&texts, "survey.ron", &named).unwrap_or_else(|why| panic!("{said}\n{why:#?}"));
    let panels = vec![together::laid(&opened, &opened.panels[0], mesh(drawn.panel.skin))];
    let told =
        |job| plymend::estimate_on(job, &panels).unwrap_or_else(|why| panic!("{said}\n{why:#?}"));
    (told(&closed(&opened)), told(&opened), said)
}

/// Marks by number with their action.
fn actions(report: &Report) -> Vec<(u32, String)> {
    report.findings.iter().map(|one| (one.mark, one.action.clone())).collect()
}

/// What must not be done: rule and words.
fn stops(report: &Report) -> BTreeSet<(String, String)> {
    report.stops.iter().map(|stop| (stop.rule.clone(), stop.text.clone())).collect()
}

#[derive(Debug, Default)]
struct Tried {
    referred: usize,
    held: usize,
    stopped: usize,
    smaller: usize,
    newly_referred: usize,
}

impl Tried {
    fn add(mut self, other: Self) -> Self {
        self.referred += other.referred;
        self.held += other.held;
        self.stopped += other.stopped;
        self.smaller += other.smaller;
        self.newly_referred += other.newly_referred;
        self
    }
}

/// Compares both answers to one random survey.
fn look(drawn: &Drawn, found: &[Found], tried: &mut Tried) -> Result<(), TestCaseError> {
    let (before, after, said) = both(drawn, found);
    let lost: Vec<_> = stops(&before).difference(&stops(&after)).cloned().collect();
    prop_assert!(lost.is_empty(), "lost {lost:?}\n{said}");
    tried.stopped += stops(&before).len();
    for ((mark, was), (same, now)) in actions(&before).into_iter().zip(actions(&after)) {
        prop_assert_eq!(mark, same);
        let share = found[mark as usize - 1].share;
        match was.as_str() {
            "refer" => {
                tried.referred += 1;
                tried.smaller += usize::from(share.0 < 1.0 && share.1 < 1.0);
                prop_assert_eq!(&now, "refer", "mark {}\n{}", mark, said);
            }
            "held" => {
                tried.held += 1;
                prop_assert!(now == "held" || now == "refer", "mark {mark}: {now}\n{said}");
            }
            _ => tried.newly_referred += usize::from(now == "refer"),
        }
        if now == "refer" && was != "refer" {
            let raised = &after.opened.as_ref().expect("opened").extra_work.raised;
            prop_assert!(raised.iter().any(|one| one.mark == mark && one.before == was));
        }
    }
    Ok(())
}

/// So many random surveys of one seed.
fn run(cases: u32, seed: u64) -> Tried {
    let tried = std::cell::RefCell::new(Tried::default());
    let mut runner = TestRunner::new(ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(seed),
        max_shrink_iters: 200,
        ..ProptestConfig::default()
    });
    let strategy = (drawn(), prop::collection::vec(found(), 4));
    let outcome =
        runner.run(&strategy, |(drawn, found)| look(&drawn, &found, &mut tried.borrow_mut()));
    if let Err(why) = outcome {
        panic!("seed {seed}: {why}");
    }
    tried.into_inner()
}

#[test]
fn what_was_found_never_lifts_a_referral_a_hold_or_a_stop_line() {
    let tried = (0..4_u64)
        .into_par_iter()
        .map(|seed| run(30, 7100 + seed))
        .reduce(Tried::default, Tried::add);
    let _ = writeln!(std::io::stderr(), "{tried:?}");
    assert!(
        tried.referred > 60 && tried.smaller > 30 && tried.stopped > 60 && tried.newly_referred > 3,
        "{tried:?}"
    );
}

/// The same with many more: `cargo test --release --test opened_up -- --ignored --nocapture`.
#[test]
#[ignore = "it takes minutes"]
fn a_thousand_random_finds() {
    let tried = (0..10_u64)
        .into_par_iter()
        .map(|seed| run(100, 8100 + seed))
        .reduce(Tried::default, Tried::add);
    let _ = writeln!(std::io::stderr(), "{tried:?}");
    assert!(tried.held > 10, "{tried:?}");
}
