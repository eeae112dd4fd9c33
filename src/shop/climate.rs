//! May this step be done in this air? Gates for lay-up, for the hours after gel, and for paint.
//!
//! Takes readings (°C, % relative humidity) and limit records, gives a [`Gate`] whose text is
//! built from the numbers. A reading that is missing or impossible shuts the gate: no reading is
//! not a good reading. Dew point: see [`crate::dew_point`].

pub use super::gate::Gate;
use crate::dew_point::{checked_rh_percent, dew_point_c, largest_rh_percent};
use crate::wording::{plain, warm};

/// Temperatures that decide a pour, °C: each the extreme that applies from pour to gel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PourTemperatures {
    /// Air of the shop.
    pub air_c: f64,
    /// Panel under the repair.
    pub panel_c: f64,
    /// Resin in the tin.
    pub resin_c: f64,
}

impl PourTemperatures {
    fn named(&self) -> [(&'static str, f64); 3] {
        [("the air", self.air_c), ("the panel", self.panel_c), ("the resin", self.resin_c)]
    }

    /// Coldest of the three with its name; NaN when any reading is missing.
    #[must_use]
    pub fn coldest(&self) -> (&'static str, f64) {
        let first = ("the air", self.air_c);
        self.named().into_iter().fold(first, |a, b| if b.1 < a.1 || b.1.is_nan() { b } else { a })
    }

    /// Hottest of the three with its name; NaN when any reading is missing.
    #[must_use]
    pub fn hottest(&self) -> (&'static str, f64) {
        let first = ("the air", self.air_c);
        self.named().into_iter().fold(first, |a, b| if b.1 > a.1 || b.1.is_nan() { b } else { a })
    }
}

/// Lay-up temperature limits, °C, applied to the coldest and the hottest of air, panel, resin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayUpLimits {
    /// Refused below this.
    pub refuse_below_c: f64,
    /// Warned below this.
    pub warn_below_c: f64,
    /// Warned above this.
    pub warn_above_c: f64,
    /// Refused above this.
    pub refuse_above_c: f64,
}

/// Lay-up gate by temperature. `hold_min` is the time from pour to gel at the slow end of its
/// band, minutes: how long the way out asks for the warmth to be held.
#[must_use]
pub fn lay_up_temperature(
    readings: &PourTemperatures,
    limits: &LayUpLimits,
    hold_min: f64,
) -> Gate {
    if readings.named().iter().any(|(_, t_c)| !t_c.is_finite()) {
        return unread("a temperature of air, panel or resin", "Read all three.");
    }
    let (cold, cold_c) = readings.coldest();
    let (hot, hot_c) = readings.hottest();
    too_cold(cold, cold_c, limits, hold_min).and(too_hot(hot, hot_c, limits))
}

fn too_cold(cold: &str, cold_c: f64, limits: &LayUpLimits, hold_min: f64) -> Gate {
    let reading = format!("{cold} is at {} °C", plain(cold_c, 2));
    if cold_c < limits.refuse_below_c {
        let hold = format!(
            "until the resin has gelled, {} minutes after the last pour; more catalyst does not \
             make up for cold",
            plain(hold_min.ceil(), 0)
        );
        let why = format!(
            "{reading}, below {} °C: resin laid now may never cure",
            plain(limits.refuse_below_c, 1)
        );
        Gate::Shut { why, way_out: warm("air, panel and resin", limits.warn_below_c, &hold) }
    } else if cold_c < limits.warn_below_c {
        let why = format!(
            "{reading}, below {} °C: it gels and hardens slowly",
            plain(limits.warn_below_c, 1)
        );
        Gate::Warned { why }
    } else {
        Gate::Open
    }
}

fn too_hot(hot: &str, hot_c: f64, limits: &LayUpLimits) -> Gate {
    let reading = format!("{hot} is at {} °C", plain(hot_c, 2));
    if hot_c > limits.refuse_above_c {
        let why = format!(
            "{reading}, above {} °C: the pot gels before it can be used",
            plain(limits.refuse_above_c, 1)
        );
        let way_out = format!(
            "Wait for a cooler hour, shade the panel and keep the tin cool, until air, panel and \
             resin are all at most {} °C.",
            plain(limits.warn_above_c, 1)
        );
        Gate::Shut { why, way_out }
    } else if hot_c > limits.warn_above_c {
        let why = format!(
            "{reading}, above {} °C: short working time, small mixes",
            plain(limits.warn_above_c, 1)
        );
        Gate::Warned { why }
    } else {
        Gate::Open
    }
}

/// Lay-up humidity limits, % relative humidity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HumidityLimits {
    /// Warned above this.
    pub warn_above_percent: f64,
    /// Refused above this.
    pub refuse_above_percent: f64,
}

/// Lay-up gate by humidity of the shop air.
#[must_use]
pub fn lay_up_humidity(rh_percent: f64, limits: &HumidityLimits) -> Gate {
    if checked_rh_percent(rh_percent).is_err() {
        return unread("a relative humidity above 0 and at most 100 %", "Read the meter again.");
    }
    let reading = format!("relative humidity is {} %", plain(rh_percent, 2));
    if rh_percent > limits.refuse_above_percent {
        Gate::Shut {
            why: format!("{reading}, above {} %", plain(limits.refuse_above_percent, 1)),
            way_out: format!(
                "Dry the air to at most {} % before opening resin or glass.",
                plain(limits.warn_above_percent, 1)
            ),
        }
    } else if rh_percent > limits.warn_above_percent {
        Gate::Warned { why: format!("{reading}, above {} %", plain(limits.warn_above_percent, 1)) }
    } else {
        Gate::Open
    }
}

/// How far the surface must stay above the dew point, K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DewPointLimits {
    /// Refused when nearer than this.
    pub least_margin_k: f64,
    /// Warned when nearer than this.
    pub advised_margin_k: f64,
}

/// Gate by the surface's distance from the dew point.
#[must_use]
pub fn surface_above_dew_point(
    air_c: f64,
    rh_percent: f64,
    surface_c: f64,
    limits: &DewPointLimits,
) -> Gate {
    let dew_c = match dew_point_c(air_c, rh_percent) {
        Ok(dew_c) if surface_c.is_finite() => dew_c,
        Ok(_) => return unread("the surface temperature", "Read it on the panel itself."),
        Err(fault) => {
            return Gate::Shut {
                why: fault.to_string(),
                way_out: "Read thermometer and meter again.".to_owned(),
            };
        }
    };
    let margin_k = surface_c - dew_c;
    let side = if margin_k < 0.0 { "below" } else { "above" };
    let reading = format!(
        "the surface is {} °C {side} the dew point of {} °C",
        plain(margin_k.abs(), 2),
        plain(dew_c, 1)
    );
    if margin_k < limits.least_margin_k {
        let dry = match largest_rh_percent(air_c, surface_c, limits.least_margin_k) {
            Ok(rh) => format!(" Or dry the air to at most {} %.", plain(rh.floor(), 0)),
            Err(_) => String::new(),
        };
        let target_c = ((dew_c + limits.least_margin_k) * 10.0).ceil() / 10.0;
        let why = format!("{reading}; at least {} °C is needed", plain(limits.least_margin_k, 1));
        let way_out = warm("the panel itself", target_c, "until the film has set") + &dry;
        Gate::Shut { why, way_out }
    } else if margin_k < limits.advised_margin_k {
        let advised = plain(limits.advised_margin_k, 1);
        Gate::Warned { why: format!("{reading}; {advised} °C is advised") }
    } else {
        Gate::Open
    }
}

/// Paint limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PaintLimits {
    /// Refused when air or surface is below this, °C.
    pub refuse_below_c: f64,
    /// Refused above this relative humidity, %.
    pub refuse_above_rh_percent: f64,
    /// Distance from the dew point.
    pub dew_point: DewPointLimits,
}

/// Paint gate: temperature of air and surface, humidity, distance from the dew point.
#[must_use]
pub fn paint(air_c: f64, rh_percent: f64, surface_c: f64, limits: &PaintLimits) -> Gate {
    let (name, cold_c) =
        if surface_c < air_c { ("the surface", surface_c) } else { ("the air", air_c) };
    let cold = if cold_c < limits.refuse_below_c {
        let least = plain(limits.refuse_below_c, 1);
        Gate::Shut {
            why: format!("{name} is at {} °C, below {least} °C", plain(cold_c, 2)),
            way_out: warm("air and panel", limits.refuse_below_c, "until the film is dry"),
        }
    } else {
        Gate::Open
    };
    let damp = if rh_percent > limits.refuse_above_rh_percent {
        let most = plain(limits.refuse_above_rh_percent, 1);
        Gate::Shut {
            why: format!("relative humidity is {} %, above {most} %", plain(rh_percent, 2)),
            way_out: format!("Dry the air to at most {most} %."),
        }
    } else {
        Gate::Open
    };
    cold.and(damp).and(surface_above_dew_point(air_c, rh_percent, surface_c, &limits.dew_point))
}

/// Limits for the hours after gel, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AfterGelLimits {
    /// Below this the forecast is kept with a wider band.
    pub widen_below_c: f64,
    /// Below this no curing time is counted.
    pub stand_still_below_c: f64,
}

/// What a temperature after gel means for the forecast.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AfterGel {
    /// The forecast holds as it is.
    AsForecast,
    /// The forecast is kept with a wider band.
    Widened {
        /// The reason in words.
        why: String,
    },
    /// No curing time is counted while it is this cold.
    StandsStill {
        /// The reason in words.
        why: String,
    },
}

/// The rule for one temperature after gel; a missing reading counts as standing still.
#[must_use]
pub fn after_gel(t_c: f64, limits: &AfterGelLimits) -> AfterGel {
    if !t_c.is_finite() {
        AfterGel::StandsStill { why: "no temperature given: no curing time counted".to_owned() }
    } else if t_c < limits.stand_still_below_c {
        let why = format!(
            "{} °C after gel, below {} °C: no curing time counted",
            plain(t_c, 2),
            plain(limits.stand_still_below_c, 1)
        );
        AfterGel::StandsStill { why }
    } else if t_c < limits.widen_below_c {
        let why = format!(
            "{} °C after gel, below {} °C: wider range on every time",
            plain(t_c, 2),
            plain(limits.widen_below_c, 1)
        );
        AfterGel::Widened { why }
    } else {
        AfterGel::AsForecast
    }
}

fn unread(what: &str, way_out: &str) -> Gate {
    Gate::Shut { why: format!("not known: {what}"), way_out: way_out.to_owned() }
}

#[cfg(test)]
#[path = "climate_tests.rs"]
mod tests;
