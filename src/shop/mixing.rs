//! In how many pots, how much in each, and how soon must each be used?
//!
//! Takes masses (g), the dose (%), the temperature of the pot (°C) and people; gives mixes with
//! catalyst (g, ml) and use-by (min after stirring in). A pot warms itself and gels before a film
//! does: see [`pot_share`].

use super::catalyst::{MEKP_DENSITY_G_ML, catalyst_g, catalyst_ml};
use super::gate::Gate;
use super::gel_time::{GelClock, arrhenius_factor};
use super::heat::adiabatic_rise_k;
use crate::wording::{Fault, above_zero, plain, within};

/// Heat of reaction of neat polyester taken for pots, J/kg: upper end of 320 ± 50 kJ/kg (choice
/// within a range from memory), since more heat means a shorter pot.
pub const POT_HEAT_J_KG: f64 = 370.0e3;
/// Specific heat of liquid resin, J/(kg K) (choice, lower end of 1700-1900 from memory).
pub const POT_SPECIFIC_HEAT_J_KG_K: f64 = 1700.0;
/// Conversion at gel (choice; range 0.02-0.10 from memory).
pub const POT_GEL_CONVERSION: f64 = 0.05;

/// The pot's gel time as a share of the film's, at a starting temperature.
///
/// A bound that holds for a pot of any size within the model: it loses no heat at all and is
/// warmed from start to gel by its own reaction. About 0.71 at 20 °C; a 100 g cup that loses
/// heat at 8 W/(m² K) gives 13.5 / 17.6 = 0.77 (both computed, neither measured).
///
/// # Errors
/// Impossible constants only.
pub fn pot_share(clock: &GelClock, start_c: f64) -> Result<f64, Fault> {
    const SLICES: u32 = 200;
    let rise_k =
        adiabatic_rise_k(1.0, POT_HEAT_J_KG, POT_GEL_CONVERSION, POT_SPECIFIC_HEAT_J_KG_K)?;
    // Temperature rises in step with the share of inhibitor used, so the time is the mean of
    // 1/rate over that share (midpoint rule).
    let sum: f64 = (0..SLICES)
        .map(|slice| (f64::from(slice) + 0.5) / f64::from(SLICES))
        .map(|used| {
            1.0 / arrhenius_factor(clock.activation_kj_mol, start_c + rise_k * used, start_c)
        })
        .sum();
    Ok(sum / f64::from(SLICES))
}

/// Rules for mixes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MixLimits {
    /// Largest mix, g of resin.
    pub largest_g: f64,
    /// Smallest mix; less is mixed as this, g of resin.
    pub smallest_g: f64,
    /// Use-by as a share of the pot's gel time at its low band.
    pub use_by_share: f64,
    /// Half width of the gel time band, share (0.30 for ± 30 %).
    pub gel_band: f64,
    /// Resin one person wets out, kg/min.
    pub wetting_out_kg_min_person: f64,
}

impl MixLimits {
    fn check(&self) -> Result<(), Fault> {
        above_zero("smallest mix", self.smallest_g, "g")?;
        within("largest mix", self.largest_g, "g", self.smallest_g, 1.0e6)?;
        within("share of the gel time", self.use_by_share, "", 0.01, 1.0)?;
        within("band of the gel time", self.gel_band, "", 0.0, 0.95)?;
        above_zero("wetting-out rate", self.wetting_out_kg_min_person, "kg/min")?;
        Ok(())
    }
}

/// What is mixed, with what, how warm, and by how many.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MixJob {
    /// Resin the stage needs, g.
    pub resin_g: f64,
    /// Catalyst, % by mass.
    pub percent: f64,
    /// Hottest of air and resin: the pot starts there, °C.
    pub pot_c: f64,
    /// People wetting out.
    pub people: u32,
}

/// One pot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mix {
    /// Resin weighed out, g.
    pub resin_g: f64,
    /// Of that, what the laminate needs, g.
    pub needed_g: f64,
    /// Catalyst, g.
    pub catalyst_g: f64,
    /// Catalyst, ml.
    pub catalyst_ml: f64,
    /// Use within this many minutes of stirring in.
    pub use_by_min: f64,
    /// Time wetting out takes at the rate given, min.
    pub wetting_out_min: f64,
}

/// The pots of one stage.
#[derive(Debug, Clone, PartialEq)]
pub struct MixPlan {
    /// The pots in order; empty when no pot can be used up in time.
    pub mixes: Vec<Mix>,
    /// Warned when pots had to be smaller than allowed, shut when even the smallest is too slow.
    pub gate: Gate,
    /// What the use-by rests on.
    pub basis: String,
}

/// Minutes within which a mix must be used.
///
/// # Errors
/// Impossible limits or clock values.
pub fn use_by_min(
    percent: f64,
    pot_c: f64,
    clock: &GelClock,
    limits: &MixLimits,
) -> Result<f64, Fault> {
    clock.check(percent)?;
    let pot_c = within("temperature of the pot", pot_c, "°C", 0.0, 60.0)?;
    let low_min = clock.gel_min(pot_c, percent) * (1.0 - limits.gel_band);
    Ok(limits.use_by_share * low_min * pot_share(clock, pot_c)?)
}

/// Splits a stage's resin into equal mixes that can be used before their use-by.
///
/// # Errors
/// Masses, doses, people or limits that make no sense.
pub fn split(job: &MixJob, clock: &GelClock, limits: &MixLimits) -> Result<MixPlan, Fault> {
    limits.check()?;
    let resin_g = within("resin of the stage", job.resin_g, "g", 0.0, 1.0e6)?;
    let people = above_zero("people", f64::from(job.people), "")?;
    let g_per_min = limits.wetting_out_kg_min_person * 1000.0 * people;
    let use_by_min = use_by_min(job.percent, job.pot_c, clock, limits)?;
    let basis = format!(
        "use-by is {} of the pot's gel time less {} %; the pot is taken to lose no heat \
         (computed, not measured)",
        plain(limits.use_by_share, 2),
        plain(limits.gel_band * 100.0, 0)
    );
    if resin_g <= 0.0 {
        return Ok(MixPlan { mixes: Vec::new(), gate: Gate::Open, basis });
    }
    let usable_g = use_by_min * g_per_min;
    if usable_g < limits.smallest_g.min(resin_g) {
        let gate = Gate::Shut {
            why: format!(
                "even {} g gels in the pot before it can be wetted out at {} °C",
                plain(limits.smallest_g.min(resin_g), 0),
                plain(job.pot_c, 1)
            ),
            way_out: "Wait for a cooler hour, cool the tin, use a lower dose within its limits, \
                      or take another person."
                .to_owned(),
        };
        return Ok(MixPlan { mixes: Vec::new(), gate, basis });
    }
    let largest_g = limits.largest_g.min(usable_g);
    // A hair of slack, so that 1500 g by 500 g is three pots and not four.
    let count = (resin_g / largest_g - 1.0e-9).ceil().max(1.0);
    let needed_g = resin_g / count;
    let poured_g = needed_g.max(limits.smallest_g);
    let catalyst_g = catalyst_g(poured_g, job.percent)?;
    let mix = Mix {
        resin_g: poured_g,
        needed_g,
        catalyst_g,
        catalyst_ml: catalyst_ml(catalyst_g, MEKP_DENSITY_G_ML)?,
        use_by_min,
        wetting_out_min: needed_g / g_per_min,
    };
    let allowed = (resin_g / limits.largest_g - 1.0e-9).ceil().max(1.0);
    let gate = if count > allowed {
        Gate::Warned {
            why: format!(
                "{} mixes instead of {}: a larger pot would gel before it is wetted out",
                plain(count, 0),
                plain(allowed, 0)
            ),
        }
    } else {
        Gate::Open
    };
    // The count is at most 1e6 g over the smallest mix, so it fits; counted up to stay exact.
    let mut mixes = Vec::new();
    while (mixes.len() as f64) < count {
        mixes.push(mix);
    }
    Ok(MixPlan { mixes, gate, basis })
}

#[cfg(test)]
#[path = "mixing_tests.rs"]
mod tests;
