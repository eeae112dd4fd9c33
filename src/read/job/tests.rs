//! Whole jobs from a map of texts.

use std::collections::BTreeMap;

use super::*;
use crate::model::panel::{Fixings, SurfaceForm};

struct Map(BTreeMap<&'static str, String>);

impl Folder for Map {
    fn text(&self, name: &str) -> Result<String, Diagnostic> {
        self.0.get(name).cloned().ok_or_else(|| Diagnostic {
            file: name.to_owned(),
            place: None,
            field: String::new(),
            code: "READ-OPEN",
            problem: "there is no such file".to_owned(),
            accepted: String::new(),
            way_out: String::new(),
            excerpt: None,
        })
    }
}

fn read(files: &[(&'static str, &str)]) -> Result<Job, Vec<Diagnostic>> {
    let map = Map(files.iter().map(|(name, text)| (*name, (*text).to_owned())).collect());
    job(&map, "survey.ron", &Named::default())
}

fn faults(files: &[(&'static str, &str)]) -> Vec<String> {
    let faults = read(files).unwrap_err();
    faults.iter().map(|fault| format!("{} {} {}", fault.code, fault.file, fault.field)).collect()
}

#[test]
fn a_short_survey_works_and_lists_what_it_assumed() {
    let job = read(&[(
        "survey.ron",
        "(format: 1, panels: [(name: \"lid\", generic: \"lid\", size: (length_mm: 1000))], marks: [
            (id: 1, panel: \"lid\", kind: chip, place: On(100, 100), shape: Spot(diameter_mm: 9)),
        ])",
    )])
    .unwrap();
    let lid = job.panel("lid").unwrap();
    assert!(lid.generic && lid.fixings_assumed && !lid.mirrored);
    assert_eq!((lid.file.as_str(), lid.field.as_str()), ("built in: lid", "panels[0]"));
    assert!(lid.assumptions.iter().any(|line| line.contains("width")));
    assert!(lid.assumptions.iter().any(|line| line.contains("hinge")));
    assert_eq!(job.files_read, ["survey.ron"]);
    assert!(job.shop.is_none());
}

#[test]
fn sizing_moves_every_place_in_proportion() {
    let at = |size: &str| {
        let text =
            format!("(format: 1, panels: [(name: \"lid\", generic: \"lid\", size: ({size}))])");
        let job = read(&[("survey.ron", text.as_str())]).unwrap();
        job.panels[0].panel.clone()
    };
    let plain = at("");
    let Some(SurfaceForm::Moulding(moulding)) = &plain.surface else { panic!() };
    let (length, width) = (moulding.length_mm.value(), moulding.width_mm.value());
    let sized = at(&format!("length_mm: {}, width_mm: {}", length * 1.1, width * 0.8));
    let Fixings::Listed(before) = &plain.fixings else { panic!() };
    let Fixings::Listed(after) = &sized.fixings else { panic!() };
    let before = before.iter().map(|one| one.at).chain(plain.landmarks.iter().map(|one| one.at));
    let after = after.iter().map(|one| one.at).chain(sized.landmarks.iter().map(|one| one.at));
    for (before, after) in before.zip(after) {
        let (before, after) = (before.on_grid().unwrap(), after.on_grid().unwrap());
        approx::assert_relative_eq!(after.0.value(), before.0.value() * 1.1, epsilon = 1e-9);
        approx::assert_relative_eq!(after.1.value(), before.1.value() * 0.8, epsilon = 1e-9);
    }
    let Some(SurfaceForm::Moulding(after)) = &sized.surface else { panic!() };
    let crown = moulding.crown_along_mm.value() * 1.1;
    approx::assert_relative_eq!(after.crown_along_mm.value(), crown, epsilon = 1e-9);
}

const SHEET: &str = "surface: Flat(length_mm: 500, width_mm: 400), landmarks: [(name: \"a\", at: (0, 0)), (name: \"b\", at: (400, 0))], fixings: Listed([(name: \"hinge\", at: (10, 10), carries: hinge, state: sound)])";

#[test]
fn a_mirror_takes_the_skin_and_not_the_state() {
    let left = format!("(format: 1, name: \"left\", {SHEET}, roles: [skin])");
    let job = read(&[
        ("survey.ron", "(format: 1, panels: [(name: \"right\", file: \"right.ron\")])"),
        ("right.ron", "(format: 1, name: \"right\", mirror_of: \"left.ron\")"),
        ("left.ron", &left),
    ])
    .unwrap();
    let right = &job.panels[0];
    assert!(right.mirrored && right.fixings_assumed);
    let Fixings::Listed(fixings) = &right.panel.fixings else { panic!() };
    assert_eq!(fixings[0].state, crate::model::panel::FixingState::NotSeen);
    assert_eq!(job.files_read, ["survey.ron", "right.ron", "left.ron"]);
}

#[test]
fn a_grid_begun_at_the_other_end_is_the_other_hand_and_only_a_drawn_skin_can_say_so() {
    let survey = ("survey.ron", "(format: 1, panels: [(name: \"left\", file: \"left.ron\")])");
    let left = format!("(format: 1, name: \"left\", u_runs: to_the_left, {SHEET}, roles: [skin])");
    assert!(read(&[survey, ("left.ron", &left)]).unwrap().panels[0].mirrored);
    let right = left.replace("to_the_left", "to_the_right");
    assert!(!read(&[survey, ("left.ron", &right)]).unwrap().panels[0].mirrored);
    // The mirror image of a panel of the other hand is as its file has it.
    let image = "(format: 1, name: \"image\", mirror_of: \"left.ron\")";
    let other = ("survey.ron", "(format: 1, panels: [(name: \"image\", file: \"image.ron\")])");
    let job = read(&[other, ("image.ron", image), ("left.ron", &left)]).unwrap();
    assert!(!job.panels[0].mirrored);
    let of = |entry: &str| {
        format!("(format: 1, panels: [(name: \"lid\", u_runs: to_the_left, {entry})])")
    };
    assert!(read(&[("survey.ron", &of("generic: \"lid\""))]).unwrap().panels[0].mirrored);
    let filed = of("file: \"left.ron\"");
    let found = faults(&[("survey.ron", &filed), ("left.ron", &left)]);
    assert_eq!(found, ["READ-PANEL-SOURCE survey.ron panels[0].u_runs"]);
    let both = image.replace("mirror_of", "u_runs: to_the_left, mirror_of");
    let found = faults(&[other, ("image.ron", &both), ("left.ron", &left)]);
    assert_eq!(found, ["READ-CONTRADICTION image.ron u_runs"]);
}

#[test]
fn mirrors_without_end_are_told() {
    let found = faults(&[
        ("survey.ron", "(format: 1, panels: [(name: \"right\", file: \"right.ron\")])"),
        ("right.ron", "(format: 1, name: \"right\", mirror_of: \"left.ron\")"),
        ("left.ron", "(format: 1, name: \"left\", mirror_of: \"right.ron\")"),
    ]);
    assert_eq!(found, ["READ-MIRROR-LOOP left.ron mirror_of"]);
}

#[test]
fn a_survey_overrides_a_panel_of_the_body() {
    let panel = format!("(format: 1, name: \"flank\", {SHEET})");
    let body = "(format: 1, name: \"car\", panels: [(file: \"flank.ron\")])";
    let survey = "(format: 1, body: \"parts/body.ron\", panels: [(name: \"flank\", thickness_mm: 3.5, fixings: none_seen)])";
    let job =
        read(&[("survey.ron", survey), ("parts/body.ron", body), ("parts/flank.ron", &panel)])
            .unwrap();
    assert_eq!(job.panels.len(), 1);
    assert_eq!(job.panels[0].panel.laminate.thickness_mm.map(|t| t.value()), Some(3.5));
    assert!(matches!(job.panels[0].panel.fixings, Fixings::NoneSeen));
    let wrong = survey.replace("thickness_mm: 3.5", "generic: \"lid\", size: (length_mm: 500)");
    let found = faults(&[
        ("survey.ron", wrong.as_str()),
        ("parts/body.ron", body),
        ("parts/flank.ron", &panel),
    ]);
    assert_eq!(
        found,
        ["READ-PANEL-SOURCE survey.ron panels[0].generic", "READ-SIZE survey.ron panels[0].size"]
    );
}

#[test]
fn states_found_on_the_day_are_put_in() {
    let panel = format!("(format: 1, name: \"flank\", {SHEET})");
    let survey = "(format: 1, panels: [(name: \"flank\", file: \"flank.ron\")], fixing_states: [(panel: \"flank\", fixing: \"hinge\", state: loose)])";
    let job = read(&[("survey.ron", survey), ("flank.ron", &panel)]).unwrap();
    let Fixings::Listed(fixings) = &job.panels[0].panel.fixings else { panic!() };
    assert!(fixings[0].state.has_failed());
    let wrong = survey.replace("fixing: \"hinge\"", "fixing: \"hinges\"");
    let found = faults(&[("survey.ron", wrong.as_str()), ("flank.ron", &panel)]);
    assert_eq!(found, ["READ-NAME-UNKNOWN survey.ron fixing_states[0].fixing"]);
}

/// Every kind of fault in a mark, each in a mark of its own.
#[test]
fn each_fault_of_a_mark_is_told_at_its_field() {
    let panel = format!("(format: 1, name: \"flank\", {SHEET}, laminate: (thickness_mm: 3))");
    let chip = "kind: chip, place: On(9, 9), shape: Spot(diameter_mm: 9)";
    let crack = "kind: gel_crack, place: On(9, 9), shape: Line(length_mm: 90)";
    let cases = [
        ("kind: chip, shape: Spot(diameter_mm: 9)".to_owned(), "READ-PLACE place"),
        ("kind: chip, place: On(9, 9)".to_owned(), "READ-UNMEASURED shape"),
        (chip.replace("diameter_mm: 9", "diameter_mm: NaN"), "READ-NUMBER shape.diameter_mm"),
        (chip.replace("diameter_mm: 9", "diameter_mm: inf"), "READ-NUMBER shape.diameter_mm"),
        (chip.replace("diameter_mm: 9", "diameter_mm: -9"), "READ-RANGE shape.diameter_mm"),
        (chip.replace("diameter_mm: 9", "diameter_mm: 9e6"), "READ-RANGE shape.diameter_mm"),
        (chip.replace("On(9, 9)", "On(9, 9e9)"), "READ-RANGE place[1]"),
        (chip.replace("chip", "gel_crack"), "READ-SHAPE shape"),
        (crack.replace("gel_crack", "crazing"), "READ-SHAPE shape"),
        (format!("{chip}, back_length_mm: 9"), "READ-SHAPE back_length_mm"),
        (format!("{chip}, reading: 20"), "READ-METER reading"),
        (format!("{chip}, depth: Glass(3.5)"), "READ-DEPTH depth[0]"),
        (format!("{chip}, depth: gel, evidence: [through]"), "READ-DEPTH depth"),
        (format!("{chip}, layer: gel"), "READ-CONTRADICTION layer"),
        (
            format!("{}, worst_per_dm2: 1, mean_per_dm2: 2", chip.replace("chip", "blisters")),
            "READ-COUNTS worst_per_dm2",
        ),
        (format!("{chip}, cause: Open(what: \"\")"), "READ-NAME-EMPTY cause.what"),
        (
            chip.replace("On(9, 9)", "Taped(a: (\"a\", 100), b: (\"a\", 100))"),
            "READ-TAPE place.b[0]",
        ),
        (
            chip.replace("On(9, 9)", "Taped(a: (\"a\", 100), b: (\"bb\", 100))"),
            "READ-NAME-UNKNOWN place.b[0]",
        ),
        (
            chip.replace("On(9, 9)", "Taped(a: (\"a\", 100), b: (\"b\", 0.1))"),
            "READ-RANGE place.b[1]",
        ),
        (
            chip.replace("On(9, 9)", "Taped(a: (\"a\", 300), b: (\"b\", 300), side: front)"),
            "READ-SIDE-WORD place.side",
        ),
        (
            crack.replace(": 90", ": 90, direction: Toward(\"hingo\")"),
            "READ-NAME-UNKNOWN shape.direction[0]",
        ),
        (crack.replace(": 90", ": 90, direction: Angle(900)"), "READ-RANGE shape.direction[0]"),
        (
            "kind: gel_crack, shape: Traced(points: [On(1, 2)])".to_owned(),
            "READ-TRACE shape.points",
        ),
        (
            "kind: gel_crack, shape: Traced(points: [Step(mm: 5, angle_deg: 0), On(1, 2)])"
                .to_owned(),
            "READ-TRACE shape.points[0]",
        ),
        (
            "kind: crazing, shape: Traced(points: [On(1, 2), On(3, 4)], closed: true)".to_owned(),
            "READ-TRACE shape.points",
        ),
        (
            "kind: gel_crack, place: On(1, 1), shape: Traced(points: [On(1, 2), On(3, 4)])"
                .to_owned(),
            "READ-PLACE place",
        ),
    ];
    for (number, (mark, expected)) in cases.iter().enumerate() {
        let survey = format!(
            "(format: 1, panels: [(name: \"flank\", file: \"flank.ron\")], marks: [\n(id: {number}, panel: \"flank\", {mark})])"
        );
        let found = faults(&[("survey.ron", survey.as_str()), ("flank.ron", &panel)]);
        let expected = expected.replace(' ', " survey.ron marks[0].");
        assert_eq!(found, [expected], "{mark}");
    }
    for good in [chip, crack, "kind: other, place: On(1, 1), shape: Line(length_mm: 5)"] {
        let survey = format!(
            "(format: 1, panels: [(name: \"flank\", file: \"flank.ron\")], marks: [(id: 1, panel: \"flank\", {good})])"
        );
        read(&[("survey.ron", survey.as_str()), ("flank.ron", &panel)]).unwrap();
    }
}

#[test]
fn faults_of_all_files_come_together() {
    let panel = "(format: 1, name: \"\", surface: Flat(length_mm: -5, width_mm: 400), roles: [])";
    let shop = "(format: 1, day_c: 200, night_c: NaN, humidity_percent: 0, people: 0)";
    let rules = "(format: 1, changes: [(id: \"no-such-rule\", value: 1)])";
    let found = faults(&[
        (
            "survey.ron",
            "(format: 1, panels: [(name: \"flank\", file: \"flank.ron\"), (name: \"flank\")], shop: \"shop.ron\", rules: \"rules.ron\", stock: \"none.ron\", marks: [(id: 1, panel: \"wing\", kind: chip)])",
        ),
        ("flank.ron", panel),
        ("shop.ron", shop),
        ("rules.ron", rules),
    ]);
    insta::assert_snapshot!(found.join("\n"), @r"
    READ-NAME-EMPTY flank.ron name
    READ-RANGE flank.ron surface.length_mm
    READ-NOTHING flank.ron roles
    READ-NAME-UNKNOWN rules.ron changes[0].id
    READ-RANGE shop.ron day_c
    READ-NUMBER shop.ron night_c
    READ-RANGE shop.ron humidity_percent
    READ-RANGE shop.ron people
    READ-PANEL-SOURCE survey.ron panels[1]
    READ-NAME-TWICE survey.ron panels[1].name
    READ-OPEN survey.ron stock
    READ-PLACE survey.ron marks[0].place
    READ-UNMEASURED survey.ron marks[0].shape
    READ-NAME-UNKNOWN survey.ron marks[0].panel
    ");
}

#[test]
fn a_fault_of_a_later_room_has_its_place() {
    let job = read(&[("survey.ron", "(format: 1,\n  air_c: 7)")]).unwrap();
    let fault = job.fault("survey.ron", "air_c", "READ-RANGE", "problem", "accepted", "way out");
    assert_eq!(fault.place, Some(crate::diagnostic::TextPlace { line: 2, column: 10 }));
}

/// Each code that the program's text uses is explained, and none is explained in vain.
#[test]
fn every_code_is_explained_and_used() {
    let mut used = std::collections::BTreeSet::new();
    let mut folders = vec![std::path::PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/src"))];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if !path.ends_with("codes.rs") && !path.ends_with("tests.rs") {
                let text = std::fs::read_to_string(&path).unwrap_or_default();
                for part in text.split('"') {
                    let is_code = [
                        "COMPARE-", "PHOTO-", "READ-", "WRITE-", "SCAN-", "SURFACE-", "STOCK-",
                        "SEAM-",
                    ]
                    .iter()
                    .any(|start| part.starts_with(start));
                    if is_code && !part.contains(' ') {
                        used.insert(part.to_owned());
                    }
                }
            }
        }
    }
    let known = crate::read::codes::CODES.iter().map(|known| known.code.to_owned()).collect();
    assert_eq!(used, known);
}
