//! Was the place of a mark examined in a survey that does not list it?

use super::Looked;
use crate::damage::Finding;
use crate::model::panel::BackAccess;
use crate::model::survey::Side;

/// Words that speak of the side one does not see from outside.
const BEHIND: [&str; 5] = ["behind", "inside", "back of", "under ", "underside"];

/// Why a mark of another survey may have gone unseen in this one; none where its place was looked at.
pub(super) fn why_not(survey: &Looked<'_>, mark: &Finding<'_>) -> Option<String> {
    let (name, side) = (&mark.mark().panel, mark.mark().side);
    let Some((_, panel)) = survey.panel(name) else {
        return Some(format!("it has no {name}"));
    };
    let tag = panel.mesh.tags.get(mark.placed.at.face as usize).and_then(|tag| tag.region);
    let region = panel.region_name(tag);
    for missed in &survey.job.survey.not_examined {
        let why = || Some(format!("not examined: {}, {}", missed.what, missed.why));
        match &missed.panel {
            Some(one) if one == name => {
                let here = missed.side.is_none_or(|missed| missed == side)
                    && missed.region.as_ref().is_none_or(|missed| *missed == region);
                if here {
                    return why();
                }
            }
            Some(_) => {}
            None if is_meant(&missed.what, name, side) => return why(),
            None => {}
        }
    }
    match panel.of.panel.back {
        BackAccess::Reached => None,
        _ if side == Side::Outer => None,
        BackAccess::Closed => Some(format!("the back of the {name} cannot be reached")),
        BackAccess::NotSeen | BackAccess::Unknown => {
            Some(format!("nobody looked at the back of the {name}, or nobody has said so"))
        }
    }
}

/// Whether free words name a side of a panel; in doubt they do, so that nothing is called gone
/// that may only be hidden.
fn is_meant(what: &str, panel: &str, side: Side) -> bool {
    let (what, panel) = (what.to_lowercase(), panel.to_lowercase());
    if !what.contains(&panel) {
        return false;
    }
    let behind = BEHIND.iter().any(|word| what.contains(word));
    side == Side::Back || !behind
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn free_words_name_a_panel_and_perhaps_its_back() {
        assert!(is_meant("rear valance", "rear valance", Side::Outer));
        assert!(is_meant("The Rear Valance, left half", "rear valance", Side::Outer));
        assert!(is_meant("rear valance", "rear valance", Side::Back));
        let behind = "behind the front panel and the nearside rear quarter";
        assert!(!is_meant(behind, "front panel", Side::Outer));
        assert!(is_meant(behind, "front panel", Side::Back));
        assert!(!is_meant("steel frame under the floor", "roof", Side::Outer));
    }
}
