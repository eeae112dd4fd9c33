//! How much styrene does open lay-up give off? Published emission forms of two US rules.
//!
//! Takes the styrene content as a mass fraction (0 to 1) and the mass of resin or gel coat as
//! poured (kg), gives g of styrene per kg and g. 40 CFR 63 Subpart VVVV Table 3 (published)
//! decides; the forms of Subpart WWWW Table 1 (from memory; most agree with the limits published
//! in its Table 3) are the second opinion, and the two make the band. Nothing else that
//! evaporates is counted, and how the loss is spread over time is an assumption of the caller.

use crate::wording::{Fault, within};

/// kg/Mg (= g/kg) per lb per US ton of 2000 lb (definition).
pub const G_PER_KG_PER_LB_PER_TON: f64 = 0.5;
/// Styrene content when no data sheet gives one, mass fraction (choice; trade range 0.35-0.45).
pub const USUAL_STYRENE_FRACTION: f64 = 0.42;

/// A way of applying material for which Subpart WWWW Table 1 has a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Application {
    /// Resin by brush or roller.
    ManualResin,
    /// Resin sprayed as a mist.
    AtomisedResin,
    /// Resin laid by machine without a mist.
    NonAtomisedResin,
    /// Filament winding.
    Filament,
    /// Gel coat sprayed as a mist.
    AtomisedGelCoat,
    /// Gel coat sprayed without a mist.
    NonAtomisedGelCoat,
}

/// Coefficients of one Subpart WWWW form, lb per ton over 2000.
struct WwwwForm {
    break_fraction: f64,
    below_slope: f64,
    above_slope: f64,
    above_offset: f64,
}

impl Application {
    fn wwww_form(self) -> WwwwForm {
        let (break_fraction, below_slope, above_slope, above_offset) = match self {
            Self::ManualResin => (0.33, 0.126, 0.286, 0.0529),
            Self::AtomisedResin => (0.33, 0.169, 0.714, 0.18),
            Self::NonAtomisedResin => (0.33, 0.107, 0.157, 0.0165),
            Self::Filament => (0.33, 0.184, 0.2746, 0.0298),
            Self::AtomisedGelCoat => (0.33, 0.445, 1.03646, 0.195),
            Self::NonAtomisedGelCoat => (0.19, 0.185, 0.4506, 0.0505),
        };
        WwwwForm { break_fraction, below_slope, above_slope, above_offset }
    }
}

fn fraction(styrene_fraction: f64) -> Result<f64, Fault> {
    within("styrene content as a mass fraction", styrene_fraction, "", 0.01, 0.95)
}

/// Styrene given off by 40 CFR 63 Subpart WWWW Table 1, lb per US ton (coefficients from memory).
///
/// # Errors
/// A fraction outside 0.01 to 0.95; a percentage given by mistake is caught here.
pub fn wwww_lb_ton(application: Application, styrene_fraction: f64) -> Result<f64, Fault> {
    let x = fraction(styrene_fraction)?;
    let form = application.wwww_form();
    Ok(2000.0
        * if x < form.break_fraction {
            form.below_slope * x
        } else {
            form.above_slope * x - form.above_offset
        })
}

/// The same in g/kg.
///
/// # Errors
/// As [`wwww_lb_ton`].
pub fn wwww_g_kg(application: Application, styrene_fraction: f64) -> Result<f64, Fault> {
    Ok(wwww_lb_ton(application, styrene_fraction)? * G_PER_KG_PER_LB_PER_TON)
}

/// A material and method of 40 CFR 63 Subpart VVVV Table 3.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BoatRuleRow {
    /// Production or tooling resin without a mist: brush and roller belong here.
    NonAtomisedResin,
    /// Production or tooling resin sprayed as a mist.
    AtomisedResin,
    /// Gel coat, by any method.
    GelCoat,
}

/// Styrene given off by 40 CFR 63 Subpart VVVV Table 3, g/kg (published, 66 FR 44232).
///
/// # Errors
/// A fraction outside 0.01 to 0.95.
pub fn vvvv_g_kg(row: BoatRuleRow, styrene_fraction: f64) -> Result<f64, Fault> {
    let (factor, exponent) = match row {
        BoatRuleRow::NonAtomisedResin => (0.014, 2.275),
        BoatRuleRow::AtomisedResin => (0.014, 2.425),
        BoatRuleRow::GelCoat => (0.445, 1.675),
    };
    Ok(factor * (fraction(styrene_fraction)? * 100.0).powf(exponent))
}

/// Styrene given off, g/kg of material: the figure that decides and the band round it.
#[derive(Debug, Clone, PartialEq)]
pub struct EmissionRate {
    /// Lowest of the forms used.
    pub low_g_kg: f64,
    /// The figure that decides.
    pub deciding_g_kg: f64,
    /// Highest of the forms used.
    pub high_g_kg: f64,
    /// Where the figures come from, and what is weak about them.
    pub basis: &'static str,
}

impl EmissionRate {
    /// Styrene from a mass of material, g: low, deciding, high.
    ///
    /// # Errors
    /// A mass below zero.
    pub fn styrene_g(&self, material_kg: f64) -> Result<[f64; 3], Fault> {
        let kg = within("mass of material", material_kg, "kg", 0.0, 1.0e6)?;
        Ok([kg * self.low_g_kg, kg * self.deciding_g_kg, kg * self.high_g_kg])
    }
}

/// Laminating resin by brush and roller: Subpart VVVV decides, Subpart WWWW is the second form.
///
/// # Errors
/// A fraction outside 0.01 to 0.95.
pub fn hand_laid_resin(styrene_fraction: f64) -> Result<EmissionRate, Fault> {
    let deciding = vvvv_g_kg(BoatRuleRow::NonAtomisedResin, styrene_fraction)?;
    let second = wwww_g_kg(Application::ManualResin, styrene_fraction)?;
    Ok(EmissionRate {
        low_g_kg: deciding.min(second),
        deciding_g_kg: deciding,
        high_g_kg: deciding.max(second),
        basis: "40 CFR 63 Subpart VVVV Table 3, resin without a mist (published); second form \
                Subpart WWWW Table 1, manual (from memory)",
    })
}

/// Brushed gel coat, for which no rule has a form of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct BrushedGelCoat {
    /// Low case: as resin by brush, Subpart WWWW (from memory), g/kg.
    pub as_manual_resin_g_kg: f64,
    /// Cautious case: gel coat without a mist, Subpart WWWW (from memory), g/kg.
    pub as_non_atomised_g_kg: f64,
    /// Gel coat by any method, Subpart VVVV Table 3 (published), g/kg.
    pub any_method_g_kg: f64,
}

impl BrushedGelCoat {
    /// The three cases as one band. The published form decides, so that the peak in the room is
    /// not understated; it was drawn up for spraying and is likely high for a brush.
    #[must_use]
    pub fn rate(&self) -> EmissionRate {
        let three = [self.as_manual_resin_g_kg, self.as_non_atomised_g_kg, self.any_method_g_kg];
        EmissionRate {
            low_g_kg: three.into_iter().fold(f64::INFINITY, f64::min),
            deciding_g_kg: self.any_method_g_kg,
            high_g_kg: three.into_iter().fold(0.0, f64::max),
            basis: "40 CFR 63 Subpart VVVV Table 3, gel coat by any method (published), likely \
                    high for a brush; low and cautious cases Subpart WWWW Table 1, manual resin \
                    and gel coat without a mist (from memory, weakly founded)",
        }
    }
}

/// Brushed gel or flow coat.
///
/// # Errors
/// A fraction outside 0.01 to 0.95.
pub fn brushed_gel_coat(styrene_fraction: f64) -> Result<BrushedGelCoat, Fault> {
    Ok(BrushedGelCoat {
        as_manual_resin_g_kg: wwww_g_kg(Application::ManualResin, styrene_fraction)?,
        as_non_atomised_g_kg: wwww_g_kg(Application::NonAtomisedGelCoat, styrene_fraction)?,
        any_method_g_kg: vvvv_g_kg(BoatRuleRow::GelCoat, styrene_fraction)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_percentage_given_as_a_fraction_is_refused() {
        assert!(hand_laid_resin(42.0).is_err());
        assert!(brushed_gel_coat(0.0).is_err());
        assert!(wwww_lb_ton(Application::ManualResin, f64::NAN).is_err());
    }

    #[test]
    fn bands_are_in_order_and_more_styrene_gives_off_more() {
        let mut last = 0.0;
        for percent in 30..=55 {
            let x = f64::from(percent) / 100.0;
            for rate in [hand_laid_resin(x).unwrap(), brushed_gel_coat(x).unwrap().rate()] {
                assert!(rate.low_g_kg <= rate.deciding_g_kg, "{x}");
                assert!(rate.deciding_g_kg <= rate.high_g_kg, "{x}");
                assert!(rate.high_g_kg < 1000.0 * x, "more styrene than there is at {x}");
            }
            let resin = hand_laid_resin(x).unwrap().deciding_g_kg;
            assert!(resin > last);
            last = resin;
        }
    }

    #[test]
    fn gel_coat_cases_keep_their_order_at_the_usual_content() {
        let coat = brushed_gel_coat(USUAL_STYRENE_FRACTION).unwrap();
        assert!(coat.as_manual_resin_g_kg < coat.as_non_atomised_g_kg);
        assert!(coat.as_non_atomised_g_kg < coat.any_method_g_kg);
        let rate = coat.rate();
        assert!(rate.low_g_kg < 0.3 * rate.deciding_g_kg);
        assert!((rate.deciding_g_kg - coat.any_method_g_kg).abs() < 1e-12);
    }

    #[test]
    fn mass_scales_and_a_negative_mass_is_refused() {
        let rate = hand_laid_resin(0.4).unwrap();
        let [low, deciding, high] = rate.styrene_g(2.0).unwrap();
        assert!((deciding - 2.0 * rate.deciding_g_kg).abs() < 1e-9 && low <= high);
        assert!(rate.styrene_g(-0.1).is_err());
    }
}
