//! What happens in the cup: the same rates, one temperature, heat lost through its outside.
//!
//! A lumped balance: a cup has no place of its own. It gels before the film does, and it is what
//! [`super::mixing::pot_share`] bounds from below by losing no heat at all.

use super::slab::material::Mixture;
use super::slab::reaction::Reaction;
use super::slab::{Faces, Fineness, Layer, Slab, Trace};
use crate::wording::{Fault, above_zero, within};

/// Outside of a cup with 100 g of resin, m²: one about 65 mm across (inferred, since the
/// computed reference cup gives none; larger cups by the two-thirds power of the mass).
pub const AREA_OF_100_G_M2: f64 = 0.0122;
/// Heat lost from it, W/(m² K) (from memory: 8-10 in still indoor air).
pub const LOST_W_M2_K: f64 = 8.0;

/// Follows a cup of mixed resin for `end_min`, started and kept at `start_c`.
///
/// # Errors
/// A mass that is not above zero, temperatures outside 0 to 60 °C.
pub fn cup<R: Reaction>(
    reaction: R,
    heat_j_kg: f64,
    mass_g: f64,
    start_c: f64,
    end_min: f64,
) -> Result<Trace, Fault> {
    let mass_g = above_zero("resin in the cup", mass_g, "g")?;
    let start_c = within("temperature of the cup", start_c, "°C", 0.0, 60.0)?;
    let area_m2 = AREA_OF_100_G_M2 * (mass_g / 100.0).powf(2.0 / 3.0);
    // One cell with the mass that stands behind each m² of outside; within, no resistance.
    let mixture = Mixture { conductivity_w_m_k: 1.0e6, ..Mixture::polyester(0.0)? };
    let thickness_mm = mass_g / area_m2 / mixture.density_kg_m3;
    let faces = Faces { below_w_m2_k: 0.0, above_w_m2_k: LOST_W_M2_K };
    let mut slab = Slab::new(reaction, heat_j_kg, faces)?;
    slab.lay(&Layer { thickness_mm, mixture, start_c, cells: 1 })?;
    let fine =
        Fineness { lively_step_s: 2.0, liquid_step_s: 5.0, quiet_step_s: 60.0, growth: 0.002 };
    slab.trace(&|_| start_c, end_min, &fine)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::cure::{Kinetics, Resin};
    use crate::shop::gel_time::GelClock;
    use crate::shop::mixing::pot_share;

    fn gel_min(mass_g: f64, start_c: f64, percent: f64) -> f64 {
        let resin = Resin {
            clock: GelClock::GENERAL_PURPOSE,
            kinetics: Kinetics::GENERAL_PURPOSE,
            percent,
            stand_still_below_c: 12.0,
        };
        cup(resin, 320.0e3, mass_g, start_c, 120.0).unwrap().gel_min.unwrap()
    }

    #[test]
    fn the_pot_gels_before_the_film_and_not_before_its_bound() {
        let clock = GelClock::GENERAL_PURPOSE;
        for (start_c, percent) in [(15.0, 1.0), (20.0, 2.0), (30.0, 3.0)] {
            let film_min = clock.gel_min(start_c, percent);
            let bound_min = pot_share(&clock, start_c).unwrap() * film_min;
            for mass_g in [100.0, 250.0, 500.0] {
                let pot_min = gel_min(mass_g, start_c, percent);
                assert!(pot_min < film_min, "{mass_g} g: {pot_min} {film_min}");
                assert!(pot_min > bound_min, "{mass_g} g: {pot_min} {bound_min}");
            }
            assert!(gel_min(500.0, start_c, percent) < gel_min(100.0, start_c, percent));
        }
    }

    #[test]
    fn an_empty_cup_is_refused() {
        let resin = Resin {
            clock: GelClock::GENERAL_PURPOSE,
            kinetics: Kinetics::GENERAL_PURPOSE,
            percent: 2.0,
            stand_still_below_c: 12.0,
        };
        assert!(cup(resin, 320.0e3, 0.0, 20.0, 60.0).is_err());
        assert!(cup(resin, 320.0e3, 100.0, f64::NAN, 60.0).is_err());
    }
}
