//! The whole body: its panels in place, from where one would stand; or the panels side by side where
//! nobody has said where they are.

use nalgebra::{Point2, Vector2, Vector3};

use super::content::is_face;
use super::ground::{bounds, edges, pieces};
use super::ink::{Canvas, Item, Pen, Sign};
use super::key::Used;
use super::labels::{Label, LabelBox, SIZE_MM, broken, placed};
use super::places::{self, OnBody};
use super::sheet::{SHEET_MM, bar, looked_at, tidy, words};
use super::{Drawing, Mapped, view};
use crate::repair::Action;
use crate::report::text::of_marks;
use crate::surface::marks::Form;
use crate::surface::mesh::MeshPoint;
use crate::surface::placed::PlacedPanel;

/// White beside the body, mm.
const BESIDE_MM: f64 = 9.0;
/// A drawing is no higher than this, mm.
const HIGHEST_MM: f64 = 150.0;
/// Names are broken at this width, mm.
const NAME_MM: f64 = 40.0;

type Standing = (&'static str, [f64; 3], [f64; 3], [f64; 3]);

/// Where one stands: its name, what lies to the right, up, and towards the eye, as rearwards, to the
/// nearside, up.
const STANDS: [Standing; 5] = [
    ("from the nearside", [1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]),
    ("from the offside", [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]),
    ("from the front", [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [-1.0, 0.0, 0.0]),
    ("from behind", [0.0, -1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]),
    ("from above, front to the left", [1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0]),
];

/// A mark: its number, its pen, its lines and its place.
type ShapeMark = (u32, Pen, Vec<Vec<Point2<f64>>>, Point2<f64>);

/// A panel as it is drawn: mm, y up.
struct Shape {
    name: String,
    outline: Vec<Vec<Point2<f64>>>,
    marks: Vec<ShapeMark>,
    /// How near to the eye.
    near_mm: f64,
}

/// The drawings.
pub(super) fn of_job(of: &Mapped<'_, '_>) -> Vec<Drawing> {
    let Some(all) = places::of_job(of) else { return side_by_side(of) };
    let mut views = Vec::new();
    for (name, right, up, towards) in STANDS {
        let [right, up, towards] = [right, up, towards].map(Vector3::from);
        let facing = all.iter().filter(|one| one.out.dot(&towards) > 0.5);
        let shapes: Vec<Shape> = facing
            .filter_map(|one| {
                let on = of.panels.get(one.panel)?.by_itself();
                let place = |point: &MeshPoint| {
                    let at = one.place(on, point).coords;
                    Point2::new(at.dot(&right), at.dot(&up))
                };
                let near_mm = middle(on).map_or(0.0, |at| one.place(on, &at).coords.dot(&towards));
                Some(shape(of, one.panel, on, &place, near_mm))
            })
            .collect();
        if !shapes.is_empty() {
            views.push((name, shapes));
        }
    }
    // One scale for all of them.
    let scale = views.iter().map(|(_, shapes)| scale_of(shapes)).fold(0.2, f64::max);
    let said = said(of, &all);
    let each = views.iter().map(|(name, shapes)| {
        let title = format!("the body seen {name}");
        drawing(title, shapes, scale, &said)
    });
    each.collect()
}

/// What a reader has to know about the places.
fn said(of: &Mapped<'_, '_>, all: &[OnBody]) -> String {
    let names = |wanted: &dyn Fn(&OnBody) -> bool| -> Vec<String> {
        let chosen = all.iter().filter(|one| wanted(one));
        chosen.filter_map(|one| Some(of.panels.get(one.panel)?.of.name.clone())).collect()
    };
    let mut said = vec![
        "For finding one's way: nothing is measured here. Panels that look another way are left out; marks on a panel behind another one are drawn over it.".to_owned(),
    ];
    let lying = names(&OnBody::is_taken_to_lie);
    if !lying.is_empty() {
        said.push(format!(
            "The body file does not say what lies and what stands (lies); drawn lying: {}.",
            lying.join("; ")
        ));
    }
    let turned = names(&|one| !one.fits());
    if !turned.is_empty() {
        said.push(format!(
            "Body file and panel file disagree on left and right, and the body file's places are drawn: {}. Where u runs to the left on such a panel and its file does not say so (u_runs), its maps and patterns are mirror images of it: cut nothing by them.",
            turned.join("; ")
        ));
    }
    let placed: Vec<usize> = all.iter().map(|one| one.panel).collect();
    let others = of.panels.iter().enumerate().filter(|(number, _)| !placed.contains(number));
    let others: Vec<&str> = others.map(|(_, panel)| panel.of.name.as_str()).collect();
    if !others.is_empty() {
        said.push(format!("Without a place on the body, and not drawn: {}.", others.join("; ")));
    }
    said.join(" ")
}

fn middle(on: &PlacedPanel<'_>) -> Option<MeshPoint> {
    let (low, high) = bounds(&on.mesh.grid);
    low.x.is_finite().then(|| on.mesh.nearest(nalgebra::center(&low, &high)).0)
}

/// A panel and the marks on it, through one view.
fn shape(
    of: &Mapped<'_, '_>,
    number: usize,
    on: &PlacedPanel<'_>,
    place: &dyn Fn(&MeshPoint) -> Point2<f64>,
    near_mm: f64,
) -> Shape {
    let mesh = &on.mesh;
    let face = |face: u32| is_face(on, face);
    let ends = |_: u32, other: Option<u32>| !other.is_some_and(face);
    let line = |points: &Vec<MeshPoint>| points.iter().map(place).collect::<Vec<_>>();
    let mut marks = Vec::new();
    for (finding, decision) in of.findings.iter().zip(&of.plan.decisions) {
        if finding.placed.panel != number {
            continue;
        }
        let pen = if decision.action == Action::Refer { Pen::Referred } else { Pen::Seen };
        let finding = finding.alone.as_deref().unwrap_or(finding);
        let lines = match &finding.placed.form {
            Form::Line(of) => pieces(mesh, &of.pieces).iter().map(line).collect(),
            Form::Patch(patch) => {
                let mut round: Vec<MeshPoint> =
                    patch.outline.iter().map(|at| mesh.nearest(*at).0).collect();
                round.extend(round.first().copied());
                vec![line(&round)]
            }
        };
        marks.push((finding.mark().id, pen, lines, place(&finding.placed.at)));
    }
    let outline = edges(mesh, &face, &ends).iter().map(line).collect();
    Shape { name: on.of.name.clone(), outline, marks, near_mm }
}

fn scale_of(shapes: &[Shape]) -> f64 {
    let (low, high) = bounds(shapes.iter().flat_map(|one| &one.outline).flatten());
    let (wide, tall) = (high.x - low.x, high.y - low.y);
    tidy((wide / (SHEET_MM - 2.0 * BESIDE_MM)).max(tall / HIGHEST_MM))
}

fn drawing(title: String, shapes: &[Shape], scale: f64, said: &str) -> Drawing {
    let (low, high) = bounds(shapes.iter().flat_map(|one| &one.outline).flatten());
    let left = (SHEET_MM - (high.x - low.x) / scale) / 2.0;
    let to_sheet =
        |at: &Point2<f64>| Point2::new(left + (at.x - low.x) / scale, (high.y - at.y) / scale);
    let mut order: Vec<&Shape> = shapes.iter().collect();
    order.sort_by(|one, other| one.near_mm.total_cmp(&other.near_mm));
    let mut canvas = Canvas { width_mm: SHEET_MM, ..Canvas::default() };
    let (mut labels, mut names, mut drawn) = (Vec::new(), Vec::new(), Vec::new());
    let on_sheet = |lines: &Vec<Vec<Point2<f64>>>| -> Vec<Vec<Point2<f64>>> {
        lines.iter().map(|line| line.iter().map(to_sheet).collect()).collect()
    };
    let mut hidden = Vec::new();
    for (number, shape) in order.iter().enumerate() {
        let outline = on_sheet(&shape.outline);
        // A nearer panel hides what is behind it.
        canvas.items.push(Item::Shade { lines: outline.clone(), grey: "#ffffff" });
        let pen = if shape.marks.is_empty() { Pen::Neighbour } else { Pen::Outline };
        let (low, high) = bounds(outline.iter().flatten());
        let lines = broken(&shape.name, SIZE_MM, false, NAME_MM);
        let at = nalgebra::center(&low, &high);
        names.push(Label { at, lines, bold: false, on_it: true });
        drawn.extend(outline.iter().flat_map(|line| looked_at(line)).map(|at| (at, 0.7)));
        if order.iter().skip(number + 1).any(|nearer| {
            let (from, to) = bounds(nearer.outline.iter().flatten());
            let (from, to) = (to_sheet(&from), to_sheet(&to));
            from.x < high.x && low.x < to.x && to.y < high.y && low.y < from.y
        }) {
            hidden.extend(outline.clone());
        }
        canvas.lines(outline, true, pen);
    }
    canvas.lines(hidden, true, Pen::Hidden);
    // Marks are never hidden: they are what one looks for.
    for (mark, pen, lines, at) in order.iter().flat_map(|shape| &shape.marks) {
        let lines = on_sheet(lines);
        drawn.extend(lines.iter().flat_map(|line| looked_at(line)).map(|at| (at, 2.5)));
        canvas.lines(lines, false, *pen);
        let at = to_sheet(at);
        labels.push(Label { at, lines: vec![mark.to_string()], bold: true, on_it: false });
    }
    labels.extend(names);
    finished(canvas, title, &labels, &drawn, ((high.y - low.y) / scale, scale), shapes, said)
}

/// Puts the words on, and says what can be seen.
fn finished(
    mut canvas: Canvas,
    title: String,
    labels: &[Label],
    drawn: &[(Point2<f64>, f64)],
    (tall, scale): (f64, f64),
    shapes: &[Shape],
    said: &str,
) -> Drawing {
    let room =
        LabelBox { low: Point2::new(1.5, -12.0), high: Point2::new(SHEET_MM - 1.5, tall + 12.0) };
    let (boxes, row_end) = placed(labels, &room, &[], drawn);
    words(&mut canvas, labels, &boxes);
    let highest = boxes.iter().map(|one| one.low.y).fold(-1.0, f64::min) - 1.5;
    let lowest = boxes.iter().map(|one| one.high.y).fold(tall, f64::max);
    let foot = lowest.max(if row_end > room.high.y { row_end } else { 0.0 }) + 3.0;
    bar(&mut canvas, scale, foot);
    let up = Vector2::new(0.0, -highest);
    canvas.moved(up);
    canvas.height_mm = foot + 6.0 - highest;
    let used = Used::of(&canvas, &[] as &[Sign]);
    let panels = shapes.iter().map(|shape| {
        let marks: Vec<u32> = shape.marks.iter().map(|(mark, ..)| *mark).collect();
        if marks.is_empty() {
            format!("{}, no mark", shape.name)
        } else {
            format!("{}, {}", shape.name, of_marks(&marks))
        }
    });
    let says = format!("{title}: {}. {said}", panels.collect::<Vec<_>>().join("; "));
    let boxes =
        boxes.iter().map(|one| LabelBox { low: one.low + up, high: one.high + up }).collect();
    Drawing { boxes, ..Drawing::new(title, says, canvas, used, None) }
}

/// Outlines of the panels side by side at one scale, in rows.
fn side_by_side(of: &Mapped<'_, '_>) -> Vec<Drawing> {
    let mut shapes = Vec::new();
    for (number, panel) in of.panels.iter().enumerate() {
        let on = panel.by_itself();
        let Some(stand) = view::stand(on) else { continue };
        let place = |point: &MeshPoint| {
            let at = on.mesh.position(point).coords;
            Point2::new(at.dot(&stand.right), at.dot(&stand.up))
        };
        shapes.push(shape(of, number, on, &place, 0.0));
    }
    if shapes.is_empty() {
        return Vec::new();
    }
    let widest = shapes
        .iter()
        .map(|one| {
            let (low, high) = bounds(one.outline.iter().flatten());
            (high.x - low.x).max(high.y - low.y)
        })
        .fold(1.0, f64::max);
    // The largest takes half the sheet, so that rows of two fit.
    let largest_mm = if shapes.len() > 1 { 0.48 } else { 0.8 } * SHEET_MM;
    let scale = tidy(widest / largest_mm);
    let apart = 14.0 * scale;
    let (mut x, mut top, mut deepest) = (0.0, 0.0, 0.0_f64);
    for shape in &mut shapes {
        let (low, high) = bounds(shape.outline.iter().flatten());
        let (wide, tall) = (high.x - low.x, high.y - low.y);
        if x > 0.0 && x + wide > (SHEET_MM - 2.0 * BESIDE_MM) * scale {
            x = 0.0;
            top -= deepest + apart;
            deepest = 0.0;
        }
        let by = Vector2::new(x - low.x, top - high.y);
        shape.outline.iter_mut().flatten().for_each(|at| *at += by);
        for (_, _, lines, at) in &mut shape.marks {
            lines.iter_mut().flatten().for_each(|at| *at += by);
            *at += by;
        }
        x += wide + apart;
        deepest = deepest.max(tall);
    }
    let said = "Nobody has said where they are on the body: all are drawn side by side at one scale, each seen from outside.";
    vec![drawing("panels of the job".to_owned(), &shapes, scale, said)]
}
