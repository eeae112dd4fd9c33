//! How a repair matches its parent, as the record holds it.

use serde::Serialize;

/// A repair against its parent laminate, as ratios.
#[derive(Debug, Clone, Serialize)]
pub struct MatchLine {
    /// Thickness of the restored skin, without backing, over the parent's.
    pub thickness_ratio: f64,
    /// Its membrane stiffness over the parent's.
    pub membrane_ratio: f64,
    /// Bending stiffness just inside the edge of the backing over that just outside.
    pub bending_ratio: Option<f64>,
    /// The parent's plies are not known: taken as mat all through.
    pub parent_assumed: bool,
    /// What is outside its limits.
    pub outside: Vec<String>,
}
