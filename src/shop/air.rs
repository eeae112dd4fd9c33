//! What is in the air while resin is laid: peak, fresh air, time to clear, and when to stop.
//!
//! Takes grams of vapour, minutes of application and a [`Room`] (m³, air changes per hour,
//! mixing factor, °C); gives ppm, m³/h and minutes. A room of even air, less its imperfect
//! mixing, with all of the vapour given off within the application time (the cautious
//! assumption for the peak). Balance V dC = G dt - (Q/K) C dt: university ventilation formula
//! sheet (published). Room averages from published factors, not measurements: the head over the
//! job is nearer the source and breathes more.

use super::gate::Gate;
use super::limits::ExposureLimit;
use crate::wording::{Fault, above_zero, plain, within};

/// Molar mass of styrene, g/mol (from memory).
pub const STYRENE_G_MOL: f64 = 104.15;
/// Molar mass of acetone, g/mol (from memory).
pub const ACETONE_G_MOL: f64 = 58.08;
/// Molar mass of the MEKP dimer, g/mol (from memory; reproduces 0.2 ppm = 1.5 mg/m³).
pub const MEKP_G_MOL: f64 = 176.2;
/// Molar volume at 25 °C and 1 atm, L/mol (published: 40 CFR 63.1190).
pub const MOLAR_VOLUME_25_C_L: f64 = 24.45;
/// Gas constant over one atmosphere, L/(mol K) (computed from the molar gas constant).
pub const MOLAR_VOLUME_L_PER_K: f64 = 0.082057;
/// Lower flammable limit of styrene, % by volume (published: NIOSH, 10 % of it is 900 ppm).
pub const STYRENE_FLAMMABLE_PERCENT: f64 = 0.9;
/// Lower flammable limit of acetone, % by volume (published: OSHA, 10 % of it is 2500 ppm).
pub const ACETONE_FLAMMABLE_PERCENT: f64 = 2.5;
/// Parts per million in one per cent (definition).
const PPM_PER_PERCENT: f64 = 10_000.0;

/// Molar volume of a gas at 1 atm, L/mol.
///
/// # Errors
/// Temperatures outside -45 to 100 °C.
pub fn molar_volume_l(t_c: f64) -> Result<f64, Fault> {
    Ok(MOLAR_VOLUME_L_PER_K * (273.15 + within("air temperature", t_c, "°C", -45.0, 100.0)?))
}

/// ppm as mg/m³. Molar mass in g/mol, molar volume in L/mol.
#[must_use]
pub fn mg_m3_from_ppm(ppm: f64, g_mol: f64, molar_volume_l: f64) -> f64 {
    ppm * g_mol / molar_volume_l
}

/// mg/m³ as ppm.
#[must_use]
pub fn ppm_from_mg_m3(mg_m3: f64, g_mol: f64, molar_volume_l: f64) -> f64 {
    mg_m3 * molar_volume_l / g_mol
}

/// Volume of vapour from a mass of liquid, m³.
#[must_use]
pub fn vapour_m3(liquid_kg: f64, g_mol: f64, molar_volume_l: f64) -> f64 {
    liquid_kg * molar_volume_l / g_mol
}

/// Volume of air that thins a mass of vapour to a level, m³.
///
/// # Errors
/// A level that is not above zero.
pub fn air_to_dilute_m3(
    liquid_kg: f64,
    g_mol: f64,
    molar_volume_l: f64,
    ppm: f64,
) -> Result<f64, Fault> {
    Ok(vapour_m3(liquid_kg, g_mol, molar_volume_l) * 1.0e6 / above_zero("level", ppm, "ppm")?)
}

/// Level of air saturated with a vapour, ppm, from its vapour pressure in mmHg (published:
/// National Research Council, Prudent Practices).
#[must_use]
pub fn saturation_ppm(vapour_mmhg: f64) -> f64 {
    1.0e6 * vapour_mmhg / 760.0
}

/// Level as a share of a lower flammable limit, %.
#[must_use]
pub fn percent_of_flammable_limit(ppm: f64, flammable_percent: f64) -> f64 {
    100.0 * ppm / (flammable_percent * PPM_PER_PERCENT)
}

/// A room for the purpose of its air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Volume of air, m³.
    pub volume_m3: f64,
    /// Air changes per hour; 0 is a sealed room.
    pub air_changes_h: f64,
    /// Mixing factor K, at least 1: only 1/K of the air flow counts.
    pub mixing_factor: f64,
    /// Air temperature, °C.
    pub air_c: f64,
}

impl Room {
    /// Checks the room.
    ///
    /// # Errors
    /// A volume not above zero, air changes below zero, a mixing factor below 1.
    pub fn check(&self) -> Result<(), Fault> {
        above_zero("room volume", self.volume_m3, "m³")?;
        within("air changes", self.air_changes_h, "per hour", 0.0, 1000.0)?;
        within("mixing factor", self.mixing_factor, "", 1.0, 10.0)?;
        molar_volume_l(self.air_c)?;
        Ok(())
    }

    /// Share of the room's air that counts as replaced, per hour.
    fn effective_changes_h(&self) -> f64 {
        self.air_changes_h / self.mixing_factor
    }

    /// Well-mixed level at the end of the application, ppm, from air that held `before_ppm`.
    /// `vapour_g` is given off evenly over `application_min`; 0 minutes means all at once.
    ///
    /// # Errors
    /// As [`Room::check`]; masses, minutes or levels below zero.
    pub fn peak_ppm(
        &self,
        vapour_g: f64,
        g_mol: f64,
        application_min: f64,
        before_ppm: f64,
    ) -> Result<f64, Fault> {
        self.check()?;
        let grams = within("vapour given off", vapour_g, "g", 0.0, 1.0e7)?;
        let hours = within("application time", application_min, "min", 0.0, 1.0e5)? / 60.0;
        let before = within("level before", before_ppm, "ppm", 0.0, 1.0e6)?;
        let changes = self.effective_changes_h() * hours;
        // (1 - e^-x)/x: 1 in a sealed room or for a sudden release.
        let kept = if changes > 1.0e-12 { -(-changes).exp_m1() / changes } else { 1.0 };
        let volume_l = molar_volume_l(self.air_c)?;
        let all_at_once = ppm_from_mg_m3(grams * 1000.0 / self.volume_m3, g_mol, volume_l);
        Ok(all_at_once * kept + before * (-changes).exp())
    }

    /// Fresh air that keeps the peak of a session at `held_ppm`, m³/h: the least flow through this
    /// room, at its mixing factor, for which [`Room::peak_ppm`] stays there. Its own air change
    /// does not count. Nothing where the vapour comes all at once: no flow is fast enough then.
    ///
    /// # Errors
    /// As [`Room::check`]; masses, minutes or levels below zero.
    pub fn flow_holding_peak_m3_h(
        &self,
        vapour_g: f64,
        g_mol: f64,
        application_min: f64,
        held_ppm: f64,
    ) -> Result<Option<f64>, Fault> {
        let peak = |flow: f64| {
            let driven = Self { air_changes_h: flow / self.volume_m3, ..*self };
            driven.peak_ppm(vapour_g, g_mol, application_min, 0.0)
        };
        let held = above_zero("level", held_ppm, "ppm")?;
        // A room changed a thousand times an hour is a wind tunnel: more is not looked for.
        let (mut low, mut high) = (0.0, 1000.0 * self.volume_m3);
        if peak(low)? <= held {
            return Ok(Some(0.0));
        }
        if peak(high)? > held {
            return Ok(None);
        }
        // The peak falls as the flow rises: halving finds where it is held.
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if peak(middle)? > held { low = middle } else { high = middle }
        }
        Ok(Some(high))
    }

    /// Time until clean air has brought a level down to `target_ppm`, min; 0 when it is there.
    ///
    /// # Errors
    /// As [`Room::check`]; a target not above zero; a sealed room, which never clears.
    pub fn purge_min(&self, from_ppm: f64, target_ppm: f64) -> Result<f64, Fault> {
        self.check()?;
        let from = within("level", from_ppm, "ppm", 0.0, 1.0e6)?;
        let target = above_zero("level to reach", target_ppm, "ppm")?;
        if from <= target {
            return Ok(0.0);
        }
        let changes_h = above_zero("air changes", self.effective_changes_h(), "per hour")?;
        Ok((from / target).ln() / changes_h * 60.0)
    }
}

/// Air flow of a room from the time in which a level halves, m³/h (published:
/// dilution equation). Half-life in hours.
///
/// # Errors
/// A volume or half-life not above zero.
pub fn air_flow_from_half_life_m3_h(volume_m3: f64, half_life_h: f64) -> Result<f64, Fault> {
    let volume = above_zero("room volume", volume_m3, "m³")?;
    Ok(volume * std::f64::consts::LN_2 / above_zero("half-life", half_life_h, "h")?)
}

/// Fresh air that holds a level while vapour is given off, m³/h: K G / C (steady state, so it
/// does not count on the room's own volume).
///
/// # Errors
/// A level not above zero, a mass below zero, a mixing factor below 1.
pub fn fresh_air_m3_h(
    vapour_g_h: f64,
    g_mol: f64,
    molar_volume_l: f64,
    mixing_factor: f64,
    ppm: f64,
) -> Result<f64, Fault> {
    let g_h = within("vapour given off", vapour_g_h, "g/h", 0.0, 1.0e8)?;
    let mixing = within("mixing factor", mixing_factor, "", 1.0, 10.0)?;
    Ok(mixing * air_to_dilute_m3(g_h / 1000.0, g_mol, molar_volume_l, ppm)?)
}

/// Fresh air and protection for one limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgainstLimit<'a> {
    /// The limit.
    pub limit: &'a ExposureLimit,
    /// Fresh air that holds the room at the limit while the work goes on, m³/h.
    pub fresh_air_m3_h: f64,
    /// Level near the job over the limit: the protection factor a mask must give.
    pub needed_protection: f64,
}

/// Every limit of a set against one job. The rate during application is held against eight-hour
/// limits too: a shift may hold more than one session.
///
/// # Errors
/// As [`fresh_air_m3_h`].
pub fn against_limits<'a>(
    limits: impl IntoIterator<Item = &'a ExposureLimit>,
    vapour_g_h: f64,
    g_mol: f64,
    room: &Room,
    near_zone_ppm: f64,
) -> Result<Vec<AgainstLimit<'a>>, Fault> {
    let volume_l = molar_volume_l(room.air_c)?;
    limits
        .into_iter()
        .map(|limit| {
            let fresh_air_m3_h =
                fresh_air_m3_h(vapour_g_h, g_mol, volume_l, room.mixing_factor, limit.ppm)?;
            let needed_protection = near_zone_ppm / limit.ppm;
            Ok(AgainstLimit { limit, fresh_air_m3_h, needed_protection })
        })
        .collect()
}

/// Eight-hour average of stretches of work, ppm: sum of level x hours over 8 (published:
/// 29 CFR 1915.1000(d)).
#[must_use]
pub fn eight_hour_average_ppm(stretches: &[(f64, f64)]) -> f64 {
    stretches.iter().map(|(ppm, hours)| ppm * hours).sum::<f64>() / 8.0
}

/// When work in a room is blocked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlockLimits {
    /// Blocked above this well-mixed peak, ppm.
    pub peak_ppm: f64,
    /// Blocked above this share of the flammable limit, %.
    pub percent_of_flammable_limit: f64,
}

/// Level at which a session is blocked, ppm: the lower of the two limits.
#[must_use]
pub fn blocked_above_ppm(limits: &BlockLimits, flammable_percent: f64) -> f64 {
    let by_fire = limits.percent_of_flammable_limit / 100.0 * flammable_percent * PPM_PER_PERCENT;
    limits.peak_ppm.min(by_fire)
}

/// Blocks a session whose well-mixed peak is too high. `flow_m3_h` is the driven fresh air that
/// keeps the peak down, for the way out; nothing where no flow does.
#[must_use]
pub fn session_gate(
    peak_ppm: f64,
    flammable_percent: f64,
    limits: &BlockLimits,
    flow_m3_h: Option<f64>,
) -> Gate {
    let share = percent_of_flammable_limit(peak_ppm, flammable_percent);
    let too_much = peak_ppm > limits.peak_ppm;
    let may_burn = share > limits.percent_of_flammable_limit;
    if peak_ppm.is_finite() && !too_much && !may_burn {
        return Gate::Open;
    }
    let mut reasons = Vec::new();
    if too_much || !peak_ppm.is_finite() {
        reasons.push(format!(
            "the air of the room would reach {} ppm, above {} ppm",
            plain(peak_ppm, 0),
            plain(limits.peak_ppm, 0)
        ));
    }
    if may_burn {
        reasons.push(format!(
            "that is {} % of what can burn, above {} %",
            plain(share, 1),
            plain(limits.percent_of_flammable_limit, 0)
        ));
    }
    let by_air = flow_m3_h.map_or_else(String::new, |flow| {
        format!(
            "; else drive at least {} m³ of fresh air an hour through the room from the pour until \
             it has cleared. That holds this stop only: the limits for breathing ask for more",
            plain(flow.ceil(), 0)
        )
    });
    Gate::Shut {
        why: reasons.join("; "),
        way_out: format!("Work outdoors under cover first{by_air}."),
    }
}

#[cfg(test)]
#[path = "air_tests.rs"]
mod tests;
