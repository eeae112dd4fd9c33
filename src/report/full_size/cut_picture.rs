//! How the plies lie on their rolls, as a picture to a scale that is written on it.

use nalgebra::{Point2, Vector2};

use super::PatternBook;
use super::canvas::{Canvas, Item, Pen};
use super::page::{self, HeadLine, SMALL_MM};
use super::paper::Paper;
use crate::buy::cutting::MatPlan;

/// Scales a picture may have: 1 to so much.
const SCALES: [f64; 9] = [1.0, 2.0, 2.5, 4.0, 5.0, 8.0, 10.0, 20.0, 50.0];

/// A cut plan as a drawing for a page that says the rest around it.
#[derive(Debug, Clone)]
pub struct CutDrawing {
    /// Its heading.
    pub title: String,
    /// What has to be known with it.
    pub says: String,
    /// A whole SVG element.
    pub svg: String,
}

/// Every plan of these lists that has pieces.
#[must_use]
pub fn drawn_alone(cut: &Lists) -> Vec<CutDrawing> {
    let plans = each(cut);
    plans
        .map(|(after, of)| {
            let scale = scale(of, Vector2::new(160.0, 200.0));
            let (width, length) = (of.roll.width_mm / scale, of.layout.cut_off_length_mm / scale);
            let mut canvas = Canvas::new(width.max(160.0) + 20.0, length + 22.0);
            drawn(&mut canvas, of, scale, Point2::new(10.0, 4.0));
            // A browser may set wider letters than those that the lines were broken for.
            canvas.width_mm *= 1.3;
            let lines = head(after, of, &format!("1 : {scale}"));
            let mut said = lines.into_iter().map(|line| line.text);
            let title = said.next().unwrap_or_default();
            let svg = super::svg::of(&canvas, &title);
            CutDrawing { title, says: said.collect::<Vec<_>>().join(" "), svg }
        })
        .collect()
}

/// The pages of all cut plans.
pub(super) fn pages(book: &PatternBook, paper: Paper) -> Vec<Canvas> {
    each(&book.cut)
        .map(|(after, of)| {
            let begun = |scale: &str| page::begun(book, paper, false, &head(after, of, scale), 0.0);
            let empty = begun("1 : 00");
            let scale = scale(of, empty.window - Vector2::repeat(12.0));
            let mut page = begun(&format!("1 : {scale}"));
            drawn(&mut page.canvas, of, scale, page.corner + Vector2::repeat(6.0));
            page.canvas
        })
        .collect()
}

/// The same pictures without a page round them.
pub(super) fn pictures(book: &PatternBook) -> Vec<Canvas> {
    each(&book.cut)
        .map(|(after, of)| {
            let scale = scale(of, Vector2::new(180.0, 240.0));
            let (width, length) = (of.roll.width_mm / scale, of.layout.cut_off_length_mm / scale);
            let head = head(after, of, &format!("1 : {scale}"));
            let room = width.max(180.0);
            let lines = page::above(book, head, room);
            let above = page::height_mm(lines.len()) + 8.0;
            let mut canvas = Canvas::new(room + 20.0, length + above + 22.0);
            page::written(&mut canvas, &lines);
            drawn(&mut canvas, of, scale, Point2::new(10.0, 10.0));
            canvas
        })
        .collect()
}

/// Plans by the list they belong to; those that wait say for what.
type Lists = [(Option<String>, Vec<MatPlan>)];

fn each(cut: &Lists) -> impl Iterator<Item = (Option<&String>, &MatPlan)> {
    cut.iter().flat_map(|(after, plans)| {
        plans.iter().filter(|plan| !plan.pieces.is_empty()).map(move |plan| (after.as_ref(), plan))
    })
}

fn head(after: Option<&String>, of: &MatPlan, scale: &str) -> Vec<HeadLine> {
    let text = format!("Cut plan of {}: a picture, {scale}, not to cut by", of.mat);
    let mut lines = vec![HeadLine { size_mm: 4.0, bold: true, text }];
    if let Some(after) = after {
        let text = format!("Not to be bought or cut yet. Only after: {after}.");
        lines.push(HeadLine { size_mm: SMALL_MM, bold: true, text });
    }
    lines.push(HeadLine::small(format!(
        "{:.2} m off a roll {:.0} mm wide; {} pieces, {:.3} m²; no plan can be under {:.2} m, plain rows take {:.2} m",
        of.length_m,
        of.roll.width_mm,
        of.pieces.len(),
        of.pieces_m2,
        of.least_m,
        of.layout.shelf_length_mm * 1e-3,
    )));
    for left in &of.not_cut {
        lines.push(HeadLine::small(format!(
            "Not in the picture: {} ply {}, {:.3} m²: {}",
            left.repair, left.ply, left.skin_m2, left.why
        )));
    }
    lines
}

/// The largest picture that fits: the roll's width lies across the page, its length up it.
fn scale(of: &MatPlan, room: Vector2<f64>) -> f64 {
    let needs = (of.roll.width_mm / room.x).max(of.layout.cut_off_length_mm / room.y);
    SCALES.into_iter().find(|scale| *scale >= needs).unwrap_or_else(|| needs.ceil())
}

fn drawn(canvas: &mut Canvas, of: &MatPlan, scale: f64, corner: Point2<f64>) {
    // Along the roll is up the page; turned, not mirrored.
    let put = |p: &Point2<f64>| corner + Vector2::new(of.roll.width_mm - p.y, p.x) / scale;
    let (width, length) = (of.roll.width_mm, of.layout.cut_off_length_mm);
    let outline = |x: f64, y: f64, along: f64, across: f64| {
        let corners = [(x, y), (x + along, y), (x + along, y + across), (x, y + across)];
        corners.iter().map(|(x, y)| put(&Point2::new(*x, *y))).collect::<Vec<_>>()
    };
    let whole = outline(0.0, 0.0, length, width);
    canvas.items.push(Item::Line { points: whole, closed: true, pen: Pen::Trim });
    for offcut in &of.layout.offcuts {
        let points = outline(offcut.x_mm, offcut.y_mm, offcut.along_mm, offcut.across_mm);
        let (low, high) = (points.first(), points.get(2));
        if let (Some(low), Some(high)) = (low, high) {
            let at = nalgebra::center(low, high);
            let text = format!("left {:.0} x {:.0} mm", offcut.across_mm, offcut.along_mm);
            canvas.middle((at.x, at.y), SMALL_MM, false, &text);
        }
        canvas.items.push(Item::Line { points, closed: true, pen: Pen::Ground });
    }
    for (number, one) in of.layout.placed.iter().enumerate() {
        let points: Vec<Point2<f64>> = one.outline_mm.iter().map(put).collect();
        let (low, high) = points
            .iter()
            .fold((corner + Vector2::repeat(1e6), corner), |of, p| (of.0.inf(p), of.1.sup(p)));
        canvas.items.push(Item::Line { points, closed: true, pen: Pen::Cut });
        let at = nalgebra::center(&low, &high);
        canvas.middle((at.x, at.y - 0.9), SMALL_MM, true, &format!("{}", number + 1));
    }
    let names: Vec<String> = of
        .layout
        .placed
        .iter()
        .enumerate()
        .map(|(number, one)| {
            let over = if one.turned_over { " (turned over)" } else { "" };
            format!("{} = {}{over}", number + 1, one.id)
        })
        .collect();
    let room = canvas.width_mm - corner.x - page::EDGE_MM;
    let y = corner.y + length / scale + 3.0;
    for (number, line) in
        super::letters::broken(&names.join("; "), SMALL_MM, false, room).iter().rev().enumerate()
    {
        canvas.words((corner.x, y + number as f64 * SMALL_MM * 1.25), SMALL_MM, false, line);
    }
}
