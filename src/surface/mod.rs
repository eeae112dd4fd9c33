//! How big, how far and where, on the true skin of a panel?

pub mod chart;
pub(crate) mod face;
pub(crate) mod form;
pub mod mesh;
pub(crate) mod meshing;
pub(crate) mod parts;
pub mod ply;
pub(crate) mod ring;
pub mod shape_figures;
pub mod skin;
pub(crate) mod spacing;
pub(crate) mod turned_edge;
pub(crate) mod web;
