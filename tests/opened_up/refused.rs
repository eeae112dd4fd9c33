//! Files of opened-up sizes that are refused, each with its code and the field at fault.

use super::{BY, SKIN, read, texts, whole};

const MARKS: &str = "
    (id: 1, panel: \"sheet\", kind: gel_crack, depth: gel, place: On(300, 300), shape: Line(length_mm: 80, direction: Angle(0))),
    (id: 2, panel: \"sheet\", kind: gel_crack, depth: gel, place: On(600, 300), shape: Line(length_mm: 80)),
    (id: 3, panel: \"sheet\", kind: crazing, depth: gel, place: On(300, 700), shape: Patch(length_mm: 80, width_mm: 60)),
    (id: 4, panel: \"sheet\", kind: through_crack, place: On(600, 700), shape: Line(length_mm: 80)),
    (id: 5, panel: \"sheet\", kind: hole, shape: Traced(closed: true, points: [On(900, 400), On(950, 400), On(950, 460)])),
    (id: 6, panel: \"sheet\", kind: chip, depth: gel, place: On(900, 700), shape: Spot(diameter_mm: 9),
     now: Repaired(by: \"a yard\", date: \"June\"))";

#[test]
fn every_fault_of_a_find_is_named_with_its_field() {
    let rows = [
        ("mark: 7, length_mm: 90", "READ-NAME-UNKNOWN", "found[0].mark"),
        ("mark: 1", "READ-FOUND-SIZE", "found[0]"),
        ("mark: 1, length_mm: 90, beyond_mm: (5, 5)", "READ-FOUND-SIZE", "found[0]"),
        ("mark: 1, length_mm: NaN", "READ-NUMBER", "found[0].length_mm"),
        ("mark: 1, length_mm: 9000", "READ-RANGE", "found[0].length_mm"),
        ("mark: 1, beyond_mm: (-5, 5)", "READ-RANGE", "found[0].beyond_mm[0]"),
        ("mark: 1, length_mm: 90, width_mm: 9", "READ-SHAPE", "found[0].width_mm"),
        ("mark: 1, area_m2: 0.01", "READ-SHAPE", "found[0].area_m2"),
        ("mark: 2, beyond_mm: (5, 5)", "READ-FOUND-SIZE", "found[0].beyond_mm"),
        ("mark: 3, length_mm: 90", "READ-FOUND-SIZE", "found[0]"),
        ("mark: 3, area_m2: 0.01, length_mm: 90, width_mm: 70", "READ-FOUND-SIZE", "found[0]"),
        ("mark: 3, area_m2: 90", "READ-RANGE", "found[0].area_m2"),
        ("mark: 3, area_m2: 0.01, back_length_mm: 30", "READ-SHAPE", "found[0].back_length_mm"),
        ("mark: 4, length_mm: 90, through: no", "READ-CONTRADICTION", "found[0].through"),
        ("mark: 4, length_mm: 90, depth: gel", "READ-DEPTH", "found[0].depth"),
        ("mark: 1, length_mm: 90, through: yes, depth: gel", "READ-DEPTH", "found[0].depth"),
        ("mark: 1, length_mm: 90, depth: Glass(4.5)", "READ-DEPTH", "found[0].depth[0]"),
        ("mark: 5, length_mm: 60, width_mm: 60", "READ-SHAPE", "found[0].length_mm"),
        ("mark: 6, area_m2: 0.0001", "READ-CONTRADICTION", "found[0].mark"),
        ("mark: 1, length_mm: 90, width: 3", "READ-FIELD-UNKNOWN", "found[0].width"),
    ];
    for (found, code, field) in rows {
        let texts = texts(SKIN, MARKS, &format!("({found}, {BY})"));
        let faults = read(&texts).err().unwrap_or_else(|| panic!("{found} was taken"));
        let told = faults.iter().any(|one| one.code == code && one.field == field);
        assert!(told, "{found}: {faults:#?}");
        assert!(faults.iter().all(|one| one.file == "found.ron" && one.place.is_some()), "{found}");
        assert!(plymend::read::codes::explained(code).is_some());
    }
}

#[test]
fn who_and_when_are_asked_for_and_a_mark_stands_once() {
    let faults = read(&texts(SKIN, MARKS, "(mark: 1, length_mm: 90)")).unwrap_err();
    let fields: Vec<&str> = faults.iter().map(|one| one.field.as_str()).collect();
    assert_eq!(fields, ["found[0].by", "found[0].date"]);
    let twice = format!("(mark: 1, length_mm: 90, {BY}), (mark: 1, length_mm: 95, {BY})");
    let faults = read(&texts(SKIN, MARKS, &twice)).unwrap_err();
    assert_eq!(faults[0].code, "READ-NAME-TWICE");
    assert_eq!(read(&texts(SKIN, MARKS, "")).unwrap_err()[0].code, "READ-NOTHING");
}

#[test]
fn sizes_of_another_survey_are_refused() {
    let mut all = texts(SKIN, MARKS, "");
    all.put(
        "found.ron",
        &format!("(format: 1, survey: \"survey-b.ron\", found: [(mark: 1, length_mm: 90, {BY})])"),
    );
    let faults = read(&all).unwrap_err();
    assert_eq!((faults[0].code, faults[0].field.as_str()), ("READ-OTHER-SURVEY", "survey"));
    // By itself the file is read with the survey that it names, and that one is not there.
    let faults = plymend::read::opened::job(&all, "found.ron").unwrap_err();
    assert_eq!((faults[0].code, faults[0].field.as_str()), ("READ-OPEN", "survey"));
}

#[test]
fn the_same_file_is_taken_whoever_names_it() {
    let all = texts(SKIN, MARKS, &format!("(mark: 1, length_mm: 90, {BY})"));
    let named = whole(&all);
    let alone = plymend::read::opened::job(&all, "found.ron").expect("whole");
    for job in [named, alone] {
        assert_eq!(job.opened.expect("opened").sizes.found[0].mark, 1);
        assert!(job.files_read.iter().any(|file| file == "found.ron"));
    }
}
