//! Where practice disagrees: what an answer is said to change is what setting it changes; hours of
//! work against hand sums; and no answer frees what is referred or held.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use approx::assert_relative_eq;
use plymend::diagnostic::Diagnostic;
use plymend::quantity::Cases;
use plymend::read::job::{Named, TextFolder, job};
use plymend::report::model::{AnswerInUse, ConflictLine, Report};

const SHOP: &str = "format: 1, day_c: 20, night_c: 18, humidity_percent: 60, worker: trade";

fn panel(material: &str) -> String {
    format!(
        "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1600, width_mm: 1000),
          laminate: (thickness_mm: 3.0), material: {material}, roles: [skin],
          back: reached, fixings: Listed([(name: \"hinge\", at: (1500, 900), carries: hinge)]))"
    )
}

const MARKS: &str = "
    (id: 1, panel: \"sheet\", kind: hole, place: On(300, 500),
     shape: Patch(length_mm: 60, width_mm: 40)),
    (id: 2, panel: \"sheet\", kind: gel_crack, place: On(900, 300),
     shape: Line(length_mm: 200, direction: Angle(0))),
    (id: 3, panel: \"sheet\", kind: crack_at_fixing, edges_move: no, place: On(1450, 850),
     shape: Line(length_mm: 40, direction: Angle(0))),
    (id: 4, panel: \"sheet\", kind: crazing, depth: gel, place: On(1290, 850),
     shape: Patch(length_mm: 60, width_mm: 40))";

fn tried(material: &str, shop: &str, labour: &str) -> Result<Report, Vec<Diagnostic>> {
    let survey = format!(
        "(format: 1, shop: \"shop.ron\", panels: [(name: \"sheet\", file: \"sheet.ron\")],
          marks: [{MARKS}])"
    );
    let (panel, shop) = (panel(material), format!("({shop})"));
    let folder = TextFolder::from([
        ("survey.ron", survey.as_str()),
        ("sheet.ron", panel.as_str()),
        ("shop.ron", shop.as_str()),
        ("hours.ron", labour),
    ]);
    plymend::estimate(&job(&folder, "survey.ron", &Named::default())?)
}

fn worked(material: &str, shop: &str) -> Report {
    tried(material, shop, "").unwrap_or_else(|faults| panic!("{}", faults[0]))
}

fn question<'r>(report: &'r Report, id: &str) -> &'r ConflictLine {
    report.conflicts.iter().find(|one| one.id == id).unwrap_or_else(|| panic!("{id} is not asked"))
}

fn answer<'r>(report: &'r Report, id: &str, words: &str) -> &'r AnswerInUse {
    let of = question(report, id);
    of.answers.iter().find(|one| one.answer.contains(words)).expect("an answer in these words")
}

fn sums(report: &Report) -> [Cases<f64>; 4] {
    let of = &report.materials;
    let three = |low: f64, likely: f64, high: f64| Cases { low, likely, high };
    [
        three(of.low.glass_kg, of.likely.glass_kg, of.high.glass_kg),
        three(of.low.resin_kg, of.likely.resin_kg, of.high.resin_kg),
        three(of.low.gel_coat_kg, of.likely.gel_coat_kg, of.high.gel_coat_kg),
        report.hours.as_ref().unwrap().trade_h,
    ]
}

/// The answer said beside the default is what a shop gets that sets it, and the other way round.
fn as_said(material: &str, id: &str, words: &str, set: &str) {
    let before = worked(material, SHOP);
    let after = worked(material, &format!("{SHOP}, {set}"));
    let said = answer(&before, id, words);
    assert!(!said.used);
    let back = question(&after, id).answers.iter().find(|one| one.default).unwrap();
    assert!(!back.used, "{id}: the default is not used any more");
    assert!(answer(&after, id, words).used, "{id}: {words}");
    let more = |of: &AnswerInUse| {
        [
            of.more_glass_kg.unwrap(),
            of.more_resin_kg.unwrap(),
            of.more_gel_coat_kg.unwrap(),
            of.more_trade_h.unwrap(),
        ]
    };
    for (number, (was, now)) in sums(&before).iter().zip(sums(&after)).enumerate() {
        for (more, sign) in [(more(said)[number], 1.0), (more(back)[number], -1.0)] {
            for (a, b, said) in [
                (was.low, now.low, more.low),
                (was.likely, now.likely, more.likely),
                (was.high, now.high, more.high),
            ] {
                assert!(
                    (sign * (b - a) - said).abs() < 3e-6,
                    "{id} {words} {number}: {a} {b} {said}"
                );
            }
        }
    }
    assert!(after.settings.iter().any(|one| one.rule == "TAPER" || one.rule == "SHOP-HABITS"));
}

const HAND_LAID: &str = "hand_laid_polyester";

#[test]
fn another_taper_changes_what_it_is_said_to_change() {
    as_said(HAND_LAID, "taper", "20 to 1", "taper: 20");
    as_said(HAND_LAID, "taper", "8 to 1", "taper: 8");
    let before = worked(HAND_LAID, SHOP);
    assert!(answer(&before, "taper", "20 to 1").more_glass_kg.unwrap().high > 0.01);
    assert!(answer(&before, "taper", "8 to 1").more_glass_kg.unwrap().high < -0.001);
}

#[test]
fn another_backing_changes_what_it_is_said_to_change() {
    as_said(HAND_LAID, "backing", "two mats", "habits: (backing: two_mats)");
    as_said(HAND_LAID, "backing", "army", "habits: (backing: army)");
}

#[test]
fn the_depth_of_gel_cracks_changes_what_it_is_said_to_change() {
    as_said(HAND_LAID, "gel-cracks", "likely into the first", "habits: (gel_cracks: reach_glass)");
    let before = worked(HAND_LAID, SHOP);
    let never = answer(&before, "gel-cracks", "never").more_glass_kg.unwrap();
    assert_relative_eq!(never.likely, 0.0);
    assert!(never.high < -0.001, "the glass of the high case is not laid");
}

#[test]
fn no_gel_coat_on_epoxy_changes_what_it_is_said_to_change() {
    as_said("epoxy", "on-epoxy", "primer and paint alone", "habits: (on_epoxy: paint_only)");
    let after = worked("epoxy", &format!("{SHOP}, habits: (on_epoxy: paint_only)"));
    assert_relative_eq!(after.materials.high.gel_coat_kg, 0.0);
    assert!(worked(HAND_LAID, SHOP).conflicts.iter().all(|one| one.id != "on-epoxy"));
}

#[test]
fn the_order_of_plies_turns_about_and_nothing_else_changes() {
    let first = worked(HAND_LAID, SHOP);
    let turned = worked(HAND_LAID, &format!("{SHOP}, habits: (ply_order: largest_first)"));
    let plies = |report: &Report| {
        let of = &report.repairs[0].scenarios.high.plies;
        let front = of.iter().filter(|ply| ply.side == "outer");
        front.map(|ply| (ply.sequence, ply.reach_mm, ply.area_m2)).collect::<Vec<_>>()
    };
    let (one, other) = (plies(&first), plies(&turned));
    assert!(one.len() > 2);
    for (a, b) in one.iter().zip(other.iter().rev()) {
        assert_relative_eq!(a.1, b.1);
        assert_relative_eq!(a.2, b.2);
    }
    assert_eq!(one[0].0, 1);
    assert_eq!(other[0].0, 1);
    assert!(one[0].1 < one[1].1 && other[0].1 > other[1].1);
    for (a, b) in sums(&first).iter().zip(sums(&turned)) {
        assert_relative_eq!(a.high, b.high);
    }
}

#[test]
fn a_second_mat_behind_goes_25_mm_further_and_the_army_set_is_not_tapered_in_front() {
    let behind = |set: &str| {
        let report = worked(HAND_LAID, &format!("{SHOP}, habits: (backing: {set})"));
        let plies = report.repairs[0].scenarios.high.plies.clone();
        let back: Vec<f64> =
            plies.iter().filter(|ply| ply.side == "back").map(|ply| ply.reach_mm).collect();
        let front: Vec<f64> =
            plies.iter().filter(|ply| ply.side == "outer").map(|ply| ply.reach_mm).collect();
        (front, back)
    };
    assert_eq!(behind("one_mat").1, [50.0]);
    assert_eq!(behind("two_mats").1, [50.0, 75.0]);
    // Published for 3.0 mm: two plies of 458 and one of 610 g/m2, 2 in on all sides (TM
    // 5-3820-256-24-5 p 616); the generic shelf has 450 for both.
    let (front, back) = behind("army");
    assert_eq!(back, [50.0; 3]);
    assert!(front.iter().all(|reach| *reach <= 0.0));
    let army = worked(HAND_LAID, &format!("{SHOP}, habits: (backing: army)"));
    let found = army.repairs[0].scenarios.high.parent_match.as_ref().unwrap();
    assert!(found.bending_ratio.unwrap() > 3.0 && !found.outside.is_empty());
}

#[test]
fn no_answer_frees_what_is_referred_or_held() {
    let actions = |report: &Report| {
        let of =
            report.findings.iter().filter(|one| ["refer", "held"].contains(&one.action.as_str()));
        of.map(|one| (one.mark, one.action.clone())).collect::<Vec<_>>()
    };
    let before = worked(HAND_LAID, SHOP);
    let doubtful = actions(&before);
    assert!(doubtful.iter().any(|(mark, _)| *mark == 3), "{doubtful:?}");
    for conflict in &before.conflicts {
        for one in &conflict.answers {
            assert!(
                one.referred_more.iter().all(|mark| !doubtful.iter().any(|(of, _)| of == mark))
            );
        }
    }
    for set in ["taper: 8", "habits: (backing: army)", "habits: (gel_cracks: reach_glass)"] {
        let after = actions(&worked(HAND_LAID, &format!("{SHOP}, {set}")));
        assert!(doubtful.iter().all(|one| after.contains(one)), "{set}: {after:?}");
    }
}

#[test]
fn hours_are_the_tables_hours_by_hand() {
    let report = worked(HAND_LAID, SHOP);
    let hours = report.hours.as_ref().unwrap();
    let of = |mark: u32| {
        let all = hours.repairs.iter().flat_map(|one| &one.marks);
        all.filter(|one| one.mark == mark).map(|one| one.hours).next().unwrap()
    };
    // A hole under 150 mm in every case counts once: 4, 5 and 6 h.
    let hole = of(1);
    assert_relative_eq!(hole.low, 4.0);
    assert_relative_eq!(hole.likely, 5.0);
    // A gel crack of 200 mm, grown to 220, 270 and 360 mm (1.1, 1.35, 1.8 times): at 1.0 and 1.25 h
    // for 300 mm 0.73 and 1.125 h, the first never under 1 h; in glass in the high case, 5 h.
    let crack = of(2);
    assert_relative_eq!(crack.low, 1.0);
    assert_relative_eq!(crack.likely, 1.125, max_relative = 1e-3);
    assert_relative_eq!(crack.high, 6.0, max_relative = 1e-3);
    // Strip: 2, 3 and 4 h a square metre of what is prepared.
    let repair = &report.repairs[0];
    let prepared =
        repair.scenarios.high.prepared_area_m2 + repair.scenarios.high.prepared_back_area_m2;
    assert_relative_eq!(hours.repairs[0].strip_h.high, 4.0 * prepared, max_relative = 1e-4);
    assert_relative_eq!(hours.worker_h.high, hours.trade_h.high);
    let owner = worked(HAND_LAID, "format: 1, day_c: 20, night_c: 18, humidity_percent: 60");
    let owner = owner.hours.as_ref().unwrap();
    assert_relative_eq!(owner.worker_h.likely, 2.5 * owner.trade_h.likely, max_relative = 1e-5);
    assert!(!owner.excludes.is_empty(), "the referred mark is not in these hours");
}

fn refused(shop: &str, labour: &str) -> Vec<String> {
    let found = tried(HAND_LAID, &format!("{SHOP}, {shop}"), labour);
    found.unwrap_err().iter().map(ToString::to_string).collect()
}

#[test]
fn a_table_of_hours_that_is_not_whole_is_refused_with_its_place() {
    let faults = refused(
        "labour: \"hours.ron\"",
        "(format: 1, work: [
           (what: hole, least_h: 6, most_h: 4, per: each, evidence: choice, source: \"ours\"),
           (what: hole, least_h: 4, most_h: 6, per: square_metre, evidence: choice, source: \"ours\")])",
    );
    for words in
        ["hours.ron, line 2", "less than the least", "given twice", "counted per", "no hours for"]
    {
        assert!(faults.iter().any(|fault| fault.contains(words)), "{words}: {faults:?}");
    }
    let missing = tried(HAND_LAID, &format!("{SHOP}, labour: \"none.ron\""), "");
    assert!(missing.unwrap_err()[0].to_string().contains("none.ron"));
}

#[test]
fn a_taper_that_the_rule_does_not_take_is_refused() {
    let faults = refused("taper: 6", "");
    assert!(faults[0].contains("accepted 8 to 100"), "{faults:?}");
    let both = tried(HAND_LAID, &format!("{SHOP}, taper: 20"), "");
    assert!(both.is_ok());
}

#[test]
fn a_ply_wider_than_the_roll_is_lapped_and_weighs_more_by_its_laps() {
    let survey = "(format: 1, panels: [(name: \"sheet\", file: \"sheet.ron\")],
        marks: [(id: 1, panel: \"sheet\", kind: delamination, depth: half, place: On(1500, 1250),
                 shape: Patch(length_mm: 1500, width_mm: 1300))])";
    let sheet = "(format: 1, name: \"sheet\", surface: Flat(length_mm: 3000, width_mm: 2500),
        laminate: (thickness_mm: 3.0), material: hand_laid_polyester, roles: [skin],
        back: reached, fixings: none_seen)";
    let folder = TextFolder::from([("survey.ron", survey), ("sheet.ron", sheet)]);
    let job = job(&folder, "survey.ron", &Named::default()).expect("a readable job");
    let report = plymend::estimate(&job).expect("an estimate");
    let low = &report.repairs[0].scenarios.low;
    assert!(low.plies.len() > 1);
    for ply in &low.plies {
        // The roll is 1270 mm wide. The removal is the patch and its growth beyond: 1500 x 1300 mm
        // grown to 1.15 times its area, rounded at the corners; the lap runs along it.
        assert_eq!(ply.strips, 2, "ply {}", ply.sequence);
        let grown_mm = (low.removal_area_m2 * 1e6 - 1500.0 * 1300.0) / (2.0 * 2800.0);
        let long_mm = 1500.0 + 2.0 * (grown_mm + ply.reach_mm);
        assert!(
            (ply.lap_m2 / (50.0 * long_mm * 1e-6) - 1.0).abs() < 0.02,
            "{} {long_mm}",
            ply.lap_m2
        );
        let weight_kg_m2 = if ply.reinforcement.contains("450") { 0.45 } else { 0.30 };
        let glass_kg = weight_kg_m2 * (ply.area_m2 + ply.lap_m2);
        assert_relative_eq!(ply.glass_kg, glass_kg, max_relative = 1e-5);
        assert_relative_eq!(ply.resin_kg, 2.5 * glass_kg, max_relative = 1e-5);
    }
    let narrow = worked(HAND_LAID, SHOP);
    assert!(
        narrow.repairs.iter().all(|one| one.scenarios.high.plies.iter().all(|ply| ply.strips == 1))
    );
}
