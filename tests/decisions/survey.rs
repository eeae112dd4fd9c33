//! Asks the crate: one flat sheet and one small square mark a cell, many sheets a survey.

use std::fmt::Write as _;

use plymend::Answer;
use plymend::damage::{clearance, referral};
use plymend::quantity::Case;
use plymend::read::job::{Job, Named, TextFolder, job};
use plymend::report::model::Report;
use plymend::surface::mesh::Mesh;

use super::cells::{Cell, Distance, Layer};
use super::laid::laid;
use super::oracle::{GROWN_MM, RIM_MM, SIDE_MM};

/// What stands beside the mark or is wanted of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Beside {
    Nothing,
    /// A second mark that is referred, over the first.
    Referred,
    /// The mark itself is only to be watched.
    WatchOnly,
}

/// Where the fixing is on the sheet, mm.
const FIXING: (f64, f64) = (90.0, 200.0);

/// Flat, so that a distance over the skin is a straight line on the grid.
const SHEET: &str = "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1000, width_mm: 400), \
     material: hand_laid_polyester, roles: [skin], fixings: none_seen, back: reached, \
     laminate: (thickness_mm: 1.5))";

/// The middle of a mark whose grown edge is so far from the rim: on the line through the fixing
/// along the sheet, rim + distance + growth + half the mark away.
fn middle(place: Option<Distance>) -> (f64, f64) {
    let from_rim_mm = place.map_or(200.0, |place| place.from_rim_mm);
    (FIXING.0 + RIM_MM + from_rim_mm + GROWN_MM + SIDE_MM / 2.0, FIXING.1)
}

fn fixings(cell: &Cell) -> String {
    cell.fixing.listed.map_or_else(
        || cell.fixing.unlisted.to_owned(),
        |(carries, state)| {
            format!(
                "Listed([(name: \"f\", at: ({}, {}), carries: {carries}, state: {state})])",
                FIXING.0, FIXING.1
            )
        },
    )
}

fn read(cells: &[Cell], beside: Beside) -> Job {
    let (mut panels, mut marks) = (String::new(), String::new());
    for (number, cell) in (1..).zip(cells) {
        let Cell { material, role, .. } = cell;
        let _ = write!(
            panels,
            "(name: \"p{number}\", file: \"sheet.ron\", material: {material}, roles: [{role}], \
             fixings: {}), ",
            fixings(cell)
        );
        let (u, v) = middle(cell.place);
        let square = format!(
            "panel: \"p{number}\", place: On({u}, {v}), \
             shape: Patch(length_mm: {SIDE_MM}, width_mm: {SIDE_MM}, angle_deg: 0)"
        );
        let watch_only = beside == Beside::WatchOnly;
        let _ = write!(
            marks,
            "(id: {number}, {square}, {}, edges_move: no, watch_only: {watch_only}), ",
            cell.layer.mark()
        );
        if beside == Beside::Referred {
            let id = number + cells.len();
            let _ = write!(
                marks,
                "(id: {id}, {square}, kind: crazing, depth: gel, evidence: [distortion]), "
            );
        }
    }
    let survey = format!("(format: 1, topcoat: gel_finish, panels: [{panels}], marks: [{marks}])");
    let texts = TextFolder::from([("survey.ron", survey.as_str()), ("sheet.ron", SHEET)]);
    job(&texts, "survey.ron", &Named::default())
        .unwrap_or_else(|faults| panic!("{survey}\n{faults:#?}"))
}

/// The sheet's skin, which is the same for every cell.
pub(crate) fn skin(cells: &[Cell]) -> Mesh {
    let job = read(&cells[..1], Beside::Nothing);
    let mut panels = plymend::skins(&job).unwrap_or_else(|faults| panic!("{faults:#?}"));
    panels.remove(0).mesh
}

/// What is decided about each cell, in the words of the table.
pub(crate) fn decided(cells: &[Cell], skin: &Mesh, beside: Beside) -> Vec<String> {
    let job = read(cells, beside);
    let panels: Vec<_> = job.panels.iter().map(|panel| laid(&job, panel, skin)).collect();
    let answer = plymend::work(&job, &panels).unwrap_or_else(|faults| panic!("{faults:#?}"));
    (1..).zip(cells).map(|(mark, _)| word(&answer, mark)).collect()
}

/// The same out of the whole report, as a reader of its JSON form finds it.
pub(crate) fn reported(cells: &[Cell]) -> Vec<String> {
    let job = read(cells, Beside::Nothing);
    let report = plymend::estimate(&job).unwrap_or_else(|faults| panic!("{faults:#?}"));
    (1..).zip(cells).map(|(mark, _)| word_of_report(&report, mark)).collect()
}

/// One word a mark; empty when there is none, which no test lets pass.
fn word(answer: &Answer<'_>, mark: u32) -> String {
    let mut found = answer.findings.iter().zip(&answer.plan.decisions);
    let Some((finding, decision)) = found.find(|(finding, _)| finding.mark().id == mark) else {
        return String::new();
    };
    let rule = finding.judged.reasons.first().map_or("", |reason| reason.rule);
    in_table(decision.action.words(), rule, finding.open_cause.is_some())
}

fn word_of_report(report: &Report, mark: u32) -> String {
    let Some(finding) = report.findings.iter().find(|one| one.mark == mark) else {
        return String::new();
    };
    let rule = report.referrals.iter().find(|one| one.mark == Some(mark));
    in_table(
        &finding.action,
        rule.map_or("", |one| one.rule.as_str()),
        finding.causes.iter().any(|cause| cause.open),
    )
}

fn in_table(action: &str, first_rule: &str, open_cause: bool) -> String {
    match action {
        "refer" => first_rule,
        "repair" if open_cause => "repair, cause first",
        action => action,
    }
    .to_owned()
}

/// Distances from the rim to the grown mark as the crate measures them over the skin, mm: at its
/// solved place, and with the error of its place.
pub(crate) fn measured(place: Distance, layer: Layer) -> (f64, f64) {
    let fixing = super::cells::FIXINGS[2];
    let cell =
        Cell { material: "hand_laid_polyester", fixing, place: Some(place), layer, role: "skin" };
    let job = read(&[cell], Beside::Nothing);
    let panels = plymend::skins(&job).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let answer = plymend::work(&job, &panels).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let (panel, finding) = (&panels[0], &answer.findings[0]);
    let grown_mm = finding.extents.cases.get(Case::High).grown_mm;
    assert!((grown_mm - GROWN_MM).abs() < 1e-9, "{layer:?} grows by {grown_mm} mm");
    let near = &panel.fixings[0];
    assert!((near.radius_mm - RIM_MM).abs() < 1e-9);
    let reach_mm = referral::largest_mm(&job.book, near.of.carries) + 200.0;
    let field = clearance::field(panel, near, reach_mm).expect("a field");
    let found =
        clearance::of_mark(&job.book, panel, &finding.placed, &finding.extents, near, &field);
    (found.solved_mm, found.high_mm)
}
