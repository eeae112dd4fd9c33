//! The extra-work note in packs, hours and money, as lines of the report.

use super::basis;
use super::lines_buy::whole;
use super::model::*;
use crate::buy::extra::{Limit, between};
use crate::buy::job::JobOrder;
use crate::buy::packs::{PackLine, THOUSANDTHS};
use crate::buy::price::Total;
use crate::rules::{Book, id};

/// The report with what opening up changes in packs, hours and money.
///
/// Past the limit of the quote it gets a stop line, and the exit code says that somebody is needed.
#[must_use]
pub fn with_money(mut report: Report, book: &Book, before: &JobOrder, after: &JobOrder) -> Report {
    let Some(opened) = &mut report.opened else { return report };
    // Marks that were never in the quote are no news of this kind.
    let quoted = |one: &&RaisedLine| one.before != one.now && one.before == "repair";
    let raised = opened.extra_work.raised.iter().filter(quoted).count();
    let of = between(before, after, raised);
    let marks: Vec<u32> = opened.marks.iter().map(|one| one.mark).collect();
    let limit = of.money.as_ref().map(|money| money.limit);
    opened.extra_work.cost = Some(ExtraCostLine {
        packs: of
            .packs
            .iter()
            .map(|one| PackChangeLine {
                what: one.what.clone(),
                unit: one.unit.to_owned(),
                before: counts(&one.before),
                after: counts(&one.after),
            })
            .collect(),
        hours: ChangeLine {
            before: of.hours_before.map(|hours| round6(*hours)),
            after: of.hours_after.map(|hours| round6(*hours)),
            more: crate::quantity::Cases::from_fn(|case| {
                round6(of.hours_after.get(case) - of.hours_before.get(case))
            }),
            beyond_high: of.hours_after.likely > of.hours_before.high + 1e-9,
        },
        money: of.money.as_ref().map(|money| {
            let total = |total: &Total| TotalLine {
                net: whole(total.money.net, money.decimals),
                tax: whole(total.money.tax, money.decimals),
                gross: whole(total.money.gross, money.decimals),
                at_least: total.at_least,
            };
            MoneyChangeLine {
                currency: money.currency.clone(),
                decimals: money.decimals,
                before: money.before.map(total),
                after: money.after.map(total),
                figure: money.figure.word(),
                stop_at: whole(money.stop_at, money.decimals),
                limit: words(money.limit),
            }
        }),
    });
    if limit == Some(Limit::Passed) {
        report.stops.push(Stop {
            text: "stop and call before going on: what was found passes the limit of the quote"
                .to_owned(),
            marks,
            place: String::new(),
            rule: id::QUOTE_STOP.to_owned(),
        });
        report.needs_a_person.push("the limit of the quote is passed".to_owned());
    }
    report.basis.insert("opened.extra_work.cost".to_owned(), vec![id::QUOTE_STOP.to_owned()]);
    report.rules = basis::rules_named(&report, book);
    report
}

const fn words(of: Limit) -> &'static str {
    match of {
        Limit::Passed => "passed",
        Limit::MayBe => "may be passed",
        Limit::Kept => "not passed",
    }
}

#[allow(clippy::cast_precision_loss, reason = "thousandths of what a job needs are small")]
fn counts(of: &[PackLine]) -> Vec<PackCount> {
    let one =
        |line: &PackLine| PackCount { count: line.count, amount: line.amount as f64 / THOUSANDTHS };
    of.iter().map(one).collect()
}
