//! How are the plies cut from the roll, and how much roll is that?
//!
//! Pieces of any outline, and how many of each, go in with a roll; where each lies comes out, with
//! the length used, two lengths to compare it with, and the offcuts worth keeping. Lengths are mm;
//! x runs along the roll from 0, y across it from one edge to the other.
//!
//! The search works on a strip that is a little too short: pieces overlap, and one after the other
//! is put where it overlaps least, pairs that stay in each other's way counting more and more,
//! until all lie apart; then the strip is shortened again. What overlaps is measured between convex
//! parts. Every layout that is kept has been measured anew, edge by edge, on the outlines as drawn.
//!
//! Bounded by a number of moves, never by time: the same pieces, settings and seed give the same
//! layout on every machine and with any number of threads, and more moves never a longer one.
//!
//! Not decided here: which ply may be cut from which roll, and holes in a ply, which stay unused.
//!
//! # Example
//! ```
//! use nalgebra::Point2;
//! use plymend::buy::nest::{Piece, Roll, Settings, Turns, nest};
//!
//! let corners = [(0.0, 0.0), (600.0, 0.0), (600.0, 300.0), (0.0, 300.0)];
//! let piece = Piece {
//!     id: "patch".to_owned(),
//!     outline_mm: corners.map(|(x, y)| Point2::new(x, y)).to_vec(),
//!     copies: 4,
//!     material: "csm-450".to_owned(),
//!     turns: Turns::Any,
//!     may_be_turned_over: true,
//! };
//! let roll = Roll { material: "csm-450".to_owned(), width_mm: 1270.0 };
//! let layout = nest(&[piece], &roll, &Settings::default()).map_err(|faults| faults.len())?;
//! // Side by side across the roll: 4 x 300 mm and three gaps.
//! assert!((layout.used_length_mm - 600.0).abs() < 0.01);
//! # Ok::<(), usize>(())
//! ```

mod clearance;
mod convex;
mod exact;
mod fault;
mod offcut;
mod outline;
mod random;
mod search;
mod shape;
mod sheet;
mod shelf;
mod turn;

use std::collections::BTreeSet;

use nalgebra::{Point2, Vector2};
use rayon::prelude::*;

pub use fault::NestFault;
pub use offcut::Offcut;
pub use outline::OutlineFault;

use random::Random;
use search::{Found, Lane};
use shape::{Shape, laying};
use sheet::{Pose, Task};

/// Searches side by side, each with its share of the moves; part of the answer, so a constant. One
/// long search finds more than several short ones.
const LANES: u64 = 2;
/// Copies in one layout; tables grow with the square.
const MOST_COPIES: usize = 1000;

/// How a piece may be turned on the roll.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turns {
    /// Any way: mat has no direction.
    Any,
    /// As drawn, or by 90, 180 or 270 degrees: woven cloth keeps its threads.
    QuarterTurns,
}

/// A shape to be cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its name, each once.
    pub id: String,
    /// Corners in order, either way round, mm; the last joins the first. Edges do not cross.
    pub outline_mm: Vec<Point2<f64>>,
    /// How many are cut.
    pub copies: usize,
    /// What it is cut from.
    pub material: String,
    /// How it may be turned.
    pub turns: Turns,
    /// Whether its mirror image is as good: both faces of the material are alike.
    pub may_be_turned_over: bool,
}

/// A roll, as long as need be.
#[derive(Clone, Debug, PartialEq)]
pub struct Roll {
    /// What it is.
    pub material: String,
    /// Width as stocked, mm; pieces may reach its edges.
    pub width_mm: f64,
}

/// How a layout is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Least distance between pieces, mm, 0 or more; held to 0.01 mm.
    pub gap_mm: f64,
    /// How often a piece is put somewhere else, in all.
    pub moves: u64,
    /// Another seed, another search.
    pub seed: u64,
    /// The roll is cut off in whole steps of this, mm; 0: where the last piece ends.
    pub cut_off_step_mm: f64,
    /// Shorter side of an offcut worth keeping, mm, at least.
    pub offcut_short_mm: f64,
    /// Longer side of an offcut worth keeping, mm, at least.
    pub offcut_long_mm: f64,
}

impl Default for Settings {
    /// A gap of 5 mm (scissors), 26 000 moves, offcuts from 150 x 300 mm: choices of this project.
    fn default() -> Self {
        Self {
            gap_mm: 5.0,
            moves: 26_000,
            seed: 1,
            cut_off_step_mm: 0.0,
            offcut_short_mm: 150.0,
            offcut_long_mm: 300.0,
        }
    }
}

/// Where a copy of a piece lies.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// The piece.
    pub id: String,
    /// Which of its copies, from 1.
    pub copy: usize,
    /// Mirrored, x to -x, before it is turned; only where the piece may be turned over.
    pub turned_over: bool,
    /// Turned about the origin of its drawing, degrees counter-clockwise, 0 to below 360, in whole
    /// ten-thousandths.
    pub rotation_deg: f64,
    /// Then moved by this, mm, in whole ten-thousandths.
    pub offset_mm: Vector2<f64>,
    /// The outline where it lies, mm.
    pub outline_mm: Vec<Point2<f64>>,
}

/// A cut plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Every copy, in the order of the pieces.
    pub placed: Vec<Placed>,
    /// From the start of the roll to the end of the last piece, mm.
    pub used_length_mm: f64,
    /// What is cut off the roll, mm: the used length up to a whole step.
    pub cut_off_length_mm: f64,
    /// Area of all copies over the width of the roll, mm: no layout can be shorter.
    pub area_bound_mm: f64,
    /// Length of a plain layout, mm: upright rectangles round the pieces in rows.
    pub shelf_length_mm: f64,
    /// Free rectangles of what is cut off, largest first.
    pub offcuts: Vec<Offcut>,
}

/// Why an outline cannot be cut; none where it can.
#[must_use]
pub fn outline_fault(outline_mm: &[Point2<f64>]) -> Option<OutlineFault> {
    outline::checked(outline_mm).err()
}

/// Lays pieces out on a roll, as short as the moves allow; never longer than the plain layout.
///
/// # Errors
/// Every piece that cannot be laid out and every setting that cannot be.
pub fn nest(pieces: &[Piece], roll: &Roll, settings: &Settings) -> Result<Layout, Vec<NestFault>> {
    let task = task(pieces, roll, settings)?;
    // All pieces fit, so there are rows.
    let (poses, shelf_length_mm) = shelf::rows(&task).unwrap_or_default();
    let start = Found { poses, length_mm: shelf_length_mm };
    let search = |lane: u64| {
        let moves = settings.moves / LANES + u64::from(lane < settings.moves % LANES);
        Lane::new(&task, &start, Random::new(settings.seed, lane), moves).run()
    };
    let found: Vec<Found> = (0..LANES).into_par_iter().map(search).collect();
    let best = found
        .into_iter()
        .fold(start.clone(), |best, one| if one.length_mm < best.length_mm { one } else { best });
    Ok(layout(pieces, &task, &best.poses, shelf_length_mm, settings))
}

/// What the search needs, or all faults.
fn task(pieces: &[Piece], roll: &Roll, settings: &Settings) -> Result<Task, Vec<NestFault>> {
    let mut faults = setting_faults(roll, settings);
    let (mut shapes, mut copies) = (Vec::new(), Vec::new());
    let mut ids = BTreeSet::new();
    for piece in pieces {
        let id = || piece.id.clone();
        if !ids.insert(&piece.id) {
            faults.push(NestFault::SameId { piece: id() });
        }
        if piece.material != roll.material {
            faults.push(NestFault::OtherMaterial {
                piece: id(),
                material: piece.material.clone(),
                roll_material: roll.material.clone(),
            });
        }
        let any = piece.turns == Turns::Any;
        let shape = outline::checked(&piece.outline_mm).and_then(|outline| {
            let shape = Shape::new(&outline, any, piece.may_be_turned_over);
            shape.ok_or(OutlineFault::NoInside)
        });
        match shape {
            Err(fault) => faults.push(NestFault::Outline { piece: id(), fault }),
            Ok(shape) => {
                let least_width_mm = shape.least_width_mm();
                if least_width_mm > roll.width_mm + sheet::ROLL_SLACK_MM {
                    let roll_width_mm = roll.width_mm;
                    faults.push(NestFault::TooWide { piece: id(), least_width_mm, roll_width_mm });
                }
                let room = MOST_COPIES + 1;
                copies.extend(std::iter::repeat_n(shapes.len(), piece.copies.min(room)));
                shapes.push(shape);
            }
        }
    }
    let count = pieces.iter().fold(0_usize, |sum, piece| sum.saturating_add(piece.copies));
    if count > MOST_COPIES {
        faults.push(NestFault::TooMany { copies: count, most: MOST_COPIES });
    }
    if faults.is_empty() {
        Ok(Task { shapes, copies, width_mm: roll.width_mm, gap_mm: settings.gap_mm })
    } else {
        Err(faults)
    }
}

fn setting_faults(roll: &Roll, settings: &Settings) -> Vec<NestFault> {
    let all = [
        ("width_mm", roll.width_mm, 1.0, 100_000.0, "1 to 100000 mm"),
        ("gap_mm", settings.gap_mm, 0.0, 1000.0, "0 to 1000 mm"),
        ("cut_off_step_mm", settings.cut_off_step_mm, 0.0, 100_000.0, "0 to 100000 mm"),
        ("offcut_short_mm", settings.offcut_short_mm, 1.0, 100_000.0, "1 to 100000 mm"),
        ("offcut_long_mm", settings.offcut_long_mm, 1.0, 100_000.0, "1 to 100000 mm"),
    ];
    all.into_iter()
        .filter(|(_, found, low, high, _)| !(*low..=*high).contains(found))
        .map(|(name, found, _, _, accepted)| NestFault::Setting { name, found, accepted })
        .collect()
}

fn layout(
    pieces: &[Piece],
    task: &Task,
    poses: &[Pose],
    shelf_length_mm: f64,
    settings: &Settings,
) -> Layout {
    let laid = task.laid(poses);
    let copies = pieces.iter().flat_map(|piece| (1..=piece.copies).map(move |copy| (piece, copy)));
    let placed: Vec<Placed> = copies
        .zip(task.each().zip(poses))
        .map(|((piece, copy), (shape, pose))| {
            let round = |mm: f64| (mm * 1e4).round() / 1e4;
            let laid = laying(pose.lie);
            let offset_mm = (pose.at - laid(&shape.middle)).map(round);
            let moved = |p: &Point2<f64>| Point2::from(laid(&p.coords) + offset_mm);
            Placed {
                id: piece.id.clone(),
                copy,
                turned_over: pose.lie.over,
                rotation_deg: turn::degrees(pose.lie.turn),
                offset_mm,
                outline_mm: piece.outline_mm.iter().map(moved).collect(),
            }
        })
        .collect();
    let ends = placed.iter().flat_map(|one| one.outline_mm.iter().map(|p| p.x));
    let used_length_mm = ends.fold(0.0, f64::max);
    let step_mm = settings.cut_off_step_mm;
    // What is over by less than a thousandth of a millimetre is rounding, not another step.
    let steps = ((used_length_mm - 1e-3) / step_mm).ceil();
    let cut_off_length_mm = if step_mm > 0.0 { steps * step_mm } else { used_length_mm };
    let wanted = offcut::Wanted {
        length_mm: cut_off_length_mm,
        width_mm: task.width_mm,
        gap_mm: settings.gap_mm,
        short_mm: settings.offcut_short_mm,
        long_mm: settings.offcut_long_mm,
    };
    Layout {
        placed,
        used_length_mm,
        cut_off_length_mm,
        area_bound_mm: task.area_bound_mm(),
        shelf_length_mm,
        offcuts: offcut::offcuts(&laid, &wanted),
    }
}
