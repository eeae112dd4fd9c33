//! What is drawn on a page, before anybody decides whether it becomes PDF or SVG.
//!
//! Lengths are mm, y is up, the origin is the lower left corner of the page or of the drawing.

use nalgebra::Point2;

use super::letters;

/// How a line is drawn: by width and dashes alone, so that it reads in black and white.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Pen {
    Cut,
    Trim,
    Strip,
    Removal,
    Ground,
    Cross,
    Tape,
    Frame,
}

impl Pen {
    /// Width, mm.
    pub(super) fn width_mm(self) -> f64 {
        match self {
            Self::Cut => 0.6,
            Self::Trim => 1.0,
            Self::Removal => 0.4,
            Self::Strip | Self::Ground => 0.3,
            Self::Cross | Self::Frame => 0.2,
            Self::Tape => 0.15,
        }
    }

    /// Lengths of dashes and gaps in turn, mm; none where it is not broken.
    pub(super) fn dashes_mm(self) -> &'static [f64] {
        match self {
            Self::Cut | Self::Cross | Self::Frame => &[],
            Self::Trim => &[2.0, 3.0],
            Self::Strip => &[10.0, 2.0, 1.0, 2.0],
            Self::Removal => &[4.0, 2.0],
            Self::Ground => &[1.0, 2.0],
            Self::Tape => &[0.5, 2.5],
        }
    }

    /// Its name where a file of lines names them.
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Trim => "trim",
            Self::Strip => "strip",
            Self::Removal => "removal",
            Self::Ground => "ground",
            Self::Cross => "cross",
            Self::Tape => "tape",
            Self::Frame => "frame",
        }
    }
}

/// Words on a page.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Words {
    /// Start of their base line.
    pub(super) at: Point2<f64>,
    /// Size, mm.
    pub(super) size_mm: f64,
    pub(super) bold: bool,
    /// They run up the page.
    pub(super) upwards: bool,
    pub(super) text: String,
}

/// Anything drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Item {
    Line { points: Vec<Point2<f64>>, closed: bool, pen: Pen },
    Words(Words),
}

/// A page or a drawing.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Canvas {
    pub(super) width_mm: f64,
    pub(super) height_mm: f64,
    pub(super) items: Vec<Item>,
}

impl Canvas {
    pub(super) fn new(width_mm: f64, height_mm: f64) -> Self {
        Self { width_mm, height_mm, items: Vec::new() }
    }

    pub(super) fn line(&mut self, points: &[(f64, f64)], pen: Pen) {
        let points = points.iter().map(|(x, y)| Point2::new(*x, *y)).collect();
        self.items.push(Item::Line { points, closed: false, pen });
    }

    pub(super) fn box_of(&mut self, low: Point2<f64>, high: Point2<f64>, pen: Pen) {
        let points = vec![low, Point2::new(high.x, low.y), high, Point2::new(low.x, high.y)];
        self.items.push(Item::Line { points, closed: true, pen });
    }

    pub(super) fn words(&mut self, at: (f64, f64), size_mm: f64, bold: bool, text: &str) {
        self.items.push(Item::Words(Words {
            at: Point2::new(at.0, at.1),
            size_mm,
            bold,
            upwards: false,
            text: text.to_owned(),
        }));
    }

    /// Words with their middle at a place along the line.
    pub(super) fn middle(&mut self, at: (f64, f64), size_mm: f64, bold: bool, text: &str) {
        let half = letters::width_mm(text, size_mm, bold) / 2.0;
        self.words((at.0 - half, at.1), size_mm, bold, text);
    }

    pub(super) fn upwards(&mut self, at: (f64, f64), size_mm: f64, text: &str) {
        self.items.push(Item::Words(Words {
            at: Point2::new(at.0, at.1),
            size_mm,
            bold: false,
            upwards: true,
            text: text.to_owned(),
        }));
    }

    /// A cross-hair in a ring.
    pub(super) fn cross(&mut self, at: Point2<f64>, arm_mm: f64, ring: bool) {
        self.line(&[(at.x - arm_mm, at.y), (at.x + arm_mm, at.y)], Pen::Cross);
        self.line(&[(at.x, at.y - arm_mm), (at.x, at.y + arm_mm)], Pen::Cross);
        if ring {
            let points = (0..24).map(|step| {
                let turn = std::f64::consts::TAU * f64::from(step) / 24.0;
                at + nalgebra::Vector2::new(turn.cos(), turn.sin()) * arm_mm * 0.6
            });
            self.items.push(Item::Line { points: points.collect(), closed: true, pen: Pen::Cross });
        }
    }

    /// An arrow from one place to another.
    pub(super) fn arrow(&mut self, from: Point2<f64>, to: Point2<f64>) {
        let way = (to - from).normalize();
        let side = nalgebra::Vector2::new(-way.y, way.x);
        self.line(&[(from.x, from.y), (to.x, to.y)], Pen::Cross);
        for turn in [1.0, -1.0] {
            let barb = to - way * 3.0 + side * turn * 1.5;
            self.line(&[(to.x, to.y), (barb.x, barb.y)], Pen::Cross);
        }
    }
}
