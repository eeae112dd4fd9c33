//! What to buy and what it costs as text.

use super::lines_buy::{CUT, ENOUGH, ORDER, QUOTE};
use super::model::*;
use super::text::{Page, left_out, of_marks, three};
use crate::buy::disposal;
use crate::model::prices::Joined;
use crate::quantity::Cases;
use crate::rules::id;

/// The shopping list.
pub(crate) fn order(page: &mut Page, report: &Report) {
    let Some(order) = &report.order else { return };
    if order.lines.is_empty() && order.buy_only_after.is_empty() {
        return;
    }
    page.heading("SHOPPING LIST, waste included, in usual packs where no price file names others");
    let rules = page.rules(ORDER);
    page.line(
        2,
        &format!(
            "need low / likely / high, and packs for the likely one; mat {}{} {rules}",
            if order.cut_plan.is_some() {
                "by its cut plan, one a list"
            } else {
                "by percentage: `quote` makes a cut plan"
            },
            left_out(&order.excludes)
        ),
    );
    if order.lines.is_empty() {
        page.line(2, "buy nothing now: everything waits for something below");
    } else {
        page.line(2, "now:");
    }
    let open = !order.excludes.is_empty();
    for one in &order.lines {
        ware(page, one, open);
    }
    for one in order.cut_plan.iter().flatten() {
        cut(page, one);
    }
    if let Some(of) = &order.enough {
        let rules = page.rules(ENOUGH);
        page.line(
            4,
            &format!(
                "resin and mat together, by {} draws: packs for the likely need: {}; for the high need: {}; what decides: {}{} {rules}",
                of.draws,
                of.likely,
                of.high,
                of.drivers.join(", "),
                left_out(&order.excludes)
            ),
        );
    }
    for later in &order.buy_only_after {
        let poured = |one: &&WareLine| !["pieces", "pairs"].contains(&one.unit.as_str());
        let wares: Vec<String> =
            later.lines.iter().filter(poured).map(|one| need(one, open)).collect();
        page.line(
            2,
            &format!(
                "only after: {} ({}): {}; packs are chosen then, what is left of the first list may do",
                later.after,
                later.repairs.join(", "),
                wares.join("; ")
            ),
        );
        for one in later.cut_plan.iter().flatten() {
            cut(page, one);
        }
    }
    for one in &order.not_here {
        page.line(2, &format!("not bought: {}: {}", one.what, one.why));
    }
    waste(page, order);
    if !order.at_hand.is_empty() {
        page.line(2, "within reach before a tin is opened, not bought:");
        for one in &order.at_hand {
            page.line(4, &format!("{}: {}", one.what, one.why));
        }
    }
}

fn waste(page: &mut Page, order: &OrderLines) {
    if order.waste.is_empty() {
        return;
    }
    let rules = page.rules(&disposal::RULES);
    let open = !order.excludes.is_empty();
    page.line(
        2,
        &format!(
            "waste of the whole job to hand over, low / likely / high{} {rules}:",
            left_out(&order.excludes)
        ),
    );
    for one in &order.waste {
        let of = &one.mass_kg;
        page.line(
            4,
            &format!(
                "{}: {} ({}); {}",
                one.class,
                three(of.low, of.likely, of.high, 2, "kg", open),
                one.from.join("; "),
                one.caution
            ),
        );
    }
}

/// A figure without noughts that say nothing.
fn figure(value: f64) -> String {
    if value >= 100.0 {
        return format!("{value:.0}");
    }
    format!("{value:.2}").trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn need(of: &WareLine, open: bool) -> String {
    format!(
        "{}: {} / {} / {}{} {}",
        of.what,
        figure(of.need.low),
        figure(of.need.likely),
        if open { "at least " } else { "" },
        figure(of.need.high),
        of.unit
    )
}

/// What is over on the roll, in words; empty where nothing is worth keeping.
fn over(of: &CutLine) -> String {
    let each: Vec<String> = of
        .offcuts
        .iter()
        .map(|one| {
            format!(
                "{:.0} x {:.0} mm, {:.0} mm from the end and {:.0} mm from the edge",
                one.across_mm, one.along_mm, one.from_end_mm, one.from_edge_mm
            )
        })
        .collect();
    if each.is_empty() {
        String::new()
    } else {
        format!("; keep what is over: {}", each.join("; "))
    }
}

fn cut(page: &mut Page, of: &CutLine) {
    let rules = page.rules(CUT);
    page.line(
        4,
        &format!(
            "cut plan of {}: {:.3} / {:.3} / {:.3} m off a roll {:.0} mm wide; likely case {} pieces, {:.3} m², no plan under {:.3} m{}{} {rules}",
            of.mat,
            of.length_m.low,
            of.length_m.likely,
            of.length_m.high,
            of.roll_width_mm,
            of.pieces,
            of.pieces_m2,
            of.least_m,
            over(of),
            if of.not_cut.is_empty() {
                String::new()
            } else {
                format!("; by percentage all the same, not drawn: {}", of.not_cut.join("; "))
            }
        ),
    );
}

fn ware(page: &mut Page, of: &WareLine, open: bool) {
    let packs = |packs: &[PackCount]| -> String {
        let each: Vec<String> = packs
            .iter()
            .map(|one| format!("{} x {} {}", one.count, figure(one.amount), of.unit))
            .collect();
        each.join(" + ")
    };
    let mut said = need(of, open);
    if of.from_shelf > 0.0 {
        said.push_str(&format!("; {} {} of it is there", figure(of.from_shelf), of.unit));
    }
    if of.try_first {
        said.push_str(", nobody said how old: try a sample first");
    }
    for why in &of.too_old {
        said.push_str(&format!("; some is there and not counted, {why}"));
    }
    if of.packs.is_empty() {
        said.push_str("; buy none for the likely need");
    } else {
        said.push_str(&format!("; buy {}", packs(&of.packs)));
        let keeps = of.opened_keeps_days.map_or_else(String::new, |days| {
            format!(", which keeps about {days:.0} days once opened")
        });
        if of.left_over > 0.0 {
            said.push_str(&format!(", leaves {} {}{keeps}", figure(of.left_over), of.unit));
        }
    }
    let more: Vec<_> = of.packs_high.iter().map(|one| (one.count, one.amount)).collect();
    if more != of.packs.iter().map(|one| (one.count, one.amount)).collect::<Vec<_>>() {
        said.push_str(&format!("; for the high need {}", packs(&of.packs_high)));
    }
    page.line(4, &said);
}

/// Money.
pub(crate) fn price(page: &mut Page, report: &Report) {
    let Some(of) = &report.price else { return };
    page.heading("PRICE, low / likely / high, for the whole job bought at once");
    let digits = of.decimals as usize;
    let when = if of.priced_on.is_empty() {
        "nobody said when they were looked up".to_owned()
    } else {
        of.priced_on.clone()
    };
    page.line(
        2,
        &format!("prices from {} ({when}), {}{}", of.file, of.currency, left_out(&of.excludes)),
    );
    let money = |figure: Option<f64>| {
        figure.map_or_else(|| "not priced".to_owned(), |figure| format!("{figure:.digits$}"))
    };
    for line in &of.lines {
        let three = [line.money.low, line.money.likely, line.money.high].map(money);
        page.line(4, &format!("{}, {}: {}", line.group, line.what, three.join(" / ")));
    }
    let total = |total: &TotalLine| {
        format!("{}{:.digits$}", if total.at_least { "at least " } else { "" }, total.gross)
    };
    let (low, likely, high) = (&of.totals.low, &of.totals.likely, &of.totals.high);
    page.line(
        2,
        &format!(
            "together with tax: {} / {} / {} {}{}",
            total(low),
            total(likely),
            total(high),
            of.currency,
            left_out(&of.excludes)
        ),
    );
    for one in &of.not_priced {
        page.line(4, &format!("NOT PRICED, and in no sum: {}: {}", one.what, one.why));
    }
    for one in &of.not_counted {
        page.line(4, &format!("in no sum: {one}"));
    }
    for one in &of.compared {
        compared(page, of, one);
    }
    for one in &of.provisional {
        page.line(
            4,
            &format!(
                "the shop's own sum for mark {}, in no total: {:.digits$} {} ({})",
                one.mark, one.money, of.currency, one.what
            ),
        );
    }
    let rules = page.rules(QUOTE);
    let quote = &of.quote;
    page.line(
        2,
        &format!(
            "quote on the {} figure: {:.digits$} and {:.digits$} for what nobody can see, {:.digits$} {} with tax{}; stops and calls before {:.digits$}; holds for {} days {rules}",
            quote.figure,
            quote.work,
            quote.contingency,
            quote.gross,
            of.currency,
            if quote.lacks { "; NO FIXED PRICE: something is not priced or left out" } else { "" },
            quote.stop_at,
            quote.expires_days
        ),
    );
}

/// Repairing a panel against replacing it.
pub(super) fn compared(page: &mut Page, of: &PriceLines, one: &ComparedLine) {
    let digits = of.decimals as usize;
    let sums = |sums: &Cases<Option<f64>>| {
        let said = [sums.low, sums.likely, sums.high].map(|sum| {
            sum.map_or_else(|| "not priced".to_owned(), |sum| format!("{sum:.digits$}"))
        });
        said.join(" / ")
    };
    let mut said = format!("repair or replace, {}: {}", one.panel, one.verdict);
    if one.repairing.high.is_some() || one.replacing.high.is_some() {
        said.push_str(&format!(
            "; repairing {}, a new one fitted and painted {} {} with tax, getting at it in both, waste in neither, {}",
            sums(&one.repairing),
            sums(&one.replacing),
            of.currency,
            if one.with_hours { "hours in both" } else { "nobody's hours in either" }
        ));
    }
    if !one.leaves_out.is_empty() {
        said.push_str(&format!(
            "; leaves out {}, for a specialist, which may decide it",
            of_marks(&one.leaves_out)
        ));
    }
    if one.joined == Joined::Bonded.words() {
        said.push_str("; it is bonded: cutting it out is a job for a specialist and in no figure here, and repair is usual for a large one (common practice)");
    } else if one.joined == Joined::Unknown.words() {
        said.push_str(&format!("; {}", one.joined));
    }
    let rules = page.rules(&[id::REPLACE_EVEN]);
    page.line(2, &format!("{said} {rules}"));
}
