//! A small job whose every word can be changed.

use std::collections::BTreeSet;

use plymend::read::job::{Named, TextFolder, job};
use plymend::report::model::Report;

/// A text that stands once in the job, and what takes its place.
pub(crate) type Change = (&'static str, &'static str);

/// No mark at all.
pub(crate) const NOTHING: Change = ("marks: [(", "marks: [], note: \"(");

const PANEL: &str = "(format: 1, name: \"side skin\",
    surface: Moulding(kind: sheet, length_mm: 900, width_mm: 700, crown_along_mm: 25, crown_across_mm: 18),
    material: hand_laid_polyester, roles: [skin], fixings: none_seen, back: reached,
    laminate: (thickness_mm: 3.0))";
const SURVEY: &str = "(format: 1, client: \"a reader\", purpose: \"a test\", shop: \"shop.ron\", stock: \"stock.ron\",
    old_paint: none_there, underseal: none_there, topcoat: gel_finish,
    energy: (traction_battery: absent, fuel: absent, pyrotechnic: absent),
    panels: [(name: \"side skin\", file: \"panel.ron\")],
    marks: [(id: 1, panel: 'side skin', kind: crazing, depth: gel, place: On(450, 350),
             shape: Patch(length_mm: 80, width_mm: 60, angle_deg: 0))])";
const SHOP: &str = "(format: 1, day_c: 20, night_c: 20, humidity_percent: 50,
    place: own_building, floor: level, room_m3: 400, fan_m3_h: 8000, outdoor_c: 20,
    acetone_l: 0, worker: trade)";
const STOCK: &str = include_str!("../../panels/stock.ron");

/// The small job with changes in it, as texts.
pub(crate) fn texts(changes: &[Change]) -> [(&'static str, String); 4] {
    let mut texts = [
        ("panel.ron", PANEL.to_owned()),
        ("survey.ron", SURVEY.to_owned()),
        ("shop.ron", SHOP.to_owned()),
        ("stock.ron", STOCK.to_owned()),
    ];
    for (from, to) in changes {
        let found: usize = texts.iter().map(|(_, text)| text.matches(from).count()).sum();
        assert_eq!(found, 1, "{from:?} must stand once in the job");
        for (_, text) in &mut texts {
            *text = text.replace(from, to);
        }
    }
    let survey = &mut texts[1].1;
    // Without marks the rest of the list becomes a note.
    *survey = if survey.contains("note: \"(") {
        survey.replace("angle_deg: 0))])", "\")")
    } else {
        survey.replace('\'', "\"")
    };
    texts
}

/// The small job with changes in it, worked out.
pub(crate) fn worked(changes: &[Change]) -> Report {
    let texts = texts(changes);
    let pairs = texts.each_ref().map(|(name, text)| (*name, text.as_str()));
    let job = job(&TextFolder::from(pairs), "survey.ron", &Named::default())
        .unwrap_or_else(|faults| panic!("{changes:?}: {faults:#?}"));
    plymend::estimate(&job).unwrap_or_else(|faults| panic!("{changes:?}: {faults:#?}"))
}

/// Codes of the cautions that are raised.
pub(crate) fn codes(report: &Report) -> BTreeSet<String> {
    report.cautions.iter().map(|one| one.code.clone()).collect()
}

/// The text of a caution that is raised.
pub(crate) fn text<'r>(report: &'r Report, code: &str) -> &'r str {
    let found = report.cautions.iter().find(|one| one.code == code);
    &found.unwrap_or_else(|| panic!("{code} is not raised")).text
}
