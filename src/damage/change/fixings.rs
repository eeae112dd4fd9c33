//! What became of every fixing between two surveys?

use super::Looked;
use crate::model::fixing::{Carries, FixingState};

/// What may be said of a fixing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FixingVerdict {
    /// In a worse state.
    Worse,
    /// Looked at for the first time, and failed.
    FoundFailed,
    /// Seen before and not seen now.
    NoLongerSeen,
    /// In a better state: somebody has worked on it.
    Better,
    /// Seen for the first time.
    FirstSeen,
    /// Listed for the first time.
    Added,
    /// Listed no longer.
    Dropped,
    /// Found in the same state on both days.
    Same,
    /// Nobody recorded its state this time.
    NotRecorded,
}

impl FixingVerdict {
    /// The word of the record.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Worse => "worse",
            Self::FoundFailed => "found_failed",
            Self::NoLongerSeen => "no_longer_seen",
            Self::Better => "better",
            Self::FirstSeen => "first_seen",
            Self::Added => "added",
            Self::Dropped => "dropped",
            Self::Same => "same",
            Self::NotRecorded => "not_recorded",
        }
    }

    /// The words that are printed.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Worse => "worse than before",
            Self::FoundFailed => "looked at for the first time, and failed",
            Self::NoLongerSeen => "seen before, not seen this time",
            Self::Better => "better than before: ask who put it right, and how",
            Self::FirstSeen => "looked at for the first time",
            Self::Added => "not on the earlier list",
            Self::Dropped => "on the list no longer: ask what became of it",
            Self::Same => "the same on both days",
            Self::NotRecorded => "nobody recorded its state this time",
        }
    }

    /// It asks for somebody to look.
    #[must_use]
    pub const fn asks(self) -> bool {
        matches!(self, Self::Worse | Self::FoundFailed | Self::Dropped)
    }
}

/// A fixing in both surveys.
#[derive(Debug, Clone, PartialEq)]
pub struct FixingChange {
    /// Its panel.
    pub panel: String,
    /// The fixing.
    pub fixing: String,
    /// What it carries.
    pub carries: Carries,
    /// Its state then; none where it was not listed.
    pub before: Option<FixingState>,
    /// Its state now.
    pub now: Option<FixingState>,
    /// What may be said.
    pub verdict: FixingVerdict,
}

/// Every fixing of the panels that both surveys have, by panel and in the order of the files.
pub(super) fn of(earlier: &Looked<'_>, later: &Looked<'_>) -> Vec<FixingChange> {
    let mut found = Vec::new();
    for panel in later.panels {
        let name = &panel.of.name;
        let Some((_, then)) = earlier.panel(name) else { continue };
        let recorded = |survey: &Looked<'_>, fixing: &str| {
            let states = &survey.job.survey.fixing_states;
            states.iter().any(|one| one.panel == *name && one.fixing == fixing)
        };
        let mut change = |fixing: &str, carries, before, now| {
            let on_the_day = recorded(earlier, fixing) && recorded(later, fixing);
            let verdict = verdict(before, now, on_the_day, recorded(later, fixing));
            found.push(FixingChange {
                panel: name.clone(),
                fixing: fixing.to_owned(),
                carries,
                before,
                now,
                verdict,
            });
        };
        for fixing in &panel.fixings {
            let was = then.fixings.iter().find(|one| one.of.name == fixing.of.name);
            let (before, now) = (was.map(|was| was.of.state), Some(fixing.of.state));
            change(&fixing.of.name, fixing.of.carries, before, now);
        }
        for fixing in &then.fixings {
            if !panel.fixings.iter().any(|one| one.of.name == fixing.of.name) {
                change(&fixing.of.name, fixing.of.carries, Some(fixing.of.state), None);
            }
        }
    }
    found
}

/// How bad a state is; none for one that nobody has seen.
const fn rank(state: FixingState) -> Option<u8> {
    match state {
        FixingState::NotSeen => None,
        FixingState::Sound => Some(0),
        FixingState::Seized => Some(1),
        FixingState::Corroded => Some(2),
        FixingState::Loose => Some(3),
        FixingState::Cracked => Some(4),
        FixingState::CorrodedThrough => Some(5),
        FixingState::TornOut => Some(6),
    }
}

fn verdict(
    before: Option<FixingState>,
    now: Option<FixingState>,
    both_recorded: bool,
    recorded_now: bool,
) -> FixingVerdict {
    let (Some(before), Some(now)) = (before, now) else {
        let failed = now.is_some_and(FixingState::has_failed);
        return match now {
            Some(_) if failed => FixingVerdict::FoundFailed,
            Some(_) => FixingVerdict::Added,
            None => FixingVerdict::Dropped,
        };
    };
    match (rank(before), rank(now)) {
        (None, None) => FixingVerdict::NotRecorded,
        (None, Some(_)) if now.has_failed() => FixingVerdict::FoundFailed,
        (None, Some(_)) => FixingVerdict::FirstSeen,
        (Some(_), None) => FixingVerdict::NoLongerSeen,
        (Some(was), Some(is)) if is > was => FixingVerdict::Worse,
        (Some(was), Some(is)) if is < was => FixingVerdict::Better,
        // A state that stands in the panel's file was not found on either day.
        _ if both_recorded || recorded_now => FixingVerdict::Same,
        _ => FixingVerdict::NotRecorded,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use FixingState::*;

    #[test]
    fn states_are_ranked_and_the_panel_file_is_no_look() {
        let of = |before, now, day| verdict(Some(before), Some(now), day, day);
        assert_eq!(of(Sound, Loose, true), FixingVerdict::Worse);
        assert_eq!(of(Loose, Sound, true), FixingVerdict::Better);
        assert_eq!(of(NotSeen, TornOut, true), FixingVerdict::FoundFailed);
        assert_eq!(of(NotSeen, Sound, true), FixingVerdict::FirstSeen);
        assert_eq!(of(Sound, NotSeen, false), FixingVerdict::NoLongerSeen);
        assert_eq!(of(Sound, Sound, true), FixingVerdict::Same);
        assert_eq!(of(Sound, Sound, false), FixingVerdict::NotRecorded);
        assert_eq!(verdict(Some(Sound), None, false, false), FixingVerdict::Dropped);
        assert_eq!(verdict(None, Some(Loose), false, true), FixingVerdict::FoundFailed);
    }
}
