//! A plain drawing of lines over a skin, as SVG: parallel rays, y up.
#![allow(clippy::indexing_slicing, reason = "face and vertex numbers come from the mesh itself")]

use nalgebra::{Point2, Point3, Vector2, Vector3};
use plymend::surface::mesh::{Mesh, MeshPoint};

/// How a line is drawn.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Pen {
    /// A line of the panel's own grid.
    Grid,
    /// The panel's edge.
    Edge,
    /// A crack.
    Crack,
    /// The rim of what lies within a reach.
    Rim,
    /// A tape laid over the skin.
    Tape,
}

impl Pen {
    fn style(self) -> &'static str {
        match self {
            Self::Grid => "stroke=\"#999\" stroke-width=\"0.8\"",
            Self::Edge => "stroke=\"#222\" stroke-width=\"2\"",
            Self::Crack => "stroke=\"#222\" stroke-width=\"5\" stroke-linecap=\"round\"",
            Self::Rim => "stroke=\"#1b4f8a\" stroke-width=\"2.4\"",
            Self::Tape => "stroke=\"#8a4b00\" stroke-width=\"2\" stroke-dasharray=\"10 6\"",
        }
    }
}

/// Lines and words gathered for one picture, mm.
#[derive(Debug, Default)]
pub(crate) struct Drawing {
    lines: Vec<(Vec<Point2<f64>>, Pen)>,
    words: Vec<(Point2<f64>, String)>,
}

impl Drawing {
    /// Adds a line.
    pub(crate) fn line(&mut self, line: Vec<Point2<f64>>, pen: Pen) {
        if line.len() > 1 {
            self.lines.push((line, pen));
        }
    }

    /// Adds a word whose lower left corner is at a place.
    pub(crate) fn word(&mut self, at: Point2<f64>, word: impl Into<String>) {
        self.words.push((at, word.into()));
    }

    /// The picture. No blank line stands in it, so that it can stand in a page of text.
    pub(crate) fn svg(&self, what: &str) -> String {
        let (mut low, mut high) =
            (Point2::new(f64::MAX, f64::MAX), Point2::new(f64::MIN, f64::MIN));
        for place in self.lines.iter().flat_map(|(line, _)| line) {
            (low, high) = (low.inf(place), high.sup(place));
        }
        for (place, word) in &self.words {
            // A letter is about 11.5 mm wide in the size used below.
            let far = place + Vector2::new(11.5 * word.chars().count() as f64, 20.0);
            (low, high) = (low.inf(place), high.sup(&far));
        }
        let margin = 30.0;
        let (wide, tall) = (high.x - low.x + 2.0 * margin, high.y - low.y + 2.0 * margin);
        let on_page = |p: &Point2<f64>| (p.x - low.x + margin, high.y - p.y + margin);
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide:.0} {tall:.0}\" \
             width=\"{:.0}\" role=\"img\" aria-label=\"{what}\">\n<title>{what}</title>\n\
             <rect width=\"{wide:.0}\" height=\"{tall:.0}\" fill=\"#fff\"/>\n",
            wide * 0.6
        );
        for (line, pen) in &self.lines {
            let mut path = String::new();
            for (number, place) in line.iter().enumerate() {
                let (x, y) = on_page(place);
                path.push_str(&format!("{}{x:.1} {y:.1}", if number == 0 { "M" } else { "L" }));
            }
            out.push_str(&format!("<path d=\"{path}\" fill=\"none\" {}/>\n", pen.style()));
        }
        for (place, word) in &self.words {
            let (x, y) = on_page(place);
            // A white rim keeps a word readable where it crosses a line.
            out.push_str(&format!(
                "<text x=\"{x:.1}\" y=\"{y:.1}\" font-family=\"sans-serif\" font-size=\"22\" \
                 fill=\"#222\" stroke=\"#fff\" stroke-width=\"5\" \
                 paint-order=\"stroke\">{word}</text>\n"
            ));
        }
        out.push_str("</svg>\n");
        out
    }
}

/// Parallel rays on to the paper, from somewhat above and behind.
#[derive(Debug, Clone, Copy)]
pub(crate) struct View {
    right: Vector3<f64>,
    up: Vector3<f64>,
}

impl View {
    /// From a direction turned about the panel's upright and tipped, degrees.
    pub(crate) fn from(turned: f64, tipped: f64) -> Self {
        let (st, ct) = turned.to_radians().sin_cos();
        let (sp, cp) = tipped.to_radians().sin_cos();
        Self { right: Vector3::new(ct, 0.0, -st), up: Vector3::new(-st * sp, cp, -ct * sp) }
    }

    /// Where a place comes to lie on the paper.
    pub(crate) fn of(&self, place: Point3<f64>) -> Point2<f64> {
        Point2::new(place.coords.dot(&self.right), place.coords.dot(&self.up))
    }

    /// A line over the skin on the paper.
    pub(crate) fn line(&self, mesh: &Mesh, path: &[MeshPoint]) -> Vec<Point2<f64>> {
        path.iter().map(|point| self.of(mesh.position(point))).collect()
    }
}

/// Lines of the panel's own grid, `step` apart, over the faces that are kept.
pub(crate) fn net(
    mesh: &Mesh,
    step: f64,
    keep: &dyn Fn(&MeshPoint) -> bool,
) -> Vec<Vec<MeshPoint>> {
    let (mut low, mut high) = (mesh.grid[0], mesh.grid[0]);
    for place in &mesh.grid {
        (low, high) = (low.inf(place), high.sup(place));
    }
    let mut lines = Vec::new();
    for (along, across) in [(0, 1), (1, 0)] {
        let mut fixed = (low[across] / step).ceil() * step;
        while fixed <= high[across] {
            let mut line = Vec::new();
            let count = ((high[along] - low[along]) / 8.0).ceil() as usize;
            for k in 0..=count {
                let mut place = Point2::origin();
                place[along] = low[along] + (high[along] - low[along]) * k as f64 / count as f64;
                place[across] = fixed;
                match mesh.locate(place).filter(keep) {
                    Some(point) => line.push(point),
                    None => lines.push(std::mem::take(&mut line)),
                }
            }
            lines.push(line);
            fixed += step;
        }
    }
    lines
}
