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
    let left_out =
        report.order.as_ref().map_or(&report.materials.high.excludes, |order| &order.excludes);
    for one in left_out {
        let what = one.mark.map_or_else(String::new, |mark| format!("mark {mark}"));
        row(["left out of every figure", &what, "", "", "", "", "", "", &one.reason])?;
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

/// What to buy now, a line a pack, for a supplier; what is left out comes last.
#[must_use]
pub fn lines(report: &Report) -> String {
    let mut text = String::new();
    let Some(order) = &report.order else { return text };
    for line in &order.lines {
        for pack in &line.packs {
            text.push_str(&format!(
                "{} x {} {} {}\n",
                pack.count, pack.amount, line.unit, line.what
            ));
        }
    }
    if text.is_empty() {
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
    for stop in &report.stops {
        text.push_str(&format!("STOP: {}\n", stop.text));
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
