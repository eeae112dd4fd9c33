//! What pattern do traced cracks make: from one point, alongside each other, round one point, or
//! none?
//!
//! Takes crack lines on a flat sheet (the skin round the mark laid flat), mm; gives how they lie as
//! figures and the pattern they make, or why it cannot be told. The pattern is a reading of lines
//! and no cause.
//!
//! - Orientation tensor: the mean of t tT over the lines, weighted by length; its eigenvalues add
//!   up to one (Advani and Tucker, J. Rheol. 31, 1987; published).
//! - Centre: the point that the lines, drawn on, pass nearest to; each line counts by its length
//!   and by one over its squared distance, so that what is made least is an angle.
//! - Lines at random fall into some pattern by chance. How strongly is found beforehand by throwing
//!   lines at random, and a pattern is called only where chance gives it in less than one case in a
//!   hundred (choice).
#![allow(clippy::indexing_slicing, reason = "pieces are pairs of neighbours")]

mod centre;

use nalgebra::{Matrix2, Point2, SymmetricEigen, Vector2};

pub use centre::Centre;

/// Fewer lines make no pattern (choice).
pub const LEAST_LINES: usize = 5;
/// Lines all alongside each other are that whatever centre far away they also share: above this
/// difference of the tensor's eigenvalues (choice).
const ALONGSIDE: f64 = 0.75;
/// A centre must lie within this many times the lines' own spread of their middle (choice).
const CENTRE_WITHIN: f64 = 1.5;
/// Lines must stand round a centre over at least this angle, degrees (choice).
const ROUND_DEG: f64 = 150.0;

/// One crack on a flat sheet, mm.
pub type FlatLine = Vec<Point2<f64>>;

/// The pattern that lines make.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pattern {
    /// They run out from one point.
    Radial,
    /// They run alongside each other.
    Parallel,
    /// They run round one point.
    Rings,
    /// They make none of these.
    None,
    /// There are too few to tell.
    TooFew,
}

impl Pattern {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Radial => "lines from one point",
            Self::Parallel => "parallel lines",
            Self::Rings => "rings",
            Self::None => "no pattern",
            Self::TooFew => "too few lines to tell a pattern",
        }
    }
}

/// How lines lie.
#[derive(Debug, Clone, PartialEq)]
pub struct Lie {
    /// Lines that count: longer than a point.
    pub lines: usize,
    /// Length of all of them, mm.
    pub length_mm: f64,
    /// Eigenvalues of the orientation tensor, larger first; they add up to one.
    pub eigenvalues: [f64; 2],
    /// Main direction, 0 to under 180 degrees from x turning towards y.
    pub direction_deg: f64,
    /// Centre that the lines run out from, as well as there is one.
    pub radial: Option<Centre>,
    /// Centre that the lines run round, as well as there is one.
    pub rings: Option<Centre>,
    /// What they make.
    pub pattern: Pattern,
}

impl Lie {
    /// Mean spacing in mm of lines of a length per area, mm per mm2: parallel lines stand one over
    /// that apart; lines of all directions are met on a straight way through them 2/pi times as
    /// often (Underwood, Quantitative Stereology, 1970; from memory).
    #[must_use]
    pub fn spacing_mm(&self, per_mm: f64) -> f64 {
        match self.pattern {
            Pattern::Parallel => 1.0 / per_mm,
            _ => std::f64::consts::FRAC_PI_2 / per_mm,
        }
    }
}

/// A line as its chord: middle, unit direction, length.
#[derive(Debug, Clone, Copy)]
struct Chord {
    middle: Point2<f64>,
    along: Vector2<f64>,
    length_mm: f64,
}

/// Looks at lines.
#[must_use]
pub fn lie(lines: &[FlatLine]) -> Lie {
    let chords: Vec<Chord> = lines.iter().filter_map(|line| chord(line.as_slice())).collect();
    let mut tensor = Matrix2::zeros();
    let mut length_mm = 0.0;
    for line in lines {
        for pair in line.windows(2) {
            let step = pair[1] - pair[0];
            let run = step.norm();
            if run > 0.0 {
                tensor += step * step.transpose() / run;
                length_mm += run;
            }
        }
    }
    let mut lie = Lie {
        lines: chords.len(),
        length_mm,
        eigenvalues: [0.5, 0.5],
        direction_deg: 0.0,
        radial: None,
        rings: None,
        pattern: Pattern::TooFew,
    };
    if length_mm <= 0.0 {
        return lie;
    }
    let eigen = SymmetricEigen::new(tensor / length_mm);
    let larger = eigen.eigenvalues.imax();
    lie.eigenvalues = [eigen.eigenvalues[larger], eigen.eigenvalues[1 - larger]];
    let way = eigen.eigenvectors.column(larger);
    lie.direction_deg = way.y.atan2(way.x).to_degrees().rem_euclid(180.0);
    if chords.len() < LEAST_LINES {
        return lie;
    }
    lie.radial = centre::of(&chords, centre::Way::Towards);
    lie.rings = centre::of(&chords, centre::Way::Across);
    lie.pattern = called(&lie, &chords);
    lie
}

fn chord(line: &[Point2<f64>]) -> Option<Chord> {
    let (first, last) = (line.first()?, line.last()?);
    let along = last - first;
    let length_mm = along.norm();
    (length_mm > 1e-6).then(|| Chord {
        middle: nalgebra::center(first, last),
        along: along / length_mm,
        length_mm,
    })
}

fn called(lie: &Lie, chords: &[Chord]) -> Pattern {
    let alongside = lie.eigenvalues[0] - lie.eigenvalues[1];
    let by_chance = chance(chords.len());
    if alongside > ALONGSIDE.max(by_chance.alongside) {
        return Pattern::Parallel;
    }
    let middle = chords.iter().map(|c| c.middle.coords).sum::<Vector2<f64>>() / chords.len() as f64;
    let spread = chords.iter().map(|c| (c.middle.coords - middle).norm_squared()).sum::<f64>();
    let spread_mm = (spread / chords.len() as f64).sqrt();
    let strong = |centre: &&Centre| {
        centre.score > by_chance.centred
            && (centre.at.coords - middle).norm() < CENTRE_WITHIN * spread_mm
            && centre.round_deg > ROUND_DEG
    };
    let radial = lie.radial.as_ref().filter(strong).map_or(0.0, |centre| centre.score);
    let rings = lie.rings.as_ref().filter(strong).map_or(0.0, |centre| centre.score);
    if radial > 0.0 && radial >= rings {
        Pattern::Radial
    } else if rings > 0.0 {
        Pattern::Rings
    } else if alongside > by_chance.alongside {
        Pattern::Parallel
    } else {
        Pattern::None
    }
}

/// What chance gives in one case in a hundred.
struct Chance {
    alongside: f64,
    centred: f64,
}

/// Alongside: Rayleigh's test on doubled angles, exp(-n R2) = 0.01 (Mardia and Jupp, Directional
/// Statistics, 6.3.1; published), with a margin for lines of unlike length. Centred: fitted to the
/// 99th of 100 of lines thrown at random (computed; the seeds are not those of the tests).
fn chance(lines: usize) -> Chance {
    let n = lines as f64;
    Chance {
        alongside: (1.35 * 100.0_f64.ln() / n).sqrt().min(0.98),
        centred: (CENTRED / (n - 2.0).powf(0.42)).min(0.985),
    }
}

/// See [`chance`].
const CENTRED: f64 = 1.85;
