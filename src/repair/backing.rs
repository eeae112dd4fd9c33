//! What is laid behind where the whole laminate goes: one mat, two, or a published set.

use super::plies::{Shelf, army_set};
use crate::model::shop::BackingHabit;
use crate::model::stock::Mat;
use crate::rules::{Book, id};

/// A ply behind.
#[derive(Debug, Clone, Copy)]
pub struct Backing<'s> {
    /// Its mat.
    pub mat: &'s Mat,
    /// Its thickness, mm.
    pub thickness_mm: f64,
    /// Edge of the back removal beyond the back field's origin, mm.
    pub removal_mm: f64,
    /// Reach beyond the back removal, mm.
    pub reach_mm: f64,
}

/// The plies behind a skin of so much glass, mm, next to the skin first.
///
/// Two mats lie one over the other, the second farther out. The published set goes out as far as
/// one mat does; weights that the shelf has not are laid in the nearest it has.
#[must_use]
pub fn laid<'s>(
    book: &Book,
    shelf: &Shelf<'s>,
    habit: BackingHabit,
    skin_mm: f64,
    removal_mm: f64,
) -> Vec<Backing<'s>> {
    let one = if skin_mm < book.figure(id::BACKING_THIN) { 300.0 } else { 450.0 };
    let reach_mm = book.figure(id::BACKING_REACH);
    let wanted: Vec<(f64, f64)> = match habit {
        BackingHabit::OneMat => vec![(one, reach_mm)],
        BackingHabit::TwoMats => {
            vec![(one, reach_mm), (one, reach_mm + book.figure(id::BACKING_SECOND))]
        }
        BackingHabit::Army => {
            army_set(skin_mm).into_iter().map(|weight| (weight, reach_mm)).collect()
        }
    };
    wanted
        .into_iter()
        .filter_map(|(weight, reach_mm)| {
            let mat = shelf.nearest(weight)?;
            Some(Backing { mat, thickness_mm: shelf.ply_mm(mat), removal_mm, reach_mm })
        })
        .collect()
}
