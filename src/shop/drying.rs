//! How long does a wet laminate take to dry? A range, never a date.
//!
//! Fick's law across the thickness, even start, drying faces in balance with the air (Crank, The
//! Mathematics of Diffusion, 2nd ed. 1975, from memory). Takes thickness in mm, temperature in
//! °C and the share of the water above that balance that is to be left; gives days at the ends of
//! what the diffusion coefficient may be, a factor of ten apart: their middle means nothing. Water
//! standing in blisters, cracks or parted layers is not in it, and takes longer.

use std::f64::consts::PI;

use super::gel_time::arrhenius_factor;
use crate::wording::{Fault, above_zero, within};

/// Diffusion coefficient of water in glass and polyester at 20 °C, m2/s, least and greatest (from
/// memory).
pub const DIFFUSION_M2_S: [f64; 2] = [1e-13, 1e-12];
/// Its activation energy, kJ/mol, least and greatest (from memory, low confidence).
pub const ACTIVATION_KJ_MOL: [f64; 2] = [40.0, 50.0];
/// The temperature that the coefficient is for, °C.
const REFERENCE_C: f64 = 20.0;
/// Seconds of a day.
const DAY_S: f64 = 86_400.0;

/// Which faces let water out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Faces {
    /// Both.
    Both,
    /// One; the other is sealed by sound gel coat, paint or a mould.
    One,
}

/// Share of the water left after a dimensionless time D t / h2.
#[must_use]
pub fn share_left(faces: Faces, time: f64) -> f64 {
    let time = match faces {
        Faces::Both => time,
        // One face open: half of a slab twice as thick.
        Faces::One => time / 4.0,
    };
    if time <= 0.0 {
        return 1.0;
    }
    // The series needs many terms when little time has passed; there the first moments of a slab
    // of any depth hold to nine digits.
    if time < 0.01 {
        return 1.0 - 4.0 * (time / PI).sqrt();
    }
    let term = |n: u32| {
        let odd = f64::from(2 * n + 1);
        (-odd * odd * PI * PI * time).exp() / (odd * odd)
    };
    8.0 / (PI * PI) * (0..60).map(term).sum::<f64>()
}

/// Dimensionless time D t / h2 after which a share is left, by halving.
///
/// # Errors
/// A share that is not between 0 and 1.
pub fn time_to_share(faces: Faces, share: f64) -> Result<f64, Fault> {
    let share = within("share of the water left", share, "", 1e-6, 1.0 - 1e-6)?;
    let (mut early, mut late) = (0.0, 16.0);
    for _ in 0..100 {
        let middle = f64::midpoint(early, late);
        if share_left(faces, middle) > share {
            early = middle;
        } else {
            late = middle;
        }
    }
    Ok(f64::midpoint(early, late))
}

/// Diffusion coefficient at a temperature, m2/s: least and greatest.
#[must_use]
pub fn diffusion_m2_s(t_c: f64) -> [f64; 2] {
    let factors = ACTIVATION_KJ_MOL.map(|energy| arrhenius_factor(energy, t_c, REFERENCE_C));
    let least = factors.into_iter().fold(f64::INFINITY, f64::min);
    let most = factors.into_iter().fold(0.0, f64::max);
    [DIFFUSION_M2_S[0] * least, DIFFUSION_M2_S[1] * most]
}

/// Days until a share of the water is left: shortest and longest.
///
/// # Errors
/// A thickness not above zero, a share that is not between 0 and 1.
pub fn days_to_share(
    faces: Faces,
    thickness_mm: f64,
    t_c: f64,
    share: f64,
) -> Result<[f64; 2], Fault> {
    let thick_m = above_zero("thickness", thickness_mm, "mm")? / 1000.0;
    let time = time_to_share(faces, share)?;
    let [least, most] = diffusion_m2_s(t_c);
    Ok([most, least].map(|diffusion| time * thick_m * thick_m / diffusion / DAY_S))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn short_and_long_times_meet_their_own_forms() {
        // Short: 1 - 4 sqrt(D t / (pi h2)); long: (8 / pi2) exp(-pi2 D t / h2). Crank 1975.
        for time in [0.012, 0.02, 0.03] {
            let short = 1.0 - 4.0 * (time / PI).sqrt();
            assert_relative_eq!(share_left(Faces::Both, time), short, max_relative = 2e-4);
        }
        for time in [0.2, 0.4, 0.8] {
            let long = 8.0 / (PI * PI) * (-PI * PI * time).exp();
            assert_relative_eq!(share_left(Faces::Both, time), long, max_relative = 1e-3);
        }
        assert_relative_eq!(
            share_left(Faces::Both, 0.01 - 1e-12),
            share_left(Faces::Both, 0.01),
            max_relative = 1e-9
        );
    }

    #[test]
    fn less_is_left_the_longer_it_dries_and_one_face_takes_four_times_as_long() {
        let mut before = 1.0;
        for step in 1..400 {
            let time = f64::from(step) * 0.005;
            let left = share_left(Faces::Both, time);
            assert!(left < before && left > 0.0);
            assert_relative_eq!(share_left(Faces::One, 4.0 * time), left, max_relative = 1e-12);
            before = left;
        }
    }

    #[test]
    fn warmth_and_thinness_shorten_both_ends() {
        let at = |mm, c| days_to_share(Faces::One, mm, c, 0.1).unwrap();
        assert!(at(3.0, 50.0)[0] < at(3.0, 20.0)[0] && at(3.0, 50.0)[1] < at(3.0, 20.0)[1]);
        assert_relative_eq!(at(6.0, 20.0)[1], 4.0 * at(3.0, 20.0)[1], max_relative = 1e-12);
        // A factor of ten in the coefficient is a factor of ten in time.
        assert_relative_eq!(at(3.0, 20.0)[1], 10.0 * at(3.0, 20.0)[0], max_relative = 1e-12);
        assert!(days_to_share(Faces::One, 0.0, 20.0, 0.1).is_err());
        assert!(days_to_share(Faces::One, 3.0, 20.0, 0.0).is_err());
    }
}
