//! What a shop quotes: one figure of three, contingency on top as a line of its own.
//!
//! Rules `QUOTE-CONTINGENCY`, `QUOTE-STOP` and `QUOTE-EXPIRY` stand in where the price file says
//! nothing. Money is minor units.

use super::money::{self, Tax, Taxed, in_thousandths};
use crate::model::prices::QuoteRule;
use crate::quantity::Case;
use crate::rules::{Book, id};

/// A quote.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quote {
    /// The figure it starts from.
    pub figure: Case,
    /// The work and the materials, as the file counts tax.
    pub work: i64,
    /// What is put on top for what nobody can see, counted the same way.
    pub contingency: i64,
    /// Both with their tax.
    pub money: Taxed,
    /// The shop stops and calls before the job costs more than this, tax included.
    pub stop_at: i64,
    /// Days until it runs out.
    pub expires_days: u32,
    /// It does not hold everything: something is not priced or left out, so it is no fixed price.
    pub lacks: bool,
}

/// Makes a quote of a sum in minor units.
#[must_use]
pub fn quote(book: &Book, rule: &QuoteRule, sum: i64, tax: Tax, lacks: bool) -> Quote {
    let share = |own: Option<crate::quantity::Percent>, id: &str| {
        in_thousandths(own.map_or_else(|| book.figure(id), |own| own.value()))
    };
    let contingency = money::share(sum, share(rule.contingency_percent, id::QUOTE_CONTINGENCY));
    let whole = tax.on(sum.saturating_add(contingency));
    let more = money::share(whole.gross, share(rule.stop_and_call_percent, id::QUOTE_STOP));
    Quote {
        figure: rule.figure,
        work: sum,
        contingency,
        money: whole,
        stop_at: whole.gross.saturating_add(more),
        expires_days: rule.expires_days.unwrap_or_else(|| days(book.figure(id::QUOTE_EXPIRY))),
        lacks,
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "bounded above and below before the cast"
)]
fn days(figure: f64) -> u32 {
    figure.round().clamp(1.0, 10_000.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Percent;

    #[test]
    fn a_quote_by_hand() {
        // 1000.00 without tax, 10 % for the unseen, 20 % tax: 1100, 220, 1320; call at 1452.
        let book = Book::built_in();
        let tax = Tax { rate: 20_000, included: false };
        let made = quote(&book, &QuoteRule::default(), 100_000, tax, false);
        assert_eq!((made.work, made.contingency), (100_000, 10_000));
        assert_eq!(made.money, Taxed { net: 110_000, tax: 22_000, gross: 132_000 });
        assert_eq!((made.stop_at, made.expires_days, made.lacks), (145_200, 30, false));
    }

    #[test]
    fn the_file_goes_before_the_rules() {
        let rule = QuoteRule {
            figure: Case::High,
            contingency_percent: Some(Percent(0.0)),
            stop_and_call_percent: Some(Percent(5.0)),
            expires_days: Some(14),
        };
        let tax = Tax { rate: 0, included: true };
        let made = quote(&Book::built_in(), &rule, 9_990, tax, true);
        assert_eq!((made.contingency, made.money.gross), (0, 9_990));
        // 5 % of 99.90 is 4.995, rounded up to 5.00.
        assert_eq!((made.stop_at, made.expires_days, made.lacks), (10_490, 14, true));
    }
}
