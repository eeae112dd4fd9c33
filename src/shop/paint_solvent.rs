//! How much solvent may a refinish product give off? Limits of Directive 2004/42/EC Annex II B,
//! g/l ready to use (published: UK government guidance to the regulations of 2005). Trailers,
//! historic vehicles and permitted installations are outside their scope.

/// A kind of product in the directive.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RefinishProduct {
    /// Preparatory and cleaning, a(i).
    Preparatory,
    /// Pre-cleaner, a(ii).
    PreCleaner,
    /// Body filler and stopper, b.
    Filler,
    /// Primer, surfacer, c(i).
    Primer,
    /// Wash primer, c(ii).
    WashPrimer,
    /// Topcoat, d.
    Topcoat,
    /// Special finish, e.
    SpecialFinish,
}

impl RefinishProduct {
    /// Solvent at most, g/l ready to use.
    #[must_use]
    pub const fn most_solvent_g_l(self) -> f64 {
        match self {
            Self::Preparatory => 850.0,
            Self::PreCleaner => 200.0,
            Self::Filler => 250.0,
            Self::Primer => 540.0,
            Self::WashPrimer => 780.0,
            Self::Topcoat => 420.0,
            Self::SpecialFinish => 840.0,
        }
    }
}
