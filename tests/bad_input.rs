//! What the program does with files that are wrong: every fault named with its place, the right
//! exit code, nothing on the standard output and nothing written.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_plymend"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("NO_COLOR")
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A folder with these files.
fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

/// What `check` says of a survey, with its exit code; `estimate` has to refuse it in the same
/// words and write nothing.
fn told(files: &[(&str, &str)]) -> String {
    let folder = folder(files);
    let check = run(folder.path(), &["check", "survey.ron"]);
    let estimate = run(folder.path(), &["estimate", "survey.ron", "-o", "answer.txt"]);
    assert_eq!(code(&estimate), 2);
    assert_eq!(text(&estimate.stdout), "");
    assert_eq!(text(&estimate.stderr), text(&check.stderr));
    let mut there: Vec<String> = fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    let mut given: Vec<String> = files.iter().map(|(name, _)| (*name).to_owned()).collect();
    there.sort();
    given.sort();
    assert_eq!(there, given, "something was written");
    format!("exit {}\n{}", code(&check), text(&check.stderr))
}

/// Keeps what is told of a survey.
macro_rules! kept {
    ($name:literal, $survey:expr) => {
        let survey: String = $survey;
        insta::assert_snapshot!($name, told(&[("survey.ron", &survey)]));
    };
}

/// A survey with one mark on a lid.
fn survey(mark: &str) -> String {
    format!(
        "(\n  format: 1,\n  panels: [(name: \"lid\", generic: \"lid\")],\n  marks: [\n    \
         (id: 1, panel: \"lid\", {mark}),\n  ],\n)\n"
    )
}

const CHIP: &str = "kind: chip, place: On(200, 200), shape: Spot(diameter_mm: 9)";

#[test]
fn faults_of_shape() {
    kept!("unknown_field", survey(&format!("{CHIP}, deepth: gel")));
    kept!("unknown_word", survey(&CHIP.replace("chip", "chipp")));
    kept!("missing_field", survey("place: On(200, 200)"));
    kept!("wrong_kind", survey(&CHIP.replace(": 9", ": \"9 mm\"")));
    kept!("cut_short", "(\n  format: 1,\n  marks: [\n".to_owned());
    kept!("empty", String::new());
    kept!("newer", "(format: 7, wonders: true)".to_owned());
    kept!("nested", format!("(format: 1, note: {}", "[".repeat(500_000)));
    kept!("foreign_field", "(format: 1, colour: \"red\", marks: 0)".to_owned());
}

#[test]
fn a_file_of_no_kind() {
    let folder = folder(&[("list.ron", "(format: 1, colour: \"red\")")]);
    let output = run(folder.path(), &["check", "list.ron"]);
    assert_eq!(code(&output), 1);
    assert_eq!(text(&output.stdout), "list.ron: not read, 1 fault\n");
    insta::assert_snapshot!("no_kind", text(&output.stderr));
}

#[test]
fn a_thousand_faults_are_listed_and_no_more() {
    let marks: Vec<String> = (0..1100)
        .map(|id| format!("(id: {id}, panel: \"lid\", {CHIP}),").replace(": 9", ": 0"))
        .collect();
    let survey = format!(
        "(format: 1, panels: [(name: \"lid\", generic: \"lid\")], marks: [{}])",
        marks.concat()
    );
    let told = told(&[("survey.ron", &survey)]);
    assert!(told.contains("READ-MANY"));
    assert!(told.contains("1001 faults in 1 file"));
}

#[test]
fn faults_of_value() {
    kept!("not_a_number", survey(&CHIP.replace(": 9", ": NaN")));
    kept!("without_limit", survey(&CHIP.replace(": 9", ": inf")));
    kept!("negative", survey(&CHIP.replace(": 9", ": -12")));
    kept!("absurd", survey(&CHIP.replace(": 9", ": 90000")));
    kept!("unmeasured", survey("kind: chip, place: On(200, 200)"));
}

#[test]
fn faults_of_reference() {
    let mark = survey(CHIP);
    kept!("unknown_panel", mark.replace("panel: \"lid\"", "panel: \"lit\""));
    kept!("unknown_generic", mark.replace("generic: \"lid\"", "generic: \"lidd\""));
    kept!(
        "unknown_resin",
        mark.replace("format: 1,", "format: 1,\n  resin: \"general purpose polyester resin\",")
    );
    kept!("missing_file", "(format: 1,\n  shop: \"shed.ron\")".to_owned());
    // On a panel of its own, so that no generic moulding's names stand in the answer.
    let panel = "(format: 1, name: \"flap\", surface: Flat(length_mm: 500, width_mm: 400), \
                 landmarks: [(name: \"front corner\", at: (0, 0)), (name: \"rear corner\", at: (500, 0))])";
    let taped = "(\n  format: 1,\n  panels: [(name: \"flap\", file: \"flap.ron\")],\n  marks: [\n    \
                 (id: 1, panel: \"flap\", kind: chip, shape: Spot(diameter_mm: 9),\n     \
                 place: Taped(a: (\"frnt corner\", 300), b: (\"rear corner\", 400))),\n  ],\n)\n";
    insta::assert_snapshot!(
        "unknown_landmark",
        told(&[("survey.ron", taped), ("flap.ron", panel)])
    );
}

#[test]
fn faults_of_the_skin_and_of_places_on_it() {
    let on = |panel: &str, place: &str| {
        let survey = format!(
            "(\n  format: 1,\n  panels: [(name: \"flap\", file: \"flap.ron\")],\n  marks: [\n    \
             (id: 1, panel: \"flap\", kind: chip, shape: Spot(diameter_mm: 9),\n     place: {place}),\n  \
             ],\n)\n"
        );
        told(&[("survey.ron", &survey), ("flap.ron", panel)])
    };
    let flat = "(\n  format: 1,\n  name: \"flap\",\n  surface: Flat(length_mm: 500, width_mm: 400),\n  \
                landmarks: [(name: \"front\", at: (100, 200)), (name: \"rear\", at: (400, 200))],\n)\n";
    let tapes = |a: u32, b: u32| format!("Taped(a: (\"front\", {a}), b: (\"rear\", {b}))");
    insta::assert_snapshot!("tapes_that_cannot_meet", on(flat, &tapes(60, 80)));
    insta::assert_snapshot!("two_places", on(flat, &tapes(180, 180)));
    insta::assert_snapshot!("off_the_panel", on(flat, "On(620, 100)"));
    let crossed = flat.replace(
        "  landmarks",
        "  outline: [(0, 0), (500, 0), (0, 400), (500, 400)],\n  landmarks",
    );
    insta::assert_snapshot!("self_crossing_outline", on(&crossed, "On(250, 100)"));
    let folding = "(\n  format: 1,\n  name: \"flap\",\n  surface: Sections(sections: [\n    \
                   (at_mm: 0, points: [(0, 0), (10, 200), (0, 400)]),\n    \
                   (at_mm: 200, points: [(0, 400), (10, 200), (0, 0)]),\n    \
                   (at_mm: 400, points: [(0, 0), (10, 200), (0, 400)]),\n  ]),\n)\n";
    insta::assert_snapshot!("folding_sections", on(folding, "On(200, 100)"));
}

#[test]
fn faults_of_two_files_come_together() {
    insta::assert_snapshot!(
        "two_files",
        told(&[
            ("survey.ron", "(\n  format: 1,\n  air_c: 160,\n  shop: \"shop.ron\",\n)"),
            ("shop.ron", "(\n  format: 1,\n  day_c: 18,\n  night_c: 12,\n  people: 0,\n)"),
        ])
    );
}

/// What `check FILE` says when the file itself cannot be read: 2, nothing on standard output.
fn unreadable(folder: &Path, file: &str) -> String {
    let output = run(folder, &["check", file]);
    assert_eq!(code(&output), 2);
    assert_eq!(text(&output.stdout), "");
    text(&output.stderr)
}

#[test]
fn files_that_are_no_texts() {
    let folder = folder(&[("inside/survey.ron", "(format: 1)")]);
    let path = folder.path();
    fs::write(path.join("picture.ron"), [0x89, b'P', b'N', b'G', 0xff, 0xfe]).unwrap();
    fs::write(path.join("zero.ron"), b"(format: 1)\0\0").unwrap();
    let large = fs::File::create(path.join("large.ron")).unwrap();
    large.set_len(8 * 1024 * 1024 + 1).unwrap();
    for name in ["picture.ron", "zero.ron", "large.ron", "inside", "missing.ron"] {
        let kept = format!("no_text_{}", name.replace('.', "_"));
        insta::assert_snapshot!(kept, unreadable(path, name));
    }
}

#[cfg(unix)]
#[test]
fn pipes_and_devices_are_refused_without_waiting() {
    let folder = folder(&[]);
    let made = Command::new("mkfifo").arg(folder.path().join("pipe.ron")).status().unwrap();
    assert!(made.success());
    insta::assert_snapshot!("pipe", unreadable(folder.path(), "pipe.ron"));
    insta::assert_snapshot!("device", unreadable(folder.path(), "/dev/zero"));
}

#[cfg(unix)]
#[test]
fn a_file_that_may_not_be_read() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder(&[("survey.ron", "(format: 1)")]);
    let path = folder.path().join("survey.ron");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o000)).unwrap();
    // Whoever may read everything cannot be refused; then there is nothing to test here.
    if fs::read(&path).is_err() {
        assert!(unreadable(folder.path(), "survey.ron").contains("READ-OPEN"));
    }
}

#[test]
fn an_unreadable_file_outweighs_a_faulty_one() {
    let folder = folder(&[
        ("survey.ron", "(format: 1, air_c: 900)"),
        ("good.ron", "(format: 1, day_c: 20, night_c: 15)"),
    ]);
    let both = run(folder.path(), &["check", "survey.ron", "missing.ron", "good.ron"]);
    assert_eq!(code(&both), 2);
    assert_eq!(text(&both.stdout), "");
    assert!(text(&both.stderr).contains("2 faults in 2 files"));
    let faulty = run(folder.path(), &["check", "survey.ron", "good.ron"]);
    assert_eq!(code(&faulty), 1);
    assert_eq!(text(&faulty.stdout), "survey.ron: survey, 1 fault\ngood.ron: shop, no fault\n");
    assert_eq!(code(&run(folder.path(), &["check", "good.ron"])), 0);
}

#[test]
fn files_outside_the_folder_are_refused() {
    let shop = "(format: 1, day_c: 20, night_c: 15)";
    let folder = folder(&[
        ("shop.ron", shop),
        ("job/survey.ron", "(format: 1,\n  marks: [],\n  shop: \"../shop.ron\")"),
        ("job/parts/shop.ron", shop),
        ("job/below.ron", "(format: 1, marks: [], shop: \"parts/../parts/shop.ron\")"),
    ]);
    let path = folder.path();
    let up = run(path, &["check", "job/survey.ron"]);
    insta::assert_snapshot!("outside", format!("exit {}\n{}", code(&up), text(&up.stderr)));
    assert_eq!(code(&run(path, &["check", "job/below.ron"])), 0);
    // What the user types may lie anywhere.
    let typed = run(path, &["estimate", "job/survey.ron", "--shop", "shop.ron"]);
    assert_eq!(code(&typed), 0, "{}", text(&typed.stderr));
    let whole = path.join("shop.ron");
    let absolute = format!("(format: 1, marks: [], shop: {:?})", whole.to_str().unwrap());
    fs::write(path.join("job/survey.ron"), absolute).unwrap();
    let output = run(path, &["check", "job/survey.ron"]);
    assert_eq!(code(&output), 1);
    assert!(text(&output.stderr).contains("READ-OUTSIDE"));
}

#[cfg(unix)]
#[test]
fn links_are_followed_before_it_is_decided() {
    let shop = "(format: 1, day_c: 20, night_c: 15)";
    let folder = folder(&[
        ("shop.ron", shop),
        ("job/real.ron", shop),
        ("job/out.ron", "(format: 1, marks: [], shop: \"link.ron\")"),
        ("job/in.ron", "(format: 1, marks: [], shop: \"inner.ron\")"),
    ]);
    let path = folder.path();
    std::os::unix::fs::symlink("../shop.ron", path.join("job/link.ron")).unwrap();
    std::os::unix::fs::symlink("real.ron", path.join("job/inner.ron")).unwrap();
    let out = run(path, &["check", "job/out.ron"]);
    assert_eq!(code(&out), 1);
    assert!(text(&out.stderr).contains("READ-OUTSIDE"));
    assert_eq!(code(&run(path, &["check", "job/in.ron"])), 0);
}
