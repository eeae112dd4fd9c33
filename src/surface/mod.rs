//! How big, how far and where, on the true skin of a panel?
//!
//! [`mesh`] is the checked surface with its grid; [`trace`] walks straight over it; [`outline`]
//! lays lines and patches; [`origin`] says where a distance starts and [`field`] works it out;
//! [`level`] measures what lies within a reach; [`place`] and [`allowed`] find places by tapes.
//! Lengths are millimetres.

pub mod allowed;
mod chart;
pub mod field;
mod front;
mod lattice;
pub mod level;
pub mod mesh;
pub mod origin;
pub mod outline;
pub mod place;
mod seed;
pub mod trace;
mod weave;
mod window;
