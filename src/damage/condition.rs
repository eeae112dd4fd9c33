//! How much of what is there, and how much of the body was looked at?
//!
//! Takes the findings; gives lengths and areas as seen, by panel, side and region, with the part of
//! each that somebody looked at: a total without that share would pass what nobody saw as sound.
//! Lengths mm, areas mm2. Areas of one kind that overlap count once; a place can stand under
//! several kinds, an old repair that is wet under both.
#![allow(clippy::indexing_slicing, reason = "face numbers come from a mesh Mesh::new has checked")]

use std::collections::BTreeMap;

use super::Finding;
use super::referral::is_drummy;
use super::seen_patch::{SeenPatch, near, touching};
use crate::model::panel::BackAccess;
use crate::model::survey::{MarkKind, NotExamined, SeenNow, Side};
use crate::surface::field::DistanceField;
use crate::surface::level;
use crate::surface::marks::{Form, piece_length_mm};
use crate::surface::mesh::FaceTag;
use crate::surface::origin::Piece;
use crate::surface::placed::PlacedPanel;

/// What is there on some part of the body, as seen.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Quantities {
    /// Cracks recorded as lines, mm.
    pub cracks_mm: f64,
    /// Cracks traced inside patches, mm.
    pub traced_mm: f64,
    /// Crazed and starred, mm2.
    pub crazed_mm2: f64,
    /// Dull, flexing or let go, mm2.
    pub drummy_mm2: f64,
    /// Blistered, mm2.
    pub blistered_mm2: f64,
    /// Blisters at the worst place, per dm2; none where nobody counted.
    pub worst_per_dm2: Option<f64>,
    /// Blisters over the fields where somebody counted them, per dm2, weighted by their area.
    pub mean_per_dm2: Option<f64>,
    /// Old repairs, mm2.
    pub old_repair_mm2: f64,
    /// Wet, mm2.
    pub wet_mm2: f64,
    /// Holes and lost pieces, mm2.
    pub hole_mm2: f64,
    /// Chips, mm2.
    pub chipped_mm2: f64,
    /// Damage of another kind, mm2.
    pub other_mm2: f64,
    counted_mm2: f64,
}

impl Quantities {
    /// Nothing of any kind.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        let figures = [
            self.cracks_mm,
            self.traced_mm,
            self.crazed_mm2,
            self.drummy_mm2,
            self.blistered_mm2,
            self.old_repair_mm2,
            self.wet_mm2,
            self.hole_mm2,
            self.chipped_mm2,
            self.other_mm2,
        ];
        figures.into_iter().all(|figure| figure <= 0.0)
    }

    /// Adds another part of the body.
    pub fn add(&mut self, other: &Self) {
        self.cracks_mm += other.cracks_mm;
        self.traced_mm += other.traced_mm;
        self.crazed_mm2 += other.crazed_mm2;
        self.drummy_mm2 += other.drummy_mm2;
        self.blistered_mm2 += other.blistered_mm2;
        self.old_repair_mm2 += other.old_repair_mm2;
        self.wet_mm2 += other.wet_mm2;
        self.hole_mm2 += other.hole_mm2;
        self.chipped_mm2 += other.chipped_mm2;
        self.other_mm2 += other.other_mm2;
        // Worst and mean are kept apart: a worst count never multiplies a field.
        self.worst_per_dm2 = match (self.worst_per_dm2, other.worst_per_dm2) {
            (Some(one), Some(more)) => Some(one.max(more)),
            (one, more) => one.or(more),
        };
        let counted = self.counted_mm2 + other.counted_mm2;
        let sum = self.mean_per_dm2.unwrap_or(0.0) * self.counted_mm2
            + other.mean_per_dm2.unwrap_or(0.0) * other.counted_mm2;
        self.mean_per_dm2 = (counted > 0.0).then(|| sum / counted);
        self.counted_mm2 = counted;
    }
}

/// One side of one panel.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelSide {
    /// The panel, by number in the job.
    pub panel: usize,
    /// The side.
    pub side: Side,
    /// Its area, mm2.
    pub area_mm2: f64,
    /// Of that somebody looked at, mm2.
    pub looked_at_mm2: f64,
    /// How that is known.
    pub how: String,
    /// What is there.
    pub all: Quantities,
    /// The same by region, by number in the panel file.
    pub regions: BTreeMap<Option<u16>, Quantities>,
    /// Marks whose size is not from this survey.
    pub not_measured: Vec<u32>,
}

/// The condition of every side of every panel, in the order of the job.
#[must_use]
pub fn of_body(
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    not_examined: &[NotExamined],
) -> Vec<PanelSide> {
    let of = |number: usize, side: Side| -> Vec<&Finding<'_>> {
        let here = findings.iter().filter(|finding| {
            finding.placed.panel == number && finding.mark().side == side && !finding.is_repaired()
        });
        here.collect()
    };
    // What a mark covers of a neighbour it is moulded in one with counts as that panel's.
    let mut there: BTreeMap<(usize, Side), BTreeMap<Option<u16>, Quantities>> = BTreeMap::new();
    for (number, panel) in panels.iter().enumerate() {
        for side in SIDES {
            for (region, found) in quantities(panel, side, &of(number, side)) {
                let (owner, region) = match panel.over_region(region) {
                    Some((over, own)) => (over.piece.panel, own),
                    None => (number, region),
                };
                there.entry((owner, side)).or_default().entry(region).or_default().add(&found);
            }
        }
    }
    let mut found = Vec::new();
    for (number, panel) in panels.iter().enumerate() {
        for side in SIDES {
            let own = panel.by_itself();
            let area_mm2 = own.mesh.area_mm2(|tag| is_of(tag, side));
            let (looked_at_mm2, how) = coverage(own, side, area_mm2, not_examined);
            let regions = there.remove(&(number, side)).unwrap_or_default();
            let mut all = Quantities::default();
            regions.values().for_each(|region| all.add(region));
            let not_measured = of(number, side)
                .iter()
                .filter(|finding| finding.mark().now != SeenNow::Measured)
                .map(|finding| finding.mark().id)
                .collect();
            found.push(PanelSide {
                panel: number,
                side,
                area_mm2,
                looked_at_mm2,
                how,
                all,
                regions,
                not_measured,
            });
        }
    }
    found
}

const SIDES: [Side; 2] = [Side::Outer, Side::Back];

/// Faces that a side's area is made of: no turned edges, and no strips behind the back.
fn is_of(tag: &FaceTag, side: Side) -> bool {
    let bare = side == Side::Outer || tag.strip.is_none();
    tag.opening.is_none() && !tag.on_return && bare
}

/// How much of a side somebody looked at, and how that is known. The back of a panel was looked at
/// only where the panel or the survey says so.
fn coverage(
    panel: &PlacedPanel<'_>,
    side: Side,
    area_mm2: f64,
    not_examined: &[NotExamined],
) -> (f64, String) {
    let of = &panel.of.panel;
    if side == Side::Back && of.back != BackAccess::Reached {
        return (0.0, of.back.words().to_owned());
    }
    let here = not_examined.iter().filter(|one| {
        one.panel.as_deref() == Some(panel.of.name.as_str())
            && one.side.is_none_or(|said| said == side)
    });
    let (mut unseen, mut left_out_mm2) = (Vec::new(), 0.0);
    for one in here {
        let Some(name) = &one.region else {
            return (0.0, format!("not examined: {}", one.why));
        };
        let numbers = (0_u16..).zip(&of.regions).filter(|(_, region)| region.name == *name);
        for (number, _) in numbers {
            left_out_mm2 +=
                panel.mesh.area_mm2(|tag| tag.region == Some(number) && is_of(tag, side));
        }
        unseen.push(format!("{name} not examined: {}", one.why));
    }
    let how = match (side, unseen.is_empty()) {
        (_, false) => unseen.join("; "),
        (Side::Outer, true) => "looked at, as nothing else is said".to_owned(),
        (Side::Back, true) => "reached and looked at, strips and frames not under them".to_owned(),
    };
    ((area_mm2 - left_out_mm2).max(0.0), how)
}

/// What a mark counts as; it can be several things.
fn kinds(finding: &Finding<'_>) -> Vec<fn(&mut Quantities) -> &mut f64> {
    let mark = finding.mark();
    let mut found: Vec<fn(&mut Quantities) -> &mut f64> = match mark.kind {
        MarkKind::Crazing | MarkKind::Star => vec![|q| &mut q.crazed_mm2],
        MarkKind::Blisters => vec![|q| &mut q.blistered_mm2],
        MarkKind::OldRepair => vec![|q| &mut q.old_repair_mm2],
        MarkKind::Hole => vec![|q| &mut q.hole_mm2],
        MarkKind::Chip => vec![|q| &mut q.chipped_mm2],
        MarkKind::Other => vec![|q| &mut q.other_mm2],
        // Counted with what is dull, below; lines by their length.
        MarkKind::Delamination
        | MarkKind::GelCrack
        | MarkKind::CrackAtFixing
        | MarkKind::ThroughCrack => Vec::new(),
    };
    if is_drummy(mark) {
        found.push(|q| &mut q.drummy_mm2);
    }
    if finding.wet {
        found.push(|q| &mut q.wet_mm2);
    }
    found
}

fn quantities(
    panel: &PlacedPanel<'_>,
    side: Side,
    marks: &[&Finding<'_>],
) -> BTreeMap<Option<u16>, Quantities> {
    let mesh = &panel.mesh;
    let mut regions: BTreeMap<Option<u16>, Quantities> = BTreeMap::new();
    let region = |piece: &Piece| match *piece {
        Piece::Point(point) => mesh.tags[point.face as usize].region,
        Piece::Segment { face, .. } => mesh.tags[face as usize].region,
    };
    for finding in marks {
        if let Form::Line(line) = &finding.placed.form {
            for piece in &line.pieces {
                regions.entry(region(piece)).or_default().cracks_mm += piece_length_mm(mesh, piece);
            }
        }
        for piece in finding.placed.lines.iter().flatten() {
            regions.entry(region(piece)).or_default().traced_mm += piece_length_mm(mesh, piece);
        }
    }
    let patches: Vec<SeenPatch<'_, '_>> =
        marks.iter().filter_map(|finding| SeenPatch::of(panel, side, finding)).collect();
    // One kind at a time, so that overlapping marks of a kind count once.
    let of_kind: [fn(&mut Quantities) -> &mut f64; 8] = [
        |q| &mut q.crazed_mm2,
        |q| &mut q.drummy_mm2,
        |q| &mut q.blistered_mm2,
        |q| &mut q.old_repair_mm2,
        |q| &mut q.wet_mm2,
        |q| &mut q.hole_mm2,
        |q| &mut q.chipped_mm2,
        |q| &mut q.other_mm2,
    ];
    for of in of_kind {
        let counts = |patch: &&SeenPatch<'_, '_>| {
            let mut probe = Quantities::default();
            kinds(patch.finding).into_iter().for_each(|kind| *kind(&mut probe) = 1.0);
            *of(&mut probe) > 0.0
        };
        for group in near(patches.iter().filter(counts).collect()) {
            if let [alone] = group[..] {
                for (region, area_mm2) in &alone.by_region_mm2 {
                    *of(regions.entry(*region).or_default()) += area_mm2;
                }
                continue;
            }
            let fields: Vec<DistanceField<'_>> =
                group.iter().filter_map(|patch| patch.field(panel, side)).collect();
            for apart in touching(fields.iter().collect()) {
                let parts: Vec<(&DistanceField<'_>, f64)> =
                    apart.into_iter().map(|field| (field, 0.0)).collect();
                for (region, area_mm2) in level::union(&parts).area_by_region_mm2 {
                    *of(regions.entry(region).or_default()) += area_mm2;
                }
            }
        }
    }
    for patch in &patches {
        let mark = patch.finding.mark();
        if mark.worst_per_dm2.is_none() && mark.mean_per_dm2.is_none() {
            continue;
        }
        for (region, area_mm2) in &patch.by_region_mm2 {
            let counted = Quantities {
                worst_per_dm2: mark.worst_per_dm2,
                mean_per_dm2: mark.mean_per_dm2,
                counted_mm2: if mark.mean_per_dm2.is_some() { *area_mm2 } else { 0.0 },
                ..Quantities::default()
            };
            regions.entry(*region).or_default().add(&counted);
        }
    }
    regions
}
