//! How big, how far and where, on the true skin of a panel?
//!
//! Takes panels and marks as read; gives a checked triangle mesh a panel, distances over it,
//! areas within a reach, straight lines, and the place and seen form of every mark. Lengths are
//! mm and areas mm2.

pub mod allowed;
pub mod chart;
pub mod field;
pub mod form;
pub mod lattice;
pub mod level;
pub mod marks;
pub mod mesh;
pub mod meshing;
pub mod origin;
pub mod outline;
pub mod place;
pub mod placed;
pub mod ply;
pub mod seed;
pub mod shape_figures;
pub mod skin;
pub mod trace;
pub mod turned_edge;
pub mod window;
