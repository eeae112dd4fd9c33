//! Full-size sheets of whole jobs: what has one, what never has, what every page says.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use plymend::buy::full_size::{LineKind, Sheet, Shows};
use plymend::model::survey::Side;
use plymend::quantity::Case;
use plymend::read::job::{Named, TextFolder, job};
use plymend::report::full_size::{Paper, PatternBook, drawings, printed};

const LAMINATE: &str = "laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [skin],
    back: reached";
const HINGE: &str =
    "fixings: Listed([(name: \"hinge\", at: (1100, 700), carries: hinge, state: sound)])";
const HOLE: &str = "(id: 1, panel: \"sheet\", kind: hole, edges_move: no, place: On(400, 300),
    cause: Closed(what: \"a kerb\"), shape: Patch(length_mm: 120, width_mm: 60, angle_deg: 15))";
const REFERRED: &str = "(id: 2, panel: \"sheet\", kind: hole, place: On(1080, 660),
    shape: Patch(length_mm: 60, width_mm: 60))";
const PAINT: &str = "(id: 3, panel: \"sheet\", kind: blisters, layer: paint, depth: paint,
    place: On(150, 650), shape: Patch(length_mm: 80, width_mm: 60))";

fn book_of(panel: &str, marks: &[&str], case: Case) -> PatternBook {
    book_by(panel, marks, case, "")
}

/// With habits of a shop.
fn book_by(panel: &str, marks: &[&str], case: Case, habits: &str) -> PatternBook {
    let shop = format!(
        "(format: 1, day_c: 20, night_c: 20, humidity_percent: 55, place: own_building, room_m3: 300,
          air_changes_per_h: 6, worker: trade, {habits})"
    );
    let survey = format!(
        "(format: 1, shop: \"shop.ron\", air_c: 20, humidity_percent: 55, topcoat: brush_enamel, underseal: none_there,
          old_paint: Clear(by: \"a laboratory\", date: \"May\"),
          panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [{}])",
        marks.join(",\n")
    );
    let folder = TextFolder::from([
        ("survey.ron", survey.as_str()),
        ("sheet.ron", panel),
        ("shop.ron", shop.as_str()),
    ]);
    let job = job(&folder, "survey.ron", &Named::default())
        .unwrap_or_else(|faults| panic!("{faults:#?}"));
    plymend::patterns(&job, case).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn flat(name: &str, landmarks: &str) -> String {
    format!(
        "(format: 1, name: {name:?}, surface: Flat(length_mm: 1200, width_mm: 800), {LAMINATE}, {HINGE},
          landmarks: [{landmarks}])"
    )
}

fn usual(marks: &[&str]) -> PatternBook {
    let bolts = "(name: \"lower bolt\", at: (250, 200)), (name: \"upper bolt\", at: (300, 480))";
    book_of(&flat("sheet", bolts), marks, Case::Likely)
}

fn of(book: &PatternBook, side: Side) -> Vec<&Sheet> {
    book.sheets.sheets.iter().filter(|sheet| sheet.side == side).collect()
}

/// Pages of a file whose drawn text holds these words; text is not packed.
fn pages_with(pdf: &[u8], words: &str) -> usize {
    let wanted = words.as_bytes();
    let streams = pdf.split(|byte| *byte == b'\n').collect::<Vec<_>>().join(&b'\n');
    let mut count = 0;
    for page in split(&streams, b"endstream") {
        count += usize::from(page.windows(wanted.len()).any(|part| part == wanted));
    }
    count
}

fn split<'a>(bytes: &'a [u8], at: &[u8]) -> Vec<&'a [u8]> {
    let mut parts = Vec::new();
    let mut from = 0;
    for here in 0..bytes.len().saturating_sub(at.len()) {
        if &bytes[here..here + at.len()] == at {
            parts.push(&bytes[from..here]);
            from = here + at.len();
        }
    }
    parts
}

#[test]
fn every_ply_and_every_removal_has_a_sheet_and_a_referred_mark_has_none() {
    let book = usual(&[HOLE, REFERRED, PAINT]);
    assert!(book.sheets.sheets.iter().all(|sheet| sheet.marks == [1]), "only the hole is drawn");
    assert!(book.left_out.iter().any(|text| text.starts_with("mark 2: ")), "{:?}", book.left_out);
    let names: Vec<String> = book.sheets.without.iter().map(|(name, _)| name.clone()).collect();
    assert_eq!(names.len(), 1, "the paint job is named as having none");
    let outer = of(&book, Side::Outer);
    let plies = outer.iter().filter(|sheet| sheet.shows != Shows::Removal).count();
    assert_eq!((outer.len(), plies), (4, 3), "3 mm of glass is three plies of the generic stock");
    let back = of(&book, Side::Back);
    assert_eq!(back.len(), 2, "the hole behind, and its backing");
    for sheet in &book.sheets.sheets {
        let has = |kind| sheet.lines.iter().any(|line| line.kind == kind);
        assert!(has(LineKind::Removal), "{:?} has no removal", sheet.shows);
        assert_eq!(has(LineKind::Cut), sheet.shows != Shows::Removal);
        assert_eq!(has(LineKind::Ground), sheet.shows == Shows::Removal);
        assert!(sheet.crosses.iter().all(|cross| cross.tapes.len() == 2));
    }
}

/// Closed form: on a flat sheet tapes are straight lines, and paper and tape are one.
#[test]
fn crosses_and_landmarks_lie_where_straight_tapes_meet() {
    let book = usual(&[HOLE]);
    for sheet in &book.sheets.sheets {
        assert_eq!(sheet.landmarks.len(), 2);
        assert!(sheet.crosses_off_mm < 0.01 && sheet.landmarks.iter().all(|one| one.off_mm < 0.01));
        let place =
            |name: &str| sheet.landmarks.iter().find(|one| one.name == name).expect(name).at_mm;
        let apart = (place("lower bolt") - place("upper bolt")).norm();
        assert!((apart - 50.0_f64.hypot(280.0)).abs() < 0.02, "{apart}");
        let mark = sheet.crosses.iter().find(|cross| cross.name == "mark 1").expect("the mark");
        for tape in &mark.tapes {
            let drawn = (mark.at_mm - place(&tape.landmark)).norm();
            let (u, v) =
                if tape.landmark == "lower bolt" { (150.0, 100.0) } else { (100.0, -180.0) };
            let straight = f64::hypot(u, v);
            assert!((tape.mm - straight).abs() < 0.02 && (drawn - straight).abs() < 0.02);
        }
        // Up is up on both sides; behind, what lies towards the larger u is on the left.
        let (low, up) = (place("lower bolt"), place("upper bolt"));
        assert!(up.y > low.y);
        assert_eq!(mark.at_mm.x > low.x, sheet.side == Side::Outer);
    }
}

#[test]
fn a_ply_that_ends_at_the_edge_of_its_panel_is_trimmed_there() {
    let bolts = "(name: \"bolt\", at: (250, 200)), (name: \"other bolt\", at: (300, 480))";
    let at_edge = "(id: 1, panel: \"sheet\", kind: hole, edges_move: no, place: On(400, 40),
        cause: Closed(what: \"a kerb\"), shape: Patch(length_mm: 120, width_mm: 60))";
    let book = book_of(&flat("sheet", bolts), &[at_edge], Case::Likely);
    let plies: Vec<&Sheet> =
        book.sheets.sheets.iter().filter(|sheet| sheet.shows != Shows::Removal).collect();
    assert!(!plies.is_empty());
    for ply in plies {
        let trim: Vec<_> = ply.lines.iter().filter(|line| line.kind == LineKind::Trim).collect();
        assert!(!trim.is_empty(), "the edge of the panel is not marked");
        // The edge is straight and level.
        for line in trim {
            let level = line.points_mm[0].y;
            assert!(line.points_mm.iter().all(|point| (point.y - level).abs() < 0.05));
        }
    }
}

#[test]
fn a_turned_corner_draws_no_landmark_that_paper_and_tape_disagree_on() {
    let panel = format!(
        "(format: 1, name: \"sheet\", surface: Moulding(kind: roof, length_mm: 900, width_mm: 900,
          crown_along_mm: 30, crown_across_mm: 30, edge_return_mm: 60, return_radius_mm: 25,
          corner_radius_mm: 80), {LAMINATE}, fixings: none_seen,
          landmarks: [(name: \"near\", at: (300, -50)), (name: \"far\", at: (-50, 300))])"
    );
    let wide = "(id: 1, panel: \"sheet\", kind: hole, edges_move: no, place: On(90, 90),
        cause: Closed(what: \"a kerb\"), shape: Patch(length_mm: 160, width_mm: 160))";
    let book = book_of(&panel, &[wide], Case::High);
    let mut left_off = 0;
    for sheet in &book.sheets.sheets {
        assert!(sheet.landmarks.iter().all(|one| one.off_mm <= 3.0));
        assert!(sheet.off_the_paper.iter().all(|(_, off_mm)| *off_mm > 3.0));
        left_off += sheet.off_the_paper.len();
        for one in &sheet.landmarks {
            for cross in &sheet.crosses {
                let tape =
                    cross.tapes.iter().find(|tape| tape.landmark == one.name).expect("a tape");
                assert!(((cross.at_mm - one.at_mm).norm() - tape.mm).abs() <= 3.0);
            }
        }
    }
    assert!(left_off > 0, "a corner turned both ways has a landmark that no paper can hold");
}

#[test]
fn every_page_says_what_stops_and_what_is_left_out() {
    let panel = format!(
        "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1200, width_mm: 800),
          laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [opens], back: reached,
          {HINGE}, landmarks: [(name: \"bolt\", at: (250, 200)), (name: \"other bolt\", at: (300, 480))])"
    );
    let book = book_of(&panel, &[HOLE, REFERRED], Case::Likely);
    assert!(!book.stops.is_empty());
    for paper in [Paper::A4, Paper::A3, Paper::Letter] {
        let file = printed(&book, paper);
        assert!(file.pages > 3);
        for words in ["STOP: do not drive", "mark 2: referred", "100 mm by your own rule?"] {
            assert_eq!(pages_with(&file.pdf, words), file.pages, "{words} on {paper:?}");
        }
        assert_eq!(file.pdf, printed(&book, paper).pdf, "the same input, other bytes");
        for words in ["Goes to a specialist, and has no sheet", "What nobody could see"] {
            assert_eq!(pages_with(&file.pdf, words), 1, "{words}");
        }
    }
    for (name, text) in drawings(&book) {
        assert!(text.contains("STOP: do not drive") && text.contains("mark 2: referred"), "{name}");
    }
}

#[test]
fn more_stops_than_a_head_holds_send_every_page_to_the_first_ones() {
    let mut book = usual(&[HOLE]);
    // As many as half a page holds in smaller print stay whole on every page.
    book.stops = (0..45).map(|n| format!("do not use thing {n} (mark {n})")).collect();
    let file = printed(&book, Paper::A4);
    for words in ["do not use thing 0 ", "do not use thing 44 "] {
        assert_eq!(pages_with(&file.pdf, words), file.pages);
    }
    book.stops = (0..90).map(|n| format!("do not use thing {n} (mark {n})")).collect();
    let file = printed(&book, Paper::A4);
    assert_eq!(pages_with(&file.pdf, "STOP: 90 things must not be done"), file.pages);
    assert!(pages_with(&file.pdf, "do not use thing 89") == 1, "the whole list is there once");
}

#[test]
fn what_a_user_wrote_is_text_on_paper_and_nothing_else() {
    let bolts =
        "(name: \"</text><script>bolt\", at: (250, 200)), (name: \"Łata bolt\", at: (300, 480))";
    let book = book_of(&flat("sheet", bolts), &[HOLE], Case::Likely);
    let sheets = drawings(&book).into_iter().filter(|(name, _)| name.starts_with('R'));
    for (name, text) in sheets {
        assert!(!text.contains("<script"), "{name}");
        assert!(text.contains("&lt;script&gt;bolt"), "{name}");
    }
    let file = printed(&book, Paper::A4);
    assert!(pages_with(&file.pdf, "[U+0141]") > 0, "a letter was dropped without a word");
}

#[test]
fn a_job_without_repairs_has_a_page_that_says_so() {
    let book = usual(&[REFERRED]);
    let file = printed(&book, Paper::A4);
    assert_eq!(file.pages, 1);
    assert!(file.list.contains("none: no repair takes anything down or lays glass"));
}

#[test]
fn a_larger_case_never_has_a_smaller_sheet() {
    let area = |case| -> Vec<f64> {
        let bolts = "(name: \"bolt\", at: (250, 200)), (name: \"other bolt\", at: (300, 480))";
        let book = book_of(&flat("sheet", bolts), &[HOLE], case);
        book.sheets.sheets.iter().map(|sheet| sheet.flat_m2).collect()
    };
    let (low, likely, high) = (area(Case::Low), area(Case::Likely), area(Case::High));
    assert_eq!((low.len(), high.len()), (likely.len(), likely.len()));
    for number in 0..low.len() {
        assert!(low[number] < likely[number] && likely[number] < high[number]);
    }
}

/// The largest first turns the plies of the removal about and leaves the backing where it is.
#[test]
fn sheets_say_in_which_order_this_shop_lays_its_plies() {
    let bolts = "(name: \"bolt\", at: (250, 200)), (name: \"other bolt\", at: (300, 480))";
    let laid = |habits: &str| -> Vec<(usize, usize)> {
        let book = book_by(&flat("sheet", bolts), &[HOLE], Case::Likely, habits);
        let of = |sheet: &Sheet| match &sheet.shows {
            Shows::Ply { number, on_side, .. } => Some((*number, *on_side)),
            Shows::Removal => None,
        };
        book.sheets.sheets.iter().filter_map(of).collect()
    };
    assert_eq!(laid(""), [(1, 1), (2, 2), (3, 3), (4, 1)]);
    assert_eq!(laid("habits: (ply_order: largest_first)"), [(1, 3), (2, 2), (3, 1), (4, 1)]);
}
