//! Does the repair carry as its surround does? A repair much softer or stiffer than what it sits in
//! cracks at its rim (US Army TM 5-3820-256-24-5 p 614; published).
//!
//! Two checks: the restored skin over the floor of the removal, without backing, against the parent
//! (membrane stiffness, thickness); and the bending stiffness just inside the edge of the backing
//! over that just outside it, where the skin is the parent's. Ratios, by classical laminate theory.

use super::backing::Backing;
use super::laminate::{Laminate, Ply, Reinforcement, laid_ply};
use super::plies::Shelf;
use super::work::Part;
use crate::model::panel::{ParentLaminate, ParentPly};
use crate::model::stock::Mat;
use crate::quantity::GramsPerSquareMetre;
use crate::rules::{Book, id};

/// How a repair matches its parent.
#[derive(Debug, Clone, PartialEq)]
pub struct ParentMatch {
    /// Thickness of the restored skin over the parent's.
    pub thickness: f64,
    /// Membrane stiffness of the restored skin over the parent's.
    pub membrane: f64,
    /// Bending stiffness just inside the backing's edge over that outside; none without backing.
    pub bending: Option<f64>,
    /// Nobody named the parent's plies: taken as mat all through.
    pub parent_assumed: bool,
    /// What is outside its limits, in words.
    pub outside: Vec<String>,
}

/// Mass share of glass in a ply of the parent: as said, else the stock's for mat and the book's for
/// woven glass. Nobody burns a piece off a car.
#[must_use]
pub fn glass_content(book: &Book, ply: &ParentPly, shelf: &Shelf<'_>) -> f64 {
    ply.glass_content.unwrap_or_else(|| match ply.kind {
        Reinforcement::Mat => shelf.mats.first().map_or(1.0 / 3.5, |mat| mat.glass_content),
        Reinforcement::Woven => book.figure(id::WOVEN_CONTENT),
    })
}

/// The parent as plies from the outer side inwards, as thick as it was measured.
#[must_use]
pub fn parent_plies(
    book: &Book,
    laminate: &ParentLaminate,
    glass_mm: f64,
    shelf: &Shelf<'_>,
) -> Vec<Ply> {
    let one_mat = ParentPly {
        weight_g_m2: GramsPerSquareMetre(1000.0),
        kind: Reinforcement::Mat,
        glass_content: None,
    };
    let named = laminate.named_plies();
    let named = if named.is_empty() { vec![one_mat] } else { named };
    let as_laid = |ply: &ParentPly| {
        let share = glass_content(book, ply, shelf);
        let weight_kg_m2 = ply.weight_g_m2.in_kilograms().value();
        laid_ply(ply.kind, weight_kg_m2, share, shelf.resin.density_g_cm3)
    };
    let plies: Vec<Ply> = named.iter().map(as_laid).collect();
    let thick: f64 = plies.iter().map(|ply| ply.thickness_mm).sum();
    let scale = glass_mm / thick;
    plies.into_iter().map(|ply| Ply { thickness_mm: ply.thickness_mm * scale, ..ply }).collect()
}

/// A ply of the stock as laid.
#[must_use]
pub fn stock_ply(mat: &Mat, shelf: &Shelf<'_>) -> Ply {
    laid_ply(
        mat.kind,
        mat.weight_g_m2.in_kilograms().value(),
        mat.glass_content,
        shelf.resin.density_g_cm3,
    )
}

/// Checks the deepest part of the work at a mark; nothing where no glass is laid in it.
#[must_use]
pub fn of_work(
    book: &Book,
    shelf: &Shelf<'_>,
    laminate: &ParentLaminate,
    glass_mm: f64,
    parts: &[Part<'_>],
    backing: &[Backing<'_>],
) -> Option<ParentMatch> {
    let deepest = parts
        .iter()
        .filter(|part| !part.plies.is_empty())
        .max_by(|one, other| one.depth.glass_mm().total_cmp(&other.depth.glass_mm()))?;
    let parent = parent_plies(book, laminate, glass_mm, shelf);
    let laid: Vec<Ply> = deepest.plies.iter().map(|ply| stock_ply(ply.mat, shelf)).collect();
    let behind: Vec<(Ply, f64)> =
        backing.iter().map(|one| (stock_ply(one.mat, shelf), one.reach_mm)).collect();
    let mut found = ratios(&parent, deepest.depth.glass_mm(), &laid, &behind)?;
    found.parent_assumed = laminate.named_plies().is_empty();
    judge(book, &mut found);
    Some(found)
}

/// The ratios alone: a parent from the outer side inwards, a depth taken off it in mm, the plies
/// laid in, and the plies behind, next to the skin first, each with its reach, mm.
#[must_use]
pub fn ratios(
    parent: &[Ply],
    depth_mm: f64,
    laid: &[Ply],
    behind: &[(Ply, f64)],
) -> Option<ParentMatch> {
    let whole = Laminate::of(parent);
    let mut taken_mm = depth_mm;
    let left = parent.iter().filter_map(|ply| {
        let off_mm = taken_mm.min(ply.thickness_mm);
        taken_mm -= off_mm;
        let thickness_mm = ply.thickness_mm - off_mm;
        (thickness_mm > 1e-9).then_some(Ply { thickness_mm, ..*ply })
    });
    let left: Vec<Ply> = left.collect();
    // From the outer side inwards: the last ply laid lies outermost.
    let restored: Vec<Ply> = laid.iter().rev().copied().chain(left).collect();
    let restored = Laminate::of(&restored);
    let bend = |laminate: &Laminate| laminate.free_bending().map(|bending| bending.m11);
    // At every edge behind: bent as it is just inside over just outside; the worst counts.
    let out_to = |reach_mm: f64| {
        let there = behind.iter().filter(|(_, reach)| *reach >= reach_mm).map(|(ply, _)| *ply);
        Laminate::of(&parent.iter().copied().chain(there).collect::<Vec<_>>())
    };
    let mut bending: Option<f64> = None;
    for (_, reach_mm) in behind {
        let inside = bend(&out_to(*reach_mm))?;
        let outside = bend(&out_to(reach_mm + 1e-6))?;
        bending = Some(bending.unwrap_or(0.0).max(inside / outside));
    }
    Some(ParentMatch {
        thickness: restored.thickness_mm / whole.thickness_mm,
        membrane: restored.membrane.m11 / whole.membrane.m11,
        bending,
        parent_assumed: true,
        outside: Vec::new(),
    })
}

fn judge(book: &Book, found: &mut ParentMatch) {
    let mut outside = Vec::new();
    for (what, ratio, least, most) in [
        ("stiff in its plane", found.membrane, id::MATCH_MEMBRANE_LEAST, id::MATCH_MEMBRANE_MOST),
        ("thick", found.thickness, id::MATCH_THICKNESS_LEAST, id::MATCH_THICKNESS_MOST),
    ] {
        let (least, most) = (book.figure(least), book.figure(most));
        if ratio < least {
            outside.push(format!(
                "only {ratio:.2} times as {what} as its surround, below {least:.2}: it gives first and its rim works; another set of mats, or a ply more"
            ));
        } else if ratio > most {
            outside.push(format!(
                "{ratio:.2} times as {what} as its surround, above {most:.2}: the skin cracks beside its rim; lighter mats, or a flatter taper to fade it out"
            ));
        }
    }
    let most = book.figure(id::MATCH_BACKING);
    if let Some(ratio) = found.bending.filter(|ratio| *ratio > most) {
        outside.push(format!(
            "{ratio:.2} times as stiff in bending inside the edge of the backing as outside it, above {most:.2}: the skin bends sharply there; a lighter backing, or a second one that goes farther and fades it out"
        ));
    }
    found.outside = outside;
}
