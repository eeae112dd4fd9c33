//! Money as whole minor units (pence, cents), so that sums are exact.
//!
//! **The rounding rule.** A product is rounded once, where its line is made, to the nearest minor
//! unit, halves up (away from zero). Sums are exact. Tax is worked out once on a whole total and
//! rounded the same way, not line by line. Quantities enter as whole thousandths and percentages
//! as whole thousandths of a percent, each rounded half up.

use crate::quantity::Case;

/// Thousandths of a percent in the whole.
const WHOLE: i128 = 100_000;

/// Rounds a fraction of whole numbers to the nearest, halves away from zero.
fn nearest(above: i128, below: i128) -> i64 {
    let half = below / 2;
    let rounded = if above >= 0 { (above + half) / below } else { (above - half) / below };
    i64::try_from(rounded).unwrap_or(if above >= 0 { i64::MAX } else { i64::MIN })
}

/// A figure in whole thousandths, halves up; what is not a number is 0 and refused where it is read.
#[must_use]
#[allow(clippy::cast_possible_truncation, reason = "bounded before the cast")]
pub fn in_thousandths(figure: f64) -> i64 {
    let steps = (figure * 1000.0).round();
    if steps.is_finite() { steps.clamp(-9.0e15, 9.0e15) as i64 } else { 0 }
}

/// Money of a file, in whole units with decimals, as minor units.
#[must_use]
#[allow(clippy::cast_possible_truncation, reason = "bounded before the cast")]
pub fn minor(money: f64, decimals: u32) -> i64 {
    let steps = (money * 10_f64.powi(i32::try_from(decimals.min(6)).unwrap_or(6))).round();
    if steps.is_finite() { steps.clamp(-9.0e15, 9.0e15) as i64 } else { 0 }
}

/// A price times an amount in thousandths of its unit.
#[must_use]
pub fn times(price: i64, thousandths: i64) -> i64 {
    nearest(i128::from(price) * i128::from(thousandths), 1000)
}

/// A share of money, in thousandths of a percent.
#[must_use]
pub fn share(money: i64, thousandths_of_percent: i64) -> i64 {
    nearest(i128::from(money) * i128::from(thousandths_of_percent), WHOLE)
}

/// A sum with its tax.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Taxed {
    /// Without tax, minor units.
    pub net: i64,
    /// The tax, minor units.
    pub tax: i64,
    /// With tax, minor units.
    pub gross: i64,
}

/// How tax is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tax {
    /// The rate, thousandths of a percent.
    pub rate: i64,
    /// The money it is counted on holds it already.
    pub included: bool,
}

impl Tax {
    /// The tax on or in a sum: `net + tax = gross` always.
    #[must_use]
    pub fn on(self, sum: i64) -> Taxed {
        if self.included {
            let below = WHOLE + i128::from(self.rate);
            let tax = nearest(i128::from(sum) * i128::from(self.rate), below.max(1));
            Taxed { net: sum - tax, tax, gross: sum }
        } else {
            let tax = share(sum, self.rate);
            Taxed { net: sum, tax, gross: sum.saturating_add(tax) }
        }
    }
}

/// Money as it is written: "1234.50".
#[must_use]
pub fn written(minor: i64, decimals: u32) -> String {
    let unit = 10_u64.pow(decimals.min(6));
    let (whole, part) = (minor.unsigned_abs() / unit, minor.unsigned_abs() % unit);
    let sign = if minor < 0 { "-" } else { "" };
    if unit == 1 {
        return format!("{sign}{whole}");
    }
    let width = usize::try_from(decimals.min(6)).unwrap_or(6);
    format!("{sign}{whole}.{part:0width$}")
}

/// The word before a figure of a case: "at least" where something it ought to hold is missing.
///
/// What has no price is missing from every figure; what is left out is missing from the high one,
/// which would otherwise read as a bound.
#[must_use]
pub const fn is_at_least(case: Case, not_priced: bool, left_out: bool) -> bool {
    not_priced || (left_out && matches!(case, Case::High))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn halves_go_up_once() {
        assert_eq!(times(333, 1_500), 500); // 499.5
        assert_eq!(times(333, 1_499), 499); // 499.167
        assert_eq!(times(-333, 1_500), -500);
        assert_eq!(share(250, 2_000), 5); // 2 % of 2.50
        assert_eq!(share(225, 2_000), 5); // 4.5
        assert_eq!(share(224, 2_000), 4); // 4.48
        assert_eq!(in_thousandths(1.2345), 1_235);
        assert_eq!(minor(38.5, 2), 3_850);
        assert_eq!(minor(0.29, 2), 29); // 0.29 * 100 is 28.999999999999996
        assert_eq!(minor(120.0, 0), 120);
    }

    #[test]
    fn money_is_written_with_its_decimals() {
        assert_eq!(written(123_450, 2), "1234.50");
        assert_eq!(written(-5, 2), "-0.05");
        assert_eq!(written(120, 0), "120");
        assert_eq!(written(1, 3), "0.001");
    }

    #[test]
    fn tax_by_hand() {
        // 20 % on 100.00 and in 120.00; 20 % in 10.00 is 1.666..., rounded to 1.67.
        let on = Tax { rate: 20_000, included: false };
        assert_eq!(on.on(10_000), Taxed { net: 10_000, tax: 2_000, gross: 12_000 });
        let within = Tax { rate: 20_000, included: true };
        assert_eq!(within.on(12_000), Taxed { net: 10_000, tax: 2_000, gross: 12_000 });
        assert_eq!(within.on(1_000), Taxed { net: 833, tax: 167, gross: 1_000 });
        let none = Tax { rate: 0, included: true };
        assert_eq!(none.on(777), Taxed { net: 777, tax: 0, gross: 777 });
    }

    proptest! {
        #[test]
        fn rounding_is_never_more_than_half_a_unit(
            sum in 0_i64..1_000_000_000, rate in 0_i64..100_000, included: bool,
        ) {
            let taxed = Tax { rate, included }.on(sum);
            prop_assert_eq!(taxed.net + taxed.tax, taxed.gross);
            // net x rate / 100 is the tax, to half a minor unit, or one where both were rounded.
            let exact = i128::from(taxed.net) * i128::from(rate);
            let off = (exact - i128::from(taxed.tax) * WHOLE).abs();
            let most = if included { WHOLE } else { WHOLE / 2 };
            prop_assert!(off <= most, "off by {off} of {WHOLE}");
        }

        #[test]
        fn including_and_adding_tax_agree(net in 0_i64..100_000_000, rate in 0_i64..100_000) {
            let added = Tax { rate, included: false }.on(net);
            let taken_out = Tax { rate, included: true }.on(added.gross);
            prop_assert!((taken_out.net - net).abs() <= 1);
        }
    }
}
