//! What a laminate weighs, stores and conducts, from its glass content (rules of mixtures).

use crate::wording::{Fault, within};

/// Density, specific heat and conductivity of one constituent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constituent {
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Specific heat, J/(kg K).
    pub specific_heat_j_kg_k: f64,
    /// Conductivity, W/(m K).
    pub conductivity_w_m_k: f64,
}

/// E-glass: 2540-2600 kg/m³, 800-830 J/(kg K), 1.0-1.3 W/(m K) (from memory); the values within
/// are a choice.
pub const GLASS: Constituent =
    Constituent { density_kg_m3: 2560.0, specific_heat_j_kg_k: 800.0, conductivity_w_m_k: 1.03 };

/// Polyester: cured 1200 kg/m³, 1300-1900 J/(kg K) liquid to cured, 0.17-0.21 W/(m K) (from
/// memory); the values within are a choice.
pub const RESIN: Constituent =
    Constituent { density_kg_m3: 1200.0, specific_heat_j_kg_k: 1700.0, conductivity_w_m_k: 0.19 };

/// A laid ply, or the old laminate, as one stuff.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixture {
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Specific heat, J/(kg K).
    pub specific_heat_j_kg_k: f64,
    /// Conductivity across the thickness, W/(m K).
    pub conductivity_w_m_k: f64,
    /// Mass share of resin.
    pub resin_fraction: f64,
}

impl Mixture {
    /// The mixture at a mass share of glass.
    ///
    /// Density by volume, specific heat by mass, conductivity across aligned cylinders (Rayleigh
    /// and Maxwell, textbook).
    ///
    /// # Errors
    /// A share of glass outside 0 to 0.9.
    pub fn of(glass_content: f64, glass: &Constituent, resin: &Constituent) -> Result<Self, Fault> {
        let psi = within("glass content", glass_content, "", 0.0, 0.9)?;
        let (glass_m3, resin_m3) = (psi / glass.density_kg_m3, (1.0 - psi) / resin.density_kg_m3);
        let by_volume = glass_m3 / (glass_m3 + resin_m3);
        let (k_glass, k_resin) = (glass.conductivity_w_m_k, resin.conductivity_w_m_k);
        let (sum, apart) = (k_glass + k_resin, by_volume * (k_glass - k_resin));
        Ok(Self {
            density_kg_m3: 1.0 / (glass_m3 + resin_m3),
            specific_heat_j_kg_k: psi * glass.specific_heat_j_kg_k
                + (1.0 - psi) * resin.specific_heat_j_kg_k,
            conductivity_w_m_k: k_resin * (sum + apart) / (sum - apart),
            resin_fraction: 1.0 - psi,
        })
    }

    /// Glass and polyester at a mass share of glass.
    ///
    /// # Errors
    /// As [`Mixture::of`].
    pub fn polyester(glass_content: f64) -> Result<Self, Fault> {
        Self::of(glass_content, &GLASS, &RESIN)
    }

    /// Thickness of so much glass laid in it, mm.
    #[must_use]
    pub fn thickness_mm(&self, glass_kg_m2: f64) -> f64 {
        glass_kg_m2 / (1.0 - self.resin_fraction) / self.density_kg_m3 * 1000.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn mat_at_thirty_per_cent_glass_is_as_worked_by_hand() {
        let mat = Mixture::polyester(0.30).unwrap();
        assert_relative_eq!(mat.density_kg_m3, 1428.0, max_relative = 1e-3);
        assert_relative_eq!(mat.specific_heat_j_kg_k, 1430.0, max_relative = 1e-9);
        assert_relative_eq!(mat.conductivity_w_m_k, 0.239, max_relative = 2e-3);
        assert_relative_eq!(mat.thickness_mm(0.45), 1.05, max_relative = 5e-3);
    }

    #[test]
    fn no_glass_is_resin_and_too_much_is_refused() {
        let neat = Mixture::polyester(0.0).unwrap();
        assert_relative_eq!(neat.conductivity_w_m_k, RESIN.conductivity_w_m_k);
        assert!(Mixture::polyester(0.95).is_err());
        assert!(Mixture::polyester(f64::NAN).is_err());
    }
}
