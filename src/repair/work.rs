//! What has to be done at one mark, case by case: removal, plies and coats, before it is joined
//! with its neighbours.

use std::sync::Arc;

use super::backing::{self, Backing};
use super::parent_match::{self, ParentMatch};
use super::plies::{LaidPly, Shelf, lay_out, ply_set};
use crate::damage::Finding;
use crate::damage::depth::{Reaches, is_craze_share};
use crate::model::panel::{BackAccess, Material, Role};
use crate::model::shop::{BackingHabit, Habits, OnEpoxy};
use crate::model::stock::{Mat, Stock};
use crate::model::survey::{Evidence, MarkKind, Side};
use crate::quantity::{Case, Cases};
use crate::rules::{Book, id};
use crate::surface::field::DistanceField;
use crate::surface::marks::Form;
use crate::surface::placed::PlacedPanel;

/// How the work is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Method {
    /// Paint off and on.
    PaintOnly,
    /// A groove along a gel crack, filled with gel coat.
    GelGroove,
    /// Gel coat off over an area, tissue, gel coat.
    GelArea,
    /// A gel area with one mat on part of it.
    GelAreaPartGlass,
    /// Ground down and laid again from the side it was found on.
    Laminate,
    /// The same with a backing laid behind.
    LaminateBacked,
    /// The same on a former that stays in.
    LaminateOnFormer,
}

impl Method {
    /// The words that are printed.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::PaintOnly => "paint only",
            Self::GelGroove => "gel groove",
            Self::GelArea => "gel area",
            Self::GelAreaPartGlass => "gel area, one mat on part of it",
            Self::Laminate => "laminate from one side",
            Self::LaminateBacked => "laminate with backing",
            Self::LaminateOnFormer => "laminate on a former left in",
        }
    }
}

/// One part of the work at a mark: the same depth all over.
#[derive(Debug, Clone)]
pub struct Part<'s> {
    /// Edge of the removal beyond the field's origin, mm.
    pub removal_mm: f64,
    /// How far down.
    pub depth: Reaches,
    /// Plies from the floor up; reaches are beyond the removal.
    pub plies: Vec<LaidPly<'s>>,
    /// Reach of the tissue beyond the removal, mm.
    pub tissue_mm: Option<f64>,
    /// Reach of the gel coat beyond the removal, mm.
    pub coat_mm: Option<f64>,
    /// The whole laminate goes: the back is worked too where it can be reached.
    pub open: bool,
}

impl Part<'_> {
    /// Reach of the outermost ply or coat beyond the removal, mm.
    #[must_use]
    pub fn outermost_mm(&self) -> f64 {
        let ply = self.plies.last().map_or(0.0, |ply| ply.reach_mm);
        ply.max(self.coat_mm.unwrap_or(0.0)).max(self.tissue_mm.unwrap_or(0.0))
    }
}

/// The work at one mark in one case.
#[derive(Debug, Clone)]
pub struct Work<'s> {
    /// How.
    pub method: Method,
    /// Its parts.
    pub parts: Vec<Part<'s>>,
    /// What is laid behind, next to the skin first.
    pub backing: Vec<Backing<'s>>,
    /// One mat on this share of the removal.
    pub mat_on_share: Option<(&'s Mat, f64)>,
    /// Taper used.
    pub taper: f64,
    /// How it matches its parent; none where no glass is laid in.
    pub parent_match: Option<ParentMatch>,
}

impl Work<'_> {
    /// Reach of the outermost ply or backing beyond the mark, mm; none without one.
    #[must_use]
    pub fn plies_mm(&self) -> Option<f64> {
        let front = self.parts.iter().filter_map(|part| {
            let share = self.mat_on_share.map(|_| part.removal_mm);
            part.plies.last().map(|ply| part.removal_mm + ply.reach_mm).or(share)
        });
        let back = self.backing.iter().map(|back| back.removal_mm + back.reach_mm);
        front.chain(back).reduce(f64::max)
    }
}

/// The work at one mark in all cases, with its distance fields.
#[derive(Debug)]
pub struct MarkWork<'p, 's> {
    /// In each case.
    pub cases: Cases<Work<'s>>,
    /// Distances on the side it is worked from.
    pub reach: Cases<Arc<DistanceField<'p>>>,
    /// Distances on the back.
    pub back: Cases<Option<Arc<DistanceField<'p>>>>,
}

/// The moulding takes epoxy resin.
#[must_use]
pub const fn takes_epoxy(material: Material) -> bool {
    matches!(material, Material::Epoxy | Material::CompressionMoulded)
}

/// The back can be reached for work.
#[must_use]
pub fn back_within_reach(finding: &Finding<'_>, panel: &PlacedPanel<'_>) -> bool {
    match finding.mark().back.unwrap_or(panel.of.panel.back) {
        BackAccess::Reached | BackAccess::NotSeen => true,
        BackAccess::Closed => false,
        // Counted as reached where that adds work; where it matters for safety it was referred.
        BackAccess::Unknown => panel.of.panel.roles.iter().all(|role| *role == Role::Skin),
    }
}

/// Lays out the work at one mark.
///
/// # Errors
/// In words: a stock that lacks what is needed, or a mesh far too fine.
pub fn plan<'p, 's>(
    book: &Book,
    stock: &'s Stock,
    habits: Habits,
    panel: &'p PlacedPanel<'_>,
    finding: &Finding<'_>,
    close_lines: bool,
) -> Result<MarkWork<'p, 's>, String> {
    let shelf = Shelf::pick(stock, takes_epoxy(panel.of.panel.material))?;
    let laminate = &panel.of.panel.laminate;
    let cases = Cases::from_fn(|case| {
        let mut work = plan_case(book, &shelf, habits, panel, finding, close_lines, case);
        let (glass_mm, backing) = (finding.parent.glass_mm, &work.backing);
        work.parent_match =
            parent_match::of_work(book, &shelf, laminate, glass_mm, &work.parts, backing);
        work
    });
    let prepared_mm = book.figure(id::PREPARED).max(book.figure(id::BACKING_PREPARED));
    let limit_mm = |work: &Work<'_>| {
        let parts = work.parts.iter().map(|part| part.removal_mm + part.outermost_mm());
        let back = work.backing.iter().map(|back| back.removal_mm + back.reach_mm);
        parts.chain(back).fold(0.0, f64::max) + prepared_mm
    };
    let side = finding.mark().side;
    let is_patch = matches!(finding.placed.form, Form::Patch(_));
    let widest_mm = Case::ALL.iter().map(|case| limit_mm(cases.get(*case))).fold(0.0, f64::max);
    let spread = |side: Side, case: Case| {
        let extents = match (side, &finding.extents.back) {
            (Side::Back, Some(back)) if finding.mark().side == Side::Outer => back,
            _ => &finding.extents.cases,
        };
        let limit_mm = if is_patch { widest_mm } else { limit_mm(cases.get(case)) };
        DistanceField::spread(&panel.mesh, panel.side(side), &extents.get(case).origin, limit_mm)
            .map(Arc::new)
            .map_err(|why| why.to_string())
    };
    // A patch keeps its origin in every case: one field serves all three.
    let reach = if is_patch {
        let one = spread(side, Case::High)?;
        Cases { low: Arc::clone(&one), likely: Arc::clone(&one), high: one }
    } else {
        Cases::try_from_fn(|case| spread(side, case))?
    };
    let back = Cases::try_from_fn(|case| {
        if cases.get(case).backing.is_empty() {
            return Ok::<_, String>(None);
        }
        spread(Side::Back, case).map(Some)
    })?;
    Ok(MarkWork { cases, reach, back })
}

/// How far beyond the mark its plies may go in the high case, mm: no distances over the skin are
/// worked out. None without plies, and where the stock has none for this moulding.
#[must_use]
pub fn plies_reach_mm(
    book: &Book,
    stock: &Stock,
    habits: Habits,
    panel: &PlacedPanel<'_>,
    finding: &Finding<'_>,
    close_lines: bool,
) -> Option<f64> {
    let shelf = Shelf::pick(stock, takes_epoxy(panel.of.panel.material)).ok()?;
    plan_case(book, &shelf, habits, panel, finding, close_lines, Case::High).plies_mm()
}

fn plan_case<'s>(
    book: &Book,
    shelf: &Shelf<'s>,
    habits: Habits,
    panel: &PlacedPanel<'_>,
    finding: &Finding<'_>,
    close_lines: bool,
    case: Case,
) -> Work<'s> {
    let mark = finding.mark();
    let depth = *finding.depth.cases.get(case);
    let is_line = matches!(finding.placed.form, Form::Line(_));
    let grown_mm = finding.extents.cases.get(case).grown_mm;
    let width_mm = book.figure(id::CRACK_WIDTH);
    let share = is_craze_share(mark, &finding.depth, case);
    let shallow = share || !depth.in_glass();
    let half_width_mm =
        if close_lines && shallow { book.figure(id::CRACK_SPACING) / 2.0 } else { width_mm };
    let edge_mm = if is_line { half_width_mm } else { grown_mm };
    let on_outer = mark.side == Side::Outer;
    // A pressed moulding has no gel coat of its own: filler and primer take its place.
    let pressed = panel.of.panel.material == Material::CompressionMoulded;
    let painted =
        panel.of.panel.material == Material::Epoxy && habits.on_epoxy == OnEpoxy::PaintOnly;
    let coat = |reach_mm: f64| (on_outer && !pressed && !painted).then_some(reach_mm);
    let plain = |removal_mm, depth, tissue_mm, coat_mm| Part {
        removal_mm,
        depth,
        plies: Vec::new(),
        tissue_mm,
        coat_mm,
        open: false,
    };
    if depth == Reaches::Paint {
        return Work {
            method: Method::PaintOnly,
            parts: vec![plain(edge_mm, Reaches::Paint, None, None)],
            backing: Vec::new(),
            mat_on_share: None,
            taper: book.figure(id::TAPER),
            parent_match: None,
        };
    }
    if shallow {
        let groove = is_line && !close_lines;
        let (method, tissue_mm, coat_mm) = if groove {
            (Method::GelGroove, None, coat(book.figure(id::COAT_GEL_CRACK)))
        } else {
            // Tissue carries the coat: on the back there is neither.
            let tissue_mm = (on_outer && !pressed).then_some(0.0);
            (Method::GelArea, tissue_mm, coat(book.figure(id::COAT_GEL_AREA)))
        };
        let mat_on_share = share
            .then(|| shelf.nearest(450.0).map(|mat| (mat, book.figure(id::CRAZE_TENTH))))
            .flatten();
        return Work {
            method: if mat_on_share.is_some() { Method::GelAreaPartGlass } else { method },
            parts: vec![plain(edge_mm, Reaches::Gel, tissue_mm, coat_mm)],
            backing: Vec::new(),
            mat_on_share,
            taper: book.figure(id::TAPER),
            parent_match: None,
        };
    }
    let full_mm = finding.parent.glass_mm;
    let full = finding.depth.through || depth.glass_mm() >= full_mm - 1e-9;
    let reachable = back_within_reach(finding, panel);
    let backed = (full || pressed) && reachable;
    let taper = taper(book, panel, finding, backed, depth.glass_mm());
    // The published set behind carries by itself: nothing is tapered out in front of it.
    let flush = habits.backing == BackingHabit::Army && backed && on_outer && !pressed;
    let glass_part = |removal_mm: f64, depth_mm: f64, open: bool| {
        let set = ply_set(shelf, depth_mm, book);
        let mut plies = lay_out(shelf, &set, depth_mm, taper, book);
        if flush && open {
            plies.iter_mut().for_each(|ply| ply.reach_mm = 0.0);
        }
        let last_mm = plies.last().map_or(0.0, |ply| ply.reach_mm);
        Part {
            removal_mm,
            depth: Reaches::Glass(depth_mm),
            plies,
            tissue_mm: on_outer.then_some(last_mm),
            coat_mm: coat(last_mm + book.figure(id::COAT_GLASS)),
            open,
        }
    };
    // What shows of an old repair or a delamination goes in full, its growth to half.
    let in_rings = full
        && !is_line
        && edge_mm > 0.0
        && !finding.depth.through
        && matches!(mark.kind, MarkKind::OldRepair | MarkKind::Delamination);
    let mut parts = if in_rings {
        vec![glass_part(0.0, full_mm, true), glass_part(edge_mm, full_mm / 2.0, false)]
    } else {
        vec![glass_part(edge_mm, depth.glass_mm(), full)]
    };
    // A close line that turns out to go into glass is opened within the gel area it shares with
    // its neighbours: that area does not shrink because one of its cracks is worse.
    if close_lines {
        let half_mm = book.figure(id::CRACK_SPACING) / 2.0;
        let coat_mm = coat(book.figure(id::COAT_GEL_AREA));
        parts.push(plain(half_mm, Reaches::Gel, on_outer.then_some(0.0), coat_mm));
    }
    // A pressed moulding always gets a backer, behind whatever is cut into it.
    let open_mm = parts.iter().find(|part| part.open || pressed).map(|part| part.removal_mm);
    let backing = match open_mm.filter(|_| backed && on_outer) {
        Some(removal_mm) => {
            // Where the front is tapered after all, the published set has no place behind it.
            let habit = match habits.backing {
                BackingHabit::Army if !flush => BackingHabit::OneMat,
                habit => habit,
            };
            backing::laid(book, shelf, habit, full_mm, removal_mm)
        }
        None => Vec::new(),
    };
    let method = if !backing.is_empty() {
        Method::LaminateBacked
    } else if full && on_outer {
        Method::LaminateOnFormer
    } else {
        Method::Laminate
    };
    Work { method, parts, backing, mat_on_share: None, taper, parent_match: None }
}

/// The taper at a mark: flatter in loaded regions; a lower one of the user's only where the work
/// is cosmetic or backed.
fn taper(
    book: &Book,
    panel: &PlacedPanel<'_>,
    finding: &Finding<'_>,
    backed: bool,
    depth_mm: f64,
) -> f64 {
    let usual = book.figure(id::TAPER);
    let loaded = |face: u32| {
        panel
            .mesh
            .tags
            .get(face as usize)
            .and_then(|tag| panel.region(tag.region))
            .is_some_and(|region| region.loaded)
    };
    let mut faces = vec![finding.placed.at.face];
    faces.extend(finding.extents.cases.high.origin.pieces.iter().map(|piece| match piece {
        crate::surface::origin::Piece::Point(point) => point.face,
        crate::surface::origin::Piece::Segment { face, .. } => *face,
    }));
    if faces.into_iter().any(loaded) {
        return usual.max(book.figure(id::TAPER_LOADED));
    }
    // The cosmetic limit: 2 mm and no broken fibre (Marine Composites, 1999, p 285, rounded).
    let cosmetic = depth_mm <= 2.0 && !finding.mark().evidence.contains(&Evidence::BrokenFibre);
    if usual < 12.0 && !(cosmetic || backed) { 12.0 } else { usual }
}
