//! A panel as it stands ready for marks: its mesh, and where its landmarks and fixings are on it.

use nalgebra::Point2;

use super::mesh::{FaceId, FaceTag, Mesh, MeshPoint};
use super::seam::Piece;
use super::skin;
use crate::diagnostic::Diagnostic;
use crate::model::GridPlace;
use crate::model::panel::{Fixing, PanelPlace, Region, SurfaceForm};
use crate::read::job::{Job, JobPanel};
use crate::rules::{Book, id};

/// A grid place this far off the skin is still taken to be on its edge, mm.
const ON_EDGE_MM: f64 = 1.0;
/// A place in space this far off a scan is refused (choice: thickness of a fixing's head), mm.
const OFF_SCAN_MM: f64 = 8.0;
/// A smaller miss is not worth a line, mm.
const SHOWN_MISS_MM: f64 = 0.5;

/// A panel with its skin.
#[derive(Debug, Clone)]
pub struct PlacedPanel<'j> {
    /// The panel as read.
    pub of: &'j JobPanel,
    /// Its skin, openings filled.
    pub mesh: Mesh,
    /// Every face: what a tape lies on when the lids are shut.
    pub filled: Vec<bool>,
    /// Faces of the outer side.
    pub open: Vec<bool>,
    /// Faces of the back, without what strips and frames cover.
    pub back: Vec<bool>,
    /// Landmarks, in the order of the file.
    pub landmarks: Vec<(&'j str, MeshPoint)>,
    /// Fixings, in the order of the file.
    pub fixings: Vec<PlacedFixing<'j>>,
    /// What was taken for granted about a scan, for the reader.
    pub notes: Vec<String>,
    /// The panel by itself, where it is moulded in one with others: `mesh` then goes on over
    /// them, and the faces of the panel itself have the same numbers in both.
    pub alone: Option<Box<Self>>,
    /// The panels that `mesh` goes on over, with their places on it.
    pub over: Vec<OverSeam<'j>>,
    /// The panel whose mesh the repairs of everything moulded in one are measured on; none where
    /// it is the panel's own.
    pub host: Option<usize>,
}

/// A panel moulded in one with another, as it lies on the mesh of that one.
#[derive(Debug, Clone)]
pub struct OverSeam<'j> {
    /// The panel as read.
    pub of: &'j JobPanel,
    /// Its part of the mesh.
    pub piece: Piece,
    /// Its fixings.
    pub fixings: Vec<PlacedFixing<'j>>,
}

/// A fixing on the skin.
#[derive(Debug, Clone, Copy)]
pub struct PlacedFixing<'j> {
    /// The fixing as read.
    pub of: &'j Fixing,
    /// Its middle.
    pub at: MeshPoint,
    /// Radius of its footprint, mm.
    pub radius_mm: f64,
}

/// A grid place as a point.
#[must_use]
pub fn point(place: GridPlace) -> Point2<f64> {
    Point2::new(place.0.value(), place.1.value())
}

fn said(at: &PanelPlace) -> String {
    match at {
        PanelPlace::Grid(u, v) => format!("u {u} v {v}"),
        PanelPlace::Space(_) => format!("{at}"),
    }
}

impl<'j> PlacedPanel<'j> {
    /// The grid of the panel means something to its user: it is no scan, or has a stated axis.
    #[must_use]
    pub fn has_grid(&self) -> bool {
        match &self.of.panel.surface {
            Some(SurfaceForm::Scan(scan)) => scan.axis.is_some(),
            _ => true,
        }
    }

    /// Builds the skin of a panel and finds its landmarks and fixings on it.
    ///
    /// # Errors
    /// Every fault of the skin, and every landmark and fixing that is not on it.
    pub fn build(job: &'j Job, of: &'j JobPanel) -> Result<Self, Vec<Diagnostic>> {
        let skin = skin::of(of).map_err(|faults| {
            faults.into_iter().map(|fault| skin_fault(job, of, fault)).collect::<Vec<_>>()
        })?;
        let mut faults = Vec::new();
        let mut notes = Vec::new();
        let mut on_skin = |list: &str, number: usize, name: &str, at: PanelPlace| {
            let (found, miss_mm) = skin.nearest(&at);
            let in_space = at.on_grid().is_none();
            let limit_mm = if in_space { OFF_SCAN_MM } else { ON_EDGE_MM };
            if in_space && miss_mm > SHOWN_MISS_MM && miss_mm <= limit_mm {
                notes.push(format!(
                    "{}: {name:?} stands {miss_mm:.1} mm off the scan; taken as the nearest place \
                     on it",
                    of.name
                ));
            }
            if miss_mm > limit_mm {
                faults.push(job.fault(
                    &of.file,
                    &format!("{list}[{number}].at"),
                    "SURFACE-OFF-PANEL",
                    format!(
                        "{name:?} at {} is {miss_mm:.0} mm off the skin of {:?}",
                        said(&at),
                        of.name
                    ),
                    if in_space {
                        format!("a place within {OFF_SCAN_MM} mm of the scan")
                    } else {
                        "a place on the panel's grid".to_owned()
                    },
                    if in_space {
                        "read it off the scan again, and look at the unit".to_owned()
                    } else {
                        "measure it again from the lower front corner, or correct the outline"
                            .to_owned()
                    },
                ));
            }
            found
        };
        let landmarks = of
            .panel
            .landmarks
            .iter()
            .enumerate()
            .map(|(number, mark)| {
                (mark.name.as_str(), on_skin("landmarks", number, &mark.name, mark.at))
            })
            .collect();
        let fixings = of
            .listed_fixings()
            .iter()
            .enumerate()
            .map(|(number, fixing)| PlacedFixing {
                of: fixing,
                at: on_skin("fixings", number, &fixing.name, fixing.at),
                radius_mm: footprint_mm(fixing, &job.book),
            })
            .collect();
        if !faults.is_empty() {
            return Err(faults);
        }
        notes.splice(0..0, skin.notes.iter().map(|note| format!("{}: {note}", of.name)));
        let mesh = skin.mesh;
        let [filled, open, back] = sides(&mesh);
        let (alone, over, host) = (None, Vec::new(), None);
        Ok(Self { of, mesh, filled, open, back, landmarks, fixings, notes, alone, over, host })
    }

    /// The panel by itself, without what it is moulded in one with.
    #[must_use]
    pub fn by_itself(&self) -> &Self {
        self.alone.as_deref().unwrap_or(self)
    }

    /// Area of the outer side proper, turned edges left out, mm2.
    #[must_use]
    pub fn face_area_mm2(&self) -> f64 {
        self.by_itself().mesh.area_mm2(|tag| tag.opening.is_none() && !tag.on_return)
    }

    /// Area of a region of the panel's own outer side, mm2; `None` is what no region covers.
    #[must_use]
    pub fn region_area_mm2(&self, region: Option<u16>) -> f64 {
        self.by_itself().mesh.area_mm2(|tag| tag.opening.is_none() && tag.region == region)
    }

    /// What a region of the panel's own is called.
    #[must_use]
    pub fn region_name(&self, region: Option<u16>) -> String {
        region.and_then(|number| self.of.panel.regions.get(usize::from(number))).map_or_else(
            || {
                if self.of.panel.regions.is_empty() {
                    "whole outer side".to_owned()
                } else {
                    "outside the named regions".to_owned()
                }
            },
            |region| region.name.clone(),
        )
    }

    /// The panel over a seam that a face of `mesh` belongs to; none for the panel's own.
    #[must_use]
    pub fn over_face(&self, face: FaceId) -> Option<&OverSeam<'j>> {
        self.over.iter().find(|over| {
            face >= over.piece.first_face && face - over.piece.first_face < over.piece.faces
        })
    }

    /// The panel over a seam that has a region of `mesh`, and the region's number there.
    #[must_use]
    pub fn over_region(&self, region: Option<u16>) -> Option<(&OverSeam<'j>, Option<u16>)> {
        self.over.iter().find_map(|over| {
            let own = region?.checked_sub(over.piece.first_region)?;
            let count = over.of.panel.regions.len();
            match usize::from(own) {
                number if number < count => Some((over, Some(own))),
                number if number == count => Some((over, None)),
                _ => None,
            }
        })
    }

    /// A region of the panel or of one it is moulded in one with, by its number on `mesh`.
    #[must_use]
    pub fn region(&self, region: Option<u16>) -> Option<&Region> {
        match self.over_region(region) {
            Some((over, own)) => over.of.panel.regions.get(usize::from(own?)),
            None => self.of.panel.regions.get(usize::from(region?)),
        }
    }

    /// A landmark or fixing by its name.
    #[must_use]
    pub fn named_point(&self, name: &str) -> Option<MeshPoint> {
        let landmark = self.landmarks.iter().find(|(known, _)| *known == name).map(|found| found.1);
        landmark.or_else(|| {
            self.fixings.iter().find(|fixing| fixing.of.name == name).map(|fixing| fixing.at)
        })
    }
}

/// Every face, the faces of the outer side, and those of the back without strips and frames.
#[must_use]
pub(crate) fn sides(mesh: &Mesh) -> [Vec<bool>; 3] {
    let open = |tag: &FaceTag| tag.opening.is_none();
    [
        vec![true; mesh.faces.len()],
        mesh.tags.iter().map(open).collect(),
        mesh.tags.iter().map(|tag| open(tag) && tag.strip.is_none()).collect(),
    ]
}

fn footprint_mm(fixing: &Fixing, book: &Book) -> f64 {
    fixing.footprint_radius_mm.map_or_else(|| book.figure(id::FOOTPRINT), |radius| radius.value())
}

/// A fault of the skin, said of the file it came from.
#[must_use]
pub fn skin_fault(job: &Job, of: &JobPanel, fault: skin::SkinFault) -> Diagnostic {
    job.fault(&of.file, &fault.field, fault.code, fault.problem, fault.accepted, fault.way_out)
}
