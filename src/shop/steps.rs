//! Which steps the shop allows: lay-up, doses, the hours after the gel, paint.

use super::catalyst::{CoatDoseLimits, LaminatingDoseLimits, coat_dose, laminating_dose};
use super::climate::{
    AfterGel, AfterGelLimits, DewPointLimits, Gate, HumidityLimits, LayUpLimits, PaintLimits,
    after_gel, lay_up_humidity, lay_up_temperature, paint, surface_above_dew_point,
};
use super::plan::{Place, StepGate};
use super::stages::{Peak, one_ply_too_hot};
use crate::materials::Doses;
use crate::rules::{Book, id};

/// Limits of the steps that air and panel decide on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepLimits {
    /// Lay-up by temperature.
    pub lay_up: LayUpLimits,
    /// Lay-up by humidity.
    pub damp: HumidityLimits,
    /// Lay-up by the dew point.
    pub dew: DewPointLimits,
    /// Paint.
    pub paint: PaintLimits,
}

impl StepLimits {
    /// From the rule book.
    #[must_use]
    pub fn of(book: &Book) -> Self {
        let figure = |rule| book.figure(rule);
        let dew = DewPointLimits {
            least_margin_k: figure(id::DEW_MARGIN),
            advised_margin_k: figure(id::DEW_ADVISED),
        };
        Self {
            lay_up: LayUpLimits {
                refuse_below_c: figure(id::LAYUP_COLD_STOP),
                warn_below_c: figure(id::LAYUP_COLD_WARN),
                warn_above_c: figure(id::LAYUP_HOT_WARN),
                refuse_above_c: figure(id::LAYUP_HOT_STOP),
            },
            damp: HumidityLimits {
                warn_above_percent: figure(id::LAYUP_DAMP_WARN),
                refuse_above_percent: figure(id::LAYUP_DAMP_STOP),
            },
            dew,
            paint: PaintLimits {
                refuse_below_c: figure(id::PAINT_COLD),
                refuse_above_rh_percent: figure(id::PAINT_DAMP_STOP),
                dew_point: dew,
            },
        }
    }
}

/// Every step with its gate. `hold_min` is how long warmth is asked for after a pour.
pub(super) fn gates(book: &Book, place: &Place, doses: &Doses, hold_min: f64) -> Vec<StepGate> {
    let figure = |rule| book.figure(rule);
    let limits = StepLimits::of(book);
    let unknown = |what: &str| Gate::Shut {
        why: format!("nobody has given {what}"),
        way_out: "read it where the work is to be done and put it in a shop file".to_owned(),
    };
    let Some(pour) = &place.pour else {
        return ["lay-up", "paint"]
            .into_iter()
            .map(|step| StepGate {
                step,
                rules: vec![id::CLIMATE_UNKNOWN],
                gate: unknown("the temperature of the shop"),
            })
            .collect();
    };
    let laminating = LaminatingDoseLimits {
        refuse_below_percent: figure(id::CATALYST_LEAST),
        warn_below_percent: figure(id::CATALYST_WARN_LOW),
        warn_above_percent: figure(id::CATALYST_WARN_HIGH),
        refuse_above_percent: figure(id::CATALYST_MOST),
        cold_below_c: figure(id::CATALYST_COLD),
        cold_refuse_above_percent: figure(id::CATALYST_WARN_HIGH),
    };
    let coat = CoatDoseLimits {
        warn_below_percent: figure(id::CATALYST_LEAST),
        warn_above_percent: figure(id::CATALYST_GEL_WARN),
        refuse_above_percent: figure(id::CATALYST_GEL_MOST),
    };
    let coldest_c = pour.coldest().1;
    let night_c = place.night_c.unwrap_or(coldest_c);
    let mut gates = vec![
        StepGate {
            step: "lay-up: temperature from pour to gel",
            rules: vec![
                id::LAYUP_COLD_STOP,
                id::LAYUP_COLD_WARN,
                id::LAYUP_HOT_WARN,
                id::LAYUP_HOT_STOP,
            ],
            gate: lay_up_temperature(pour, &limits.lay_up, hold_min),
        },
        StepGate {
            step: "lay-up: dose of catalyst in laminating resin",
            rules: vec![
                id::CATALYST_LEAST,
                id::CATALYST_WARN_LOW,
                id::CATALYST_WARN_HIGH,
                id::CATALYST_MOST,
                id::CATALYST_COLD,
            ],
            gate: laminating_dose(doses.laminating_percent, coldest_c, &laminating),
        },
        StepGate {
            step: "gel coat: dose of catalyst",
            rules: vec![id::CATALYST_GEL_WARN, id::CATALYST_GEL_MOST],
            gate: coat_dose(doses.coat_percent, &coat),
        },
        StepGate {
            step: "after the gel",
            rules: vec![id::AFTER_GEL_BAND, id::CLOCK_STANDS],
            gate: match after_gel(
                night_c,
                &AfterGelLimits {
                    widen_below_c: figure(id::AFTER_GEL_BAND),
                    stand_still_below_c: figure(id::CLOCK_STANDS),
                },
            ) {
                AfterGel::AsForecast => Gate::Open,
                AfterGel::Widened { why } | AfterGel::StandsStill { why } => Gate::Warned { why },
            },
        },
    ];
    let Some(damp) = place.humidity_percent else {
        for step in ["lay-up: humidity", "paint"] {
            gates.push(StepGate {
                step,
                rules: vec![id::CLIMATE_UNKNOWN],
                gate: unknown("the humidity of the shop"),
            });
        }
        return gates;
    };
    gates.push(StepGate {
        step: "lay-up: humidity",
        rules: vec![id::LAYUP_DAMP_WARN, id::LAYUP_DAMP_STOP],
        gate: lay_up_humidity(damp, &limits.damp),
    });
    gates.push(StepGate {
        step: "lay-up: surface above the dew point",
        rules: vec![id::DEW_MARGIN, id::DEW_ADVISED],
        gate: surface_above_dew_point(pour.air_c, damp, pour.panel_c, &limits.dew),
    });
    gates.push(StepGate {
        step: "paint",
        rules: vec![id::PAINT_COLD, id::PAINT_DAMP_STOP, id::DEW_MARGIN, id::DEW_ADVISED],
        gate: paint(pour.air_c, damp, pour.panel_c, &limits.paint),
    });
    gates
}

/// Shut where even a stage of one ply may get hotter than it may; nothing otherwise.
pub(super) fn one_ply(peaks: impl Iterator<Item = Peak>) -> Option<StepGate> {
    let worst = peaks
        .filter(Peak::too_hot)
        .max_by(|one, other| (one.high_c - one.most_c).total_cmp(&(other.high_c - other.most_c)))?;
    Some(StepGate {
        step: "lay-up: heat of a single ply",
        rules: vec![id::STAGE_PEAK, id::STAGE_PEAK_FACE],
        gate: Gate::Shut {
            why: one_ply_too_hot(&worst),
            way_out: "Wait for a cooler hour, or use less catalyst within its limits.".to_owned(),
        },
    })
}
