//! How each of the usual mouldings bends: where its turning sits, and how its section travels.
//!
//! The shares are choices, made to look like the parts of small hand-laid bodies; lengths and
//! crowns always come from the panel file.

use super::bend::Spread;
use crate::model::panel::MouldingKind;

/// How the section across is carried along the panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Carried {
    /// Kept as it is and shifted along the line along.
    Shifted,
    /// Shifted, while its turning grows from 0.4 to 1.6 of what it is in the middle.
    Growing,
    /// Swung round the axis of the arc along, as round a wheel.
    Swung,
}

/// The make of one kind.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Family {
    /// Turning of the line along.
    pub(crate) along: Spread,
    /// Turning of the line across.
    pub(crate) across: Spread,
    /// How the one is carried along the other.
    pub(crate) carried: Carried,
}

/// The make of a kind of moulding.
pub(crate) const fn of(kind: MouldingKind) -> Family {
    use Carried::{Growing, Shifted, Swung};
    let (along, across, carried) = match kind {
        // Dished evenly both ways.
        MouldingKind::Lid | MouldingKind::Sheet => (Spread::Even, Spread::Even, Shifted),
        // The lower half tucks in more than the upper.
        MouldingKind::Gate => (Spread::Even, Spread::TightBelow, Shifted),
        // The flank rolls over into the top, more and more towards the far end.
        MouldingKind::Wing => (Spread::Even, Spread::TightAbove, Growing),
        // Flat in the middle, drooping towards all four edges.
        MouldingKind::Roof => (Spread::Ends, Spread::Ends, Shifted),
        // Flank straight up to half its height, shoulder above.
        MouldingKind::Quarter => (Spread::Even, Spread::Above(0.45, 0.6), Shifted),
        // The roll sits in the middle of the height.
        MouldingKind::Sill => (Spread::Even, Spread::Middle, Shifted),
        MouldingKind::Arch => (Spread::Even, Spread::Even, Swung),
        // Bowed in plan; the lower part rolls under.
        MouldingKind::Valance => (Spread::Even, Spread::Below(0.4, 0.6), Shifted),
        // Floor with its sides turned up; the outer side is the underside.
        MouldingKind::Tub => (Spread::Sides(0.3), Spread::Sides(0.35), Shifted),
    };
    Family { along, across, carried }
}
