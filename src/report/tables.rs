//! Order and price as a table for a spreadsheet, and the order as plain lines for a supplier.
//!
//! The table is RFC 4180 text. A cell that a spreadsheet would take for a formula gets an apostrophe
//! in front (OWASP, "CSV Injection": cells that begin with = + - @, tab or carriage return), whoever
//! wrote it. Every sheet carries its stop lines and what it leaves out, in rows of their own at the
//! top, because a sheet goes about alone.

use super::model::*;
use super::text::left_out;

/// Columns of the table.
const COLUMNS: [&str; 9] =
    ["part", "what", "unit", "low", "likely", "high", "packs", "left_over", "note"];

/// A text that no spreadsheet takes for a formula.
#[must_use]
pub fn harmless(text: &str) -> String {
    let risky = text.trim_start_matches(' ').starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
    if risky { format!("'{text}") } else { text.to_owned() }
}

/// Order and price as comma-separated text.
///
/// # Errors
/// In words; writing into memory does not fail.
pub fn csv(report: &Report) -> Result<String, String> {
    let mut out =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let mut row =
        |cells: [&str; 9]| out.write_record(cells.map(harmless)).map_err(|fault| fault.to_string());
    row(COLUMNS)?;
    for stop in &report.stops {
        row(["STOP", &stop.text, "", "", "", "", "", "", ""])?;
    }
    let mark = |mark: Option<u32>| mark.map_or_else(String::new, |mark| format!("mark {mark}"));
    for one in &report.referrals {
        let why = format!("{}; {}", one.reason, one.who);
        row(["REFERRED", &mark(one.mark), "", "", "", "", "", "", &why])?;
    }
    for one in &report.blocks {
        let why = format!("{}; way out: {}", one.why, one.way_out);
        row(["BLOCKED", &one.step, "", "", "", "", "", "", &why])?;
    }
    let left_out =
        report.order.as_ref().map_or(&report.materials.high.excludes, |order| &order.excludes);
    for one in left_out {
        row(["left out of every figure", &mark(one.mark), "", "", "", "", "", "", &one.reason])?;
    }
    let order = report.order.as_ref();
    for (part, line) in order.iter().flat_map(|order| {
        let later = order.buy_only_after.iter().flat_map(|later| {
            let part = format!("only after: {} ({})", later.after, later.repairs.join(" "));
            later.lines.iter().map(move |line| (part.clone(), line))
        });
        order.lines.iter().map(|line| ("now".to_owned(), line)).chain(later)
    }) {
        let [low, likely, high] =
            [line.need.low, line.need.likely, line.need.high].map(|need| need.to_string());
        let left_over = line.left_over.to_string();
        let note = line.too_old.join("; ");
        row([
            &part,
            &line.what,
            &line.unit,
            &low,
            &likely,
            &high,
            &packs(line),
            &left_over,
            &note,
        ])?;
    }
    for (part, one) in order.iter().flat_map(|order| cut_lines(order)) {
        let [low, likely, high] =
            [one.length_m.low, one.length_m.likely, one.length_m.high].map(|m| m.to_string());
        let note = format!(
            "off a roll {} mm wide; {} pieces, {} m², no plan under {} m; {}",
            one.roll_width_mm,
            one.pieces,
            one.pieces_m2,
            one.least_m,
            one.not_cut.join("; ")
        );
        row([&part, &one.mat, "m", &low, &likely, &high, "", "", &note])?;
        for over in &one.offcuts {
            let size = format!("{} x {}", over.across_mm, over.along_mm);
            let note = format!(
                "{} mm from the end and {} mm from the edge of the roll",
                over.from_end_mm, over.from_edge_mm
            );
            row(["over, worth keeping", &one.mat, "mm", "", &size, "", "", "", &note])?;
        }
    }
    for one in order.iter().flat_map(|order| &order.waste) {
        let [low, likely, high] =
            [one.mass_kg.low, one.mass_kg.likely, one.mass_kg.high].map(|kg| kg.to_string());
        row(["waste", &one.class, "kg", &low, &likely, &high, "", "", &one.caution])?;
    }
    for one in order.iter().flat_map(|order| &order.not_here) {
        row(["not bought", &one.what, "", "", "", "", "", "", &one.why])?;
    }
    if let Some(price) = &report.price {
        let money = |figure: Option<f64>| {
            figure.map_or_else(
                || "not priced".to_owned(),
                |figure| format!("{figure:.*}", price.decimals as usize),
            )
        };
        for line in &price.lines {
            let [low, likely, high] =
                [line.money.low, line.money.likely, line.money.high].map(money);
            row([line.group, &line.what, &price.currency, &low, &likely, &high, "", "", ""])?;
        }
        for one in &price.not_priced {
            row(["not priced, in no sum", &one.what, "", "", "", "", "", "", &one.why])?;
        }
        let totals = [&price.totals.low, &price.totals.likely, &price.totals.high];
        let [low, likely, high] = totals.map(|total| money(Some(total.gross)));
        let least = if totals.iter().any(|total| total.at_least) { "at least" } else { "" };
        let what = "together, with tax";
        row(["total", what, &price.currency, &low, &likely, &high, "", "", least])?;
    }
    let bytes = out.into_inner().map_err(|fault| fault.to_string())?;
    String::from_utf8(bytes).map_err(|fault| fault.to_string())
}

/// The cut plans of every list, each with what it waits for.
fn cut_lines(order: &OrderLines) -> impl Iterator<Item = (String, &CutLine)> {
    let now = order.cut_plan.iter().flatten().map(|one| ("cut plan, now".to_owned(), one));
    let later = order.buy_only_after.iter().flat_map(|later| {
        let part = format!("cut plan, only after: {}", later.after);
        later.cut_plan.iter().flatten().map(move |one| (part.clone(), one))
    });
    now.chain(later)
}

/// What must not be done, then what to buy now, a line a pack, for a supplier, then what is left out.
#[must_use]
pub fn lines(report: &Report) -> String {
    let mut text = String::new();
    for stop in &report.stops {
        text.push_str(&format!("STOP: {}\n", stop.text));
    }
    let Some(order) = &report.order else { return text };
    let before = text.len();
    for line in &order.lines {
        for pack in &line.packs {
            text.push_str(&format!(
                "{} x {} {} {}\n",
                pack.count, pack.amount, line.unit, line.what
            ));
        }
    }
    if text.len() == before {
        text.push_str("nothing to buy now\n");
    }
    let waiting = order.buy_only_after.len();
    if waiting > 0 {
        text.push_str(&format!("not on this list: {waiting} lots that wait for something\n"));
    }
    let left = left_out(&order.excludes);
    if !left.is_empty() {
        text.push_str(&format!("this list{left}\n"));
    }
    text
}

fn packs(line: &WareLine) -> String {
    let each: Vec<String> =
        line.packs.iter().map(|pack| format!("{} x {}", pack.count, pack.amount)).collect();
    each.join(" + ")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The signs that OWASP's page on CSV injection names.
    #[test]
    fn nothing_is_left_that_a_spreadsheet_would_work_out() {
        for text in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1+1"] {
            assert!(harmless(text).starts_with('\''), "{text:?}");
        }
        for text in ["resin", "1 x 5", "mark 4", ""] {
            assert_eq!(harmless(text), text);
        }
    }
}
