//! Sizes and estimates repairs to glass-fibre (GRP) vehicle bodies.

pub mod shop;
