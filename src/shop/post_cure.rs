//! Hardening on with heat: how hot may the oven be hour by hour, and what does it buy?
//!
//! The oven never goes more than a few kelvin above the glass transition of the day, so the
//! laminate stays stiff enough to hold its shape: the steps climb as the resin hardens. Same
//! calibrated rates as everywhere; conversion and glass transition are no measured values.

use super::cure::Resin;
use super::integrate::advance;
use crate::wording::{Fault, within};

/// Length of one step, min (choice: long enough to warm through and gain).
const STEP_MIN: f64 = 60.0;
/// Steps at most.
const MOST_STEPS: usize = 72;

/// One hold of the oven.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold {
    /// Oven, °C.
    pub oven_c: f64,
    /// How long, h.
    pub hours: f64,
    /// Conversion at its end.
    pub conversion: f64,
    /// Glass transition at its end, °C.
    pub glass_c: f64,
}

/// Holds from a conversion up to `top_c`, and `top_hours` at it. No hold is hotter than
/// `above_glass_k` above the glass transition at its start.
///
/// # Errors
/// Values that make no sense; resin the model refuses.
pub fn holds(
    resin: &Resin,
    conversion: f64,
    top_c: f64,
    top_hours: f64,
    above_glass_k: f64,
) -> Result<Vec<Hold>, Fault> {
    resin.check()?;
    let mut a = within("conversion", conversion, "", resin.kinetics.gel_conversion, 1.0)?;
    let top_c = within("top of the post-cure", top_c, "°C", 30.0, 120.0)?;
    let top_hours = within("time at the top", top_hours, "h", 1.0, 48.0)?;
    let above_k = within("oven above the glass transition", above_glass_k, "K", 0.0, 30.0)?;
    let glass = resin.kinetics.glass;
    let mut holds: Vec<Hold> = Vec::new();
    let mut at_top_h = 0.0;
    while at_top_h < top_hours && holds.len() < MOST_STEPS {
        let oven_c = top_c.min((glass.at_conversion_c(a) + above_k).floor());
        let rate = |_: f64, grown: f64| resin.cure_rate_per_min(grown, oven_c);
        let mut state = (0.0, a);
        while state.0 < STEP_MIN {
            state = advance(&rate, state, 5.0, STEP_MIN);
        }
        a = state.1;
        let hours = STEP_MIN / 60.0;
        if oven_c >= top_c {
            at_top_h += hours;
        }
        let now = Hold { oven_c, hours, conversion: a, glass_c: glass.at_conversion_c(a) };
        match holds.last_mut() {
            Some(last) if (last.oven_c - oven_c).abs() < 0.5 => {
                *last = Hold { hours: last.hours + hours, ..now };
            }
            _ => holds.push(now),
        }
    }
    Ok(holds)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::cure::Kinetics;
    use crate::shop::gel_time::GelClock;

    fn resin() -> Resin {
        Resin {
            clock: GelClock::GENERAL_PURPOSE,
            kinetics: Kinetics::GENERAL_PURPOSE,
            percent: 2.0,
            stand_still_below_c: 12.0,
        }
    }

    #[test]
    fn no_hold_is_hotter_than_the_day_allows() {
        let found = holds(&resin(), 0.82, 80.0, 3.0, 15.0).unwrap();
        let mut glass_c = resin().kinetics.glass.at_conversion_c(0.82);
        for hold in &found {
            assert!(hold.oven_c <= glass_c + 15.0, "{hold:?}");
            assert!(hold.glass_c >= glass_c);
            glass_c = hold.glass_c;
        }
        assert!(found.len() > 1, "it climbs: {found:?}");
        assert!(found.last().unwrap().conversion > 0.94);
    }

    #[test]
    fn warmer_buys_more_and_nonsense_is_refused() {
        let end = |top_c| holds(&resin(), 0.82, top_c, 8.0, 15.0).unwrap().last().unwrap().glass_c;
        assert!(end(60.0) > end(40.0) + 5.0);
        assert!(holds(&resin(), 0.0, 60.0, 8.0, 15.0).is_err());
        assert!(holds(&resin(), 0.8, f64::NAN, 8.0, 15.0).is_err());
    }
}
