//! The sheets of a workbook: which columns and rows, from the record.

use super::model::*;
use crate::quantity::Cases;

/// A cell.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    Empty,
    Text(String),
    Number(f64),
    Money(f64),
}

/// A sheet.
#[derive(Debug)]
pub(super) struct Sheet {
    pub(super) name: &'static str,
    /// Head and width in characters.
    pub(super) columns: Vec<(String, f64)>,
    /// What has to be read first.
    pub(super) warnings: Vec<Vec<Cell>>,
    pub(super) rows: Vec<Vec<Cell>>,
}

impl Sheet {
    pub(super) fn texts(&self) -> impl Iterator<Item = &str> {
        let cells = self.warnings.iter().chain(&self.rows).flatten();
        cells.filter_map(|cell| match cell {
            Cell::Text(text) => Some(text.as_str()),
            _ => None,
        })
    }
}

/// Width of a column of figures, in characters.
const FIGURE: f64 = 12.0;

/// Every sheet there is something for, in the order they are read.
pub(super) fn sheets(report: &Report) -> Vec<Sheet> {
    let mut all = Vec::new();
    if let Some(order) = &report.order {
        let warnings = warnings(report, &order.excludes);
        all.push(now(order, &warnings));
        all.push(packs(order, &warnings));
        all.push(after(order, &warnings));
        all.push(cut_plan(order, &warnings));
        all.push(not_bought(order, &warnings));
        all.push(waste(order, &warnings));
    }
    if let Some(price) = &report.price {
        let warnings = warnings(report, &price.excludes);
        all.push(prices(price, &warnings));
        all.push(quote(price, &warnings));
    }
    if all.is_empty() {
        let columns = columns(&[("row", 18.0), ("what", 60.0)]);
        let rows = vec![vec![text("note"), text("there is nothing to buy")]];
        let warnings = warnings(report, &report.materials.high.excludes);
        all.push(Sheet { name: "Nothing to buy", columns, warnings, rows });
    }
    all
}

/// Stop lines, referrals, blocks and what is left out, a row each.
fn warnings(report: &Report, excludes: &[Exclusion]) -> Vec<Vec<Cell>> {
    let mark = |mark: Option<u32>| mark.map_or_else(String::new, |mark| format!("mark {mark}: "));
    let row = |sort: &str, what: String| vec![text(sort), Cell::Text(what)];
    let stops = report.stops.iter().map(|one| row("STOP", one.text.clone()));
    let referred = report
        .referrals
        .iter()
        .map(|one| row("REFERRED", format!("{}{}; {}", mark(one.mark), one.reason, one.who)));
    let blocks = report
        .blocks
        .iter()
        .map(|one| row("BLOCKED", format!("{}: {}; way out: {}", one.step, one.why, one.way_out)));
    let left = excludes
        .iter()
        .map(|one| row("left out of every figure", format!("{}{}", mark(one.mark), one.reason)));
    stops.chain(referred).chain(blocks).chain(left).collect()
}

fn now(order: &OrderLines, warnings: &[Vec<Cell>]) -> Sheet {
    let mut heads = vec![("row", 24.0), ("ware", 44.0), ("unit of the figures", 10.0)];
    heads.extend(NEED);
    heads.extend([
        ("there already, in that unit", FIGURE),
        ("packs for the likely need", 22.0),
        ("left over, in that unit", FIGURE),
        ("packs for the high need", 22.0),
        ("keeps once opened, days", FIGURE),
        ("note", 60.0),
    ]);
    let rows = order.lines.iter().map(|one| {
        let mut row = vec![text("buy now"), text(&one.what), text(&one.unit)];
        row.extend(three(&one.need));
        let mut notes = one.too_old.clone();
        if one.try_first {
            notes.insert(0, "what is there is of unknown age: try a sample first".to_owned());
        }
        row.extend([
            Cell::Number(one.from_shelf),
            Cell::Text(counted(&one.packs)),
            Cell::Number(one.left_over),
            Cell::Text(counted(&one.packs_high)),
            one.opened_keeps_days.map_or(Cell::Empty, Cell::Number),
            Cell::Text(notes.join("; ")),
        ]);
        row
    });
    let mut rows: Vec<_> = rows.collect();
    if rows.is_empty() {
        rows.push(vec![text("note"), text("buy nothing now: everything waits for something")]);
    }
    rows.extend(order.enough.iter().map(|one| {
        let said = format!(
            "resin and mat together, by {} draws: packs for the likely need: {}; for the high need: {}; what decides: {}",
            one.draws,
            one.likely,
            one.high,
            one.drivers.join(", ")
        );
        vec![text("enough?"), Cell::Text(said)]
    }));
    Sheet { name: "Order for now", columns: columns(&heads), warnings: warnings.to_vec(), rows }
}

#[allow(clippy::cast_precision_loss, reason = "counts of packs are small")]
fn packs(order: &OrderLines, warnings: &[Vec<Cell>]) -> Sheet {
    let heads = [
        ("row", 24.0),
        ("ware", 44.0),
        ("unit of the figures", 10.0),
        ("packs, count", FIGURE),
        ("one pack holds, in that unit", FIGURE),
    ];
    let rows = order.lines.iter().flat_map(|line| {
        let likely = line.packs.iter().map(|one| ("for the likely need", one));
        let high = line.packs_high.iter().map(|one| ("for the high need", one));
        likely.chain(high).map(|(need, one)| {
            let count = Cell::Number(one.count as f64);
            vec![text(need), text(&line.what), text(&line.unit), count, Cell::Number(one.amount)]
        })
    });
    let rows = rows.collect();
    Sheet { name: "Packs", columns: columns(&heads), warnings: warnings.to_vec(), rows }
}

fn after(order: &OrderLines, warnings: &[Vec<Cell>]) -> Sheet {
    let mut heads = vec![
        ("row", 24.0),
        ("ware", 44.0),
        ("unit of the figures", 10.0),
        ("only after", 44.0),
        ("repairs", 24.0),
    ];
    heads.extend(NEED);
    let rows = order.buy_only_after.iter().flat_map(|later| {
        let repairs = later.repairs.join(" ");
        later.lines.iter().map(move |one| {
            let mut row = vec![text("buy only after"), text(&one.what), text(&one.unit)];
            row.extend([text(&later.after), text(&repairs)]);
            row.extend(three(&one.need));
            row
        })
    });
    let rows = rows.collect();
    Sheet { name: "Buy only after", columns: columns(&heads), warnings: warnings.to_vec(), rows }
}

#[allow(clippy::cast_precision_loss, reason = "a layout has at most a thousand pieces")]
fn cut_plan(order: &OrderLines, warnings: &[Vec<Cell>]) -> Sheet {
    let heads = [
        ("row", 24.0),
        ("mat", 24.0),
        ("roll width, mm", FIGURE),
        ("pieces, likely case", FIGURE),
        ("their area, m²", FIGURE),
        ("off the roll, low, m", FIGURE),
        ("off the roll, likely, m", FIGURE),
        ("off the roll, high, m", FIGURE),
        ("no plan shorter than, m", FIGURE),
        ("note", 60.0),
    ];
    let line = |of: &CutLine| {
        let mut row = vec![text("cut plan"), text(&of.mat), Cell::Number(of.roll_width_mm)];
        row.extend([Cell::Number(of.pieces as f64), Cell::Number(of.pieces_m2)]);
        row.extend(three(&of.length_m));
        row.push(Cell::Number(of.least_m));
        if !of.not_cut.is_empty() {
            let not_cut = of.not_cut.join("; ");
            row.push(Cell::Text(format!("by percentage all the same, not drawn: {not_cut}")));
        }
        row
    };
    let over = |of: &CutLine| {
        let rows = of.offcuts.iter().map(|one| {
            let said = format!(
                "{} x {} mm, {} mm from the end and {} mm from the edge of the roll",
                one.across_mm, one.along_mm, one.from_end_mm, one.from_edge_mm
            );
            let mut row = vec![text("over, worth keeping"), text(&of.mat)];
            row.extend(std::iter::repeat_n(Cell::Empty, 7));
            row.push(Cell::Text(said));
            row
        });
        rows.collect::<Vec<_>>()
    };
    let mut rows = Vec::new();
    for one in order.cut_plan.iter().flatten() {
        rows.push(line(one));
        rows.extend(over(one));
    }
    for later in &order.buy_only_after {
        for one in later.cut_plan.iter().flatten() {
            let mut row = line(one);
            row.resize(9, Cell::Empty);
            let why = format!("only after: {} ({})", later.after, later.repairs.join(" "));
            let own = match line(one).pop() {
                Some(Cell::Text(note)) if !one.not_cut.is_empty() => format!("; {note}"),
                _ => String::new(),
            };
            if let Some(first) = row.first_mut() {
                *first = text("cut plan, for later");
            }
            row.push(Cell::Text(why + &own));
            rows.push(row);
        }
    }
    if order.cut_plan.is_none() {
        rows.push(vec![text("note"), text("no cut plan was asked for: mat is by percentage")]);
    }
    Sheet { name: "Cut plan", columns: columns(&heads), warnings: warnings.to_vec(), rows }
}

fn not_bought(order: &OrderLines, warnings: &[Vec<Cell>]) -> Sheet {
    let heads = [("row", 24.0), ("what", 60.0), ("why", 80.0)];
    let row = |sort: &str, one: &NotHereLine| vec![text(sort), text(&one.what), text(&one.why)];
    let not_here = order.not_here.iter().map(|one| row("not bought", one));
    let at_hand = order.at_hand.iter().map(|one| row("within reach before a tin is opened", one));
    let rows = not_here.chain(at_hand).collect();
    Sheet { name: "Not bought", columns: columns(&heads), warnings: warnings.to_vec(), rows }
}

fn waste(order: &OrderLines, warnings: &[Vec<Cell>]) -> Sheet {
    let heads = [
        ("row", 24.0),
        ("class", 44.0),
        ("low, kg", FIGURE),
        ("likely, kg", FIGURE),
        ("high, kg", FIGURE),
        ("from", 50.0),
        ("what to do with it", 80.0),
    ];
    let rows = order.waste.iter().map(|one| {
        let mut row = vec![text("waste to hand over"), text(&one.class)];
        row.extend(three(&one.mass_kg));
        row.extend([Cell::Text(one.from.join("; ")), text(&one.caution)]);
        row
    });
    let rows = rows.collect();
    Sheet { name: "Waste", columns: columns(&heads), warnings: warnings.to_vec(), rows }
}

fn prices(price: &PriceLines, warnings: &[Vec<Cell>]) -> Sheet {
    let currency = &price.currency;
    let mut columns = columns(&[("row", 24.0), ("what", 44.0)]);
    let heads = ["low", "likely", "high"].map(|case| (format!("{case}, {currency}"), FIGURE + 4.0));
    columns.extend(heads);
    columns.push(("note".to_owned(), 60.0));
    let unpriced = || text("not priced");
    let mut rows: Vec<_> = price
        .lines
        .iter()
        .map(|one| {
            let mut row = vec![text(one.group), text(&one.what)];
            let money = [one.money.low, one.money.likely, one.money.high];
            row.extend(money.map(|money| money.map_or_else(unpriced, Cell::Money)));
            row
        })
        .collect();
    let totals = [&price.totals.low, &price.totals.likely, &price.totals.high];
    let least = totals.iter().any(|one| one.at_least);
    for (what, part) in [
        ("together, without tax", totals.map(|one| one.net)),
        ("tax", totals.map(|one| one.tax)),
        ("together, with tax", totals.map(|one| one.gross)),
    ] {
        let mut row = vec![text("total"), text(what)];
        row.extend(part.map(Cell::Money));
        if least {
            row.push(text("at least: something is not priced or left out"));
        }
        rows.push(row);
    }
    for one in &price.not_priced {
        let mut row = vec![text("NOT PRICED, in no sum"), text(&one.what)];
        row.extend([Cell::Empty, Cell::Empty, Cell::Empty, text(&one.why)]);
        rows.push(row);
    }
    let own = "the shop's own sum, in no total";
    for one in &price.provisional {
        let what = format!("mark {}: {}", one.mark, one.what);
        let mut row = vec![text(own), Cell::Text(what), Cell::Empty];
        row.push(Cell::Money(one.money));
        rows.push(row);
    }
    Sheet { name: "Price", columns, warnings: warnings.to_vec(), rows }
}

fn quote(price: &PriceLines, warnings: &[Vec<Cell>]) -> Sheet {
    let mut columns = columns(&[("row", 24.0), ("what", 60.0)]);
    columns.push((format!("money, {}", price.currency), FIGURE + 4.0));
    columns.push(("days".to_owned(), FIGURE));
    let of = &price.quote;
    let money = |what: &str, money: f64| vec![text("quote"), text(what), Cell::Money(money)];
    let mut rows = vec![
        money(&format!("work and materials, on the {} figure", of.figure), of.work),
        money("for what nobody can see", of.contingency),
        money("both, with tax", of.gross),
        money("stops and calls before, with tax", of.stop_at),
        vec![
            text("quote"),
            text("holds for"),
            Cell::Empty,
            Cell::Number(f64::from(of.expires_days)),
        ],
    ];
    if of.lacks {
        let why = "NO FIXED PRICE: something is not priced or left out";
        rows.insert(0, vec![text("quote"), text(why)]);
    }
    let when = match price.priced_on.as_str() {
        "" => "nobody said when they were looked up",
        when => when,
    };
    rows.push(vec![text("prices from"), Cell::Text(format!("{} ({when})", price.file))]);
    Sheet { name: "Quote", columns, warnings: warnings.to_vec(), rows }
}

const NEED: [(&str, f64); 3] = [
    ("need, low, in that unit", FIGURE),
    ("need, likely, in that unit", FIGURE),
    ("need, high, in that unit", FIGURE),
];

fn columns(heads: &[(&str, f64)]) -> Vec<(String, f64)> {
    heads.iter().map(|(head, width)| ((*head).to_owned(), *width)).collect()
}

fn text(of: &str) -> Cell {
    Cell::Text(of.to_owned())
}

fn three(of: &Cases<f64>) -> [Cell; 3] {
    [of.low, of.likely, of.high].map(Cell::Number)
}

fn counted(packs: &[PackCount]) -> String {
    let each: Vec<String> =
        packs.iter().map(|one| format!("{} x {}", one.count, one.amount)).collect();
    each.join(" + ")
}
