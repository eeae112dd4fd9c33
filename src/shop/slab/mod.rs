//! How hot does it get through the thickness, and when is it hard everywhere?
//!
//! Heat in one dimension through fresh plies, earlier plies and the old panel, with the resin's
//! reaction in every cell: rho cp dT/dt = d/dx(k dT/dx) + rho (1 - psi) H da/dt, and heat given
//! to the air at both faces. Finite volumes, implicit in time (trapezoidal), so that the heat of
//! reaction is counted once and the balance closes to rounding ([`Balance::residual`]). Minutes,
//! °C and mm outside, SI inside.
//!
//! The rates are calibrated and not measured, and no measured trace of a laminate is at hand: a
//! peak above about 4 mm is no prediction. Use bounds and decide on the upper.

pub mod material;
pub mod reaction;
mod run;
pub mod tridiagonal;

pub use run::{Fineness, Moment, Trace, reached};

use crate::wording::{Fault, above_zero, within};
use material::Mixture;
use reaction::{Reaction, State};

/// Heat given to the air by each face, W/(m² K). Still indoor air: 8-10, of it about 5
/// radiation; under film 6; a draught of 1 m/s 12-15; against thick foam or timber 1-3 (all from
/// memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Faces {
    /// At the first layer laid.
    pub below_w_m2_k: f64,
    /// At the last.
    pub above_w_m2_k: f64,
}

/// One layer to lay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// What it is made of.
    pub mixture: Mixture,
    /// Temperature when it is laid, °C.
    pub start_c: f64,
    /// Into how many cells it is cut.
    pub cells: usize,
}

/// Where the heat went, J for each m² of face.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Balance {
    /// Given off by the reaction.
    pub released_j_m2: f64,
    /// Given to the air, both faces.
    pub lost_j_m2: f64,
    /// Kept as temperature, counted from when each layer was laid.
    pub stored_j_m2: f64,
}

impl Balance {
    /// What does not add up, as a share of the heat released.
    #[must_use]
    pub fn residual(&self) -> f64 {
        (self.released_j_m2 - self.lost_j_m2 - self.stored_j_m2).abs()
            / self.released_j_m2.abs().max(1.0)
    }
}

/// One slice of the thickness.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Cell {
    /// Heat for one kelvin, J/(m² K).
    capacity_j_m2_k: f64,
    /// From its middle to its edge, m² K/W.
    half_resistance: f64,
    /// Heat of the whole reaction, J/m²; 0 in an inert layer.
    heat_j_m2: f64,
    t_c: f64,
    laid_at_c: f64,
    state: State,
    /// Minute of its gel.
    gel_min: Option<f64>,
    reacts: bool,
}

/// Layers from the bottom up, at one time.
#[derive(Debug, Clone)]
pub struct Slab<R> {
    reaction: R,
    heat_j_kg: f64,
    faces: Faces,
    cells: Vec<Cell>,
    minute: f64,
    steps_since_laid: u32,
    released_j_m2: f64,
    lost_j_m2: f64,
    work: run::Work,
}

impl<R: Reaction> Slab<R> {
    /// Nothing laid yet. `heat_j_kg` is the heat of the whole reaction of 1 kg of resin.
    ///
    /// # Errors
    /// Heat that is no number from 0 to 1 MJ/kg, faces outside 0 to 1e9 W/(m² K).
    pub fn new(reaction: R, heat_j_kg: f64, faces: Faces) -> Result<Self, Fault> {
        within("heat of reaction", heat_j_kg, "J/kg", 0.0, 1.0e6)?;
        for face in [faces.below_w_m2_k, faces.above_w_m2_k] {
            within("heat transfer", face, "W/(m² K)", 0.0, 1.0e9)?;
        }
        Ok(Self {
            reaction,
            heat_j_kg,
            faces,
            cells: Vec::new(),
            minute: 0.0,
            steps_since_laid: 0,
            released_j_m2: 0.0,
            lost_j_m2: 0.0,
            work: run::Work::default(),
        })
    }

    /// Lays a layer that does not react: the old panel, or a former of metal.
    ///
    /// # Errors
    /// A thickness that is not above zero, no cell, a temperature outside -50 to 250 °C.
    pub fn lay_inert(&mut self, layer: &Layer) -> Result<(), Fault> {
        let state = State { inhibitor_left: 0.0, conversion: 1.0 };
        self.add(layer, state, false)
    }

    /// Lays fresh plies.
    ///
    /// # Errors
    /// As [`Slab::lay_inert`].
    pub fn lay(&mut self, layer: &Layer) -> Result<(), Fault> {
        self.add(layer, self.reaction.at_pour(), true)
    }

    /// Lays resin that is some way on.
    ///
    /// # Errors
    /// As [`Slab::lay_inert`]; a state outside 0 to 1.
    pub fn lay_in_state(&mut self, layer: &Layer, state: State) -> Result<(), Fault> {
        within("induction to go", state.inhibitor_left, "", 0.0, 1.0)?;
        within("conversion", state.conversion, "", 0.0, 1.0)?;
        self.add(layer, state, true)
    }

    fn add(&mut self, layer: &Layer, state: State, reacts: bool) -> Result<(), Fault> {
        let thickness_m = above_zero("thickness", layer.thickness_mm, "mm")? / 1000.0;
        let start_c = within("temperature when laid", layer.start_c, "°C", -50.0, 250.0)?;
        let count = above_zero("cells of a layer", layer.cells as f64, "")?;
        let mixture = &layer.mixture;
        let cell_m = thickness_m / count;
        let kg_m2 = mixture.density_kg_m3 * cell_m;
        let cell = Cell {
            capacity_j_m2_k: kg_m2 * mixture.specific_heat_j_kg_k,
            half_resistance: cell_m
                / 2.0
                / above_zero("conductivity", mixture.conductivity_w_m_k, "W/(m K)")?,
            heat_j_m2: if reacts { kg_m2 * mixture.resin_fraction * self.heat_j_kg } else { 0.0 },
            t_c: start_c,
            laid_at_c: start_c,
            state,
            gel_min: (reacts && self.reaction.gelled(&state)).then_some(self.minute),
            reacts,
        };
        self.cells.extend(std::iter::repeat_n(cell, layer.cells));
        self.steps_since_laid = 0;
        Ok(())
    }

    /// Minutes since the first run began.
    #[must_use]
    pub const fn minute(&self) -> f64 {
        self.minute
    }

    /// Temperatures of the cells from the bottom up, °C.
    #[must_use]
    pub fn temperatures_c(&self) -> Vec<f64> {
        self.cells.iter().map(|cell| cell.t_c).collect()
    }

    /// Conversions of the cells from the bottom up; 1 in an inert layer.
    #[must_use]
    pub fn conversions(&self) -> Vec<f64> {
        self.cells.iter().map(|cell| cell.state.conversion).collect()
    }

    /// Temperature of the upper face, °C, with the air at `air_c`.
    #[must_use]
    pub fn upper_face_c(&self, air_c: f64) -> f64 {
        self.cells.last().map_or(air_c, |cell| {
            // Continuity of the flow between the cell's middle, its face and the air.
            let bi = self.faces.above_w_m2_k * cell.half_resistance;
            (cell.t_c + bi * air_c) / (1.0 + bi)
        })
    }

    /// Where the heat went so far.
    #[must_use]
    pub fn balance(&self) -> Balance {
        let stored = |cell: &Cell| cell.capacity_j_m2_k * (cell.t_c - cell.laid_at_c);
        Balance {
            released_j_m2: self.released_j_m2,
            lost_j_m2: self.lost_j_m2,
            stored_j_m2: self.cells.iter().map(stored).sum(),
        }
    }
}

#[cfg(test)]
#[path = "slab_tests.rs"]
mod tests;
