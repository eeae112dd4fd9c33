//! What maps are drawn in: lines that differ by width and dashes, signs that differ by shape.
//!
//! Every line reads in black and white. Colour is a second cue only: black for what was seen, a dark
//! blue for work, a dark orange for distances that refer. The two stay apart for every kind of colour
//! sight (hues after Okabe and Ito, Color Universal Design, 2008; published). Lengths are mm on the
//! sheet, x to the right, y down.

use nalgebra::Point2;

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Pen {
    Outline,
    Turned,
    Region,
    Seen,
    Referred,
    Before,
    Likely,
    High,
    Removed,
    Ply,
    Prepared,
    Behind,
    Reading,
    Ring,
    Unexamined,
    UnexaminedBack,
    Sign,
    Leader,
    Neighbour,
    Hidden,
}

const BLACK: &str = "#000000";
const BLUE: &str = "#00507a";
const ORANGE: &str = "#8f3f00";
const GREY: &str = "#666666";

impl Pen {
    /// Width, mm.
    pub(super) const fn width_mm(self) -> f64 {
        match self {
            Self::Referred => 1.1,
            Self::Outline => 0.6,
            Self::Seen | Self::Before => 0.5,
            Self::Removed | Self::Ring | Self::Sign | Self::Reading => 0.35,
            Self::Likely | Self::Neighbour => 0.3,
            Self::High | Self::Prepared | Self::Behind => 0.25,
            Self::Turned | Self::Region | Self::Ply => 0.18,
            Self::Unexamined | Self::UnexaminedBack | Self::Leader | Self::Hidden => 0.12,
        }
    }

    /// Lengths of dashes and gaps in turn, mm; none where it is not broken.
    pub(super) const fn dashes_mm(self) -> &'static [f64] {
        match self {
            Self::Region => &[6.0, 1.5],
            Self::Likely => &[2.5, 0.7],
            Self::High => &[1.0, 0.8],
            Self::Before => &[0.6, 0.9],
            Self::Removed => &[4.0, 1.2],
            Self::Prepared => &[4.0, 0.8, 0.5, 0.8, 0.5, 0.8],
            Self::Behind => &[0.5, 0.5],
            Self::Reading => &[0.3, 0.9],
            Self::Ring => &[8.0, 1.6],
            Self::UnexaminedBack => &[1.5, 2.5],
            Self::Hidden => &[1.0, 1.0],
            _ => &[],
        }
    }

    /// Its colour.
    pub(super) const fn colour(self) -> &'static str {
        match self {
            Self::Removed | Self::Ply | Self::Prepared | Self::Behind => BLUE,
            Self::Ring => ORANGE,
            Self::Turned
            | Self::Region
            | Self::Neighbour
            | Self::Leader
            | Self::Hidden
            | Self::Unexamined
            | Self::UnexaminedBack => GREY,
            _ => BLACK,
        }
    }

    /// What the key says of it; nothing where it needs no word.
    pub(super) const fn meaning(self) -> Option<&'static str> {
        match self {
            Self::Outline => Some("edge of the face or of an opening"),
            Self::Turned => Some("turned edge"),
            Self::Region => Some("border of a region"),
            Self::Seen => Some("mark as seen"),
            Self::Referred => Some("mark as seen that goes to a specialist"),
            Self::Before => Some("mark as the earlier survey has it"),
            Self::Likely => Some("how far a mark is likely to go"),
            Self::High => Some("how far a mark may go (high case)"),
            Self::Removed => Some("taken down to the floor (likely case)"),
            Self::Ply => Some("plies (likely case)"),
            Self::Prepared => Some("stripped and keyed (high case)"),
            Self::Behind => Some("the same on the back: opening, plies, keyed"),
            Self::Reading => Some("dull or above the dry reference, by readings"),
            Self::Ring => Some(
                "distance that refers, place error included: a mark that comes inside may go to a specialist",
            ),
            Self::Unexamined => Some("not examined"),
            Self::UnexaminedBack => Some("back not examined"),
            Self::Neighbour => Some("panel without marks"),
            Self::Hidden => Some("edge behind a nearer panel"),
            Self::Sign | Self::Leader => None,
        }
    }

    /// In the order of the key.
    pub(super) const ALL: [Self; 18] = [
        Self::Outline,
        Self::Turned,
        Self::Region,
        Self::Seen,
        Self::Referred,
        Self::Before,
        Self::Likely,
        Self::High,
        Self::Removed,
        Self::Ply,
        Self::Prepared,
        Self::Behind,
        Self::Reading,
        Self::Ring,
        Self::Unexamined,
        Self::UnexaminedBack,
        Self::Neighbour,
        Self::Hidden,
    ];
}

/// Something that stands at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sign {
    Nothing,
    Mark,
    Landmark,
    Sound,
    Seized,
    Corroded,
    NotSeen,
    Failed,
    Dry,
    Above,
}

impl Sign {
    /// What the key says of it.
    pub(super) const fn meaning(self) -> &'static str {
        match self {
            Self::Nothing => "",
            Self::Mark => "place of a mark",
            Self::Landmark => "landmark for tapes",
            Self::Sound => "fixing, sound",
            Self::Seized => "fixing, seized",
            Self::Corroded => "fixing, corroded, how deep nobody has said",
            Self::NotSeen => "fixing, state not seen",
            Self::Failed => "fixing that has failed: loose, cracked, corroded through or torn out",
            Self::Dry => "reading: clear, or no more than the dry reference",
            Self::Above => "reading: dull, or above the dry reference",
        }
    }

    /// In the order of the key.
    pub(super) const ALL: [Self; 9] = [
        Self::Mark,
        Self::Landmark,
        Self::Sound,
        Self::Seized,
        Self::Corroded,
        Self::NotSeen,
        Self::Failed,
        Self::Dry,
        Self::Above,
    ];

    /// Half of its size, mm.
    pub(super) const fn half_mm(self) -> f64 {
        match self {
            Self::Nothing => 0.0,
            Self::Dry | Self::Above => 0.5,
            Self::Mark => 0.8,
            _ => 1.5,
        }
    }
}

/// Anything drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Item {
    /// Lines in one pen; `what` names a closed line that can be measured.
    Lines { lines: Vec<Vec<Point2<f64>>>, closed: bool, pen: Pen, what: Option<String> },
    /// Areas in one grey.
    Shade { lines: Vec<Vec<Point2<f64>>>, grey: &'static str },
    /// White behind words.
    Backing { low: Point2<f64>, high: Point2<f64> },
    /// Words from the start of their base line.
    Words { at: Point2<f64>, size_mm: f64, bold: bool, text: String },
}

/// A drawing being made.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Canvas {
    pub(super) width_mm: f64,
    pub(super) height_mm: f64,
    pub(super) items: Vec<Item>,
}

impl Canvas {
    pub(super) fn lines(&mut self, lines: Vec<Vec<Point2<f64>>>, closed: bool, pen: Pen) {
        if !lines.is_empty() {
            self.items.push(Item::Lines { lines, closed, pen, what: None });
        }
    }

    pub(super) fn line(&mut self, points: &[(f64, f64)], pen: Pen) {
        let points = points.iter().map(|(x, y)| Point2::new(*x, *y)).collect();
        self.lines(vec![points], false, pen);
    }

    pub(super) fn words(&mut self, at: (f64, f64), size_mm: f64, bold: bool, text: &str) {
        let at = Point2::new(at.0, at.1);
        self.items.push(Item::Words { at, size_mm, bold, text: text.to_owned() });
    }

    /// Draws a sign.
    pub(super) fn sign(&mut self, at: Point2<f64>, of: Sign) {
        let half = of.half_mm();
        let round = |corners: u32, first: f64, radius: f64| -> Vec<Point2<f64>> {
            let corner = |step: u32| {
                let turn = first + std::f64::consts::TAU * f64::from(step) / f64::from(corners);
                at + nalgebra::Vector2::new(turn.cos(), turn.sin()) * radius
            };
            (0..corners).map(corner).collect()
        };
        let (up, flat) = (-std::f64::consts::FRAC_PI_2, std::f64::consts::FRAC_PI_4);
        let square = || round(4, flat, half * std::f64::consts::SQRT_2);
        let cross = |turn: f64| -> Vec<Vec<Point2<f64>>> {
            let ends = round(4, turn, half * 1.25);
            let pair = |one: usize| ends.iter().skip(one).step_by(2).copied().collect();
            vec![pair(0), pair(1)]
        };
        match of {
            Sign::Nothing => {}
            Sign::Mark | Sign::Landmark => self.lines(cross(0.0), false, Pen::Sign),
            Sign::Sound => self.lines(vec![round(20, 0.0, half)], true, Pen::Sign),
            Sign::Seized => self.lines(vec![square()], true, Pen::Sign),
            Sign::Corroded => self.lines(vec![round(4, up, half * 1.2)], true, Pen::Sign),
            Sign::NotSeen => self.lines(vec![round(3, up, half * 1.2)], true, Pen::Sign),
            Sign::Failed => {
                self.lines(vec![square()], true, Pen::Sign);
                self.lines(cross(flat), false, Pen::Sign);
            }
            Sign::Dry => self.lines(vec![round(8, 0.0, half)], true, Pen::Leader),
            Sign::Above => {
                let grey = "#000000";
                self.items.push(Item::Shade { lines: vec![round(8, 0.0, half)], grey });
            }
        }
    }

    /// Everything moved by so much.
    pub(super) fn moved(&mut self, by: nalgebra::Vector2<f64>) {
        for item in &mut self.items {
            match item {
                Item::Lines { lines, .. } | Item::Shade { lines, .. } => {
                    lines.iter_mut().flatten().for_each(|point| *point += by);
                }
                Item::Backing { low, high } => {
                    *low += by;
                    *high += by;
                }
                Item::Words { at, .. } => *at += by,
            }
        }
    }
}
