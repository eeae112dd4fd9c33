//! How big, how far and where, on the true skin of a panel?
//!
//! Takes panels and marks as read; gives a checked triangle mesh a panel, distances over it,
//! areas within a reach, straight lines, and the place and seen form of every mark. Lengths are
//! mm and areas mm2.
//!
//! - A panel becomes a skin: [`skin`] cuts its face out of a [`form`], [`mesh`] is what comes of
//!   it, [`shape_figures`] says how curved it is and [`ply`] writes it for other software.
//! - Distances: [`origin`] says where one starts, [`field`] works it out, [`level`] measures what
//!   lies within a reach, [`closed`] draws its whole rim, [`flatten`] lays it flat, [`trace`]
//!   walks straight and [`patch_outline`] lays patches.
//! - Marks: [`place`] and [`allowed`] find places by tapes, [`ellipse`] says how good they are,
//!   [`better_tapes`] which tapes would be better, [`placed`] holds a panel ready for marks and
//!   [`marks`] lays them on it.
//! - Skins that the body file says are moulded in one: [`seam`].
//!
//! # From a panel to areas and a flat shape
//! Everything below the marks works without a job: a panel file, a mesh of one's own (by
//! [`mesh::Mesh::new`]) or a scan will do.
//!
//! ```
//! use nalgebra::Point2;
//! use plymend::read::job::{self, TextFolder};
//! use plymend::surface::{
//!     field::DistanceField, flatten::LaidFlat, level::area_within, origin::Origin, skin,
//!     trace::{Direction, trace},
//! };
//!
//! let text = r#"(format: 1, name: "lid", surface: Moulding(
//!     kind: lid, length_mm: 900, width_mm: 700, crown_along_mm: 30, crown_across_mm: 22))"#;
//! let folder = TextFolder::from([("lid.ron", text)]);
//! let (panel, _) = job::panel(&folder, "lid.ron").map_err(|faults| faults.len())?;
//! let skin = skin::of(&panel).map_err(|faults| faults.len())?;
//! let mesh = &skin.mesh;
//! let everywhere = vec![true; mesh.faces.len()];
//!
//! // A crack 260 mm long from a place on the grid, straight over the skin.
//! let (start, _miss_mm) = mesh.nearest(Point2::new(300.0, 350.0));
//! let crack = trace(mesh, &everywhere, start, Direction::Degrees(20.0), 260.0);
//! let origin = Origin::line(mesh, &crack.path);
//!
//! // One field serves every reach up to its limit.
//! let field = DistanceField::spread(mesh, &everywhere, &origin, 110.0).map_err(|_| 0_usize)?;
//! let [small, large] = [25.0, 100.0].map(|reach| area_within(&field, reach));
//! assert!(small.area_mm2 > 2.0 * 25.0 * 260.0 && small.area_mm2 < large.area_mm2);
//!
//! // A double curve gives when it is laid flat; the figures say by how much.
//! let sheets = LaidFlat::of(mesh, &field.faces_within(100.0));
//! assert!(sheets[0].distortion.stretch_percent.1 < 1.0);
//! # Ok::<(), usize>(())
//! ```
//!
//! A crack on the generic wing, with the rims of four reaches (`examples/skin_pictures` draws
//! these):
//!
#![doc = include_str!("../../examples/skin_pictures/reaches.svg")]
//!
//! The same laid flat:
//!
#![doc = include_str!("../../examples/skin_pictures/laid_flat.svg")]
//!
//! Two tapes over the wing, the place where they meet, and what they allow when each may be off:
//!
#![doc = include_str!("../../examples/skin_pictures/two_tapes.svg")]

pub mod allowed;
mod bend;
pub mod better_tapes;
pub(crate) mod chart;
pub mod closed;
pub mod ellipse;
mod face;
pub mod field;
pub mod flatten;
pub mod form;
mod front;
pub mod grid_marks;
mod ground;
mod lattice;
mod leaf;
pub mod level;
pub mod lines;
pub mod marks;
pub mod mesh;
mod mesh_fault;
mod meshing;
pub mod opened;
pub mod origin;
mod parts;
pub mod patch_outline;
pub mod place;
pub mod placed;
pub mod ply;
pub mod reading_grid;
mod ring;
pub mod scan;
pub mod seam;
mod seed;
pub mod seen_form;
pub mod shape_figures;
pub mod skin;
mod spacing;
pub mod tapes;
pub mod third_tape;
pub mod trace;
mod traced;
mod turned_edge;
mod weave;
mod web;
mod window;
