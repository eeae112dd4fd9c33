//! The first pages: how to use the sheets, and the list of them.

use super::canvas::Canvas;
use super::letters;
use super::page::{self, SMALL_MM};
use super::paper::Paper;
use super::{PatternBook, case_words};

/// A line of the list.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum ListLine {
    Heading(String),
    Said(String),
}

impl ListLine {
    pub(super) fn as_text(&self) -> String {
        match self {
            Self::Heading(text) => text.clone(),
            Self::Said(text) => format!("  {text}"),
        }
    }
}

/// What has to be done with the paper.
const USE: [&str; 8] = [
    "These sheets say where and what shape. The cautions, blocks, assumptions and waits of the estimate hold for every one of them: read it first.",
    "Print at actual size (100 %), without \"fit to page\". Lay a rule on both rulers of every page: 100 mm, or print again.",
    "Where a drawing takes several pages, cut one along its frame and lay its small crosses on those of the neighbour; tape them together.",
    "Lay the paper on the clean panel, \"up\" where the panel's v grows, and bring each named cross to where its tapes meet; a landmark that is drawn lies on the real one.",
    "If a tape and the paper disagree by more than your tape's error, believe the tape, and measure the panel again before cutting. Where nobody says which way u runs on a panel (u_runs), it is taken to run to the right as one stands before it. If landmarks and crosses fit only with the paper turned over, that is wrong: cut nothing, mend the file, print again.",
    "Opened up, a mark may be larger than it showed: open it first, record the sizes, and print again. Cut no glass before that.",
    "What is laid behind is drawn as seen from behind. A landmark has to come through to be taped from there.",
    "Plies are drawn flat; mat is laid on the curved skin dry before any resin is mixed. Areas and masses of the estimate are measured on the skin, not on the paper.",
];

/// All lines of the first pages; the sheets begin after `before` pages.
pub(super) fn lines(
    book: &PatternBook,
    paper: Paper,
    drawn: &[(String, Vec<Canvas>)],
    cuts: usize,
    before: usize,
) -> Vec<ListLine> {
    let heading = |text: &str| ListLine::Heading(text.to_owned());
    let mut lines = vec![
        ListLine::Heading(format!("Full-size patterns of {}, {}", book.body, paper.words())),
        ListLine::Said(format!("{}; {}", case_words(book.sheets.case), book.heading)),
    ];
    lines.extend(first_read(book));
    lines.push(heading("How to use them"));
    lines.extend(
        USE.iter().enumerate().map(|(n, text)| ListLine::Said(format!("{}. {text}", n + 1))),
    );
    lines.push(heading("Sheets"));
    let mut at = before + 1;
    for (sheet, (name, pages)) in book.sheets.sheets.iter().zip(drawn) {
        let to = at + pages.len() - 1;
        let pages_ = if to > at { format!("pages {at} to {to}") } else { format!("page {at}") };
        let waits = book.waits.get(sheet.number).and_then(Option::as_ref);
        let waits = waits.map_or_else(String::new, |why| format!("; not yet: {why}"));
        lines.push(ListLine::Said(format!("{pages_}: {name}{waits}")));
        at = to + 1;
    }
    if drawn.is_empty() {
        lines.push(ListLine::Said("none: no repair takes anything down or lays glass".to_owned()));
    }
    if cuts > 0 {
        let to = at + cuts - 1;
        let pages = if cuts > 1 { format!("pages {at} to {to}") } else { format!("page {at}") };
        lines.push(ListLine::Said(format!("{pages}: pictures of the cut plans")));
    }
    if !book.sheets.without.is_empty() || !book.sheets.not_drawn.is_empty() {
        lines.push(heading("Without a sheet"));
        for (repair, why) in &book.sheets.without {
            lines.push(ListLine::Said(format!("{repair}: {why}")));
        }
        for one in &book.sheets.not_drawn {
            lines.push(ListLine::Said(format!(
                "{} ply {}, {}, {:.3} m²: {}",
                one.repair, one.ply, one.mat, one.skin_m2, one.why
            )));
        }
    }
    lines
}

/// The lines on pages.
pub(super) fn pages(book: &PatternBook, paper: Paper, lines: &[ListLine]) -> Vec<Canvas> {
    let mut pages = Vec::new();
    let mut begun = None;
    // The head of every page has them already, unless there are too many.
    let whole = if page::stops_fit(book, paper) { Vec::new() } else { stop_lines(book) };
    for line in whole.iter().chain(lines) {
        let (size_mm, bold, text) = match line {
            ListLine::Heading(text) => (3.6, true, text),
            ListLine::Said(text) => (2.9, false, text),
        };
        let room = paper.size_mm().0 - 2.0 * page::EDGE_MM - 10.0;
        for (number, text) in letters::broken(text, size_mm, bold, room).iter().enumerate() {
            let above = if bold && number == 0 { 2.0 } else { 0.0 };
            let (page, y): &mut (page::Begun, f64) = begun.get_or_insert_with(|| {
                let page = page::begun(book, paper, false, &[], 2.0);
                let y = page.corner.y + page.window.y;
                (page, y)
            });
            *y -= size_mm * 1.3 + above;
            let x = page.corner.x + if bold || number == 0 { 0.0 } else { 4.0 };
            page.canvas.words((x, *y), size_mm, bold, text);
            let full = *y < page.corner.y + 2.0 * SMALL_MM;
            if full && let Some((page, _)) = begun.take() {
                pages.push(page.canvas);
            }
        }
    }
    pages.extend(begun.map(|(page, _)| page.canvas));
    pages
}

/// What stops and what is left out, whole: the heads of pages may have had to shorten it.
pub(super) fn stop_lines(book: &PatternBook) -> Vec<ListLine> {
    let mut lines = Vec::new();
    if !book.stops.is_empty() {
        lines.push(ListLine::Heading("STOP".to_owned()));
        lines.extend(book.stops.iter().cloned().map(ListLine::Said));
    }
    if !book.left_out.is_empty() {
        lines.push(ListLine::Heading("Left out of every sheet".to_owned()));
        lines.extend(book.left_out.iter().cloned().map(ListLine::Said));
    }
    lines
}

/// What has to be known before the list, in the order of every answer.
fn first_read(book: &PatternBook) -> Vec<ListLine> {
    let mut lines = Vec::new();
    for (heading, list) in [
        ("Goes to a specialist, and has no sheet", &book.referrals),
        ("What nobody could see", &book.not_seen),
        ("Blocked until answered or changed", &book.blocked),
    ] {
        if !list.is_empty() {
            lines.push(ListLine::Heading(heading.to_owned()));
            lines.extend(list.iter().cloned().map(ListLine::Said));
        }
    }
    lines
}
