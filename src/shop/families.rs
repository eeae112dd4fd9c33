//! Rates of resins other than general-purpose polyester, and one type over all of them.
//!
//! Vinyl ester follows the staged model with a higher final glass transition. Epoxy has no
//! inhibitor and no catalyst: it reacts from the start (autocatalytic with two rate constants,
//! Kamal and Sourour's standard form) with the same brake, its pace taken from the gel time of the
//! data sheet.

use super::cure::{GlassTransition, Kinetics, Resin};
use super::forecast::CureTargets;
use super::gel_time::arrhenius_factor;
use super::slab::reaction::{Reaction, State};
use crate::wording::{Fault, above_zero, within};

/// Heat of reaction of neat polyester, J/kg (choice within 300-420 kJ/kg from memory).
pub const POLYESTER_HEAT_J_KG: f64 = 320.0e3;
/// Heat of reaction of neat vinyl ester, J/kg (choice within 300-400 kJ/kg from memory).
pub const VINYL_ESTER_HEAT_J_KG: f64 = 350.0e3;
/// Heat of reaction of mixed epoxy, J/kg (choice within 400-550 kJ/kg from memory).
pub const EPOXY_HEAT_J_KG: f64 = 450.0e3;

/// Vinyl ester: as general-purpose polyester, final glass transition 120 °C (choice within
/// 115-125 °C from memory). Its clock comes from its own data sheet.
pub const VINYL_ESTER: Kinetics = Kinetics {
    glass: GlassTransition { cured_c: 120.0, ..Kinetics::GENERAL_PURPOSE.glass },
    ..Kinetics::GENERAL_PURPOSE
};

/// Targets of a resin whose brake bites earlier than general-purpose polyester's: every
/// conversion is lower by as much as the brake's own at 20 °C (choice: hardness goes with the glass
/// transition, not with the conversion).
#[must_use]
pub fn milestones_of(kinetics: &Kinetics, targets: CureTargets) -> CureTargets {
    let bites = |of: &Kinetics| of.glass.conversion_at(20.0);
    let earlier = (bites(&Kinetics::GENERAL_PURPOSE) - bites(kinetics)).max(0.0);
    CureTargets {
        sandable: targets.sandable - earlier,
        fairing: targets.fairing - earlier,
        paint: targets.paint - earlier,
        ..targets
    }
}

/// An epoxy, mixed as its maker says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Epoxy {
    /// Temperature at which the rates below hold, °C.
    pub reference_c: f64,
    /// Rate without what has grown, 1/min.
    pub first_per_min: f64,
    /// Rate with it, 1/min.
    pub grown_per_min: f64,
    /// Below this nothing is counted, °C.
    pub stand_still_below_c: f64,
}

impl Epoxy {
    /// Activation energy, kJ/mol (choice within 44-57, J. Appl. Polym. Sci. 56, 1029 (1995),
    /// abstract).
    pub const ACTIVATION_KJ_MOL: f64 = 55.0;
    /// Conversion at gel (choice within 0.55-0.60; 0.577 by Flory's theory).
    pub const GEL_CONVERSION: f64 = 0.58;
    /// Exponent of what is left (choice; the exponents sum to 2.5-3 in the same abstract).
    pub const ORDER_LEFT: f64 = 1.75;
    /// First rate over the grown one (choice).
    pub const FIRST_SHARE: f64 = 2.0e-5 / 6.0e-4;
    /// Sharpness of the brake (choice, as polyester's).
    pub const BRAKE_SHARPNESS: f64 = 50.0;
    /// Glass transition (choice; cured 80-100 °C from memory).
    pub const GLASS: GlassTransition =
        GlassTransition { uncured_c: -40.0, cured_c: 85.0, lambda: 0.45 };

    /// Rates so that a thin film gels in `gel_min` at `at_c`.
    ///
    /// # Errors
    /// A gel time that is not above zero, a temperature outside 0 to 60 °C.
    pub fn of_gel_time(gel_min: f64, at_c: f64, stand_still_below_c: f64) -> Result<Self, Fault> {
        const SLICES: u32 = 4000;
        let gel_min = above_zero("gel time", gel_min, "min")?;
        let at_c = within("temperature of the gel time", at_c, "°C", 0.0, 60.0)?;
        let width = Self::GEL_CONVERSION / f64::from(SLICES);
        // The time to gel is the integral of 1/rate over the conversion (midpoint rule), for a
        // grown rate of one.
        let unit: f64 = (0..SLICES)
            .map(|slice| (f64::from(slice) + 0.5) * width)
            .map(|a| width / (Self::shape(a) * Self::brake(a, at_c)))
            .sum();
        Ok(Self {
            reference_c: at_c,
            first_per_min: Self::FIRST_SHARE * unit / gel_min,
            grown_per_min: unit / gel_min,
            stand_still_below_c,
        })
    }

    fn shape(a: f64) -> f64 {
        (Self::FIRST_SHARE + a) * (1.0 - a).powf(Self::ORDER_LEFT)
    }

    fn brake(a: f64, t_c: f64) -> f64 {
        1.0 / (1.0 + (Self::BRAKE_SHARPNESS * (a - Self::GLASS.conversion_at(t_c))).exp())
    }
}

impl Reaction for Epoxy {
    fn at_pour(&self) -> State {
        State { inhibitor_left: 0.0, conversion: 0.0 }
    }

    fn induction_per_min(&self, _: f64) -> f64 {
        0.0
    }

    fn growth_per_min(&self, conversion: f64, t_c: f64) -> f64 {
        // A missing temperature does not count either.
        let counts = t_c >= self.stand_still_below_c;
        if !counts {
            return 0.0;
        }
        let a = conversion.clamp(0.0, 1.0);
        (self.first_per_min + self.grown_per_min * a)
            * (1.0 - a).powf(Self::ORDER_LEFT)
            * arrhenius_factor(Self::ACTIVATION_KJ_MOL, t_c, self.reference_c)
            * Self::brake(a, t_c)
    }

    fn gel_conversion(&self) -> f64 {
        Self::GEL_CONVERSION
    }
}

/// Any resin of a stock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rates {
    /// Polyester or vinyl ester.
    Staged(Resin),
    /// Epoxy.
    Epoxy(Epoxy),
}

impl Reaction for Rates {
    fn at_pour(&self) -> State {
        match self {
            Self::Staged(resin) => resin.at_pour(),
            Self::Epoxy(epoxy) => epoxy.at_pour(),
        }
    }

    fn induction_per_min(&self, t_c: f64) -> f64 {
        match self {
            Self::Staged(resin) => resin.induction_per_min(t_c),
            Self::Epoxy(epoxy) => epoxy.induction_per_min(t_c),
        }
    }

    fn growth_per_min(&self, conversion: f64, t_c: f64) -> f64 {
        match self {
            Self::Staged(resin) => resin.growth_per_min(conversion, t_c),
            Self::Epoxy(epoxy) => epoxy.growth_per_min(conversion, t_c),
        }
    }

    fn gel_conversion(&self) -> f64 {
        match self {
            Self::Staged(resin) => resin.gel_conversion(),
            Self::Epoxy(epoxy) => epoxy.gel_conversion(),
        }
    }
}

/// When a film held at a temperature gels, min; nothing within a week.
#[must_use]
pub fn film_gel_min(reaction: &impl Reaction, t_c: f64) -> Option<f64> {
    let mut state = reaction.at_pour();
    let mut minute = 0.0;
    while minute < 7.0 * 1440.0 {
        let (next, gel) = reaction.advance(state, (t_c, t_c), 0.5);
        if let Some(after) = gel {
            return Some(minute + after);
        }
        (state, minute) = (next, minute + 0.5);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn epoxy_gels_when_its_data_sheet_says() {
        let epoxy = Epoxy::of_gel_time(45.0, 25.0, 10.0).unwrap();
        assert_relative_eq!(film_gel_min(&epoxy, 25.0).unwrap(), 45.0, max_relative = 2e-3);
        assert!(film_gel_min(&epoxy, 15.0).unwrap() > 85.0);
        assert!(film_gel_min(&epoxy, 5.0).is_none());
        assert!(Epoxy::of_gel_time(0.0, 25.0, 10.0).is_err());
    }

    #[test]
    fn cold_vinyl_ester_is_left_further_from_its_end() {
        let at = |kinetics: Kinetics| kinetics.glass.conversion_at(20.0);
        assert!(at(VINYL_ESTER) < at(Kinetics::GENERAL_PURPOSE));
    }
}
