//! What nobody looked at, hatched.

use std::collections::BTreeSet;

use nalgebra::Point2;

use super::Mapped;
use super::content::{Content, is_face};
use super::ground::{OnPanel, bounds};
use super::ink::Pen;
use crate::model::panel::BackAccess;
use crate::model::survey::{NotExamined, Side};
use crate::surface::mesh::MeshPoint;
use crate::surface::placed::PlacedPanel;

/// Lines of a hatching over the larger side of a panel.
const LINES: u32 = 20;
/// Places that are asked about along the larger side.
const STEPS: f64 = 160.0;
/// Words that mean the back where no side is named.
const BEHIND: [&str; 6] = ["behind", "back", "inside", "inner", "under", "underside"];

/// Hatches a panel, and says what about.
pub(super) fn hatch(of: &Mapped<'_, '_>, on: &PlacedPanel<'_>, found: &mut Content) {
    for said in &of.job.survey.not_examined {
        if !is_here(said, on) {
            continue;
        }
        let regions: Vec<u16> = (0_u16..)
            .zip(&on.of.panel.regions)
            .filter(|(_, region)| match &said.region {
                Some(name) => region.name == *name,
                None => said.panel.is_none() && names(&said.what, &region.name),
            })
            .map(|(index, _)| index)
            .collect();
        let side = side_of(said);
        let (pen, where_) = match side {
            Some(Side::Back) => (Pen::UnexaminedBack, " (the back)"),
            Some(Side::Outer) => (Pen::Unexamined, " (the outer side)"),
            None => (Pen::Unexamined, ""),
        };
        let lines = lines(on, &regions, side == Some(Side::Back));
        found.draw(pen, "", OnPanel { lines, whole: false });
        found.says.push(format!("Not examined{where_}: {}: {}.", said.what, said.why));
    }
    if on.of.panel.back != BackAccess::Reached {
        found.says.push(format!("The back: {}.", on.of.panel.back.words()));
    }
}

/// Whether it is said of a panel: by the field, else by all words of its name in the text.
fn is_here(said: &NotExamined, on: &PlacedPanel<'_>) -> bool {
    match &said.panel {
        Some(name) => *name == on.of.name,
        None => names(&said.what, &on.of.name),
    }
}

fn side_of(said: &NotExamined) -> Option<Side> {
    if said.side.is_some() {
        return said.side;
    }
    let of = split(&said.what);
    (said.panel.is_none() && BEHIND.iter().any(|word| of.contains(*word))).then_some(Side::Back)
}

fn names(text: &str, name: &str) -> bool {
    let (text, name) = (split(text), split(name));
    !name.is_empty() && name.is_subset(&text)
}

fn split(text: &str) -> BTreeSet<String> {
    let lower = text.to_lowercase();
    let words = lower.split(|letter: char| !letter.is_alphanumeric());
    words.filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

/// Slanting lines over the face, or over some regions of it; those of the back slant the other way.
fn lines(on: &PlacedPanel<'_>, regions: &[u16], back: bool) -> Vec<Vec<MeshPoint>> {
    let mesh = &on.mesh;
    let here = |place: Point2<f64>| -> Option<MeshPoint> {
        let at = mesh.locate(place).filter(|at| is_face(on, at.face))?;
        let region = mesh.tags.get(at.face as usize)?.region;
        (regions.is_empty() || region.is_some_and(|one| regions.contains(&one))).then_some(at)
    };
    let (low, high) = bounds(&mesh.grid);
    let (wide, tall) = (high.x - low.x, high.y - low.y);
    let (apart, step) = (wide.max(tall) / f64::from(LINES), wide.max(tall) / STEPS);
    let mut lines = Vec::new();
    let rows = ((wide + tall) / apart).ceil();
    let mut row = 0.5;
    while row < rows {
        let start = low.x - tall + row * apart;
        let (mut run, mut along) = (Vec::new(), 0.0);
        while along <= tall {
            let u = start + along;
            let u = if back { low.x + high.x - u } else { u };
            match here(Point2::new(u, low.y + along)) {
                Some(at) => run.push(at),
                None => lines.push(std::mem::take(&mut run)),
            }
            along += step;
        }
        lines.push(run);
        row += 1.0;
    }
    lines.retain(|line| line.len() > 1);
    lines
}
