//! How many plies may go on before they have to cool, how hot can they get, and when may the next
//! ones be laid?
//!
//! The glass of a stage is capped by rule whatever the model says; within the cap the largest
//! number of plies is taken whose upper peak is within its limit. Two slabs are followed side by
//! side: a lower one (heat of reaction 15 % less, 12 W/(m² K), the coldest of air, panel and
//! resin) and an upper one (15 % more, 6 W/(m² K), the hottest). The upper decides. Without a
//! temperature, or for a resin nobody has named, a lower cap holds alone.

use std::ops::Range;

use super::slab::material::{Constituent, GLASS, Mixture, RESIN};
use super::slab::reaction::Reaction;
use super::slab::{Faces, Fineness, Layer, Moment, Slab};
use crate::wording::{Fault, above_zero, plain};

/// How far the heat of reaction may lie from the one used, share (choice; 320 ± 50 kJ/kg).
pub const HEAT_SPREAD: f64 = 0.15;
/// Heat given to the air in a draught, W/(m² K) (from memory: 12-15 at 1 m/s).
pub const DRAUGHT_W_M2_K: f64 = 12.0;
/// Heat given to still air under film, W/(m² K) (from memory: 6).
pub const STILL_W_M2_K: f64 = 6.0;
/// Heat lost into a former of foam or timber, W/(m² K): least and most (from memory: 1-3).
pub const FORMER_W_M2_K: [f64; 2] = [1.0, 3.0];
/// A stage has cooled when its hottest place is within this of the air, K (choice).
const COOLED_K: f64 = 5.0;
/// Past the fastest part of the reaction: autocatalysis peaks at 0.26 (choice above it).
const PAST_FASTEST: f64 = 0.4;
/// Cells of a stage at least.
const CELLS: usize = 15;
/// Glass content of an old panel of mat, as of a new one (choice).
const PANEL_GLASS: f64 = 0.30;
/// Share of the old panel that the upper bound counts on: its thickness is often assumed, and it
/// is ground unevenly (choice).
const PANEL_SHARE: f64 = 0.5;
/// How long a stage is followed, min.
const FOLLOWED_MIN: f64 = 1440.0;

/// What the first stage is laid on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Behind {
    /// Nothing: both faces give heat to the air.
    Air,
    /// The old panel, or a backing that has cured, with air behind.
    Panel {
        /// What is left of it, mm.
        thickness_mm: f64,
    },
    /// A former that holds the heat in.
    Former,
}

/// One ply to lay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ply {
    /// Glass, kg/m².
    pub glass_kg_m2: f64,
    /// Mass share of glass.
    pub glass_content: f64,
}

/// The rules of a stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StageRules {
    /// Glass of a stage whose peak is computed, kg/m².
    pub cap_kg_m2: f64,
    /// Glass of a stage whose peak is not, kg/m².
    pub blind_cap_kg_m2: f64,
    /// The upper peak at most, °C.
    pub peak_most_c: f64,
    /// Band of the gel time either way, share.
    pub gel_band: f64,
}

/// Resin and temperatures of a lay-up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions<R> {
    /// The resin's rates.
    pub reaction: R,
    /// Its heat of reaction, J/kg.
    pub heat_j_kg: f64,
    /// Density of the cured resin, kg/m³.
    pub resin_kg_m3: f64,
    /// Coldest of air, panel and resin, °C.
    pub coldest_c: f64,
    /// Hottest of them, °C.
    pub hottest_c: f64,
}

/// How hot a stage may get.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Lower bound, °C.
    pub low_c: f64,
    /// Upper bound, °C: the one that decides.
    pub high_c: f64,
    /// When the upper is reached, minutes after this stage is laid.
    pub high_min: f64,
    /// What the upper may be, °C.
    pub most_c: f64,
}

impl Peak {
    /// The upper bound is above what it may be.
    #[must_use]
    pub fn too_hot(&self) -> bool {
        self.high_c > self.most_c
    }
}

/// Plies laid at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// Which plies, from the floor up.
    pub plies: Range<usize>,
    /// Their glass, kg/m².
    pub glass_kg_m2: f64,
    /// How hot they may get; nothing where it is not computed.
    pub peak: Option<Peak>,
    /// Minutes after laying them when the next may go on: gelled everywhere and cool again, at
    /// the slow end; nothing where not computed or not within a day.
    pub next_min: Option<f64>,
}

/// Chooses the stages of plies, floor first. `topping` goes on with the last stage: tissue, whose
/// resin heats too and whose glass is not counted.
///
/// # Errors
/// Weights, contents or rules that make no sense.
pub fn choose<R: Reaction + Clone>(
    plies: &[Ply],
    topping: Option<Ply>,
    behind: Behind,
    conditions: Option<&Conditions<R>>,
    rules: &StageRules,
) -> Result<Vec<Stage>, Fault> {
    let blind = rules.blind_cap_kg_m2.min(rules.cap_kg_m2);
    let cap = if conditions.is_some() { rules.cap_kg_m2 } else { blind };
    above_zero("glass of a stage", cap, "kg/m²")?;
    for ply in plies {
        above_zero("weight of a ply", ply.glass_kg_m2, "kg/m²")?;
    }
    let mut pair = conditions.map(|on| Pair::begin(on, behind, rules)).transpose()?;
    let (mut stages, mut start) = (Vec::new(), 0);
    while start < plies.len() {
        let most = within_cap(plies.get(start..).unwrap_or_default(), cap);
        let mut stage = None;
        for count in (1..=most).rev() {
            let laid = plies.get(start..start + count).unwrap_or_default();
            let range = start..start + count;
            let glass_kg_m2 = laid.iter().map(|ply| ply.glass_kg_m2).sum();
            let Some(before) = &pair else {
                stage = Some(Stage { plies: range, glass_kg_m2, peak: None, next_min: None });
                break;
            };
            let mut layers = laid.to_vec();
            layers.extend(topping.filter(|_| range.end == plies.len()));
            let last_try = count == 1;
            if let Some((after, peak, next_min)) = before.lay(&layers, last_try)? {
                stage = Some(Stage { plies: range, glass_kg_m2, peak: Some(peak), next_min });
                pair = Some(after);
                break;
            }
        }
        let Some(stage) = stage else { break };
        start = stage.plies.end;
        stages.push(stage);
    }
    Ok(stages)
}

/// Plies within the cap: one at least, since a ply cannot be split.
fn within_cap(plies: &[Ply], cap_kg_m2: f64) -> usize {
    let mut sum = 0.0;
    // Sums of mat weights must not miss the cap by a rounding error.
    let fit = plies.iter().take_while(|ply| {
        sum += ply.glass_kg_m2;
        sum <= cap_kg_m2 + 1.0e-9
    });
    fit.count().max(1)
}

/// One bound on its way.
#[derive(Debug, Clone)]
struct Bound<R> {
    slab: Slab<R>,
    air_c: f64,
}

/// Both bounds, with what is laid so far.
#[derive(Debug, Clone)]
struct Pair<R> {
    low: Bound<R>,
    high: Bound<R>,
    resin: Constituent,
    peak_most_c: f64,
    gel_band: f64,
}

/// A stage followed: hottest, its minute, and when it had cooled.
struct Followed {
    peak_c: f64,
    peak_min: f64,
    cooled_min: Option<f64>,
}

impl<R: Reaction + Clone> Pair<R> {
    fn begin(on: &Conditions<R>, behind: Behind, rules: &StageRules) -> Result<Self, Fault> {
        let [former_least, former_most] = FORMER_W_M2_K;
        let bound = |share: f64, air_w: f64, former_w: f64, panel: f64, air_c: f64| {
            let below_w_m2_k = if behind == Behind::Former { former_w } else { air_w };
            let faces = Faces { below_w_m2_k, above_w_m2_k: air_w };
            let mut slab = Slab::new(on.reaction.clone(), on.heat_j_kg * share, faces)?;
            if let Behind::Panel { thickness_mm } = behind {
                let mixture = Mixture::polyester(PANEL_GLASS)?;
                let thickness_mm = thickness_mm * panel;
                slab.lay_inert(&Layer { thickness_mm, mixture, start_c: air_c, cells: 5 })?;
            }
            Ok::<_, Fault>(Bound { slab, air_c })
        };
        Ok(Self {
            low: bound(1.0 - HEAT_SPREAD, DRAUGHT_W_M2_K, former_most, 1.0, on.coldest_c)?,
            high: bound(1.0 + HEAT_SPREAD, STILL_W_M2_K, former_least, PANEL_SHARE, on.hottest_c)?,
            resin: Constituent { density_kg_m3: on.resin_kg_m3, ..RESIN },
            peak_most_c: rules.peak_most_c,
            gel_band: rules.gel_band,
        })
    }

    /// Both bounds with the layers on; nothing when they get too hot, unless it is `anyway`.
    fn lay(
        &self,
        layers: &[Ply],
        anyway: bool,
    ) -> Result<Option<(Self, Peak, Option<f64>)>, Fault> {
        let mut after = self.clone();
        let laid_at_min = after.high.slab.minute();
        let most_c = self.peak_most_c;
        let Some(upper) = after.high.follow(layers, &self.resin, (!anyway).then_some(most_c))?
        else {
            return Ok(None);
        };
        let Some(lower) = after.low.follow(layers, &self.resin, None)? else { return Ok(None) };
        // Over an earlier stage the lower one, which hardens later, may still be the warmer.
        let peak = Peak {
            low_c: lower.peak_c.min(upper.peak_c),
            high_c: upper.peak_c.max(lower.peak_c),
            high_min: upper.peak_min - laid_at_min,
            most_c,
        };
        if peak.too_hot() && !anyway {
            return Ok(None);
        }
        // The slow end: the later of both, and the band of the gel time on top.
        let gel_min = after.low.slab.gel_min().map_or(0.0, |gel| gel - laid_at_min);
        let cooled = upper
            .cooled_min
            .zip(lower.cooled_min)
            .map(|(one, other)| one.max(other) - laid_at_min + self.gel_band * gel_min.max(0.0));
        let go_on_min = laid_at_min + cooled.unwrap_or(FOLLOWED_MIN);
        for bound in [&mut after.high, &mut after.low] {
            let air_c = bound.air_c;
            let end_min = go_on_min.max(bound.slab.minute());
            bound.slab.run(&|_| air_c, end_min, &Fineness::USUAL, |_| true)?;
        }
        Ok(Some((after, peak, cooled)))
    }
}

impl<R: Reaction> Bound<R> {
    /// Lays the layers and follows them until they have gelled and cooled, or for a day; nothing
    /// as soon as it is hotter than `most_c`.
    fn follow(
        &mut self,
        layers: &[Ply],
        resin: &Constituent,
        most_c: Option<f64>,
    ) -> Result<Option<Followed>, Fault> {
        let air_c = self.air_c;
        let cells = CELLS.div_ceil(layers.len().max(1));
        for ply in layers {
            let mixture = Mixture::of(ply.glass_content, &GLASS, resin)?;
            let thickness_mm = mixture.thickness_mm(ply.glass_kg_m2);
            self.slab.lay(&Layer { thickness_mm, mixture, start_c: air_c, cells })?;
        }
        let start_min = self.slab.minute();
        let mut peak = (air_c, start_min);
        let mut cooled_min = None;
        let too_hot = |now: &Moment| most_c.is_some_and(|most_c| now.hottest_c > most_c);
        let mut stopped = false;
        self.slab.run(&|_| air_c, start_min + FOLLOWED_MIN, &Fineness::USUAL, |now| {
            if now.hottest_c > peak.0 {
                peak = (now.hottest_c, now.minute);
            }
            stopped = too_hot(now);
            let rise_k = peak.0 - air_c;
            let falls = now.hottest_c < peak.0 - (0.1 * rise_k).min(0.2);
            let cool = now.hottest_c <= air_c + COOLED_K;
            if now.gelled && falls && cool && now.least_conversion >= PAST_FASTEST {
                cooled_min = Some(now.minute);
            }
            cooled_min.is_none() && !stopped
        })?;
        let (peak_c, peak_min) = peak;
        Ok((!stopped).then_some(Followed { peak_c, peak_min, cooled_min }))
    }
}

/// Said where a single ply may already get too hot.
#[must_use]
pub fn one_ply_too_hot(peak: &Peak) -> String {
    format!(
        "one ply alone may reach {} °C, above {} °C",
        plain(peak.high_c.ceil(), 0),
        plain(peak.most_c, 1)
    )
}

#[cfg(test)]
#[path = "stages_tests.rs"]
mod tests;
