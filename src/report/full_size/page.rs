//! What every page has: what stops, what is left out, rulers, its number.

use nalgebra::{Point2, Vector2};

use super::PatternBook;
use super::canvas::{Canvas, Pen};
use super::letters;
use super::paper::Paper;

/// Nothing is drawn nearer to the edge of the paper than this, mm (choice: what printers leave white).
pub(super) const EDGE_MM: f64 = 7.0;
/// Room for the upright ruler, mm.
const LEFT_MM: f64 = 9.0;
/// Room for the lower ruler and the number of the page, mm.
const BELOW_MM: f64 = 12.0;
/// Small print and line, mm.
pub(super) const SMALL_MM: f64 = 2.5;
const LINE: f64 = 1.25;
/// What stops and what is left out may take this share of a page, in smaller print where it has to;
/// past it no room is left to draw in, and every page sends its reader to the first one (choice).
const STOPS_SHARE: f64 = 0.5;
/// The smaller print, mm: 5 points.
const SMALLEST_MM: f64 = 1.8;

/// A line of the head.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct HeadLine {
    pub(super) size_mm: f64,
    pub(super) bold: bool,
    pub(super) text: String,
}

impl HeadLine {
    pub(super) fn small(text: impl Into<String>) -> Self {
        Self { size_mm: SMALL_MM, bold: false, text: text.into() }
    }
}

/// An empty page with its head, and the window that is left: its lower left corner and its size.
pub(super) struct Begun {
    pub(super) canvas: Canvas,
    pub(super) corner: Point2<f64>,
    pub(super) window: Vector2<f64>,
}

/// Begins a page; `wide` lays the paper on its long side, `key_mm` is left free under the head.
pub(super) fn begun(
    book: &PatternBook,
    paper: Paper,
    wide: bool,
    head: &[HeadLine],
    key_mm: f64,
) -> Begun {
    let (short, long) = paper.size_mm();
    let (width, height) = if wide { (long, short) } else { (short, long) };
    let mut canvas = Canvas::new(width, height);
    let room = width - 2.0 * EDGE_MM;
    let mut y = height - EDGE_MM;
    let mut say = |canvas: &mut Canvas, line: &HeadLine| {
        for text in letters::broken(&line.text, line.size_mm, line.bold, room) {
            y -= line.size_mm * LINE;
            canvas.words((EDGE_MM, y), line.size_mm, line.bold, &text);
        }
    };
    for line in stops(book, room, height) {
        say(&mut canvas, &line);
    }
    for line in head {
        say(&mut canvas, line);
    }
    let top = y - 2.0 - key_mm;
    let corner = Point2::new(EDGE_MM + LEFT_MM, EDGE_MM + BELOW_MM);
    let window = Vector2::new(width - EDGE_MM - corner.x, top - corner.y);
    rulers(&mut canvas, corner);
    Begun { canvas, corner, window }
}

/// What stops and what is left out, in small print.
fn stops(book: &PatternBook, room: f64, height: f64) -> Vec<HeadLine> {
    let left_out = || {
        let all = book.left_out.join("; ");
        let text = format!("Left out of every sheet here: {all}");
        (!book.left_out.is_empty()).then_some((false, text))
    };
    let fits = |size_mm: f64| -> Option<Vec<HeadLine>> {
        let stops = book.stops.iter().map(|text| (true, format!("STOP: {text}")));
        let said = stops.chain(left_out());
        let whole: Vec<HeadLine> =
            said.map(|(bold, text)| HeadLine { size_mm, bold, text }).collect();
        let lines: usize =
            whole.iter().map(|one| letters::broken(&one.text, size_mm, one.bold, room).len()).sum();
        (lines as f64 * size_mm * LINE <= STOPS_SHARE * height).then_some(whole)
    };
    if let Some(whole) = [SMALL_MM, SMALLEST_MM].into_iter().find_map(fits) {
        return whole;
    }
    let stop = |text: String| HeadLine { size_mm: SMALL_MM, bold: true, text };
    let mut short = Vec::new();
    if !book.stops.is_empty() {
        short.push(stop(format!(
            "STOP: {} things must not be done with this vehicle. Read them on page 1 before you go on.",
            book.stops.len()
        )));
    }
    if !book.left_out.is_empty() {
        let text = "What is left out of every sheet here stands on page 1".to_owned();
        short.push(HeadLine::small(text));
    }
    short
}

/// Whether the heads of upright pages have all of what stops and what is left out.
pub(super) fn stops_fit(book: &PatternBook, paper: Paper) -> bool {
    let (width, height) = paper.size_mm();
    let left = usize::from(!book.left_out.is_empty());
    stops(book, width - 2.0 * EDGE_MM, height).len() == book.stops.len() + left
}

/// Everything a drawing without a page says above itself, broken to a width: what stops, what is left
/// out, then its own head.
pub(super) fn above(book: &PatternBook, head: Vec<HeadLine>, room: f64) -> Vec<(bool, String)> {
    let stops = book.stops.iter().map(|text| (true, format!("STOP: {text}")));
    let left = book.left_out.iter().map(|text| (false, format!("left out: {text}")));
    let own = head.into_iter().map(|line| (line.bold, line.text));
    let mut lines = Vec::new();
    for (bold, text) in stops.chain(left).chain(own) {
        let broken = letters::broken(&text, SMALL_MM, bold, room);
        lines.extend(broken.into_iter().map(|line| (bold, line)));
    }
    lines
}

/// Writes such lines down from the top of a drawing.
pub(super) fn written(canvas: &mut Canvas, lines: &[(bool, String)]) {
    let mut y = canvas.height_mm - 4.0;
    for (bold, line) in lines {
        y -= SMALL_MM * LINE;
        canvas.words((5.0, y), SMALL_MM, *bold, line);
    }
}

/// Height of so many lines, mm.
pub(super) fn height_mm(lines: usize) -> f64 {
    lines as f64 * SMALL_MM * LINE
}

/// A ruler of 100 mm each way: printers do not always shrink both alike.
fn rulers(canvas: &mut Canvas, corner: Point2<f64>) {
    let (x, y) = (corner.x, EDGE_MM + 5.5);
    canvas.line(&[(x, y), (x + 100.0, y)], Pen::Frame);
    for step in 0..=10 {
        let at = x + 10.0 * f64::from(step);
        let up = if step % 10 == 0 { 3.0 } else { 1.5 };
        canvas.line(&[(at, y), (at, y + up)], Pen::Frame);
    }
    canvas.words(
        (x + 103.0, y),
        SMALL_MM,
        false,
        "100 mm by your own rule? If not: print again at actual size.",
    );
    let (x, y) = (EDGE_MM + 5.5, corner.y);
    canvas.line(&[(x, y), (x, y + 100.0)], Pen::Frame);
    for step in 0..=10 {
        let at = y + 10.0 * f64::from(step);
        let out = if step % 10 == 0 { 3.0 } else { 1.5 };
        canvas.line(&[(x - out, at), (x, at)], Pen::Frame);
    }
    canvas.upwards((x - 0.5, y + 103.0), SMALL_MM, "100 mm");
}

/// Puts the number on a page.
pub(super) fn numbered(canvas: &mut Canvas, number: usize, of: usize) {
    let text = format!("page {number} of {of}");
    let width = letters::width_mm(&text, SMALL_MM, false);
    canvas.words((canvas.width_mm - EDGE_MM - width, EDGE_MM), SMALL_MM, false, &text);
}
