//! The seams to the rooms behind `read`.

use plymend::diagnostic::Diagnostic;
use plymend::read::text::Texts;
use plymend::read::{Job, JobPanel};
use plymend::report::imperial::Units;
use plymend::report::{Report, text};
use plymend::rules::Book;
use plymend::safety::table;
use plymend::surface::skin::{self, Skin};
use plymend::surface::{ply, shape_figures};

/// Length of the straight edge that `panel` lays on a skin, mm.
const STRAIGHT_EDGE_MM: f64 = 300.0;

fn built(panel: &JobPanel, texts: &Texts) -> Result<Skin, Vec<Diagnostic>> {
    skin::of(panel).map_err(|faults| {
        faults
            .into_iter()
            .map(|fault| {
                texts.fault(
                    &panel.file,
                    &fault.field,
                    fault.code,
                    fault.problem,
                    fault.accepted,
                    fault.way_out,
                )
            })
            .collect()
    })
}

/// Faults of the skins themselves, found by building them.
pub(super) fn skins(panels: &[JobPanel], texts: &Texts) -> Vec<Diagnostic> {
    panels.iter().filter_map(|panel| built(panel, texts).err()).flatten().collect()
}

/// Faults of the places of a job's marks, found by laying them on the skins.
pub(super) fn places(job: &Job) -> Vec<Diagnostic> {
    match plymend::skins(job) {
        Ok(panels) => plymend::place(job, &panels).err().unwrap_or_default(),
        Err(faults) => faults,
    }
}

/// What `panel` prints.
pub(super) fn panel(panel: &JobPanel, texts: &Texts) -> Result<String, Vec<Diagnostic>> {
    let skin = built(panel, texts)?;
    let mesh = &skin.mesh;
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for place in &mesh.grid {
        low = [low[0].min(place.x), low[1].min(place.y)];
        high = [high[0].max(place.x), high[1].max(place.y)];
    }
    let mut text = format!(
        "{}\n  grid: u {:.0} to {:.0} mm, v {:.0} to {:.0} mm, turned edges included\n",
        panel.name, low[0], high[0], low[1], high[1]
    );
    let square_metres = |area_mm2: f64| area_mm2 * 1e-6;
    text.push_str(&format!(
        "  outer side: {:.3} m², {:.3} m² with openings filled\n",
        square_metres(skin.face_area_mm2(false)),
        square_metres(skin.face_area_mm2(true))
    ));
    for (number, region) in panel.panel.regions.iter().enumerate() {
        let number = u16::try_from(number).ok();
        let area = mesh.area_mm2(|tag| tag.region == number && tag.opening.is_none());
        text.push_str(&format!("  region {}: {:.3} m²\n", region.name, square_metres(area)));
    }
    text.push_str(&format!(
        "  integral of |curvature|: {:.3} (0 is a sheet that unrolls flat)\n",
        shape_figures::curvature_integral(mesh)
    ));
    text.push_str(&format!(
        "  largest gap under a {STRAIGHT_EDGE_MM:.0} mm straight edge: {:.1} mm\n",
        shape_figures::largest_gap_mm(mesh, STRAIGHT_EDGE_MM)
    ));
    text.push_str(&format!("  mesh: {} triangles\n", mesh.faces.len()));
    for (what, names) in [
        (
            "landmarks",
            panel.panel.landmarks.iter().map(|one| (&one.name, one.at)).collect::<Vec<_>>(),
        ),
        ("fixings", panel.listed_fixings().iter().map(|one| (&one.name, one.at)).collect()),
    ] {
        for (name, at) in names {
            let (_, miss_mm) = skin.nearest(&at);
            let off = if at.on_grid().is_none() {
                format!(", {miss_mm:.1} mm off the scan")
            } else {
                String::new()
            };
            text.push_str(&format!("  {what}: {name} at {at}{off}\n"));
        }
    }
    for note in &skin.notes {
        text.push_str(&format!("  {note}\n"));
    }
    for assumption in &panel.assumptions {
        text.push_str(&format!("  {assumption}\n"));
    }
    Ok(text)
}

/// The mesh as PLY text.
pub(super) fn mesh(panel: &JobPanel, texts: &Texts) -> Result<String, Vec<Diagnostic>> {
    Ok(ply::to_ply(&built(panel, texts)?.mesh))
}

/// What `assess` prints.
pub(super) fn assessed(report: &Report, units: &Units) -> String {
    let report = Report { answers: "assess", ..report.clone() };
    text::full_in(&report, text::Wide::Usual, units)
}

/// A caution by its code, at length.
pub(super) fn caution(code: &str) -> Option<String> {
    let row = table::find(code)?;
    let book = Book::built_in();
    let blocks: Vec<String> =
        row.steps().iter().map(|step| format!("blocks: {}\n", step.step)).collect();
    Some(format!(
        "{}: {}\n\n{}\n{}\n{}\n\nevidence: {}\nsource: {}\n",
        row.code,
        row.title,
        textwrap::fill(&format!("raised when: {}", row.raised_when.words(&book)), 78),
        blocks.concat(),
        textwrap::fill(&row.reason, 78),
        row.evidence,
        row.source
    ))
}

/// Codes of all cautions with their titles.
pub(super) fn cautions() -> Vec<(String, String)> {
    table::cautions().iter().map(|row| (row.code.clone(), row.title.clone())).collect()
}
