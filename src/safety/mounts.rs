//! Body mounts, counted by state over the whole body: what is seized is an allowance, and some of
//! it may tear out when it is undone.

use super::Scene;
use crate::model::panel::{FixingState, LoadRow};

/// Body mounts of a body.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Mounts {
    /// State in words, how many, and which.
    pub states: Vec<(&'static str, Vec<String>)>,
    /// Seized ones: an allowance.
    pub seized: usize,
    /// Nobody has confirmed that they are there.
    pub assumed: bool,
}

/// Counts the body mounts; nothing where none is listed.
#[must_use]
pub fn mounts(scene: &Scene<'_>) -> Option<Mounts> {
    let mut found = Mounts::default();
    for panel in scene.panels {
        for fixing in panel.fixings.iter().filter(|one| one.of.carries.row() == LoadRow::BodyMount)
        {
            let words = fixing.of.state.words();
            let name = format!("{} of the {}", fixing.of.name, panel.of.name);
            match found.states.iter_mut().find(|(state, _)| *state == words) {
                Some((_, names)) => names.push(name),
                None => found.states.push((words, vec![name])),
            }
            found.seized += usize::from(fixing.of.state == FixingState::Seized);
            found.assumed |= panel.of.fixings_assumed;
        }
    }
    found.states.sort();
    (!found.states.is_empty()).then_some(found)
}
