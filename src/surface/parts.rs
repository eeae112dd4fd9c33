//! Openings, regions and strips of a panel: are they whole, and which face belongs to which?
//!
//! Grid mm.

use nalgebra::Point2;

use super::mesh::FaceTag;
use super::ring::{self, Ring};
use super::skin::SkinFault;
use crate::model::GridPlace;
use crate::model::panel::{Panel, PanelPlace};

/// Every outline inside the face.
pub(crate) struct Parts {
    pub(crate) openings: Vec<Ring>,
    pub(crate) regions: Vec<Ring>,
    pub(crate) strips: Vec<Ring>,
}

impl Parts {
    /// Reads them from the panel file.
    ///
    /// # Errors
    /// Every outline that is not whole, and every opening that is not clear.
    pub(crate) fn read(
        panel: &Panel,
        outer: &[Point2<f64>],
        on_grid: &dyn Fn(&str, &PanelPlace) -> Result<GridPlace, SkinFault>,
    ) -> Result<Self, Vec<SkinFault>> {
        let mut faults = Vec::new();
        let mut all = |list: &str, outlines: Vec<&Vec<PanelPlace>>| -> Vec<Ring> {
            let mut rings = Vec::new();
            for (number, corners) in outlines.into_iter().enumerate() {
                let field = format!("{list}[{number}].outline");
                let places: Result<Vec<GridPlace>, SkinFault> = (0..)
                    .zip(corners)
                    .map(|(corner, place)| on_grid(&format!("{field}[{corner}]"), place))
                    .collect();
                // An opening that is a hole of a scan has no outline in the file.
                if corners.is_empty() && list == "openings" {
                    rings.push(Ring::new());
                    continue;
                }
                match places.and_then(|places| ring::read(&field, &places)) {
                    Ok(ring) => rings.push(ring),
                    Err(fault) => faults.push(fault),
                }
            }
            rings
        };
        let parts = Self {
            openings: all("openings", panel.openings.iter().map(|o| &o.outline).collect()),
            regions: all("regions", panel.regions.iter().map(|r| &r.outline).collect()),
            strips: all("strips", panel.strips.iter().map(|s| &s.outline).collect()),
        };
        if faults.is_empty() {
            faults.extend(opening_faults(&parts.openings, outer));
        }
        if faults.is_empty() { Ok(parts) } else { Err(faults) }
    }

    /// The first part named in the file that holds a place.
    pub(crate) fn tag(&self, at: Point2<f64>) -> FaceTag {
        let first = |rings: &[Ring]| {
            rings.iter().position(|r| ring::holds(r, at)).and_then(|n| u16::try_from(n).ok())
        };
        FaceTag {
            opening: first(&self.openings),
            region: first(&self.regions),
            strip: first(&self.strips),
            on_return: false,
        }
    }

    /// A region or strip that no face is part of lies off the face, or under one named before it.
    ///
    /// # Errors
    /// Every region and strip without a face.
    pub(crate) fn check_met(&self, tags: &[FaceTag]) -> Result<(), Vec<SkinFault>> {
        let mut faults = Vec::new();
        let mut look = |list: &str, count: usize, pick: fn(&FaceTag) -> Option<u16>| {
            for number in 0..count {
                if !tags.iter().any(|tag| pick(tag).map(usize::from) == Some(number)) {
                    faults.push(SkinFault::new(
                        format!("{list}[{number}].outline"),
                        "no part of the face belongs to it",
                        "an outline on the face that no earlier one covers",
                        "correct its corners, or strike it out",
                    ));
                }
            }
        };
        look("regions", self.regions.len(), |tag| tag.region);
        look("strips", self.strips.len(), |tag| tag.strip);
        if faults.is_empty() { Ok(()) } else { Err(faults) }
    }
}

fn opening_faults(openings: &[Ring], outer: &[Point2<f64>]) -> Vec<SkinFault> {
    let mut faults = Vec::new();
    let mut fault = |number: usize, problem: String| {
        faults.push(SkinFault::new(
            format!("openings[{number}].outline"),
            problem,
            "an outline that lies wholly on the face and clear of every other opening",
            "correct its corners; a cut-out that runs over the edge belongs in the panel's outline",
        ));
    };
    for (number, ring) in openings.iter().enumerate().filter(|(_, ring)| !ring.is_empty()) {
        if let Some(at) = ring::rings_meeting(ring, outer) {
            fault(number, format!("it meets the panel's edge at ({:.0}, {:.0})", at.x, at.y));
        } else if let Some(at) = ring.iter().find(|p| !ring::holds(outer, **p)) {
            fault(number, format!("({:.0}, {:.0}) lies outside the face", at.x, at.y));
        }
        for (other, earlier) in
            openings.iter().enumerate().take(number).filter(|(_, ring)| !ring.is_empty())
        {
            let inside = |a: &Ring, b: &Ring| a.first().is_some_and(|p| ring::holds(b, *p));
            let meets = ring::rings_meeting(ring, earlier).is_some();
            if meets || inside(ring, earlier) || inside(earlier, ring) {
                fault(number, format!("it runs into opening {}", other + 1));
            }
        }
    }
    faults
}
