//! Pages as PDF (ISO 32000-1): vector lines and text in two standard typefaces, no picture inside.

use nalgebra::Point2;
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

use super::canvas::{Canvas, Item, Pen, Words};
use super::letters;

/// Points in a millimetre: a point is 1/72 inch.
const POINTS: f64 = 72.0 / 25.4;

#[expect(clippy::cast_possible_truncation, reason = "a page is some thousand points across")]
fn points(mm: f64) -> f32 {
    (mm * POINTS) as f32
}

/// One file of all pages. A reader that heeds it prints at full size.
pub(super) fn of(pages: &[Canvas], title: &str) -> Vec<u8> {
    let mut next = 0;
    let mut number = || {
        next += 1;
        Ref::new(next)
    };
    let (catalog, tree, plain, bold, info) = (number(), number(), number(), number(), number());
    let ids: Vec<(Ref, Ref)> = pages.iter().map(|_| (number(), number())).collect();
    let mut pdf = Pdf::new();
    let mut root = pdf.catalog(catalog);
    root.pages(tree);
    root.viewer_preferences().pair(Name(b"PrintScaling"), Name(b"None"));
    root.finish();
    pdf.document_info(info).title(TextStr(&letters::spelt(title)));
    let count = i32::try_from(pages.len()).unwrap_or(i32::MAX);
    pdf.pages(tree).kids(ids.iter().map(|(page, _)| *page)).count(count);
    for (id, name) in [(plain, &b"Helvetica"[..]), (bold, &b"Helvetica-Bold"[..])] {
        let mut font = pdf.type1_font(id);
        font.base_font(Name(name)).encoding_predefined(Name(b"WinAnsiEncoding"));
    }
    for (page, (id, content)) in pages.iter().zip(ids) {
        let mut of = pdf.page(id);
        of.media_box(Rect::new(0.0, 0.0, points(page.width_mm), points(page.height_mm)));
        of.parent(tree).contents(content);
        let mut resources = of.resources();
        resources.fonts().pair(Name(b"P"), plain).pair(Name(b"B"), bold);
        resources.finish();
        of.finish();
        pdf.stream(content, &drawn(page));
    }
    pdf.finish()
}

fn drawn(page: &Canvas) -> Vec<u8> {
    let mut content = Content::new();
    content.set_line_cap(pdf_writer::types::LineCapStyle::ButtCap);
    let mut last = None;
    for item in &page.items {
        match item {
            Item::Line { points: line, closed, pen } => {
                if last != Some(*pen) {
                    set(&mut content, *pen);
                    last = Some(*pen);
                }
                path(&mut content, line, *closed);
            }
            Item::Words(words) => say(&mut content, words),
        }
    }
    content.finish().to_vec()
}

fn set(content: &mut Content, pen: Pen) {
    content.set_line_width(points(pen.width_mm()));
    content.set_dash_pattern(pen.dashes_mm().iter().map(|mm| points(*mm)), 0.0);
}

fn path(content: &mut Content, line: &[Point2<f64>], closed: bool) {
    for (number, point) in line.iter().enumerate() {
        let (x, y) = (points(point.x), points(point.y));
        if number == 0 {
            content.move_to(x, y);
        } else {
            content.line_to(x, y);
        }
    }
    if closed {
        content.close_path();
    }
    content.stroke();
}

fn say(content: &mut Content, words: &Words) {
    let (x, y) = (points(words.at.x), points(words.at.y));
    let name = if words.bold { Name(b"B") } else { Name(b"P") };
    content.begin_text();
    content.set_font(name, points(words.size_mm));
    content.set_text_matrix(if words.upwards {
        [0.0, 1.0, -1.0, 0.0, x, y]
    } else {
        [1.0, 0.0, 0.0, 1.0, x, y]
    });
    content.show(Str(&letters::bytes(&words.text)));
    content.end_text();
}
