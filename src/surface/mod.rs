//! How big, how far and where, on the true skin of a panel?

pub mod allowed;
pub mod chart;
pub mod field;
pub mod lattice;
pub mod level;
pub mod mesh;
pub mod origin;
pub mod place;
pub mod seed;
pub mod trace;
pub mod window;
