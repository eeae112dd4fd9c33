//! What to buy and what it costs as lines of the report.

use super::basis;
use super::model::*;
use crate::buy::Exclusion as Left;
use crate::buy::cutting::MatPlan;
use crate::buy::disposal::{self, Waste};
use crate::buy::job::JobOrder;
use crate::buy::order::{Order, OrderList, Stale};
use crate::buy::packs::PackLine;
use crate::buy::price::{LineGroup, Priced};
use crate::buy::replace::Compared;
use crate::model::packs::PackTable;
use crate::quantity::{Case, Cases};
use crate::read::job::Job;
use crate::repair::Plan;
use crate::rules::id;

/// Rules that an order rests on.
pub(super) const ORDER: &[&str] = &[
    id::WASTE_MIX,
    id::WASTE_SESSION,
    id::WASTE_MAT_LARGE,
    id::WASTE_MAT_ODD,
    id::MAT_PIECE_LARGE,
    id::MIX_LEAST,
    id::EXCLUDES,
];
/// Rules that cut plans rest on.
pub(super) const CUT: &[&str] =
    &[id::LAP, id::ROLL_WIDTH, id::CUT_GAP, id::OFFCUT_SHORT, id::OFFCUT_LONG];
/// Rules that the verdict on packs rests on.
pub(super) const ENOUGH: &[&str] = &[
    id::SPREAD_RESIN,
    id::SPREAD_WASTE,
    id::SPREAD_MAT,
    id::SPREAD_TOGETHER,
    id::WORDS_ENOUGH,
    id::WORDS_SHORT,
    id::WORDS_JOBS,
];
/// Rules that a quote rests on where the price file says nothing.
pub(super) const QUOTE: &[&str] = &[id::QUOTE_CONTINGENCY, id::QUOTE_STOP, id::QUOTE_EXPIRY];

/// Marks that a report's totals leave out, as the order takes them.
#[must_use]
pub fn left_out_of(report: &Report) -> Vec<Left> {
    let all = report.materials.high.excludes.iter();
    all.filter_map(|one| Some(Left { mark: one.mark?, reason: one.reason.clone() })).collect()
}

/// The report with order and price in it.
#[must_use]
pub fn with_order(mut report: Report, job: &Job, plan: &Plan<'_>, of: &JobOrder) -> Report {
    let name = |number: &usize| {
        plan.repairs.get(*number).map_or_else(String::new, |repair| repair.id.clone())
    };
    let mut excludes = report.materials.high.excludes.clone();
    // Some marks have masses and no product: no list and no sum here holds them.
    for one in &of.now.excludes {
        if excludes.iter().all(|known| known.mark != Some(one.mark)) {
            excludes.push(Exclusion { mark: Some(one.mark), reason: one.reason.clone() });
        }
    }
    let list = |list: &OrderList| -> Vec<WareLine> {
        list.orders.iter().map(|order| ware_line(order, &job.packs)).collect()
    };
    report.order = Some(OrderLines {
        lines: list(&of.now),
        cut_plan: of.cut.as_ref().map(cut_lines),
        enough: of.enough.as_ref().map(|one| EnoughLine {
            seed: one.seed,
            draws: one.draws,
            likely: one.likely.clone(),
            high: one.high.clone(),
            drivers: one.drivers.clone(),
        }),
        buy_only_after: of
            .after
            .iter()
            .map(|one| BuyAfterLine {
                after: one.reason.clone(),
                repairs: one.repairs.iter().map(name).collect(),
                lines: list(&one.order).into_iter().map(later).collect(),
                cut_plan: one.cut.as_ref().map(cut_lines),
            })
            .collect(),
        not_here: of
            .not_here
            .iter()
            .map(|(ware, why)| NotHereLine {
                what: ware.words().to_owned(),
                why: (*why).to_owned(),
            })
            .collect(),
        at_hand: of
            .at_hand
            .iter()
            .map(|one| NotHereLine { what: one.what.clone(), why: one.why.clone() })
            .collect(),
        waste: of.waste.iter().map(waste_line).collect(),
        excludes: excludes.clone(),
    });
    if let (Some(priced), Some((file, _))) = (&of.priced, &job.prices) {
        let mut lines = price_lines(file, priced, excludes);
        lines.not_counted.clone_from(&of.not_counted);
        let paid = lines.lines.iter().any(|line| line.group == "labour");
        let compared = of.compared.iter().map(|one| compared_line(one, priced.decimals, paid));
        lines.compared = compared.collect();
        report.price = Some(lines);
    }
    let mut add = |path: &str, rules: &[&str]| {
        let rules = rules.iter().map(|rule| (*rule).to_owned()).collect();
        report.basis.insert(path.to_owned(), rules);
    };
    add("order", ORDER);
    if of.cut.is_some() {
        add("order.cut_plan", CUT);
    }
    if !of.compared.is_empty() {
        add("price.compared", &[id::REPLACE_EVEN]);
    }
    if of.enough.is_some() {
        add("order.enough", ENOUGH);
    }
    if !of.waste.is_empty() {
        add("order.waste", &disposal::RULES);
    }
    if of.priced.is_some() {
        add("price", QUOTE);
        add("price.lines", &[id::ACCESS_PANEL]);
    }
    report.rules = basis::rules_named(&report, &job.book);
    report
}

fn waste_line(of: &Waste) -> WasteLine {
    WasteLine {
        class: of.class.words().to_owned(),
        mass_kg: of.kg.map(|kg| round6(*kg)),
        from: of.from.iter().map(|one| (*one).to_owned()).collect(),
        caution: disposal::caution(of.class).to_owned(),
    }
}

fn compared_line(of: &Compared, decimals: u32, with_hours: bool) -> ComparedLine {
    let money = |sum: &Cases<Option<i64>>| sum.map(|minor| minor.map(|one| whole(one, decimals)));
    ComparedLine {
        panel: of.panel.clone(),
        joined: of.joined.words().to_owned(),
        repairing: money(&of.repairing),
        replacing: money(&of.replacing),
        with_hours,
        missing: of.missing.clone(),
        leaves_out: of.leaves_out.clone(),
        verdict: of.verdict.clone(),
    }
}

/// Money in whole units.
#[allow(clippy::cast_precision_loss, reason = "money of one job is far below 2^53 minor units")]
pub(super) fn whole(minor: i64, decimals: u32) -> f64 {
    minor as f64 / 10_f64.powi(decimals.min(6) as i32)
}

fn cut_lines(cut: &Cases<Vec<MatPlan>>) -> Vec<CutLine> {
    let mut mats: Vec<&str> =
        Case::ALL.iter().flat_map(|case| cut.get(*case)).map(|plan| plan.mat.as_str()).collect();
    mats.sort_unstable();
    mats.dedup();
    let line = |mat: &str| {
        let plan = |case| cut.get(case).iter().find(|plan| plan.mat == mat);
        let any = Case::ALL.into_iter().find_map(plan);
        let likely = plan(Case::Likely);
        let not_cut = Case::ALL.into_iter().filter_map(plan).flat_map(|plan| &plan.not_cut);
        let mut not_cut: Vec<String> =
            not_cut.map(|one| format!("{} ply {}: {}", one.repair, one.ply, one.why)).collect();
        not_cut.dedup();
        CutLine {
            mat: mat.to_owned(),
            roll_width_mm: any.map_or(0.0, |plan| round6(plan.roll.width_mm)),
            pieces: likely.map_or(0, |plan| plan.pieces.len()),
            pieces_m2: likely.map_or(0.0, |plan| round6(plan.pieces_m2)),
            length_m: Cases::from_fn(|case| plan(case).map_or(0.0, |plan| round6(plan.length_m))),
            least_m: likely.map_or(0.0, |plan| round6(plan.least_m)),
            not_cut,
            offcuts: likely.map_or_else(Vec::new, offcuts),
        }
    };
    mats.into_iter().map(line).collect()
}

fn offcuts(of: &MatPlan) -> Vec<OffcutLine> {
    let line = |one: &crate::buy::nest::Offcut| OffcutLine {
        along_mm: round6(one.along_mm),
        across_mm: round6(one.across_mm),
        from_end_mm: round6(one.x_mm),
        from_edge_mm: round6(one.y_mm),
    };
    of.layout.offcuts.iter().map(line).collect()
}

/// Something for later: in which packs depends on what is left of the first list by then.
fn later(line: WareLine) -> WareLine {
    let (packs, packs_high) = (Vec::new(), Vec::new());
    WareLine { packs, packs_high, from_shelf: 0.0, left_over: 0.0, too_old: Vec::new(), ..line }
}

#[allow(clippy::cast_precision_loss, reason = "thousandths of what a job needs are small")]
fn units(thousandths: u64) -> f64 {
    thousandths as f64 / 1000.0
}

fn ware_line(order: &Cases<Order>, packs: &PackTable) -> WareLine {
    let likely = &order.likely;
    let counts = |packs: &[PackLine]| -> Vec<PackCount> {
        packs.iter().map(|one| PackCount { count: one.count, amount: units(one.amount) }).collect()
    };
    let too_old = order.high.stale.iter().map(|(_, stale)| match stale {
        Stale::PastItsDate(days) => format!("{days:.0} days past its date"),
        Stale::OpenTooLong(open, keeps) => {
            format!("open for {open:.0} days, it keeps for {keeps:.0}")
        }
    });
    WareLine {
        what: likely.name(),
        unit: likely.ware.unit().words().to_owned(),
        need: order.map(|one| round6(units(one.need))),
        from_shelf: round6(units(likely.taken.iter().map(|one| one.amount).sum())),
        try_first: likely.taken.iter().any(|one| one.age_unknown),
        too_old: too_old.collect(),
        packs: counts(&likely.mix.packs),
        left_over: round6(units(likely.mix.left_over)),
        packs_high: counts(&order.high.mix.packs),
        opened_keeps_days: packs.of(likely.ware, likely.grade).and_then(|item| item.opened_days),
    }
}

fn price_lines(file: &str, of: &Priced, excludes: Vec<Exclusion>) -> PriceLines {
    let money = |minor: i64| whole(minor, of.decimals);
    PriceLines {
        compared: Vec::new(),
        not_counted: Vec::new(),
        file: file.to_owned(),
        currency: of.currency.clone(),
        decimals: of.decimals,
        priced_on: of.priced_on.clone(),
        lines: of
            .lines
            .iter()
            .map(|line| MoneyLine {
                group: group(line.group),
                what: line.what.clone(),
                money: line.money.map(|minor| minor.map(money)),
            })
            .collect(),
        totals: of.totals.map(|total| TotalLine {
            net: money(total.money.net),
            tax: money(total.money.tax),
            gross: money(total.money.gross),
            at_least: total.at_least,
        }),
        not_priced: of
            .not_priced
            .iter()
            .map(|one| NotHereLine { what: one.what.clone(), why: one.way_out.clone() })
            .collect(),
        excludes,
        provisional: of
            .provisional
            .iter()
            .map(|one| ProvisionalLine {
                mark: one.mark,
                what: one.what.clone(),
                money: money(one.money),
            })
            .collect(),
        quote: QuoteLine {
            figure: of.quote.figure.word(),
            work: money(of.quote.work),
            contingency: money(of.quote.contingency),
            gross: money(of.quote.money.gross),
            stop_at: money(of.quote.stop_at),
            expires_days: of.quote.expires_days,
            lacks: of.quote.lacks,
        },
    }
}

const fn group(of: LineGroup) -> &'static str {
    match of {
        LineGroup::Materials => "materials",
        LineGroup::Labour => "labour",
        LineGroup::Access => "access",
        LineGroup::Disposal => "disposal",
    }
}
