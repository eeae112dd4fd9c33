//! The timetable of whole jobs: what has no time, what comes before what, and that no session leaves
//! the opening hours.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use plymend::diagnostic::Diagnostic;
use plymend::read::job::{Named, TextFolder, job};
use plymend::report::model::{CourseLines, Report};
use plymend::report::text::{self, Wide};

const PANEL: &str = "(format: 1, name: \"sheet\", surface: Flat(length_mm: 2400, width_mm: 1200),
    laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [skin], back: reached,
    regions: [(name: \"front\", outline: [(0, 0), (1450, 0), (1450, 780), (0, 780)])],
    fixings: Listed([(name: \"hinge\", at: (2300, 1100), carries: hinge, state: sound)]))";

const MARKS: &str = "
    (id: 1, panel: \"sheet\", kind: hole, place: On(300, 300),
     shape: Patch(length_mm: 80, width_mm: 50)),
    (id: 2, panel: \"sheet\", kind: crazing, depth: gel, place: On(1000, 400),
     shape: Patch(length_mm: 200, width_mm: 150)),
    (id: 3, panel: \"sheet\", kind: gel_crack, depth: gel, place: On(1700, 300),
     shape: Line(length_mm: 150, direction: Angle(0)),
     cause: Open(what: \"a bracket that works\", who: specialist)),
    (id: 4, panel: \"sheet\", kind: blisters, layer: gel, evidence: [wet], place: On(300, 1090),
     shape: Patch(length_mm: 150, width_mm: 100)),
    (id: 5, panel: \"sheet\", kind: gel_crack, place: On(2250, 1050),
     shape: Line(length_mm: 60, direction: Angle(0)))";

const SHOP: &str =
    "day_c: 20, night_c: 20, humidity_percent: 55, place: own_building, room_m3: 200,
    air_changes_per_h: 4, worker: trade";

fn tried(shop: &str) -> Result<Report, Vec<Diagnostic>> {
    let survey = format!(
        "(format: 1, shop: \"shop.ron\", old_paint: Clear(by: \"a laboratory\", date: \"May\"),
          topcoat: brush_enamel, underseal: none_there, panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [{MARKS}])"
    );
    let shop = format!("(format: 1, {shop})");
    let texts = TextFolder::from([
        ("survey.ron", survey.as_str()),
        ("sheet.ron", PANEL),
        ("shop.ron", shop.as_str()),
    ]);
    plymend::estimate(&job(&texts, "survey.ron", &Named::default())?)
}

fn worked(shop: &str) -> Report {
    tried(shop).unwrap_or_else(|faults| panic!("{}", faults[0]))
}

fn repair_of(report: &Report, mark: u32) -> String {
    let of = report.repairs.iter().find(|one| one.marks.contains(&mark));
    of.expect("a repair").id.clone()
}

fn names(course: &CourseLines) -> Vec<&String> {
    course.tasks.iter().flat_map(|task| &task.repairs).collect()
}

#[test]
fn what_is_referred_wet_or_waits_for_its_cause_has_no_place_in_the_plan() {
    let report = worked(SHOP);
    let of = report.timetable.as_ref().expect("a timetable");
    let free = of.free.as_ref().expect("some repairs may start");
    let (hole, craze) = (repair_of(&report, 1), repair_of(&report, 2));
    let (caused, wet) = (repair_of(&report, 3), repair_of(&report, 4));
    assert!(names(free).contains(&&hole) && names(free).contains(&&craze), "{:?}", of.untimed);
    assert!(!names(free).contains(&&caused) && !names(free).contains(&&wet));
    let later = of.after_cause.as_ref().expect("one waits for its cause");
    assert!(names(later).iter().all(|one| **one == caused));
    assert!(of.untimed.iter().any(|one| one.repair == wet && one.why.contains("wet")));
    // Mark 5 stands by a hinge: it has no repair at all and is named as left out.
    assert!(report.repairs.iter().all(|one| !one.marks.contains(&5)));
    assert!(of.excludes.iter().any(|one| one.mark == Some(5)));
    let page = text::full(&report, Wide::Usual);
    assert!(page.contains("day X + 1"), "counted from the day the cause is put right");
}

#[test]
fn nothing_is_done_before_what_it_waits_for_or_outside_the_opening_hours() {
    let shop = format!(
        "{SHOP}, people: 2, open_from: \"09:00\", open_to: \"15:30\", open_days: [mon, thu]"
    );
    let report = worked(&shop);
    let of = report.timetable.as_ref().unwrap();
    assert!(
        !of.open_assumed && of.open.contains("09:00 to 15:30, Monday, Thursday"),
        "{}",
        of.open
    );
    let free = of.free.as_ref().unwrap();
    let gel_min = report.shop.gel_min.as_ref().unwrap().high.unwrap();
    let clock = |text: &str| {
        let (hour, minute) = text.split_once(':').unwrap();
        hour.parse::<f64>().unwrap() * 60.0 + minute.parse::<f64>().unwrap()
    };
    for task in &free.tasks {
        assert!(["Monday", "Thursday"].contains(&task.start_weekday.as_str()));
        assert!(clock(&task.start_time) >= 540.0 && clock(&task.end_time) <= 930.0);
        if task.session.is_some() {
            assert_eq!(task.start_day, task.end_day, "a pour over night");
            assert!(clock(&task.end_time) + gel_min <= 930.0 + 1.0, "it gels before closing");
        }
    }
    let at = |words: &str, repair: &str| {
        let mut of = free.tasks.iter().filter(|task| {
            task.what.contains(words) && task.repairs.iter().any(|one| one == repair)
        });
        of.next().map(|task| (task.start_day as f64 - 1.0) * 1440.0 + clock(&task.start_time))
    };
    let hole = repair_of(&report, 1);
    let (grind, lay, coat, sand) =
        (at("grind", &hole), at("lay-up", &hole), at("gel coat", &hole), at("sand", &hole));
    assert!(grind < lay && lay < coat && coat < sand, "{grind:?} {lay:?} {coat:?} {sand:?}");
    let sandable_min = report.shop.sandable_h.as_ref().unwrap().high.unwrap() * 60.0;
    assert!(sand.unwrap() - coat.unwrap() >= sandable_min, "sanded before it may be");
    let primed = at("prime", &hole).expect("the region of the hole is painted");
    let floor_min = report.shop.primer_days.as_ref().unwrap().high.unwrap() * 1440.0;
    assert!(primed - coat.unwrap() >= floor_min, "primed before its floor");
    let shared = free.tasks.iter().filter(|task| task.session.is_some());
    assert!(shared.into_iter().any(|task| task.repairs.len() > 1), "sessions are shared");
}

#[test]
fn a_colder_night_leaves_paint_out_and_says_what_warmth_would_save_with_its_caution() {
    let cold =
        worked(&SHOP.replace("night_c: 20", "night_c: 12").replace("day_c: 20", "day_c: 18"));
    let of = cold.timetable.as_ref().unwrap();
    let free = of.free.as_ref().unwrap();
    let paints = free.tasks.iter().any(|task| task.what.contains("paint"));
    assert!(free.no_paint.is_some() && !paints, "{:?} {:?}", free.no_paint, cold.shop.gloss_days);
    assert!(!of.warmer.is_empty());
    for one in &of.warmer {
        assert!(one.caution.contains("No flame"));
    }
    let frozen = worked(&SHOP.replace("20, night_c: 20", "8, night_c: 8"));
    let of = frozen.timetable.as_ref().unwrap();
    assert!(of.free.is_none() && of.untimed.len() == frozen.repairs.len(), "all is blocked");
}

#[test]
fn opening_hours_that_make_no_sense_are_refused() {
    for (set, words) in [
        ("open_from: \"8 am\"", "READ-MOMENT"),
        ("open_from: \"25:00\"", "READ-MOMENT"),
        ("open_from: \"17:00\", open_to: \"09:00\"", "closes no later than it opens"),
        ("open_from: \"18:00\"", "closes no later than it opens"),
        ("open_days: [mon, mon]", "named twice"),
    ] {
        let faults = tried(&format!("{SHOP}, {set}")).expect_err("refused");
        assert!(faults[0].to_string().contains(words), "{set}: {}", faults[0]);
    }
}
