//! Properties of a ply from its mass share of glass, set by set, each with how it is known.
//!
//! Set B (Lloyd's Register, Special Service Craft, Part 8 Chapter 3) is the default: it keeps mat
//! and woven glass apart, and its compressive values are published in a worked example. The other
//! sets are here to be compared with.

use super::Ply;
pub use crate::model::stock::Reinforcement;
use crate::repair::plies::thickness_mm;

/// Poisson's ratio of a glass ply. BS 4994:1987 as a design worksheet cites it for woven glass;
/// common practice, taken for mat as well.
pub const POISSON: f64 = 0.30;

/// Tensile modulus, MPa, set B: 15 fc + 2 GPa for mat (6.95 at 0.33 published: Lloyd's Register,
/// Guidance Notes for Calculation Procedures for Composite Construction, Table 3.1.1; formula from
/// memory) and 30 fc - 0.5 GPa for woven glass (from memory).
#[must_use]
pub fn tensile_modulus_mpa(of: Reinforcement, glass_content: f64) -> f64 {
    1e3 * match of {
        Reinforcement::Mat => 15.0 * glass_content + 2.0,
        Reinforcement::Woven => 30.0 * glass_content - 0.5,
    }
}

/// Compressive modulus, MPa, set B: 40 fc - 6 GPa for both (7.20 for mat at 0.33 and 14.00 for
/// woven glass at 0.50 published: the same table; formula from memory).
#[must_use]
pub fn compressive_modulus_mpa(glass_content: f64) -> f64 {
    1e3 * (40.0 * glass_content - 6.0)
}

/// Tensile modulus, MPa, set A, mat and woven glass as one: (37 psi - 4.75) GPa (older class rules
/// and the least values of ISO 12215-5; from memory).
#[must_use]
pub fn tensile_modulus_as_one_mpa(glass_content: f64) -> f64 {
    1e3 * (37.0 * glass_content - 4.75)
}

/// Flexural modulus, MPa, set A: (33.4 psi2 + 2.2) GPa (the same; from memory).
#[must_use]
pub fn flexural_modulus_as_one_mpa(glass_content: f64) -> f64 {
    1e3 * (33.4 * glass_content * glass_content + 2.2)
}

/// In-plane shear modulus, MPa, set A: (1.7 psi + 2.24) GPa (the same; from memory).
#[must_use]
pub fn shear_modulus_mpa(glass_content: f64) -> f64 {
    1e3 * (1.7 * glass_content + 2.24)
}

/// Unit modulus, N/mm per kg/m2 of glass, set E: 14 000 for mat, 16 000 for woven glass (BS
/// 4994:1987 as a design worksheet cites it; common practice).
#[must_use]
pub const fn unit_modulus(of: Reinforcement) -> f64 {
    match of {
        Reinforcement::Mat => 14_000.0,
        Reinforcement::Woven => 16_000.0,
    }
}

/// Unit strength, N/mm per kg/m2 of glass, set E: 200 for mat, 250 for woven glass (the same).
#[must_use]
pub const fn unit_strength(of: Reinforcement) -> f64 {
    match of {
        Reinforcement::Mat => 200.0,
        Reinforcement::Woven => 250.0,
    }
}

/// Volume share of fibre from masses and densities in any one unit: the balance of volumes.
#[must_use]
pub fn fibre_volume_share(fibre: (f64, f64), resin: (f64, f64)) -> f64 {
    let (fibre, resin) = (fibre.0 / fibre.1, resin.0 / resin.1);
    fibre / (fibre + resin)
}

/// Resin for a mass of fibre at a volume share, from the ratio of the densities, fibre to resin.
#[must_use]
pub fn resin_for_fibre(volume_share: f64, density_ratio: f64) -> f64 {
    (1.0 / volume_share - 1.0) / density_ratio
}

/// A laid ply, its weight in kg/m2, resin density in g/cm3: the same both ways in its plane. Mat
/// shears as anything alike in every direction does; woven glass by set A.
#[must_use]
pub fn laid_ply(
    of: Reinforcement,
    weight_kg_m2: f64,
    glass_content: f64,
    resin_density_g_cm3: f64,
) -> Ply {
    let modulus_mpa = tensile_modulus_mpa(of, glass_content);
    Ply {
        thickness_mm: thickness_mm(weight_kg_m2, glass_content, resin_density_g_cm3),
        along_mpa: modulus_mpa,
        across_mpa: modulus_mpa,
        shear_mpa: match of {
            Reinforcement::Mat => modulus_mpa / (2.0 * (1.0 + POISSON)),
            Reinforcement::Woven => shear_modulus_mpa(glass_content),
        },
        poisson: POISSON,
        angle_deg: 0.0,
    }
}
