//! How long until the resin gels? A clock that runs with temperature and catalyst.
//!
//! Takes °C and % catalyst by mass, gives minutes in a thin film at shop temperature. The
//! reference gel time comes from the resin's data sheet; the form is Arrhenius in temperature
//! and a power of the dose. Calibrated, not measured: the band is at least 30 % either way.

use crate::wording::{Fault, above_zero, within};

/// Gas constant, J/(mol K) (published: CODATA, rounded).
pub const GAS_CONSTANT_J_MOL_K: f64 = 8.3145;
/// 0 °C in kelvin (definition).
pub const ZERO_C_K: f64 = 273.15;
/// Activation energy of the room-temperature stage, kJ/mol. Within the 40-60 kJ/mol of
/// J. Appl. Polym. Sci. 102, 1870 (2006), abstract (published); the value is a choice.
pub const GEL_ACTIVATION_KJ_MOL: f64 = 50.0;

/// exp(-E/R (1/T - 1/T_ref)): how much faster than at the reference temperature, 1 at it.
/// E in kJ/mol, temperatures in °C.
#[must_use]
pub fn arrhenius_factor(activation_kj_mol: f64, t_c: f64, reference_c: f64) -> f64 {
    let inverse_difference = 1.0 / (t_c + ZERO_C_K) - 1.0 / (reference_c + ZERO_C_K);
    (-activation_kj_mol * 1000.0 / GAS_CONSTANT_J_MOL_K * inverse_difference).exp()
}

/// The activation energy at which a rate grows by `ratio` between two temperatures, kJ/mol.
///
/// # Errors
/// A ratio that is not above zero, or equal temperatures.
pub fn activation_kj_mol(ratio: f64, from_c: f64, to_c: f64) -> Result<f64, Fault> {
    let ratio = above_zero("ratio of rates", ratio, "")?;
    let inverse_difference = 1.0 / (from_c + ZERO_C_K) - 1.0 / (to_c + ZERO_C_K);
    if inverse_difference.abs() > 1.0e-9 {
        Ok(GAS_CONSTANT_J_MOL_K * ratio.ln() / inverse_difference / 1000.0)
    } else {
        Err(Fault::new("second temperature", to_c, "°C", "a temperature unlike the first"))
    }
}

/// A resin's gel clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GelClock {
    /// Gel time at the reference temperature and dose, min.
    pub reference_min: f64,
    /// Reference temperature, °C.
    pub reference_c: f64,
    /// Reference dose, % by mass.
    pub reference_percent: f64,
    /// Activation energy, kJ/mol.
    pub activation_kj_mol: f64,
    /// Exponent of the dose: gel time falls as dose to this power.
    pub dose_exponent: f64,
}

impl GelClock {
    /// General-purpose polyester without a data sheet: 12.5 min at 25 °C and 2 % (a choice,
    /// calibrated on trade guides: 15-20 min at 20 °C and 2 %, common practice).
    pub const GENERAL_PURPOSE: Self = Self {
        reference_min: 12.5,
        reference_c: 25.0,
        reference_percent: 2.0,
        activation_kj_mol: GEL_ACTIVATION_KJ_MOL,
        dose_exponent: 1.0,
    };

    /// Checks the clock and a dose before they are used.
    ///
    /// # Errors
    /// Anything not above zero, energies outside 10 to 150 kJ/mol.
    pub fn check(&self, percent: f64) -> Result<(), Fault> {
        above_zero("reference gel time", self.reference_min, "min")?;
        within("reference temperature of the gel time", self.reference_c, "°C", 0.0, 60.0)?;
        above_zero("reference catalyst dose", self.reference_percent, "%")?;
        within("activation energy", self.activation_kj_mol, "kJ/mol", 10.0, 150.0)?;
        within("dose exponent", self.dose_exponent, "", 0.0, 2.0)?;
        above_zero("catalyst dose", percent, "%")?;
        Ok(())
    }

    /// Share of the gel time used up per minute.
    #[must_use]
    pub fn rate_per_min(&self, t_c: f64, percent: f64) -> f64 {
        (percent / self.reference_percent).powf(self.dose_exponent)
            * arrhenius_factor(self.activation_kj_mol, t_c, self.reference_c)
            / self.reference_min
    }

    /// Gel time at a constant temperature, min.
    #[must_use]
    pub fn gel_min(&self, t_c: f64, percent: f64) -> f64 {
        1.0 / self.rate_per_min(t_c, percent)
    }

    /// The clock with every time multiplied.
    #[must_use]
    pub fn stretched(&self, factor: f64) -> Self {
        Self { reference_min: self.reference_min * factor, ..*self }
    }
}

/// Activation energy from two gel times of one data sheet, kJ/mol, kept within 40-60 (the range
/// of J. Appl. Polym. Sci. 102, 1870 (2006), abstract; keeping to it is a choice).
///
/// # Errors
/// Times not above zero, equal temperatures.
pub fn activation_from_gel_times_kj_mol(
    (first_min, first_c): (f64, f64),
    (second_min, second_c): (f64, f64),
) -> Result<f64, Fault> {
    let first_min = above_zero("first gel time", first_min, "min")?;
    let second_min = above_zero("second gel time", second_min, "min")?;
    Ok(activation_kj_mol(first_min / second_min, first_c, second_c)?.clamp(40.0, 60.0))
}

/// Dose exponent from two gel times at one temperature, kept within 0.5-1.2 (choice: half order
/// of steady radical polymerisation to a little above the inhibitor's first order).
///
/// # Errors
/// Times or doses not above zero, equal doses.
pub fn exponent_from_gel_times(
    (first_min, first_percent): (f64, f64),
    (second_min, second_percent): (f64, f64),
) -> Result<f64, Fault> {
    let times = above_zero("first gel time", first_min, "min")?
        / above_zero("second gel time", second_min, "min")?;
    let doses = above_zero("second dose", second_percent, "%")?
        / above_zero("first dose", first_percent, "%")?;
    if doses.ln().abs() > 1.0e-9 {
        Ok((times.ln() / doses.ln()).clamp(0.5, 1.2))
    } else {
        Err(Fault::new("second dose", second_percent, "%", "a dose unlike the first"))
    }
}

/// How much one hour counts towards a floor stated in days at `reference_c`: a colder hour counts
/// by the gel clock, nothing below `stand_still_below_c`, a warmer hour once.
#[must_use]
pub fn floor_share(t_c: f64, reference_c: f64, stand_still_below_c: f64) -> f64 {
    if t_c >= stand_still_below_c {
        arrhenius_factor(GEL_ACTIVATION_KJ_MOL, t_c, reference_c).min(1.0)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn the_clock_reads_its_own_reference() {
        let clock = GelClock::GENERAL_PURPOSE;
        assert_abs_diff_eq!(clock.gel_min(25.0, 2.0), 12.5, epsilon = 1e-12);
        assert!(clock.gel_min(15.0, 2.0) > clock.gel_min(20.0, 2.0));
        assert_abs_diff_eq!(clock.gel_min(25.0, 1.0), 25.0, epsilon = 1e-12);
        assert!(clock.check(0.0).is_err() && clock.check(2.0).is_ok());
    }

    #[test]
    fn two_gel_times_give_back_their_energy_and_exponent() {
        let clock =
            GelClock { activation_kj_mol: 56.0, dose_exponent: 0.8, ..GelClock::GENERAL_PURPOSE };
        let at = |t_c| (clock.gel_min(t_c, 2.0), t_c);
        let energy = activation_from_gel_times_kj_mol(at(15.0), at(25.0)).unwrap();
        assert_abs_diff_eq!(energy, 56.0, epsilon = 1e-9);
        let dose = |percent| (clock.gel_min(20.0, percent), percent);
        let exponent = exponent_from_gel_times(dose(1.0), dose(2.0)).unwrap();
        assert_abs_diff_eq!(exponent, 0.8, epsilon = 1e-9);
        assert!(activation_from_gel_times_kj_mol(at(20.0), at(20.0)).is_err());
        assert!(exponent_from_gel_times(dose(2.0), dose(2.0)).is_err());
    }

    #[test]
    fn floor_hours_count_as_settled() {
        // 0.87 at 18 °C and 0.70 at 15 °C are the settled shares, to two decimals.
        assert_abs_diff_eq!(floor_share(18.0, 20.0, 12.0), 0.87, epsilon = 0.005);
        assert_abs_diff_eq!(floor_share(15.0, 20.0, 12.0), 0.70, epsilon = 0.005);
        assert_abs_diff_eq!(floor_share(11.99, 20.0, 12.0), 0.0);
        assert!(floor_share(12.0, 20.0, 12.0) > 0.5);
        assert_abs_diff_eq!(floor_share(20.01, 20.0, 12.0), 1.0);
        assert_abs_diff_eq!(floor_share(f64::NAN, 20.0, 12.0), 0.0);
    }
}
