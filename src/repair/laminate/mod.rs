//! How stiff is a stack of plies?
//!
//! Takes plies with their glass content and thickness; gives moduli, the tabular strip and
//! classical laminate theory. Pure figures: nothing here knows of marks or panels. Moduli MPa,
//! thicknesses mm, so stiffnesses per width are N/mm, N and N mm.

pub mod classical;
pub mod properties;
pub mod strip;

pub use classical::{Laminate, Ply};
pub use properties::{Reinforcement, laid_ply};
