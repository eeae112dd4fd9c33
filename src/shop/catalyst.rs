//! How much catalyst (MEKP), and may that dose be used? Dose gates, grams and millilitres.
//!
//! Doses are per cent of the resin by mass, peroxide as supplied. Takes a dose, the temperature
//! and limit records; gives a [`Gate`] and amounts (g, ml). No text here offers a dose beyond the
//! refuse line: cold is met by warmth, never by more peroxide.

use super::gate::Gate;
use crate::wording::{Fault, above_zero, plain, warm, within};

/// Density of MEKP at about 9 % active oxygen, g/ml. Trade range 1.10-1.17 (from memory);
/// the value is a choice.
pub const MEKP_DENSITY_G_ML: f64 = 1.15;

/// Dose limits for laminating resin, % by mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LaminatingDoseLimits {
    /// Refused below this.
    pub refuse_below_percent: f64,
    /// Warned below this.
    pub warn_below_percent: f64,
    /// Warned above this.
    pub warn_above_percent: f64,
    /// Refused above this.
    pub refuse_above_percent: f64,
    /// Colder than this, the stricter limit below holds, °C.
    pub cold_below_c: f64,
    /// Refused above this when cold.
    pub cold_refuse_above_percent: f64,
}

/// Dose limits for gel coat and flow coat, % by mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoatDoseLimits {
    /// Warned below this.
    pub warn_below_percent: f64,
    /// Warned above this.
    pub warn_above_percent: f64,
    /// Refused above this.
    pub refuse_above_percent: f64,
}

/// Gate for a dose in laminating resin at the coldest temperature from pour to gel.
#[must_use]
pub fn laminating_dose(percent: f64, coldest_c: f64, limits: &LaminatingDoseLimits) -> Gate {
    if !percent.is_finite() || !coldest_c.is_finite() {
        return unknown();
    }
    let dose = format!("{} % catalyst", plain(percent, 3));
    let is_cold = coldest_c < limits.cold_below_c;
    let most = if is_cold {
        // A user's looser cold limit never loosens the general one.
        limits.cold_refuse_above_percent.min(limits.refuse_above_percent)
    } else {
        limits.refuse_above_percent
    };
    let accepted = format!("{} to {} %", plain(limits.refuse_below_percent, 2), plain(most, 2));
    if percent < limits.refuse_below_percent {
        Gate::Shut {
            why: format!(
                "{dose}, below {} %: the resin may never cure",
                plain(limits.refuse_below_percent, 2)
            ),
            way_out: format!("Use {accepted}."),
        }
    } else if percent > most && is_cold {
        Gate::Shut {
            why: format!(
                "{dose} at {} °C, above {} % when colder than {} °C",
                plain(coldest_c, 2),
                plain(most, 2),
                plain(limits.cold_below_c, 1)
            ),
            way_out: format!(
                "Use {accepted}; cold is not made good by catalyst. {}",
                warm("air, panel and resin", limits.cold_below_c, "until the resin has gelled")
            ),
        }
    } else if percent > most {
        Gate::Shut {
            why: format!(
                "{dose}, above {} %: hotter, weaker, and the surplus never leaves the laminate",
                plain(most, 2)
            ),
            way_out: format!(
                "Use {accepted}. Some suppliers' charts go further; this one does not."
            ),
        }
    } else if percent < limits.warn_below_percent {
        Gate::Warned {
            why: format!("{dose}, below {} %: slow", plain(limits.warn_below_percent, 2)),
        }
    } else if percent > limits.warn_above_percent {
        let why =
            format!("{dose}, above {} %: short pot, hot", plain(limits.warn_above_percent, 2));
        Gate::Warned { why }
    } else {
        Gate::Open
    }
}

/// Gate for a dose in gel coat or flow coat.
#[must_use]
pub fn coat_dose(percent: f64, limits: &CoatDoseLimits) -> Gate {
    if !percent.is_finite() {
        return unknown();
    }
    let dose = format!("{} % catalyst in gel or flow coat", plain(percent, 3));
    let most = plain(limits.refuse_above_percent, 2);
    if percent <= 0.0 {
        Gate::Shut {
            why: format!("{dose}: it never cures"),
            way_out: format!("Use the dose on the tin, at most {most} %."),
        }
    } else if percent > limits.refuse_above_percent {
        Gate::Shut {
            why: format!("{dose}, above {most} %"),
            way_out: format!("Use at most {} %.", plain(limits.warn_above_percent, 2)),
        }
    } else if percent > limits.warn_above_percent {
        Gate::Warned { why: format!("{dose}, above {} %", plain(limits.warn_above_percent, 2)) }
    } else if percent < limits.warn_below_percent {
        let why = format!("{dose}, below {} %: slow", plain(limits.warn_below_percent, 2));
        Gate::Warned { why }
    } else {
        Gate::Open
    }
}

fn unknown() -> Gate {
    Gate::Shut {
        why: "catalyst dose or temperature not known".to_owned(),
        way_out: "Give both; measure the dose by grams or millilitres, never by drops.".to_owned(),
    }
}

/// A dose with its gate; the dose is there only when it may be used.
#[derive(Debug, Clone, PartialEq)]
pub struct DoseChoice {
    /// Dose to use, % by mass; none when refused.
    pub percent: Option<f64>,
    /// The gate the dose went through.
    pub gate: Gate,
}

/// The dose for laminating resin: the user's, else `usual_percent`, through its gate.
#[must_use]
pub fn choose_laminating_dose(
    wanted_percent: Option<f64>,
    usual_percent: f64,
    coldest_c: f64,
    limits: &LaminatingDoseLimits,
) -> DoseChoice {
    let percent = wanted_percent.unwrap_or(usual_percent);
    through(percent, laminating_dose(percent, coldest_c, limits))
}

/// The dose for gel or flow coat: the user's, else `usual_percent`, through its gate.
#[must_use]
pub fn choose_coat_dose(
    wanted_percent: Option<f64>,
    usual_percent: f64,
    limits: &CoatDoseLimits,
) -> DoseChoice {
    let percent = wanted_percent.unwrap_or(usual_percent);
    through(percent, coat_dose(percent, limits))
}

fn through(percent: f64, gate: Gate) -> DoseChoice {
    DoseChoice { percent: if gate.is_shut() { None } else { Some(percent) }, gate }
}

/// Catalyst mass for a resin mass, g.
///
/// # Errors
/// A resin mass below zero or a dose outside 0 to 100 %.
pub fn catalyst_g(resin_g: f64, percent: f64) -> Result<f64, Fault> {
    let resin_g = within("resin mass", resin_g, "g", 0.0, 1.0e9)?;
    Ok(resin_g * within("catalyst dose", percent, "%", 0.0, 100.0)? / 100.0)
}

/// Catalyst volume for a catalyst mass, ml, at a density in g/ml.
///
/// # Errors
/// A mass below zero or a density that is not above zero.
pub fn catalyst_ml(catalyst_g: f64, density_g_ml: f64) -> Result<f64, Fault> {
    let mass_g = within("catalyst mass", catalyst_g, "g", 0.0, 1.0e9)?;
    Ok(mass_g / above_zero("catalyst density", density_g_ml, "g/ml")?)
}

#[cfg(test)]
mod tests {
    use super::*;

    const STEP: f64 = 0.001;
    const RESIN: LaminatingDoseLimits = LaminatingDoseLimits {
        refuse_below_percent: 1.0,
        warn_below_percent: 1.25,
        warn_above_percent: 2.5,
        refuse_above_percent: 3.0,
        cold_below_c: 18.0,
        cold_refuse_above_percent: 2.5,
    };
    const COAT: CoatDoseLimits = CoatDoseLimits {
        warn_below_percent: 1.0,
        warn_above_percent: 2.0,
        refuse_above_percent: 2.5,
    };

    fn word(gate: &Gate) -> &'static str {
        match gate {
            Gate::Open => "open",
            Gate::Warned { .. } => "warned",
            Gate::Shut { .. } => "shut",
        }
    }

    #[test]
    fn laminating_boundaries() {
        let table = [
            (1.0 - STEP, 20.0, "shut"),
            (1.0, 20.0, "warned"),
            (1.25 - STEP, 20.0, "warned"),
            (1.25, 20.0, "open"),
            (2.5, 20.0, "open"),
            (2.5 + STEP, 20.0, "warned"),
            (3.0, 20.0, "warned"),
            (3.0 + STEP, 20.0, "shut"),
            (2.5, 18.0 - STEP, "open"),
            (2.5 + STEP, 18.0 - STEP, "shut"),
            (2.5 + STEP, 18.0, "warned"),
            (f64::NAN, 20.0, "shut"),
            (2.0, f64::NAN, "shut"),
        ];
        for (percent, t_c, expected) in table {
            assert_eq!(word(&laminating_dose(percent, t_c, &RESIN)), expected, "{percent} {t_c}");
        }
    }

    #[test]
    fn coat_boundaries() {
        let table = [
            (0.0, "shut"),
            (1.0 - STEP, "warned"),
            (1.0, "open"),
            (2.0, "open"),
            (2.0 + STEP, "warned"),
            (2.5, "warned"),
            (2.5 + STEP, "shut"),
        ];
        for (percent, expected) in table {
            assert_eq!(word(&coat_dose(percent, &COAT)), expected, "{percent}");
        }
    }

    /// Every number followed by a per cent sign in a text.
    fn doses_in(text: &str) -> Vec<f64> {
        let words: Vec<&str> = text.split_whitespace().collect();
        words
            .windows(2)
            .filter(|pair| pair[1].starts_with('%'))
            .filter_map(|pair| pair[0].parse().ok())
            .collect()
    }

    #[test]
    fn no_way_out_offers_a_dose_beyond_the_refuse_line() {
        assert_eq!(doses_in("Use 1 to 2.5 %."), vec![2.5]);
        for tenth in 0..100 {
            let percent = f64::from(tenth) / 10.0;
            for t_c in [10.0, 17.0, 20.0] {
                let most = if t_c < 18.0 { 2.5 } else { 3.0 };
                if let Gate::Shut { way_out, .. } = laminating_dose(percent, t_c, &RESIN) {
                    assert!(doses_in(&way_out).iter().all(|&d| d <= most), "{way_out}");
                }
            }
            if let Gate::Shut { way_out, .. } = coat_dose(percent, &COAT) {
                assert!(doses_in(&way_out).iter().all(|&d| d <= 2.5), "{way_out}");
            }
        }
    }

    #[test]
    fn a_refused_dose_is_not_handed_on() {
        assert_eq!(choose_laminating_dose(Some(4.0), 2.0, 20.0, &RESIN).percent, None);
        assert_eq!(choose_laminating_dose(None, 2.0, 20.0, &RESIN).percent, Some(2.0));
        assert_eq!(choose_coat_dose(Some(3.0), 1.5, &COAT).percent, None);
    }
}
