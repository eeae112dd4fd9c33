//! How are the plies of a job cut from the roll?
//!
//! Takes the repairs of a plan in one case; gives the outline of every ply laid flat (mm, x along the
//! panel's u, as seen from the outer side), what that costs in stretch, the pieces it is cut in so
//! that each comes off its roll, and a layout for every mat. Masses never come from here: the area of
//! a ply is the one measured on the skin, and stands beside the pattern's.
//!
//! Not cut: a ply of which only its share of an area is known; it is listed with its area. Surface
//! tissue is no ply. A hole in a ply is drawn, and what is cut out of it is not used again.

mod outline;
mod pattern;
mod stretch;

use std::collections::BTreeMap;

use rayon::prelude::*;

pub(super) use outline::{holds, signed_area_mm2, thinned};
pub use pattern::{FlatPart, LaidPart, PlyPattern, laid};
pub use stretch::Stretch;

use super::nest::{Layout, NestFault, Piece, Roll, Settings, nest};
use crate::damage::Finding;
use crate::model::survey::Side;
use crate::quantity::Case;
use crate::repair::Plan;
use crate::repair::laps::LapRule;
use crate::repair::ply_ground::{Asked, PlyFields};
use crate::rules::{Book, id};
use crate::surface::placed::PlacedPanel;

/// Moves of the search a piece, and the least and most of a layout (choice: twice as many gave the
/// example job the same lengths within 1 cm).
const MOVES_A_PIECE: u64 = 500;
const MOVES: [u64; 2] = [1_000, 26_000];

/// A ply that no pattern was made of.
#[derive(Debug, Clone, PartialEq)]
pub struct NotCut {
    /// The repair.
    pub repair: String,
    /// Which of its plies, from 1.
    pub ply: usize,
    /// The side it is laid on.
    pub side: Side,
    /// Its mat.
    pub mat: String,
    /// Its area on the skin, m2.
    pub skin_m2: f64,
    /// Why.
    pub why: String,
}

/// Every ply of a job laid flat.
#[derive(Debug, Clone)]
pub struct Patterns<'s> {
    /// The case they are drawn in.
    pub case: Case,
    /// In order of repair and ply.
    pub plies: Vec<PlyPattern<'s>>,
    /// Plies without a pattern.
    pub not_cut: Vec<NotCut>,
}

/// One mat on its roll.
#[derive(Debug, Clone, PartialEq)]
pub struct MatPlan {
    /// The mat.
    pub mat: String,
    /// Its roll.
    pub roll: Roll,
    /// What is cut from it, in order of repair, ply, part and strip.
    pub pieces: Vec<Piece>,
    /// Where each lies.
    pub layout: Layout,
    /// Area of all pieces, laps twice, m2.
    pub pieces_m2: f64,
    /// No layout can be shorter, m.
    pub least_m: f64,
    /// Length cut off the roll, m.
    pub length_m: f64,
    /// Plies of this mat that the layout leaves out.
    pub not_cut: Vec<NotCut>,
}

/// Lays every ply of a plan flat in one case.
///
/// # Errors
/// In words: a mesh far too fine, or a mark that cannot be carried over a seam.
pub fn patterns<'s>(
    book: &Book,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'s>,
    case: Case,
) -> Result<Patterns<'s>, String> {
    let of_repairs: Vec<_> = plan
        .repairs
        .par_iter()
        .map(|repair| {
            let fields = PlyFields::of(panels, findings, repair, case, Asked::Plies)?;
            let Some(panel) = panels.get(repair.laid_on) else { return Ok(Vec::new()) };
            let plies = repair.areas.get(case).plies.iter().enumerate();
            let mut before: BTreeMap<Side, usize> = BTreeMap::new();
            let mut found = Vec::new();
            for (number, ply) in plies {
                let on_side = before.entry(ply.side).or_default();
                let place =
                    pattern::Place { repair: &repair.id, ply: number + 1, on_side: *on_side };
                *on_side += 1;
                if ply.area_mm2 <= 0.0 {
                    continue;
                }
                let drawn = pattern::of(book, &panel.mesh, &fields, ply, &place);
                found.push(drawn.map_err(|why| NotCut {
                    repair: repair.id.clone(),
                    ply: number + 1,
                    side: ply.side,
                    mat: ply.mat.name.clone(),
                    skin_m2: ply.area_mm2 * 1e-6,
                    why,
                }));
            }
            Ok::<_, String>(found)
        })
        .collect::<Result<_, _>>()?;
    let mut all = Patterns { case, plies: Vec::new(), not_cut: Vec::new() };
    for one in of_repairs.into_iter().flatten() {
        match one {
            Ok(ply) => all.plies.push(ply),
            Err(left) => all.not_cut.push(left),
        }
    }
    Ok(all)
}

/// Settings with as many moves as a count of pieces is worth.
#[must_use]
pub fn settings_for(pieces: usize, settings: &Settings) -> Settings {
    let pieces = u64::try_from(pieces).unwrap_or(u64::MAX);
    let moves = pieces.saturating_mul(MOVES_A_PIECE).clamp(MOVES[0], MOVES[1]);
    Settings { moves, ..*settings }
}

/// How a book has pieces laid out: the gap between them and what is worth keeping.
#[must_use]
pub fn settings_of(book: &Book) -> Settings {
    Settings {
        gap_mm: book.figure(id::CUT_GAP),
        offcut_short_mm: book.figure(id::OFFCUT_SHORT),
        offcut_long_mm: book.figure(id::OFFCUT_LONG),
        ..Settings::default()
    }
}

/// The cut plan of some repairs of a plan, by their numbers.
///
/// # Errors
/// In words, what [`nest`] refuses.
pub fn cut_plan_of(
    book: &Book,
    patterns: &Patterns<'_>,
    plan: &Plan<'_>,
    repairs: &[usize],
) -> Result<Vec<MatPlan>, String> {
    let names: Vec<&str> = repairs
        .iter()
        .filter_map(|number| plan.repairs.get(*number))
        .map(|repair| repair.id.as_str())
        .collect();
    let mut own = patterns.clone();
    own.plies.retain(|ply| names.contains(&ply.repair.as_str()));
    own.not_cut.retain(|ply| names.contains(&ply.repair.as_str()));
    cut_plan(book, &own, &settings_of(book))
        .map_err(|faults| faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))
}

/// Lays the pieces of every mat out on its roll, in order of the mats' names. The moves of `settings`
/// are put in by [`settings_for`]; everything else counts as given.
///
/// # Errors
/// What [`nest`] refuses: a setting, or more pieces than a layout can have.
pub fn cut_plan(
    book: &Book,
    patterns: &Patterns<'_>,
    settings: &Settings,
) -> Result<Vec<MatPlan>, Vec<NestFault>> {
    let mut by_mat: BTreeMap<&str, (f64, Vec<Piece>)> = BTreeMap::new();
    for ply in &patterns.plies {
        let width_mm = LapRule::of(book, ply.mat).roll_mm;
        let (_, pieces) = by_mat.entry(&ply.mat.name).or_insert((width_mm, Vec::new()));
        pieces.extend(ply.pieces.iter().cloned());
    }
    by_mat
        .into_par_iter()
        .map(|(mat, (width_mm, pieces))| {
            let roll = Roll { material: mat.to_owned(), width_mm };
            let layout = nest(&pieces, &roll, &settings_for(pieces.len(), settings))?;
            let area = |piece: &Piece| outline::signed_area_mm2(&piece.outline_mm).abs();
            Ok(MatPlan {
                mat: mat.to_owned(),
                roll,
                pieces_m2: pieces.iter().map(area).sum::<f64>() * 1e-6,
                least_m: layout.area_bound_mm * 1e-3,
                length_m: layout.cut_off_length_mm * 1e-3,
                not_cut: patterns.not_cut.iter().filter(|one| one.mat == mat).cloned().collect(),
                pieces,
                layout,
            })
        })
        .collect()
}
