//! One view of a panel put on a sheet: lines, signs, words and a scale.

use nalgebra::{Point2, Vector2};

use super::Outline;
use super::content::{Content, Layer};
use super::ground::bounds;
use super::ink::{Canvas, Item, Pen, Sign};
use super::labels::{Label, LabelBox, SIZE_MM, base, broken, placed, width_mm};
use super::view::View;
use crate::surface::mesh::MeshPoint;

/// Width of every drawing, mm.
pub(super) const SHEET_MM: f64 = 180.0;
/// White beside a panel and at the edge of the sheet, mm.
const BESIDE_MM: f64 = 8.0;
/// A panel is drawn no higher than this, mm.
const HIGHEST_MM: f64 = 190.0;
/// White kept at the edge of the sheet, mm.
const EDGE_MM: f64 = 1.5;
/// Words of a label are broken at this width, mm.
const LABEL_MM: f64 = 52.0;
/// Lines that words had better not hide are looked at this often, mm.
const LOOK_MM: f64 = 1.5;

/// A drawing before it is written down.
pub(super) struct Drawn {
    pub(super) canvas: Canvas,
    pub(super) boxes: Vec<LabelBox>,
    pub(super) signs: Vec<Sign>,
    pub(super) outlines: Vec<Outline>,
    pub(super) scale: f64,
    /// Where each mark is on it, in words.
    pub(super) where_: Vec<String>,
    /// Marks, fixings and landmarks that this view does not show.
    pub(super) hidden: usize,
}

/// From the bottom up.
const ORDER: [Pen; 16] = [
    Pen::Unexamined,
    Pen::UnexaminedBack,
    Pen::Region,
    Pen::Turned,
    Pen::Ring,
    Pen::Outline,
    Pen::Behind,
    Pen::Prepared,
    Pen::Ply,
    Pen::Removed,
    Pen::High,
    Pen::Likely,
    Pen::Reading,
    Pen::Seen,
    Pen::Referred,
    Pen::Before,
];

/// A line as far as the view shows it, and whether that is all of it.
fn shown(view: &View<'_>, line: &[MeshPoint]) -> (Vec<Vec<Point2<f64>>>, bool) {
    let (mut runs, mut run, mut whole) = (Vec::new(), Vec::new(), true);
    for point in line {
        match (view.place)(point) {
            Some(at) => run.push(at),
            None => {
                whole = false;
                runs.push(std::mem::take(&mut run));
            }
        }
    }
    runs.push(run);
    runs.retain(|run| run.len() > 1);
    (runs, whole)
}

/// Draws a view of a panel.
pub(super) fn drawn(view: &View<'_>, content: &Content) -> Drawn {
    let outline: Vec<Point2<f64>> = content
        .layers
        .iter()
        .filter(|layer| matches!(layer.pen, Pen::Outline | Pen::Turned))
        .flat_map(|layer| &layer.on.lines)
        .flat_map(|line| shown(view, line).0)
        .flatten()
        .collect();
    let (low, high) = if outline.is_empty() {
        (Point2::origin(), Point2::new(1.0, 1.0))
    } else {
        bounds(&outline)
    };
    let (wide, tall) = ((high.x - low.x).max(1.0), (high.y - low.y).max(1.0));
    let scale = tidy((wide / (SHEET_MM - 2.0 * BESIDE_MM)).max(tall / HIGHEST_MM));
    let left = (SHEET_MM - wide / scale) / 2.0;
    let to_sheet =
        |at: &Point2<f64>| Point2::new(left + (at.x - low.x) / scale, (high.y - at.y) / scale);
    let mut canvas = Canvas { width_mm: SHEET_MM, height_mm: 0.0, items: Vec::new() };
    for (grey, lines) in &view.shades {
        let lines = lines.iter().flat_map(|line| shown(view, line).0);
        let lines = lines.map(|line| line.iter().map(to_sheet).collect()).collect();
        canvas.items.push(Item::Shade { lines, grey });
    }
    let mut outlines = Vec::new();
    let mut drawn = Vec::new();
    for pen in ORDER {
        let mut plain = Vec::new();
        for layer in content.layers.iter().filter(|layer| layer.pen == pen) {
            let (lines, whole) = layer_lines(view, layer, &to_sheet);
            if !matches!(pen, Pen::Unexamined | Pen::UnexaminedBack | Pen::Region | Pen::Turned) {
                let weight = match pen {
                    Pen::Seen | Pen::Referred | Pen::Before => 2.5,
                    Pen::Outline | Pen::High | Pen::Likely => 1.2,
                    _ => 0.5,
                };
                let places = lines.iter().flat_map(|line| looked_at(line));
                drawn.extend(places.map(|at| (at, weight)));
            }
            if whole && view.is_flat && !layer.what.is_empty() {
                let what = Some(layer.what.clone());
                outlines.push(Outline {
                    panel: String::new(),
                    what: layer.what.clone(),
                    scale,
                    lines_mm: lines
                        .iter()
                        .map(|line| line.iter().map(|at| [at.x, at.y]).collect())
                        .collect(),
                });
                canvas.items.push(Item::Lines { lines, closed: true, pen, what });
            } else {
                plain.extend(lines);
            }
        }
        canvas.lines(plain, false, pen);
    }
    let (labels, signs, hidden) = spots(view, content, &to_sheet);
    let kept_free: Vec<LabelBox> = signs
        .iter()
        .filter(|(_, sign)| sign.half_mm() > 0.6)
        .map(|(at, sign)| {
            let half = Vector2::repeat(sign.half_mm() + 0.2);
            LabelBox { low: at - half, high: at + half }
        })
        .collect();
    let top = -2.0 * SIZE_MM - 6.0;
    let room = LabelBox {
        low: Point2::new(EDGE_MM, top),
        high: Point2::new(SHEET_MM - EDGE_MM, tall / scale - top),
    };
    let (boxes, row_end) = placed(&labels, &room, &kept_free, &drawn);
    words(&mut canvas, &labels, &boxes);
    for (at, sign) in &signs {
        canvas.sign(*at, *sign);
    }
    // Nothing but what is drawn takes room above and below.
    let of_boxes = |of: &dyn Fn(&LabelBox) -> f64| boxes.iter().map(of).collect::<Vec<f64>>();
    let highest = of_boxes(&|one| one.low.y).into_iter().fold(-1.0, f64::min) - EDGE_MM;
    let lowest = of_boxes(&|one| one.high.y).into_iter().fold(tall / scale, f64::max);
    let mut foot = lowest.max(if row_end > room.high.y { row_end } else { 0.0 }) + 3.0;
    bar(&mut canvas, scale, foot);
    foot += 6.0;
    let up = Vector2::new(0.0, -highest);
    canvas.moved(up);
    canvas.height_mm = foot - highest;
    let boxes =
        boxes.iter().map(|one| LabelBox { low: one.low + up, high: one.high + up }).collect();
    for line in outlines.iter_mut().flat_map(|one: &mut Outline| &mut one.lines_mm).flatten() {
        let [_, y] = line;
        *y += up.y;
    }
    let where_ = content
        .shown
        .iter()
        .map(|one| match (view.place)(&one.at) {
            Some(at) => {
                let share = (at - low).component_div(&Vector2::new(wide, tall));
                format!("{}, {}", one.words, part(share))
            }
            None => format!("{}, not in this view", one.words),
        })
        .collect();
    let mut signs: Vec<Sign> = signs.into_iter().map(|(_, sign)| sign).collect();
    signs.sort_unstable();
    signs.dedup();
    Drawn { canvas, boxes, signs, outlines, scale, where_, hidden }
}

fn layer_lines(
    view: &View<'_>,
    layer: &Layer,
    to_sheet: &dyn Fn(&Point2<f64>) -> Point2<f64>,
) -> (Vec<Vec<Point2<f64>>>, bool) {
    let mut whole = layer.on.whole;
    let mut lines = Vec::new();
    for line in &layer.on.lines {
        let (runs, all) = shown(view, line);
        whole &= all;
        lines.extend(runs.into_iter().map(|run| run.iter().map(to_sheet).collect::<Vec<_>>()));
    }
    (lines, whole)
}

/// Places along a line, one every so often.
pub(super) fn looked_at(line: &[Point2<f64>]) -> Vec<Point2<f64>> {
    let mut found = Vec::new();
    for pair in line.windows(2) {
        let [from, to] = pair else { continue };
        let steps = ((to - from).norm() / LOOK_MM).ceil().clamp(1.0, 200.0);
        let mut step = 0.0;
        while step < steps {
            found.push(from + (to - from) * (step / steps));
            step += 1.0;
        }
    }
    found.dedup_by(|one, other| (*one - *other).norm() < 0.4 * LOOK_MM);
    found
}

type Spots = (Vec<Label>, Vec<(Point2<f64>, Sign)>, usize);

/// Signs and labels of what the view shows, marks first.
fn spots(
    view: &View<'_>,
    content: &Content,
    to_sheet: &dyn Fn(&Point2<f64>) -> Point2<f64>,
) -> Spots {
    let (mut labels, mut signs, mut hidden) = (Vec::new(), Vec::new(), 0);
    for spot in &content.spots {
        let Some(at) = (view.place)(&spot.at) else {
            hidden += usize::from(spot.sign != Sign::Nothing && !spot.words.is_empty());
            continue;
        };
        let at = to_sheet(&at);
        if spot.sign != Sign::Nothing {
            signs.push((at, spot.sign));
        }
        if !spot.words.is_empty() {
            let lines = spot
                .words
                .iter()
                .flat_map(|line| broken(line, SIZE_MM, spot.bold, LABEL_MM))
                .collect();
            labels.push(Label { at, lines, bold: spot.bold, on_it: spot.on_it });
        }
    }
    labels.sort_by_key(|label| (!label.bold, label.on_it));
    (labels, signs, hidden)
}

/// Leaders first, then the white behind the words, then the words.
pub(super) fn words(canvas: &mut Canvas, labels: &[Label], boxes: &[LabelBox]) {
    let leaders: Vec<Vec<Point2<f64>>> = labels
        .iter()
        .zip(boxes)
        .filter(|(label, one)| (one.nearest(&label.at) - label.at).norm() > 0.8)
        .map(|(label, one)| vec![label.at, one.nearest(&label.at)])
        .collect();
    canvas.lines(leaders, false, Pen::Leader);
    for one in boxes {
        canvas.items.push(Item::Backing { low: one.low, high: one.high });
    }
    for (label, one) in labels.iter().zip(boxes) {
        for (line, text) in label.lines.iter().enumerate() {
            canvas.words(base(one, line), SIZE_MM, label.bold, text);
        }
    }
}

/// A bar of so much skin.
pub(super) fn bar(canvas: &mut Canvas, scale: f64, y: f64) {
    let bars = [10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0];
    let bar_mm = bars.into_iter().rfind(|one| one / scale <= 50.0).unwrap_or(10.0);
    let (left, right) = (BESIDE_MM, BESIDE_MM + bar_mm / scale);
    canvas.line(&[(left, y), (left, y + 1.5), (right, y + 1.5), (right, y)], Pen::Sign);
    canvas.words((right + 2.0, y + 2.2), SIZE_MM, false, &format!("{bar_mm:.0} mm"));
    let text = format!("1 : {}", (scale * 10.0).round() / 10.0);
    canvas.words(
        (right + 8.0 + width_mm("1000 mm", SIZE_MM, false), y + 2.2),
        SIZE_MM,
        false,
        &text,
    );
}

/// A scale of few digits that is no smaller.
pub(super) fn tidy(scale: f64) -> f64 {
    let step = if scale < 2.0 {
        0.1
    } else if scale < 10.0 {
        0.5
    } else {
        1.0
    };
    ((scale / step).ceil() * step).max(0.2)
}

/// Where on a sheet, in words.
fn part(share: Vector2<f64>) -> &'static str {
    match (share.x < 1.0 / 3.0, share.x > 2.0 / 3.0, share.y < 1.0 / 3.0, share.y > 2.0 / 3.0) {
        (true, _, true, _) => "lower left",
        (true, _, _, true) => "upper left",
        (true, ..) => "on the left",
        (_, true, true, _) => "lower right",
        (_, true, _, true) => "upper right",
        (_, true, ..) => "on the right",
        (_, _, true, _) => "below the middle",
        (_, _, _, true) => "above the middle",
        _ => "in the middle",
    }
}
