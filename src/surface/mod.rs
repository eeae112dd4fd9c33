//! How big, how far and where, on the true skin of a panel?
//!
//! Takes panels and marks as read; gives a checked triangle mesh a panel, distances over it,
//! areas within a reach, straight lines, and the place and seen form of every mark. Lengths are
//! mm and areas mm2.
//!
//! - A panel becomes a skin: [`skin`] cuts its face out of a [`form`], [`mesh`] is what comes of
//!   it, [`shape_figures`] says how curved it is and [`ply`] writes it for other software.
//! - Distances: [`origin`] says where one starts, [`field`] works it out, [`level`] measures what
//!   lies within a reach, [`trace`] walks straight and [`patch_outline`] lays patches.
//! - Marks: [`place`] and [`allowed`] find places by tapes, [`placed`] holds a panel ready for
//!   marks and [`marks`] lays them on it.

pub mod allowed;
mod bend;
pub mod better_tapes;
mod chart;
pub mod ellipse;
mod face;
pub mod field;
pub mod flatten;
pub mod form;
mod front;
mod ground;
mod lattice;
mod leaf;
pub mod level;
pub mod lines;
pub mod marks;
pub mod mesh;
mod mesh_fault;
mod meshing;
pub mod origin;
mod parts;
pub mod patch_outline;
pub mod place;
pub mod placed;
pub mod ply;
mod ring;
pub mod scan;
mod seed;
pub mod seen_form;
pub mod shape_figures;
pub mod skin;
mod spacing;
mod tapes;
pub mod third_tape;
pub mod trace;
mod turned_edge;
mod weave;
mod web;
mod window;
