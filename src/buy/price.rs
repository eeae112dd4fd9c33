//! What it costs: lines, totals, tax, and what none of them holds.
//!
//! Money is whole minor units of the currency of the price file, rounded as `money` says. A price
//! nobody knows is never 0: the thing is listed as not priced, and every total then reads "at
//! least". What is left out of the estimate (referred and held marks) stands in the same record,
//! and makes the high total "at least" too.

use super::Exclusion;
use super::access::AccessItem;
use super::money::{self, Tax, Taxed, in_thousandths};
use super::order::{Order, OrderList};
use super::quote::{Quote, quote};
use crate::model::prices::{DisposalClass, PriceFile};
use crate::quantity::{Case, Cases};
use crate::rules::Book;

/// What is to be priced.
#[derive(Debug, Clone, Copy)]
pub struct ToPrice<'a> {
    /// What is bought, and the marks that neither it nor any figure here holds.
    pub bought: &'a OrderList,
    /// Hours of work; none where nobody is paid for them.
    pub hours: Option<Cases<f64>>,
    /// Work to get at the damage.
    pub access: &'a [AccessItem],
    /// Waste to hand over, kg.
    pub disposal: &'a [(DisposalClass, Cases<f64>)],
}

/// What a line is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineGroup {
    /// What is bought.
    Materials,
    /// Hours of work.
    Labour,
    /// Getting at the damage.
    Access,
    /// Getting rid of waste.
    Disposal,
}

/// One line of money.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PriceLine {
    /// What it is for.
    pub group: LineGroup,
    /// What it is.
    pub what: String,
    /// Money, minor units, as the file counts tax; none where some of it has no price.
    pub money: Cases<Option<i64>>,
}

/// Something no total holds, because nobody knows its price.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotPriced {
    /// What it would be for.
    pub group: LineGroup,
    /// What it is.
    pub what: String,
    /// What is missing and how to give it.
    pub way_out: String,
}

/// A sum a shop sets down for a mark that the estimate leaves out; it stands in no total.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Provisional {
    /// The mark.
    pub mark: u32,
    /// What the shop says it is for.
    pub what: String,
    /// The sum, minor units, as the file counts tax.
    pub money: i64,
}

/// Everything together in one case.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Total {
    /// The money with its tax apart.
    pub money: Taxed,
    /// The figure is a lower bound: something is not priced, or, in the high case, left out.
    pub at_least: bool,
}

/// What it costs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Priced {
    /// The currency.
    pub currency: String,
    /// Decimals of its money.
    pub decimals: u32,
    /// When the prices were looked up; empty where the file does not say.
    pub priced_on: String,
    /// The lines.
    pub lines: Vec<PriceLine>,
    /// The totals of all lines that have a price.
    pub totals: Cases<Total>,
    /// What they do not hold for want of a price.
    pub not_priced: Vec<NotPriced>,
    /// Marks they do not hold.
    pub excludes: Vec<Exclusion>,
    /// Sums of the shop's own for such marks, in no total and in no quote. One for a mark that is
    /// estimated is dropped, because it would be paid twice.
    pub provisional: Vec<Provisional>,
    /// What would be quoted.
    pub quote: Quote,
}

/// Prices a job.
#[must_use]
pub fn price(book: &Book, job: &ToPrice<'_>, prices: &PriceFile) -> Priced {
    let mut sheet = Sheet { prices, lines: Vec::new(), not_priced: Vec::new() };
    for order in &job.bought.orders {
        sheet.order(order);
    }
    if let Some(hours) = job.hours {
        sheet.hours(&hours);
    }
    sheet.access(job.access, job.hours.is_some());
    for (class, kilograms) in job.disposal {
        sheet.disposal(*class, kilograms);
    }
    let Sheet { lines, not_priced, .. } = sheet;
    let tax = Tax {
        rate: in_thousandths(prices.tax_percent.value()),
        included: prices.prices_include_tax,
    };
    let sums = Cases::from_fn(|case| {
        lines.iter().filter_map(|line| *line.money.get(case)).fold(0, i64::saturating_add)
    });
    let at_least =
        |case| money::is_at_least(case, !not_priced.is_empty(), !job.bought.excludes.is_empty());
    let totals =
        Cases::from_fn(|case| Total { money: tax.on(*sums.get(case)), at_least: at_least(case) });
    let quoted = prices.quote.figure;
    let lacks = !not_priced.is_empty() || !job.bought.excludes.is_empty();
    let quote = quote(book, &prices.quote, *sums.get(quoted), tax, lacks);
    Priced {
        currency: prices.currency.clone(),
        decimals: prices.decimals,
        priced_on: prices.priced_on.clone(),
        lines,
        totals,
        not_priced,
        excludes: job.bought.excludes.clone(),
        provisional: provisional(job, prices),
        quote,
    }
}

fn provisional(job: &ToPrice<'_>, prices: &PriceFile) -> Vec<Provisional> {
    let left_out = |mark: u32| job.bought.excludes.iter().any(|one| one.mark == mark);
    prices
        .provisional
        .iter()
        .filter(|one| left_out(one.mark))
        .map(|one| Provisional {
            mark: one.mark,
            what: one.what.clone(),
            money: money::minor(one.sum, prices.decimals),
        })
        .collect()
}

struct Sheet<'p> {
    prices: &'p PriceFile,
    lines: Vec<PriceLine>,
    not_priced: Vec<NotPriced>,
}

impl Sheet<'_> {
    fn minor(&self, money: f64) -> i64 {
        money::minor(money, self.prices.decimals)
    }

    fn lacks(&mut self, group: LineGroup, what: &str, way_out: String) {
        self.not_priced.push(NotPriced { group, what: what.to_owned(), way_out });
    }

    fn order(&mut self, order: &Cases<Order>) {
        let name = order.high.name();
        // Nothing bought costs nothing, whether or not its price is known.
        let money = order.map(|one| match (one.mix.cost, one.mix.packs.is_empty()) {
            (_, true) => Some(0),
            (cost, false) => cost.and_then(|cost| i64::try_from(cost).ok()),
        });
        if Case::ALL.iter().all(|case| order.get(*case).mix.packs.is_empty()) {
            return;
        }
        if Case::ALL.iter().any(|case| money.get(*case).is_none()) {
            let unit = order.high.ware.unit().words();
            let way_out = format!("give a pack of it with its price under `packs`, in {unit}");
            self.lacks(LineGroup::Materials, &name, way_out);
        }
        self.lines.push(PriceLine { group: LineGroup::Materials, what: name, money });
    }

    fn hours(&mut self, hours: &Cases<f64>) {
        if Case::ALL.iter().all(|case| *hours.get(*case) <= 0.0) {
            return;
        }
        let what = "hours of work";
        let rate = self.prices.hourly_rate.map(|rate| self.minor(rate));
        if rate.is_none() {
            self.lacks(LineGroup::Labour, what, "give the price of an hour: `hourly_rate`".into());
        }
        let money = hours.map(|hours| rate.map(|rate| money::times(rate, in_thousandths(*hours))));
        self.lines.push(PriceLine { group: LineGroup::Labour, what: what.to_owned(), money });
    }

    fn access(&mut self, needed: &[AccessItem], paid: bool) {
        for one in needed {
            let own = one.price.map(|price| self.minor(price));
            let rate = self.prices.hourly_rate.filter(|_| paid).map(|rate| self.minor(rate));
            let worked = |hours: f64| rate.map(|rate| money::times(rate, in_thousandths(hours)));
            let price = match (own, one.hours) {
                (None, None) => None,
                (own, None) => own,
                (own, Some(hours)) => {
                    worked(hours).map(|money| own.unwrap_or(0).saturating_add(money))
                }
            };
            if price.is_none() {
                let way_out = match one.hours {
                    Some(hours) if !paid => {
                        format!("{hours} h of a trade, which nobody is paid for here")
                    }
                    Some(_) => "give the price of an hour: `hourly_rate`".to_owned(),
                    None => one.way_out.clone(),
                };
                self.lacks(LineGroup::Access, &one.what, way_out);
            }
            let money = Cases { low: price, likely: price, high: price };
            self.lines.push(PriceLine { group: LineGroup::Access, what: one.what.clone(), money });
        }
    }

    fn disposal(&mut self, class: DisposalClass, kilograms: &Cases<f64>) {
        if Case::ALL.iter().all(|case| *kilograms.get(*case) <= 0.0) {
            return;
        }
        let what = class.words();
        let known = self.prices.disposal.iter().find(|one| one.class == class);
        let per_kg = known.map(|one| self.minor(one.per_kg));
        if per_kg.is_none() {
            let way_out = "ask who takes it, and give its price under `disposal`".to_owned();
            self.lacks(LineGroup::Disposal, what, way_out);
        }
        let money =
            kilograms.map(|mass| per_kg.map(|one| money::times(one, in_thousandths(*mass))));
        self.lines.push(PriceLine { group: LineGroup::Disposal, what: what.to_owned(), money });
    }
}

#[cfg(test)]
mod tests;
