//! One session at the bench: its mix cards, and what it does to the air of the room from hour to
//! hour.
//!
//! Takes the sittings that are laid together; resin of one kind is mixed for all of them, so that
//! small repairs share a pot. Grams, ml, minutes and ppm; the level in the room is the balance of
//! [`super::air`], all vapour given off evenly while it is laid, air changing throughout.

use super::air::{Room, STYRENE_G_MOL};
use super::catalyst::{MEKP_DENSITY_G_ML, catalyst_g, catalyst_ml};
use super::gel_time::GelClock;
use super::mixing::{MixJob, MixLimits, split};
use super::plan::{ShopPlan, Sitting};
use super::sittings::GEL_COAT;
use crate::materials::ResinKind;
use crate::wording::Fault;

/// One pot, as it is written on the card beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct MixCard {
    /// What is in it.
    pub what: &'static str,
    /// Weighed out, g.
    pub resin_g: f64,
    /// Catalyst, g; nothing where the tin's own ratio holds.
    pub catalyst_g: Option<f64>,
    /// Catalyst, ml.
    pub catalyst_ml: Option<f64>,
    /// Use within this many minutes of stirring in; nothing where only the data sheet knows.
    pub use_by_min: Option<f64>,
    /// When it is mixed, min after laying begins.
    pub from_min: f64,
    /// The repairs it is for, each with what it takes, g.
    pub repairs: Vec<(usize, f64)>,
}

/// The air of the room through a session.
#[derive(Debug, Clone, PartialEq)]
pub struct SessionAir {
    /// Styrene given off, g, by the highest of the published forms.
    pub styrene_g: f64,
    /// Laying takes, min.
    pub laying_min: f64,
    /// Level at moments after laying begins: min, ppm.
    pub levels: Vec<(f64, f64)>,
    /// The highest, ppm.
    pub peak_ppm: f64,
}

/// The cards of a session. `pace_kg_min` is how fast the crew wets out.
///
/// # Errors
/// Doses or temperatures that make no sense.
pub fn cards(
    shop: &ShopPlan,
    clock: &GelClock,
    limits: &MixLimits,
    sittings: &[&Sitting],
) -> Result<Vec<MixCard>, Fault> {
    let mut found = Vec::new();
    let mut from_min = 0.0;
    let pace_g_min = limits.wetting_out_kg_min_person * 1000.0 * f64::from(shop.place.people);
    for what in [Pot::Polyester, Pot::Epoxy, Pot::GelCoat] {
        let shares: Vec<(usize, f64)> = sittings
            .iter()
            .filter(|one| Pot::of(one) == Some(what))
            .map(|one| (one.repair, one.poured_kg * 1000.0))
            .collect();
        let all_g: f64 = shares.iter().map(|(_, g)| g).sum();
        if all_g <= 0.0 {
            continue;
        }
        let pots: Vec<(f64, f64, Option<f64>)> = match (what, shop.place.hottest_c()) {
            (Pot::Polyester, Some(pot_c)) => {
                let job = MixJob {
                    resin_g: all_g,
                    percent: shop.doses.laminating_percent,
                    pot_c,
                    people: shop.place.people,
                };
                let plan = split(&job, clock, limits)?;
                plan.mixes
                    .iter()
                    .map(|mix| (mix.resin_g, mix.needed_g, Some(mix.use_by_min)))
                    .collect()
            }
            _ => equal_pots(all_g, limits),
        };
        let percent = match what {
            Pot::Polyester => Some(shop.doses.laminating_percent),
            Pot::GelCoat => Some(shop.doses.coat_percent),
            Pot::Epoxy => None,
        };
        let mut left = shares.into_iter();
        let mut open = left.next();
        for (resin_g, needed_g, use_by_min) in pots {
            let catalyst = percent.map(|percent| catalyst_g(resin_g, percent)).transpose()?;
            let mut repairs = Vec::new();
            let mut room_g = needed_g;
            while let Some((repair, wants_g)) = open {
                let takes_g = f64::min(wants_g, room_g);
                if takes_g > 1e-6 {
                    repairs.push((repair, takes_g));
                }
                room_g -= takes_g;
                open = if wants_g - takes_g > 1e-6 {
                    Some((repair, wants_g - takes_g))
                } else {
                    left.next()
                };
                if room_g <= 1e-6 {
                    break;
                }
            }
            found.push(MixCard {
                what: what.words(),
                resin_g,
                catalyst_g: catalyst,
                catalyst_ml: catalyst
                    .map(|catalyst_g| catalyst_ml(catalyst_g, MEKP_DENSITY_G_ML))
                    .transpose()?,
                use_by_min,
                from_min,
                repairs,
            });
            from_min += needed_g / pace_g_min;
        }
    }
    Ok(found)
}

/// What goes into one pot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Pot {
    Polyester,
    Epoxy,
    GelCoat,
}

impl Pot {
    /// Resin whose kind nobody knows is not mixed at all.
    fn of(one: &Sitting) -> Option<Self> {
        match (one.what == GEL_COAT, one.kind) {
            (true, _) => Some(Self::GelCoat),
            (false, ResinKind::Polyester) => Some(Self::Polyester),
            (false, ResinKind::Epoxy) => Some(Self::Epoxy),
            (false, ResinKind::NotKnown) => None,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Polyester => "laminating resin",
            Self::Epoxy => "epoxy, resin and hardener together",
            Self::GelCoat => GEL_COAT,
        }
    }
}

/// Equal pots no larger than allowed: what is weighed out, what is needed of it, no use-by.
fn equal_pots(all_g: f64, limits: &MixLimits) -> Vec<(f64, f64, Option<f64>)> {
    let count = (all_g / limits.largest_g - 1.0e-9).ceil().max(1.0);
    let needed_g = all_g / count;
    (0..count as usize).map(|_| (needed_g.max(limits.smallest_g), needed_g, None)).collect()
}

/// The air of a room while some sittings are laid and after; none outdoors or without styrene.
/// `clear_min` is how long after laying the last level is told, min.
///
/// # Errors
/// A room that makes no sense.
pub fn air(
    room: &Room,
    sittings: &[&Sitting],
    clear_min: f64,
) -> Result<Option<SessionAir>, Fault> {
    let styrene_g: f64 = sittings.iter().map(|one| one.styrene_g[2]).sum();
    let laying_min: f64 = sittings.iter().map(|one| one.laying_min).sum();
    if styrene_g <= 0.0 {
        return Ok(None);
    }
    let peak_ppm = room.peak_ppm(styrene_g, STYRENE_G_MOL, laying_min, 0.0)?;
    let mut levels = Vec::new();
    for quarter in 1..=4 {
        let share = f64::from(quarter) / 4.0;
        let (grams, minutes) = (styrene_g * share, laying_min * share);
        levels.push((minutes, room.peak_ppm(grams, STYRENE_G_MOL, minutes, 0.0)?));
    }
    let afterwards = [15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 960.0, 1440.0];
    for after_min in afterwards.into_iter().filter(|after| *after < clear_min).chain([clear_min]) {
        let left = room.peak_ppm(0.0, STYRENE_G_MOL, after_min, peak_ppm)?;
        levels.push((laying_min + after_min, left));
    }
    Ok(Some(SessionAir { styrene_g, laying_min, levels, peak_ppm }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sitting(repair: usize, what: &'static str, kg: f64) -> Sitting {
        Sitting {
            repair,
            stage: 1,
            what,
            kind: ResinKind::Polyester,
            laid: None,
            poured_kg: kg,
            mixes: Vec::new(),
            styrene_g: [0.0, 0.0, kg * 60.0],
            laying_min: kg * 10.0,
        }
    }

    /// By small steps of the balance V dC = G dt - Q' C dt, a reckoning of its own.
    #[test]
    fn levels_are_those_of_the_balance_in_small_steps() {
        let room = Room { volume_m3: 40.0, air_changes_h: 3.0, mixing_factor: 1.5, air_c: 20.0 };
        let all = [sitting(0, "lay-up", 0.6), sitting(1, "lay-up", 0.9)];
        let laid: Vec<&Sitting> = all.iter().collect();
        let found = air(&room, &laid, 100.0).unwrap().unwrap();
        let volume_l = 0.082057 * 293.15;
        let rate_ppm_min = found.styrene_g / 15.0 * 1000.0 / 40.0 * volume_l / 104.15;
        let mut level = 0.0;
        let mut at = found.levels.iter();
        let mut next = at.next();
        let step = 1.0e-3;
        for number in 0..=((15.0 + 100.0) / step) as u32 {
            let minute = f64::from(number) * step;
            if let Some((told, ppm)) = next
                && minute >= *told - step / 2.0
            {
                assert!((level - ppm).abs() < 0.05, "at {told} min {level} against {ppm}");
                next = at.next();
            }
            let given = if minute < 15.0 { rate_ppm_min } else { 0.0 };
            level += (given - level * 3.0 / 1.5 / 60.0) * step;
        }
        assert!(next.is_none(), "every level was met");
        assert!(found.levels.iter().all(|(_, ppm)| *ppm <= found.peak_ppm + 1e-9));
    }
}
