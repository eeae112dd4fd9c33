//! Plain heat balances: how far can it heat itself, and how fast does a thin part cool?
//!
//! SI units by suffix. Closed forms only; no temperature through the thickness is claimed.

use crate::wording::{Fault, above_zero, within};

/// Temperature rise when no heat is lost, K: resin mass fraction x heat of reaction x share
/// reacted / specific heat (energy balance).
///
/// # Errors
/// A fraction or share outside 0 to 1, heat or specific heat not above zero.
pub fn adiabatic_rise_k(
    resin_fraction: f64,
    heat_j_kg: f64,
    share_reacted: f64,
    specific_heat_j_kg_k: f64,
) -> Result<f64, Fault> {
    let fraction = within("resin mass fraction", resin_fraction, "", 0.0, 1.0)?;
    let heat_j_kg = above_zero("heat of reaction", heat_j_kg, "J/kg")?;
    let share = within("share reacted", share_reacted, "", 0.0, 1.0)?;
    Ok(fraction * heat_j_kg * share
        / above_zero("specific heat", specific_heat_j_kg_k, "J/(kg K)")?)
}

/// Time constant of a thin part of even temperature, s: density x specific heat x thickness over
/// the sum of both faces' heat transfer coefficients (lumped solution, textbook).
///
/// # Errors
/// Any value not above zero.
pub fn cooling_time_constant_s(
    density_kg_m3: f64,
    specific_heat_j_kg_k: f64,
    thickness_m: f64,
    both_faces_w_m2_k: f64,
) -> Result<f64, Fault> {
    Ok(above_zero("density", density_kg_m3, "kg/m³")?
        * above_zero("specific heat", specific_heat_j_kg_k, "J/(kg K)")?
        * above_zero("thickness", thickness_m, "m")?
        / above_zero("heat transfer", both_faces_w_m2_k, "W/(m² K)")?)
}

/// Temperature excess left after a time, K.
#[must_use]
pub fn excess_left_k(excess_at_start_k: f64, time_s: f64, time_constant_s: f64) -> f64 {
    excess_at_start_k * (-time_s / time_constant_s).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn impossible_inputs_are_refused() {
        assert!(adiabatic_rise_k(1.2, 3.2e5, 1.0, 1700.0).is_err());
        assert!(adiabatic_rise_k(1.0, 3.2e5, 1.0, 0.0).is_err());
        assert!(cooling_time_constant_s(1428.0, 1430.0, 0.0, 16.0).is_err());
    }
}
