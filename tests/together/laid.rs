//! A skin that is meshed once and used for many panels of the same form.

use plymend::model::panel::PanelPlace;
use plymend::read::job::{Job, JobPanel};
use plymend::rules::id;
use plymend::surface::mesh::Mesh;
use plymend::surface::placed::{PlacedFixing, PlacedPanel, point};

fn on_grid(place: &PanelPlace) -> nalgebra::Point2<f64> {
    point(place.on_grid().expect("these panels are no scans"))
}

/// The panel with a mesh of its form; its own fixings and landmarks are found on it. The form may
/// have neither openings nor strips.
pub(crate) fn laid<'j>(job: &Job, of: &'j JobPanel, mesh: &Mesh) -> PlacedPanel<'j> {
    let panel = &of.panel;
    assert!(panel.openings.is_empty() && panel.strips.is_empty());
    let fixings = of.listed_fixings().iter().map(|fixing| PlacedFixing {
        of: fixing,
        at: mesh.nearest(on_grid(&fixing.at)).0,
        radius_mm: fixing
            .footprint_radius_mm
            .map_or_else(|| job.book.figure(id::FOOTPRINT), |radius| radius.value()),
    });
    let landmarks = panel
        .landmarks
        .iter()
        .map(|landmark| (landmark.name.as_str(), mesh.nearest(on_grid(&landmark.at)).0));
    let all = vec![true; mesh.faces.len()];
    PlacedPanel {
        of,
        mesh: mesh.clone(),
        filled: all.clone(),
        open: all.clone(),
        back: all,
        landmarks: landmarks.collect(),
        fixings: fixings.collect(),
        notes: Vec::new(),
        alone: None,
        over: Vec::new(),
        host: None,
    }
}
