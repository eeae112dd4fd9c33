//! Why pieces cannot be laid out.

use std::fmt;

use super::outline::OutlineFault;

/// What stands in the way of a layout, with what would be accepted.
#[derive(Clone, Debug, PartialEq)]
pub enum NestFault {
    /// The outline of a piece cannot be cut.
    Outline {
        /// Its id.
        piece: String,
        /// What is wrong.
        fault: OutlineFault,
    },
    /// A piece is wider than the roll in every turn that it may have.
    TooWide {
        /// Its id.
        piece: String,
        /// Its width across the roll, mm, in the turn where that is least.
        least_width_mm: f64,
        /// Width of the roll, mm.
        roll_width_mm: f64,
    },
    /// A piece is to be cut from another material than the roll's.
    OtherMaterial {
        /// Its id.
        piece: String,
        /// What it is cut from.
        material: String,
        /// What the roll is.
        roll_material: String,
    },
    /// Two pieces have one id.
    SameId {
        /// The id.
        piece: String,
    },
    /// More copies than a layout can have.
    TooMany {
        /// How many there are.
        copies: usize,
        /// How many there may be.
        most: usize,
    },
    /// A width, gap or size is no length that can be.
    Setting {
        /// Its name.
        name: &'static str,
        /// What was given.
        found: f64,
        /// What is accepted.
        accepted: &'static str,
    },
}

impl fmt::Display for NestFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Outline { piece, fault } => write!(f, "piece `{piece}`: {fault}"),
            Self::TooWide { piece, least_width_mm, roll_width_mm } => write!(
                f,
                "piece `{piece}` is {least_width_mm:.1} mm wide at least, the roll \
                 {roll_width_mm:.1} mm; accepted: a wider roll, or the piece in two with a lap"
            ),
            Self::OtherMaterial { piece, material, roll_material } => write!(
                f,
                "piece `{piece}` is cut from `{material}`, the roll is `{roll_material}`; \
                 accepted: pieces of the roll's material only"
            ),
            Self::SameId { piece } => {
                write!(f, "two pieces are called `{piece}`; accepted: each id once, with a count")
            }
            Self::TooMany { copies, most } => {
                write!(f, "{copies} copies in one layout; accepted: up to {most}")
            }
            Self::Setting { name, found, accepted } => {
                write!(f, "`{name}` is {found}; accepted: {accepted}")
            }
        }
    }
}

impl std::error::Error for NestFault {}

impl fmt::Display for OutlineFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotALength => {
                f.write_str("a coordinate is no length; accepted: -1000000 to 1000000 mm")
            }
            Self::NoInside => f.write_str(
                "the outline has no inside; accepted: three or more different points round an area",
            ),
            Self::CrossesItself(one, other) => write!(
                f,
                "the edges from points {} and {} (from 1) cross or touch; accepted: an outline \
                 whose edges meet at its corners only",
                one + 1,
                other + 1
            ),
        }
    }
}
