//! Matching of marks between two surveys, held against generated pairs whose truth is known.
//!
//! The generator shares nothing with the matcher: it draws a body of marks, lets some grow, split,
//! run together, go deeper, vanish or appear, and writes both surveys as two people with tapes would
//! read them, numbers shuffled. Own seeds; the figures are printed with `-- --nocapture`.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "what a test cannot set up has to fail it, and the figures are to be seen"
)]

use std::collections::BTreeSet;
use std::fmt::Write;

use plymend::damage::change::{Changes, Looked, Verdict, between};
use plymend::damage::{Finding, assess};
use plymend::read::job::{Job, Named, TextFolder, job};
use plymend::surface::placed::PlacedPanel;
use rayon::prelude::*;

/// 95 % of a normal error lie within so many standard deviations.
const WITHIN_95: f64 = 1.96;

/// SplitMix64 (Steele, Lea and Flood 2014), with normal draws by Box and Muller.
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    fn normal(&mut self, deviation: f64) -> f64 {
        let (a, b) = (1.0 - self.unit(), self.unit());
        deviation * (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }

    fn chance(&mut self, share: f64) -> bool {
        self.unit() < share
    }

    fn pick<'w>(&mut self, words: &[&'w str]) -> &'w str {
        words[(self.next() % words.len() as u64) as usize]
    }

    fn shuffled(&mut self, count: usize) -> Vec<usize> {
        let mut order: Vec<usize> = (0..count).collect();
        for last in (1..count).rev() {
            order.swap(last, (self.next() % (last as u64 + 1)) as usize);
        }
        order
    }
}

/// A mark as it truly is.
#[derive(Clone)]
struct True {
    kind: &'static str,
    u: f64,
    v: f64,
    length: f64,
    /// Nothing for a line.
    width: Option<f64>,
    degrees: f64,
}

impl True {
    fn along(&self, mm: f64) -> (f64, f64) {
        let (sin, cos) = self.degrees.to_radians().sin_cos();
        (self.u + mm * cos, self.v + mm * sin)
    }

    fn apart(&self, other: &Self) -> f64 {
        (self.u - other.u).hypot(self.v - other.v) - (self.length + other.length) / 2.0
    }
}

const LINES: [&str; 2] = ["gel_crack", "through_crack"];
const PATCHES: [&str; 4] = ["crazing", "blisters", "delamination", "star"];
const SHEET: (f64, f64) = (1700.0, 1200.0);

fn drawn(draw: &mut Draw) -> True {
    let line = draw.chance(0.6);
    True {
        kind: if line { draw.pick(&LINES) } else { draw.pick(&PATCHES) },
        u: draw.between(200.0, SHEET.0 - 200.0),
        v: draw.between(200.0, SHEET.1 - 200.0),
        length: draw.between(30.0, 260.0),
        width: (!line).then(|| draw.between(30.0, 160.0)),
        degrees: draw.between(0.0, 180.0),
    }
}

/// Two people see as two marks what lies apart: a mark that touches another is drawn anew.
fn free(draw: &mut Draw, others: &[True]) -> True {
    loop {
        let one = drawn(draw);
        if others.iter().all(|other| one.apart(other) > 15.0) {
            return one;
        }
    }
}

/// What happened to one earlier mark.
#[derive(Clone, Copy, PartialEq)]
enum Fate {
    Rest,
    Grew(f64),
    Other,
}

/// A pair of surveys with the truth between them.
struct Scene {
    earlier: Vec<True>,
    later: Vec<True>,
    /// Which earlier mark is which later one.
    links: BTreeSet<(usize, usize)>,
    fates: Vec<Fate>,
}

fn scene(draw: &mut Draw) -> Scene {
    let mut earlier: Vec<True> = Vec::new();
    for _ in 0..(4 + draw.next() % 9) {
        let one = free(draw, &earlier);
        earlier.push(one);
    }
    let mut later: Vec<True> = Vec::new();
    let (mut links, mut fates) = (BTreeSet::new(), Vec::new());
    // A crack that somebody first saw as two pieces in one line: run together by the next survey.
    if draw.chance(0.3) {
        let mut whole = free(draw, &earlier);
        (whole.kind, whole.width) = ("gel_crack", None);
        whole.length = draw.between(140.0, 260.0);
        if earlier.iter().all(|other| whole.apart(other) > 15.0) {
            let gap = draw.between(20.0, 40.0);
            let piece = (whole.length - gap) / 2.0;
            for way in [-1.0, 1.0] {
                let (u, v) = whole.along(way * (gap + piece) / 2.0);
                links.insert((earlier.len(), later.len()));
                earlier.push(True { u, v, length: piece, ..whole.clone() });
                fates.push((earlier.len() - 1, Fate::Other));
            }
            later.push(whole);
        }
    }
    let paired: BTreeSet<usize> = fates.iter().map(|(number, _)| *number).collect();
    for (number, was) in earlier.iter().enumerate() {
        if paired.contains(&number) {
            continue;
        }
        let mut now = was.clone();
        let dice = draw.unit();
        let fate = if dice < 0.12 {
            fates.push((number, Fate::Other));
            continue;
        } else if dice < 0.18 && now.width.is_none() && now.length > 110.0 {
            // Split: one mark recorded as two pieces with sound gel between them.
            let gap = draw.between(5.0, 20.0);
            let cut = draw.between(0.35, 0.65) * now.length;
            for (from, to) in [(0.0, cut - gap / 2.0), (cut + gap / 2.0, now.length)] {
                let (u, v) = now.along((from + to - now.length) / 2.0);
                links.insert((number, later.len()));
                later.push(True { u, v, length: to - from, ..now.clone() });
            }
            fates.push((number, Fate::Other));
            continue;
        } else if dice < 0.25 && now.kind == "gel_crack" {
            now.kind = "through_crack";
            Fate::Other
        } else if dice < 0.55 {
            let by = draw.between(5.0, 70.0);
            // At one end or at both.
            let shift = if draw.chance(0.5) { by / 2.0 } else { 0.0 };
            (now.u, now.v) = now.along(shift);
            now.length += by;
            Fate::Grew(by)
        } else {
            Fate::Rest
        };
        links.insert((number, later.len()));
        later.push(now);
        fates.push((number, fate));
    }
    for _ in 0..draw.next() % 4 {
        let fresh = free(draw, &later);
        later.push(fresh);
    }
    fates.sort_by_key(|(number, _)| *number);
    Scene { earlier, later, links, fates: fates.into_iter().map(|(_, fate)| fate).collect() }
}

/// A survey as it is written down: every reading with its error, numbers shuffled. Gives the text and
/// the number of every mark.
fn written(draw: &mut Draw, marks: &[True], two: bool) -> (String, Vec<u32>) {
    let place = f64::hypot(if two { 5.0 } else { 10.0 }, 3.0) / WITHIN_95;
    let end = if two { 10.0 } else { 20.0 } / WITHIN_95;
    let order = draw.shuffled(marks.len());
    let numbers: Vec<u32> = (0..marks.len())
        .map(|mark| 1 + order.iter().position(|at| *at == mark).unwrap() as u32 * 3)
        .collect();
    let mut text = format!(
        "(format: 1, people: {}, light_is: {}, light: \"lamp\", cleaning: \"washed\", panels: [(name: \"roof\", generic: \"roof\", size: (length_mm: {}, width_mm: {}), fixings: none_seen, roles: [skin])], marks: [",
        if two { "two" } else { "one" },
        if two { "good" } else { "poor" },
        SHEET.0,
        SHEET.1
    );
    for at in order {
        let mark = &marks[at];
        let length = (mark.length + draw.normal(end)).max(5.0);
        let (u, v) = (mark.u + draw.normal(place), mark.v + draw.normal(place));
        let degrees = mark.degrees + draw.normal(3.0);
        let shape = match mark.width {
            None => format!("Line(length_mm: {length:.0}, direction: Angle({degrees:.0}))"),
            Some(width) => format!(
                "Patch(length_mm: {length:.0}, width_mm: {:.0}, angle_deg: {degrees:.0})",
                (width + draw.normal(end)).max(5.0)
            ),
        };
        write!(
            text,
            "(id: {}, panel: \"roof\", kind: {}, place: On({u:.0}, {v:.0}), shape: {shape}),",
            numbers[at], mark.kind
        )
        .unwrap();
    }
    text.push_str("])");
    (text, numbers)
}

fn read(text: &str) -> Job {
    let folder = TextFolder::from([("survey.ron", text)]);
    job(&folder, "survey.ron", &Named::default()).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn findings<'j>(job: &'j Job, panels: &[PlacedPanel<'_>]) -> Vec<Finding<'j>> {
    let placed = plymend::place(job, panels).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assess(job, panels, placed, &|_| 1.1).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn compared(one: &Job, other: &Job, panels: &[PlacedPanel<'_>]) -> (Changes, Vec<[Vec<u32>; 2]>) {
    let (then, now) = (findings(one, panels), findings(other, panels));
    let earlier = Looked { job: one, panels, findings: &then };
    let later = Looked { job: other, panels, findings: &now };
    let changes = between(&earlier, &later).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let ids = changes
        .marks
        .iter()
        .map(|one| {
            [
                one.earlier.iter().map(|number| then[*number].mark().id).collect(),
                one.later.iter().map(|number| now[*number].mark().id).collect(),
            ]
        })
        .collect();
    (changes, ids)
}

#[derive(Default, Clone, Copy)]
struct Tally {
    links: usize,
    found: usize,
    wrong: usize,
    missed: usize,
    resting: usize,
    false_growth: usize,
    false_shrinking: usize,
    large: usize,
    large_claimed: usize,
}

fn tallied(seed: u64, panels: &[PlacedPanel<'_>]) -> Tally {
    let mut draw = Draw(seed.wrapping_mul(0x1234_5678_9abc_def1));
    let scene = scene(&mut draw);
    let two = !seed.is_multiple_of(4);
    let (text, then) = written(&mut draw, &scene.earlier, two);
    let (other, now) = written(&mut draw, &scene.later, two);
    let (one, other) = (read(&text), read(&other));
    let (changes, ids) = compared(&one, &other, panels);
    let mut tally = Tally { links: scene.links.len(), ..Tally::default() };
    let mut met = BTreeSet::new();
    for (change, [earlier, later]) in changes.marks.iter().zip(&ids) {
        let index = |ids: &[u32], of: u32| ids.iter().position(|id| *id == of).unwrap();
        for was in earlier {
            for is in later {
                met.insert((index(&then, *was), index(&now, *is)));
            }
        }
        let ([was], [is]) = (earlier.as_slice(), later.as_slice()) else { continue };
        let link = (index(&then, *was), index(&now, *is));
        if !scene.links.contains(&link) {
            continue;
        }
        match scene.fates[link.0] {
            Fate::Rest => {
                tally.resting += 1;
                tally.false_growth += usize::from(change.verdict == Verdict::Grown);
                tally.false_shrinking += usize::from(change.verdict == Verdict::Smaller);
            }
            // Twice the error of the change: 28 mm for two people, 57 mm for one alone.
            Fate::Grew(by) if by > if two { 28.3 } else { 56.6 } => {
                tally.large += 1;
                tally.large_claimed += usize::from(change.verdict == Verdict::Grown);
            }
            Fate::Grew(_) | Fate::Other => {}
        }
    }
    tally.found = met.len();
    tally.wrong = met.difference(&scene.links).count();
    tally.missed = scene.links.difference(&met).count();
    tally
}

#[test]
fn a_thousand_pairs_of_surveys_are_matched_as_they_truly_are() {
    let base = read(&written(&mut Draw(1), &[], true).0);
    let panels = plymend::skins(&base).unwrap();
    let all: Vec<Tally> =
        (1..=1000_u64).into_par_iter().map(|seed| tallied(seed, &panels)).collect();
    let sum = |of: fn(&Tally) -> usize| all.iter().map(of).sum::<usize>();
    let share = |part: usize, whole: usize| 100.0 * part as f64 / whole as f64;
    let (found, wrong) = (sum(|one| one.found), sum(|one| one.wrong));
    let (links, missed) = (sum(|one| one.links), sum(|one| one.missed));
    let (resting, grown) = (sum(|one| one.resting), sum(|one| one.false_growth));
    let smaller = sum(|one| one.false_shrinking);
    let (large, claimed) = (sum(|one| one.large), sum(|one| one.large_claimed));
    println!(
        "1000 pairs: {found} matches, {wrong} wrong ({:.2} %); {links} true ones, {missed} missed ({:.2} %)\n\
         {resting} at rest, {grown} called grown ({:.2} %), {smaller} called smaller ({:.2} %)\n\
         {large} grown by twice the error or more, {claimed} claimed ({:.2} %)",
        share(wrong, found),
        share(missed, links),
        share(grown, resting),
        share(smaller, resting),
        share(claimed, large)
    );
    assert!(links > 5000 && resting > 1500 && large > 500, "too little to judge by");
    assert!(share(wrong, found) < 1.0, "wrong matches");
    assert!(share(missed, links) < 2.0, "missed matches");
    assert!(share(grown, resting) < 5.0, "false growth");
    assert!(share(claimed, large) > 95.0, "growth overlooked");
}

/// One crack in two surveys of two people each, and what is told of it.
fn told(earlier: &str, later: &str, about: &str) -> (Verdict, String) {
    let text = |marks: &str, about: &str| {
        let (empty, _) = written(&mut Draw(1), &[], true);
        empty.replace("marks: []", &format!("marks: [{marks}]{about}"))
    };
    let (one, other) = (read(&text(earlier, "")), read(&text(later, about)));
    let panels = plymend::skins(&one).unwrap();
    let (changes, _) = compared(&one, &other, &panels);
    assert_eq!(changes.marks.len(), 1, "{changes:#?}");
    (changes.marks[0].verdict, changes.marks[0].why.clone())
}

fn crack(kind: &str, length: f64, now: &str) -> String {
    format!(
        "(id: 4, panel: \"roof\", kind: {kind}, place: On(600, 600), shape: Line(length_mm: {length}, direction: Angle(30)){now})"
    )
}

#[test]
fn every_verdict_is_reached() {
    let was = crack("gel_crack", 140.0, "");
    let seen = |now: &str| told(&was, now, "").0;
    assert_eq!(seen(&crack("gel_crack", 155.0, "")), Verdict::Grown);
    assert_eq!(seen(&crack("gel_crack", 154.0, "")), Verdict::Unchanged);
    assert_eq!(seen(&crack("gel_crack", 125.0, "")), Verdict::Smaller);
    assert_eq!(seen(&crack("through_crack", 140.0, "")), Verdict::Turned);
    assert_eq!(seen(&crack("through_crack", 140.0, ", now: seen_not_measured")), Verdict::Turned);
    assert_eq!(
        seen(&crack("gel_crack", 190.0, ", now: seen_not_measured")),
        Verdict::SeenNotMeasured
    );
    assert_eq!(seen(&crack("gel_crack", 190.0, ", now: not_examined")), Verdict::NotExamined);
    let repaired = crack("gel_crack", 140.0, ", now: Repaired(by: \"a yard\", date: \"May\")");
    assert_eq!(seen(&repaired), Verdict::Repaired);
    assert_eq!(told(&repaired, &was, "").0, Verdict::BackAgain);
    assert_eq!(told("", &was, "").0, Verdict::New);
    assert_eq!(told(&was, "", "").0, Verdict::Gone);
    let missed = ", not_examined: [(what: \"roof\", why: \"under a sheet\")]";
    let (verdict, why) = told(&was, "", missed);
    assert_eq!(verdict, Verdict::NotExamined);
    assert!(why.contains("under a sheet"), "{why}");
    let back =
        ", not_examined: [(what: \"its back\", why: \"lined\", panel: \"roof\", side: back)]";
    assert_eq!(told(&was, "", back).0, Verdict::Gone);
}

#[test]
fn two_marks_of_kinds_that_cannot_be_one_stay_two() {
    let blisters = "(id: 4, panel: \"roof\", kind: blisters, place: On(600, 600), shape: Patch(length_mm: 140, width_mm: 60, angle_deg: 30))";
    let (empty, _) = written(&mut Draw(1), &[], true);
    let text = |mark: &str| empty.replace("marks: []", &format!("marks: [{mark}]"));
    let (one, other) = (read(&text(&crack("gel_crack", 140.0, ""))), read(&text(blisters)));
    let panels = plymend::skins(&one).unwrap();
    let (changes, _) = compared(&one, &other, &panels);
    let verdicts: Vec<Verdict> = changes.marks.iter().map(|one| one.verdict).collect();
    assert_eq!(verdicts, [Verdict::Gone, Verdict::New]);
}

/// A mark that has split, of which only one part was measured again: nothing may be called unchanged.
#[test]
fn half_a_measured_mark_is_not_called_unchanged() {
    use plymend::damage::change::{Looked, Verdict, between};
    use plymend::read::job::{Named, TextFolder, job};
    let survey = |marks: &str| {
        let text = format!(
            "(format: 1, people: two, light_is: good,
              panels: [(name: \"sheet\", generic: \"flat-sheet\", back: reached)], marks: [{marks}])"
        );
        let folder = TextFolder::from([("survey.ron", text.as_str())]);
        job(&folder, "survey.ron", &Named::default()).unwrap_or_else(|f| panic!("{f:#?}"))
    };
    let line = |id: u32, u: u32, mm: u32, now: &str| {
        format!(
            "(id: {id}, panel: \"sheet\", kind: gel_crack, depth: gel, edges_move: no, {now}
              place: On({u}, 200), shape: Line(length_mm: {mm}, direction: Angle(0)))"
        )
    };
    let then = survey(&line(1, 300, 200, ""));
    let verdict = |second: &str| {
        let now = survey(&format!("{}, {}", line(1, 250, 95, ""), line(2, 350, 95, second)));
        let (skins_then, skins_now) =
            (plymend::skins(&then).unwrap(), plymend::skins(&now).unwrap());
        let (was, is) =
            (plymend::work(&then, &skins_then).unwrap(), plymend::work(&now, &skins_now).unwrap());
        let changes = between(
            &Looked { job: &then, panels: &skins_then, findings: &was.findings },
            &Looked { job: &now, panels: &skins_now, findings: &is.findings },
        )
        .unwrap_or_else(|f| panic!("{f:#?}"));
        let split = changes.marks.iter().find(|one| one.later.len() == 2);
        split.unwrap_or_else(|| panic!("{:#?}", changes.marks)).verdict
    };
    assert_eq!(verdict(""), Verdict::Unchanged, "both parts measured, 190 of 200 mm within error");
    assert_eq!(verdict("now: seen_not_measured,"), Verdict::SeenNotMeasured);
    assert_eq!(verdict("now: not_examined,"), Verdict::NotExamined);
}
