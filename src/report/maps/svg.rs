//! A drawing as SVG that can stand inline in a page: no ids, no classes, no styles, no references.

use std::fmt::Write;

use nalgebra::Point2;

use super::ink::{Canvas, Item};
use crate::report::full_size::svg::escaped;

/// Points nearer than this to a straight line are left out, mm.
const OFF_MM: f64 = 0.03;
/// The same of lines that are measured, as a share of how thick the figure is, and at most, mm: what
/// is left out at both of its sides is a small part of it.
const OFF_SHARE: f64 = 0.001;
const MEASURED_OFF_MM: (f64, f64) = (0.0003, 0.005);

/// One drawing, whole. `scale` is how many mm of skin 1 mm stands for, where there is one scale.
pub(super) fn of(canvas: &Canvas, title: &str, says: &str, scale: Option<f64>) -> String {
    let (width, height) = (number(canvas.width_mm), number(canvas.height_mm));
    let scale = scale.map_or_else(String::new, |one| format!(" data-scale=\"{}\"", number(one)));
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" font-family=\"sans-serif\" fill=\"none\" stroke-linejoin=\"round\"{scale}>\n<title>{}</title>\n<desc>{}</desc>\n<rect width=\"{width}\" height=\"{height}\" fill=\"#ffffff\"/>\n",
        escaped(title),
        escaped(says)
    );
    for item in &canvas.items {
        match item {
            Item::Lines { lines, closed, pen, what } => {
                let off_mm = if what.is_some() { measured_off_mm(lines) } else { OFF_MM };
                let dashes: Vec<String> = pen.dashes_mm().iter().map(|one| number(*one)).collect();
                let broken = if dashes.is_empty() {
                    String::new()
                } else {
                    format!(" stroke-dasharray=\"{}\"", dashes.join(" "))
                };
                let what = what
                    .as_ref()
                    .map_or_else(String::new, |what| format!(" data-what=\"{}\"", escaped(what)));
                let _ = writeln!(
                    text,
                    "<path{what} d=\"{}\" stroke=\"{}\" stroke-width=\"{}\"{broken}/>",
                    path(lines, *closed, off_mm),
                    pen.colour(),
                    number(pen.width_mm())
                );
            }
            Item::Shade { lines, grey } => {
                let d = path(lines, true, OFF_MM);
                let _ = writeln!(text, "<path d=\"{d}\" fill=\"{grey}\" fill-rule=\"evenodd\"/>");
            }
            Item::Backing { low, high } => {
                let _ = writeln!(
                    text,
                    "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"#ffffff\"/>",
                    number(low.x),
                    number(low.y),
                    number(high.x - low.x),
                    number(high.y - low.y)
                );
            }
            Item::Words { at, size_mm, bold, text: words } => {
                let weight = if *bold { " font-weight=\"bold\"" } else { "" };
                let _ = writeln!(
                    text,
                    "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{weight} fill=\"#000000\">{}</text>",
                    number(at.x),
                    number(at.y),
                    number(*size_mm),
                    escaped(words)
                );
            }
        }
    }
    text + "</svg>\n"
}

/// A figure to a hundredth, without noughts at its end.
fn number(figure: f64) -> String {
    short(format!("{figure:.2}"))
}

fn short(text: String) -> String {
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}

/// How much may be left out of a figure that is measured: twice its area by its rim is its thickness.
fn measured_off_mm(lines: &[Vec<Point2<f64>>]) -> f64 {
    let (mut twice, mut rim) = (0.0, 0.0);
    for line in lines {
        for (a, b) in line.iter().zip(line.iter().cycle().skip(1)) {
            twice += a.coords.perp(&b.coords);
            rim += (b - a).norm();
        }
    }
    let thick_mm = if rim > 0.0 { twice.abs() / rim } else { 0.0 };
    (OFF_SHARE * thick_mm).clamp(MEASURED_OFF_MM.0, MEASURED_OFF_MM.1)
}

fn path(lines: &[Vec<Point2<f64>>], closed: bool, off_mm: f64) -> String {
    let mut text = String::new();
    // Rounding moves a line no more than leaving points out does, as nearly as matters.
    let places = if off_mm < 0.003 { 3 } else { 2 };
    let number = |figure: f64| short(format!("{figure:.places$}"));
    for line in lines {
        for (at, point) in thinned(line, off_mm).iter().enumerate() {
            let letter = if at == 0 { 'M' } else { 'L' };
            let _ = write!(text, "{letter}{} {}", number(point.x), number(point.y));
        }
        if closed {
            text.push('Z');
        }
    }
    text
}

/// A line without the points that lie nearly straight between others (Ramer, Comput. Graph. Image
/// Process. 1, 1972; published).
fn thinned(line: &[Point2<f64>], off_mm: f64) -> Vec<Point2<f64>> {
    let mut kept = vec![false; line.len()];
    let mut parts = vec![(0, line.len().saturating_sub(1))];
    while let Some((from, to)) = parts.pop() {
        let (Some(a), Some(b)) = (line.get(from), line.get(to)) else { continue };
        for end in [from, to] {
            if let Some(one) = kept.get_mut(end) {
                *one = true;
            }
        }
        let along = b - a;
        let far = |point: &Point2<f64>| {
            let length = along.norm_squared();
            let share =
                if length > 0.0 { ((point - a).dot(&along) / length).clamp(0.0, 1.0) } else { 0.0 };
            (point - (a + along * share)).norm()
        };
        let between = line.iter().enumerate().take(to).skip(from + 1);
        let worst = between
            .map(|(at, point)| (at, far(point)))
            .max_by(|one, other| one.1.total_cmp(&other.1));
        if let Some((at, _)) = worst.filter(|worst| worst.1 > off_mm) {
            parts.push((from, at));
            parts.push((at, to));
        }
    }
    line.iter().zip(&kept).filter(|(_, kept)| **kept).map(|(point, _)| *point).collect()
}
