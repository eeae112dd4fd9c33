//! Sizes and estimates repairs to glass-fibre vehicle bodies.
pub mod surface;
