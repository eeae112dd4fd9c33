//! The extra-work note in packs, hours and money: what opening up changes against the quote made from
//! the survey, and whether the limit is passed at which the shop said it would stop and call.
//!
//! Takes both orders of the whole job; gives changes and a verdict. Money is minor units with tax. The
//! limit is held against the cost of the work as it is now, without anything put on top for what
//! nobody can see. Work that was in the quote and now goes to a specialist passes it whatever it
//! costs: nobody agreed to that.

use super::job::{JobOrder, Whole};
use super::order::Order;
use super::packs::PackLine;
use super::price::Total;
use crate::quantity::{Case, Cases};

/// Packs of a ware for the likely need.
#[derive(Debug, Clone, PartialEq)]
pub struct PackChange {
    /// The ware.
    pub what: String,
    /// The unit of a pack.
    pub unit: &'static str,
    /// By the quote.
    pub before: Vec<PackLine>,
    /// Now.
    pub after: Vec<PackLine>,
}

/// Whether the limit is passed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// It is: stop and call.
    Passed,
    /// It may be: in the high case, or because something has no price.
    MayBe,
    /// It is not.
    Kept,
}

/// Money of both.
#[derive(Debug, Clone, PartialEq)]
pub struct MoneyChange {
    /// The currency.
    pub currency: String,
    /// Decimals of its money.
    pub decimals: u32,
    /// By the quote.
    pub before: Cases<Total>,
    /// Now.
    pub after: Cases<Total>,
    /// The case that was quoted.
    pub figure: Case,
    /// The limit of the quote.
    pub stop_at: i64,
    /// Whether it is passed.
    pub limit: Limit,
}

/// What changes.
#[derive(Debug, Clone, PartialEq)]
pub struct ExtraMoney {
    /// Packs, only where they change.
    pub packs: Vec<PackChange>,
    /// Hours of whoever works, by the quote.
    pub hours_before: Cases<f64>,
    /// Now.
    pub hours_after: Cases<f64>,
    /// Money; none without prices.
    pub money: Option<MoneyChange>,
}

/// Compares the order behind the quote with the one from the sizes found. `raised` is how many marks
/// went to a specialist, or are held by one, that were in the quote.
#[must_use]
pub fn between(before: &JobOrder, after: &JobOrder, raised: usize) -> ExtraMoney {
    let none = || Cases::from_fn(|_| 0.0);
    let hours = |of: &JobOrder| of.whole.as_ref().map_or_else(none, |whole| whole.hours);
    let money = before.priced.as_ref().map(|was| {
        let figure = was.quote.figure;
        // With nothing left to estimate there is no price, and what was quoted is out.
        let nothing = Total { money: super::money::Taxed::default(), at_least: true };
        let now = after.priced.as_ref().map_or(Cases::from_fn(|_| nothing), |now| now.totals);
        MoneyChange {
            currency: was.currency.clone(),
            decimals: was.decimals,
            before: was.totals,
            after: now,
            figure,
            stop_at: was.quote.stop_at,
            limit: limit(&now, figure, was.quote.stop_at, raised),
        }
    });
    ExtraMoney {
        packs: packs(before.whole.as_ref(), after.whole.as_ref()),
        hours_before: hours(before),
        hours_after: hours(after),
        money,
    }
}

/// Whether a limit is passed by totals.
#[must_use]
pub fn limit(now: &Cases<Total>, figure: Case, stop_at: i64, raised: usize) -> Limit {
    let quoted = now.get(figure);
    if quoted.money.gross > stop_at || raised > 0 {
        Limit::Passed
    } else if now.high.money.gross > stop_at || quoted.at_least {
        Limit::MayBe
    } else {
        Limit::Kept
    }
}

fn packs(before: Option<&Whole>, after: Option<&Whole>) -> Vec<PackChange> {
    let orders = |of: Option<&Whole>| -> Vec<Cases<Order>> {
        of.map_or_else(Vec::new, |whole| whole.bought.orders.clone())
    };
    let (was, now) = (orders(before), orders(after));
    let key = |one: &Cases<Order>| (one.likely.ware, one.likely.grade);
    let mut keys: Vec<_> = was.iter().chain(&now).map(key).collect();
    keys.sort_unstable();
    keys.dedup();
    keys.into_iter()
        .filter_map(|wanted| {
            let of = |list: &[Cases<Order>]| -> Vec<PackLine> {
                let found = list.iter().find(|one| key(one) == wanted);
                found.map_or_else(Vec::new, |one| one.likely.mix.packs.clone())
            };
            let (before, after) = (of(&was), of(&now));
            let amounts = |lines: &[PackLine]| -> Vec<(u64, u64)> {
                lines.iter().map(|one| (one.count, one.amount)).collect()
            };
            (amounts(&before) != amounts(&after)).then(|| PackChange {
                what: wanted.0.named(wanted.1),
                unit: wanted.0.unit().words(),
                before,
                after,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::buy::money::Taxed;

    /// By hand: a limit of 1452.00, totals of 1000, 1452 and 1453.
    #[test]
    fn a_limit_by_hand() {
        let total = |gross: i64, at_least: bool| Total {
            money: Taxed { net: gross, tax: 0, gross },
            at_least,
        };
        let of = |likely: i64, high: i64, open: bool| Cases {
            low: total(90_000, open),
            likely: total(likely, open),
            high: total(high, true),
        };
        let says = |now: Cases<Total>, raised| limit(&now, Case::Likely, 145_200, raised);
        assert_eq!(says(of(100_000, 145_200, false), 0), Limit::Kept);
        assert_eq!(says(of(100_000, 145_201, false), 0), Limit::MayBe);
        assert_eq!(
            says(of(100_000, 120_000, true), 0),
            Limit::MayBe,
            "a lower bound proves nothing"
        );
        assert_eq!(says(of(145_201, 160_000, false), 0), Limit::Passed);
        assert_eq!(says(of(100_000, 120_000, false), 1), Limit::Passed, "quoted, now referred");
    }
}
