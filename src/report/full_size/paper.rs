//! Paper sizes, and how a drawing is spread over several sheets of it.

use nalgebra::{Point2, Vector2};

use super::canvas::{Item, Words};

/// What is printed twice where two sheets meet, mm (choice: enough to see a cross on both).
pub(super) const OVERLAP_MM: f64 = 10.0;
/// Sheets a drawing may take: more than this is no pattern any more (choice).
const MOST: usize = 400;

/// A paper size (ISO 216 and ANSI/ASME Y14.1).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 x 297 mm.
    A4,
    /// 297 x 420 mm.
    A3,
    /// 8.5 x 11 inches, 215.9 x 279.4 mm.
    Letter,
}

impl Paper {
    /// Short side and long side, mm.
    #[must_use]
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::A3 => (297.0, 420.0),
            Self::Letter => (215.9, 279.4),
        }
    }

    /// Its name.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A3 => "A3",
            Self::Letter => "letter",
        }
    }
}

/// A drawing cut up for windows of one size.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tiles {
    /// Width and height of the window, mm.
    pub(super) window: Vector2<f64>,
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// Lower left corner of the lower left window, in the drawing.
    corner: Point2<f64>,
}

impl Tiles {
    /// Spreads a drawing between two corners over windows; none where it takes far too many.
    pub(super) fn of(low: Point2<f64>, high: Point2<f64>, window: Vector2<f64>) -> Option<Self> {
        let step = window - Vector2::repeat(OVERLAP_MM);
        if step.min() <= OVERLAP_MM {
            return None;
        }
        let many = |extent: f64, step: f64| -> Option<usize> {
            let needed = ((extent - OVERLAP_MM) / step).ceil().max(1.0);
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "at least 1, and no more than the limit"
            )]
            (needed <= MOST as f64).then_some(needed as usize)
        };
        let (columns, rows) = (many(high.x - low.x, step.x)?, many(high.y - low.y, step.y)?);
        if columns * rows > MOST {
            return None;
        }
        let whole =
            Vector2::new(step.x * columns as f64 + OVERLAP_MM, step.y * rows as f64 + OVERLAP_MM);
        Some(Self { window, columns, rows, corner: nalgebra::center(&low, &high) - whole / 2.0 })
    }

    /// Lower left corner of a window in the drawing; columns from the left, rows from the top.
    pub(super) fn corner(&self, column: usize, row: usize) -> Point2<f64> {
        let step = self.window - Vector2::repeat(OVERLAP_MM);
        let up = (self.rows - 1).saturating_sub(row);
        self.corner + Vector2::new(step.x * column as f64, step.y * up as f64)
    }

    /// Places in the drawing that two or more sheets show: middles of the corners where they overlap.
    pub(super) fn joints(&self) -> Vec<Point2<f64>> {
        let step = self.window - Vector2::repeat(OVERLAP_MM);
        let first = self.corner + Vector2::repeat(OVERLAP_MM / 2.0);
        let mut found = Vec::new();
        for column in 0..=self.columns {
            for row in 0..=self.rows {
                found.push(first + Vector2::new(step.x * column as f64, step.y * row as f64));
            }
        }
        found
    }
}

/// What of some items shows in a window, moved so that the window's corner is the origin. Lines are
/// cut where they leave it; words show where they begin.
pub(super) fn seen(items: &[Item], corner: Point2<f64>, window: Vector2<f64>) -> Vec<Item> {
    let inside = |p: &Point2<f64>| p.x >= 0.0 && p.y >= 0.0 && p.x <= window.x && p.y <= window.y;
    let mut found = Vec::new();
    for item in items {
        match item {
            Item::Words(words) => {
                let at = Point2::from(words.at - corner);
                if inside(&at) {
                    found.push(Item::Words(Words { at, ..words.clone() }));
                }
            }
            Item::Line { points, closed, pen } => {
                let moved: Vec<Point2<f64>> =
                    points.iter().map(|point| Point2::from(point - corner)).collect();
                if moved.iter().all(inside) {
                    found.push(Item::Line { points: moved, closed: *closed, pen: *pen });
                    continue;
                }
                let mut line = moved;
                if *closed {
                    line.extend(line.first().copied());
                }
                let runs = clipped(&line, window);
                found.extend(runs.into_iter().map(|points| Item::Line {
                    points,
                    closed: false,
                    pen: *pen,
                }));
            }
        }
    }
    found
}

/// The parts of a line within a window with a corner at the origin (Liang and Barsky, 1984;
/// published).
fn clipped(line: &[Point2<f64>], window: Vector2<f64>) -> Vec<Vec<Point2<f64>>> {
    let mut runs: Vec<Vec<Point2<f64>>> = Vec::new();
    let mut open = false;
    for (a, b) in line.iter().zip(line.iter().skip(1)) {
        let way = b - a;
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (step, room) in
            [(-way.x, a.x), (way.x, window.x - a.x), (-way.y, a.y), (way.y, window.y - a.y)]
        {
            if step.abs() < 1e-12 {
                if room < 0.0 {
                    (from, to) = (1.0, 0.0);
                }
            } else if step < 0.0 {
                from = from.max(room / step);
            } else {
                to = to.min(room / step);
            }
        }
        if from > to {
            open = false;
            continue;
        }
        if !open {
            runs.push(vec![a + way * from]);
        }
        if let Some(run) = runs.last_mut() {
            run.push(a + way * to);
        }
        open = to >= 1.0;
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_tiles_show_is_the_whole_line_and_overlaps_twice() {
        // A line straight across: 400 mm over windows of 190 with 10 mm of overlap.
        let (low, high) = (Point2::new(0.0, 0.0), Point2::new(400.0, 100.0));
        let tiles = Tiles::of(low, high, Vector2::new(190.0, 150.0)).expect("tiles");
        assert_eq!((tiles.columns, tiles.rows), (3, 1));
        let item = Item::Line {
            points: vec![Point2::new(0.0, 50.0), Point2::new(400.0, 50.0)],
            closed: false,
            pen: super::super::canvas::Pen::Cut,
        };
        let length: f64 = (0..3)
            .flat_map(|column| {
                seen(std::slice::from_ref(&item), tiles.corner(column, 0), tiles.window)
            })
            .map(|item| match item {
                Item::Line { points, .. } => (points[1] - points[0]).norm(),
                Item::Words(_) => 0.0,
            })
            .sum();
        // By hand: the whole of it, and 10 mm twice at each of two joints.
        assert!((length - 420.0).abs() < 1e-9, "{length}");
    }
}
