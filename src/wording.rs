//! Wording shared by the shop room: refused values, plain numbers, and advice to warm the shop.
//!
//! The advice to warm anything exists in one place only, so that it can never be printed without
//! the caution about heaters.

use std::fmt;

/// A value this room cannot calculate with, and what it would accept.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// What the value is, in words.
    pub what: &'static str,
    /// The value as given.
    pub value: f64,
    /// Its unit, may be empty.
    pub unit: &'static str,
    /// What is accepted and how to put it right.
    pub accepted: String,
}

impl Fault {
    /// A fault about one value.
    pub fn new(
        what: &'static str,
        value: f64,
        unit: &'static str,
        accepted: impl Into<String>,
    ) -> Self {
        Self { what, value, unit, accepted: accepted.into() }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} is {}", self.what, plain(self.value, 4))?;
        if !self.unit.is_empty() {
            write!(f, " {}", self.unit)?;
        }
        write!(f, "; accepted: {}", self.accepted)
    }
}

impl std::error::Error for Fault {}

/// Passes a value that lies within both bounds (inclusive), refuses anything else, NaN included.
///
/// # Errors
/// A [`Fault`] that names the bounds.
pub(super) fn within(
    what: &'static str,
    value: f64,
    unit: &'static str,
    low: f64,
    high: f64,
) -> Result<f64, Fault> {
    if value >= low && value <= high {
        Ok(value)
    } else {
        let space = if unit.is_empty() { "" } else { " " };
        let accepted = format!("{} to {}{space}{unit}", plain(low, 4), plain(high, 4));
        Err(Fault::new(what, value, unit, accepted))
    }
}

/// Passes a finite value above zero.
///
/// # Errors
/// A [`Fault`] for zero, a negative value, NaN or an infinite value.
pub(super) fn above_zero(what: &'static str, value: f64, unit: &'static str) -> Result<f64, Fault> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(Fault::new(what, value, unit, "a number above zero"))
    }
}

/// A number with at most `decimals` decimals and no trailing zeros: `18`, `2.25`.
pub(super) fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if !text.contains('.') {
        return text;
    }
    let trimmed = text.trim_end_matches('0').trim_end_matches('.');
    if trimmed == "-0" { "0".to_owned() } else { trimmed.to_owned() }
}

/// The caution that goes with every piece of advice to warm something.
pub const HEATER_CAUTION: &str = "No flame, glowing element or heater without a flue: they light \
the vapour, and they give off water and carbon monoxide. Heat first, let the heater go cold, then \
pour.";

/// Advice to warm things, always with [`HEATER_CAUTION`].
pub(super) fn warm(what: &str, target_c: f64, for_how_long: &str) -> String {
    format!(
        "Warm {what} to at least {} °C and hold it {for_how_long}. {HEATER_CAUTION}",
        plain(target_c, 1)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_drops_only_decimals() {
        assert_eq!(plain(500.0, 0), "500");
        assert_eq!(plain(18.0, 1), "18");
        assert_eq!(plain(2.25, 2), "2.25");
        assert_eq!(plain(-0.01, 1), "0");
    }

    #[test]
    fn a_fault_names_value_unit_and_what_is_accepted() {
        let fault = within("air temperature", 300.0, "°C", -45.0, 60.0).unwrap_err();
        assert_eq!(fault.to_string(), "air temperature is 300 °C; accepted: -45 to 60 °C");
        assert!(within("air temperature", f64::NAN, "°C", -45.0, 60.0).is_err());
        assert!(above_zero("room", f64::INFINITY, "m³").is_err());
    }

    #[test]
    fn advice_to_warm_carries_the_caution() {
        assert!(warm("the panel", 18.0, "for an hour").contains(HEATER_CAUTION));
    }
}
