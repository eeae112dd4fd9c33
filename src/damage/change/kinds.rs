//! Which kinds of mark can be one and the same, and what a change of kind means.

use crate::damage::Finding;
use crate::model::survey::MarkKind;

/// How a mark's kind changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// It did not.
    Same,
    /// To a graver one.
    Graver,
    /// To a lighter one: no healing, look again.
    Lighter,
    /// An old repair lies where it was.
    Covered,
    /// To one that cannot be ranked against it.
    Unlike,
}

impl Turn {
    /// The word of the record.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Same => "same",
            Self::Graver => "graver",
            Self::Lighter => "lighter",
            Self::Covered => "covered",
            Self::Unlike => "unlike",
        }
    }

    /// What it means, for a reader; empty where nothing changed.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Same => "",
            Self::Graver => "it has gone deeper or further",
            Self::Lighter => "a lighter word for the same place is no healing: look again",
            Self::Covered => "somebody has worked here since: ask who, how, and what lies under it",
            Self::Unlike => "the two cannot be ranked: look again",
        }
    }
}

/// How grave, where one passes into the other; none for what can lie over anything.
const fn rank(kind: MarkKind) -> Option<(u8, u8)> {
    match kind {
        MarkKind::Crazing | MarkKind::Chip => Some((0, 0)),
        MarkKind::GelCrack | MarkKind::Star => Some((0, 1)),
        MarkKind::CrackAtFixing => Some((0, 2)),
        MarkKind::ThroughCrack => Some((0, 3)),
        MarkKind::Hole => Some((0, 4)),
        MarkKind::Blisters => Some((1, 1)),
        MarkKind::Delamination => Some((1, 2)),
        MarkKind::OldRepair | MarkKind::Other => None,
    }
}

/// What it means that one kind was found before and another now; none where the two cannot be one
/// mark.
#[must_use]
pub fn turn(before: MarkKind, now: MarkKind) -> Option<Turn> {
    if before == now {
        return Some(Turn::Same);
    }
    match (rank(before), rank(now)) {
        (Some((family, was)), Some((other, is))) if family == other => Some(match was.cmp(&is) {
            std::cmp::Ordering::Less => Turn::Graver,
            std::cmp::Ordering::Equal => Turn::Unlike,
            std::cmp::Ordering::Greater => Turn::Lighter,
        }),
        // Layers that let go can end as a hole.
        (Some((1, _)), Some((0, 4))) => Some(Turn::Graver),
        (Some(_), Some(_)) => None,
        (Some(_), None) if now == MarkKind::OldRepair => Some(Turn::Covered),
        (None, Some(_)) if before == MarkKind::OldRepair => Some(Turn::Graver),
        _ => Some(Turn::Unlike),
    }
}

/// The gravest change of kind between marks that are one; none where one survey lacks it.
#[must_use]
pub fn turned(before: &[&Finding<'_>], now: &[&Finding<'_>]) -> Option<Turn> {
    let gravest = |found: &[&Finding<'_>]| {
        let kinds = found.iter().map(|one| one.mark().kind);
        kinds.max_by_key(|kind| rank(*kind).map_or((0, 0), |(_, grave)| (1, grave)))
    };
    turn(gravest(before)?, gravest(now)?).or(Some(Turn::Unlike))
}

#[cfg(test)]
mod tests {
    use super::*;
    use MarkKind::*;

    #[test]
    fn cracks_go_deeper_and_never_heal() {
        assert_eq!(turn(GelCrack, ThroughCrack), Some(Turn::Graver));
        assert_eq!(turn(ThroughCrack, GelCrack), Some(Turn::Lighter));
        assert_eq!(turn(Blisters, Delamination), Some(Turn::Graver));
        assert_eq!(turn(Delamination, Hole), Some(Turn::Graver));
        assert_eq!(turn(GelCrack, OldRepair), Some(Turn::Covered));
        assert_eq!(turn(OldRepair, GelCrack), Some(Turn::Graver));
        assert_eq!(turn(Star, GelCrack), Some(Turn::Unlike));
        assert_eq!(turn(Crazing, Other), Some(Turn::Unlike));
    }

    #[test]
    fn blisters_are_no_crack() {
        assert_eq!(turn(Blisters, GelCrack), None);
        assert_eq!(turn(Crazing, Delamination), None);
    }
}
