//! What has changed between two surveys of one body?
//!
//! Takes two assessed surveys on the same skins; gives groups of marks that are the same on the body
//! with a verdict each, and what became of fixings and readings. Numbers of marks are not trusted:
//! place, side and kind decide. A size is called changed only beyond what both surveys may be off;
//! what was not measured is never called unchanged. Lengths are mm, areas mm2.

mod assign;
pub mod claim;
mod examined;
pub mod fixings;
pub mod kinds;
pub mod matching;
pub mod rate;
pub mod readings;
mod same_body;
pub mod tracks;

use super::Finding;
use crate::diagnostic::Diagnostic;
use crate::model::survey::SeenNow;
use crate::read::job::Job;
use crate::surface::placed::PlacedPanel;
use claim::{Claim, SizeChange};
use kinds::Turn;
use matching::Group;

/// One survey, assessed.
#[derive(Debug, Clone, Copy)]
pub struct Looked<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its panels.
    pub panels: &'a [PlacedPanel<'a>],
    /// Its marks.
    pub findings: &'a [Finding<'a>],
}

impl<'a> Looked<'a> {
    /// The panel of a name, by number.
    #[must_use]
    pub fn panel(&self, name: &str) -> Option<(usize, &'a PlacedPanel<'a>)> {
        self.panels.iter().enumerate().find(|(_, panel)| panel.of.name == name)
    }

    fn on(&self, panel: usize) -> Vec<usize> {
        let marks = self.findings.iter().enumerate();
        marks.filter(|(_, one)| one.placed.panel == panel).map(|(number, _)| number).collect()
    }
}

/// What became of a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Larger than before, beyond both errors.
    Grown,
    /// Of another kind than before.
    Turned,
    /// Found for the first time.
    New,
    /// There again after it was repaired.
    BackAgain,
    /// Smaller than before, beyond both errors: to be looked at again.
    Smaller,
    /// Not found, though its place was examined.
    Gone,
    /// Repaired.
    Repaired,
    /// Measured, and no change beyond both errors.
    Unchanged,
    /// Not examined.
    NotExamined,
    /// Seen and not measured again.
    SeenNotMeasured,
}

impl Verdict {
    /// All of them, what asks for somebody first.
    pub const ALL: [Self; 10] = [
        Self::Grown,
        Self::Turned,
        Self::New,
        Self::BackAgain,
        Self::Smaller,
        Self::Gone,
        Self::Repaired,
        Self::Unchanged,
        Self::NotExamined,
        Self::SeenNotMeasured,
    ];

    /// The word of the record.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Grown => "grown",
            Self::Turned => "turned",
            Self::New => "new",
            Self::BackAgain => "back_again",
            Self::Smaller => "smaller",
            Self::Gone => "gone",
            Self::Repaired => "repaired",
            Self::Unchanged => "measured_unchanged",
            Self::NotExamined => "not_examined",
            Self::SeenNotMeasured => "seen_not_measured",
        }
    }

    /// The words that are printed.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Grown => "grown",
            Self::Turned => "of another kind than before",
            Self::New => "new",
            Self::BackAgain => "there again after a repair",
            Self::Smaller => "smaller beyond error: look again",
            Self::Gone => "not found, though its place was examined",
            Self::Repaired => "repaired",
            Self::Unchanged => "measured, no change beyond error",
            Self::NotExamined => "not examined",
            Self::SeenNotMeasured => "seen, not measured again",
        }
    }

    /// It asks for somebody to look.
    #[must_use]
    pub const fn asks(self) -> bool {
        !matches!(self, Self::Repaired | Self::Unchanged | Self::SeenNotMeasured)
    }
}

/// A mark, or marks that are one on the body, in both surveys.
#[derive(Debug, Clone)]
pub struct Change {
    /// Numbers in the earlier findings; none where it is new.
    pub earlier: Vec<usize>,
    /// Numbers in the later findings; none where it was not found.
    pub later: Vec<usize>,
    /// What became of it.
    pub verdict: Verdict,
    /// How its kind changed; none where one survey lacks it.
    pub turn: Option<Turn>,
    /// Its sizes in both surveys.
    pub sizes: Vec<SizeChange>,
    /// How far apart the middles lie over the skin, mm; none but for one mark in each survey.
    pub moved_mm: Option<f64>,
    /// Both place errors together, 95 % each way, mm.
    pub place_error_mm: Option<f64>,
    /// The middles lie farther apart than place errors and growth explain.
    pub moved_beyond: bool,
    /// Why, where a verdict rests on more than sizes.
    pub why: String,
}

/// Everything that changed.
#[derive(Debug, Clone)]
pub struct Changes {
    /// Marks, by panel and place in the files.
    pub marks: Vec<Change>,
    /// Fixings.
    pub fixings: Vec<fixings::FixingChange>,
    /// Meter readings at marks.
    pub readings: Vec<readings::ReadingChange>,
    /// Panels that only one survey has, each with whether it is the earlier.
    pub alone: Vec<(String, bool)>,
}

/// Compares two surveys of one body.
///
/// # Errors
/// What keeps them from being one body: names, skins, dates; and meshes that are far too fine.
pub fn between(earlier: &Looked<'_>, later: &Looked<'_>) -> Result<Changes, Vec<Diagnostic>> {
    same_body::check(earlier, later)?;
    let mut marks = Vec::new();
    let mut alone = Vec::new();
    for (number, panel) in earlier.panels.iter().enumerate() {
        let Some((other, _)) = later.panel(&panel.of.name) else {
            alone.push((panel.of.name.clone(), true));
            let lost = earlier.on(number).into_iter().map(Group::only_earlier);
            marks.extend(lost.map(|group| judged(earlier, later, group)));
            continue;
        };
        let groups = matching::groups(earlier, later, panel, &earlier.on(number), &later.on(other))
            .map_err(|why| vec![super::too_fine(later.job, panel, why)])?;
        marks.extend(groups.into_iter().map(|group| judged(earlier, later, group)));
    }
    for (number, panel) in later.panels.iter().enumerate() {
        if earlier.panel(&panel.of.name).is_none() {
            alone.push((panel.of.name.clone(), false));
            let fresh = later.on(number).into_iter().map(Group::only_later);
            marks.extend(fresh.map(|group| judged(earlier, later, group)));
        }
    }
    let readings = readings::of(earlier, later, &marks);
    Ok(Changes { marks, fixings: fixings::of(earlier, later), readings, alone })
}

/// A group with its verdict.
fn judged(earlier: &Looked<'_>, later: &Looked<'_>, group: Group) -> Change {
    let before: Vec<&Finding<'_>> =
        group.earlier.iter().filter_map(|number| earlier.findings.get(*number)).collect();
    let now: Vec<&Finding<'_>> =
        group.later.iter().filter_map(|number| later.findings.get(*number)).collect();
    let turn = kinds::turned(&before, &now);
    let sizes = claim::sizes(earlier, later, &before, &now);
    let (verdict, why) = match (before.is_empty(), now.is_empty()) {
        (_, true) => unfound(later, &before),
        (true, false) => first_seen(earlier, &now),
        (false, false) => met(&before, &now, turn, &sizes),
    };
    Change {
        earlier: group.earlier,
        later: group.later,
        verdict,
        turn,
        sizes,
        moved_mm: group.moved_mm,
        place_error_mm: group.place_error_mm,
        moved_beyond: group.moved_beyond,
        why,
    }
}

fn all(found: &[&Finding<'_>], is: impl Fn(&SeenNow) -> bool) -> bool {
    found.iter().all(|one| is(&one.mark().now))
}

fn any(found: &[&Finding<'_>], is: impl Fn(&SeenNow) -> bool) -> bool {
    found.iter().any(|one| is(&one.mark().now))
}

fn is_repaired(now: &SeenNow) -> bool {
    matches!(now, SeenNow::Repaired { .. })
}

fn unfound(later: &Looked<'_>, before: &[&Finding<'_>]) -> (Verdict, String) {
    if all(before, is_repaired) {
        let why = "repaired by the time of the earlier survey; the later one does not list it";
        return (Verdict::Repaired, why.to_owned());
    }
    match before.iter().find_map(|one| examined::why_not(later, one)) {
        Some(why) => (Verdict::NotExamined, format!("the later survey does not list it: {why}")),
        None => (
            Verdict::Gone,
            "the later survey does not list it: filler and paint hide what is still there, so ask what was done here".to_owned(),
        ),
    }
}

fn first_seen(earlier: &Looked<'_>, now: &[&Finding<'_>]) -> (Verdict, String) {
    if all(now, is_repaired) {
        let why = "the earlier survey does not list it: it came and was repaired in between";
        return (Verdict::Repaired, why.to_owned());
    }
    if all(now, |now| matches!(now, SeenNow::NotExamined)) {
        let why = "the earlier survey does not list it, and nobody looked at it this time";
        return (Verdict::NotExamined, why.to_owned());
    }
    let blind = now.iter().find_map(|one| examined::why_not(earlier, one));
    let old = any(now, |now| matches!(now, SeenNow::SeenNotMeasured));
    let why = match (blind, old) {
        (Some(why), _) => format!("it may have been there before: {why}"),
        (None, true) => "its size is said to be from an earlier survey, which does not list it: look whether the right survey was taken".to_owned(),
        (None, false) => String::new(),
    };
    (Verdict::New, why)
}

fn met(
    before: &[&Finding<'_>],
    now: &[&Finding<'_>],
    turn: Option<Turn>,
    sizes: &[SizeChange],
) -> (Verdict, String) {
    // A mark that has split is measured where every part of it is: nothing is said of half of it.
    let measured = all(now, |now| matches!(now, SeenNow::Measured));
    if all(now, is_repaired) {
        let why = if all(before, is_repaired) { "and it was so in the earlier survey" } else { "" };
        return (Verdict::Repaired, why.to_owned());
    }
    if any(now, |now| matches!(now, SeenNow::NotExamined)) {
        return (Verdict::NotExamined, String::new());
    }
    if any(before, is_repaired) {
        let why = "the earlier survey has it as repaired: the repair has failed, or its cause is still at work";
        return (Verdict::BackAgain, why.to_owned());
    }
    let carried = any(before, |was| !matches!(was, SeenNow::Measured));
    let since =
        if carried { "the size before it is from a survey before the earlier one" } else { "" };
    let claims = |claim: Claim| measured && sizes.iter().any(|size| size.claim == claim);
    let verdict = if claims(Claim::Grown) {
        Verdict::Grown
    } else if turn.is_some_and(|turn| turn != Turn::Same) {
        Verdict::Turned
    } else if claims(Claim::Smaller) {
        Verdict::Smaller
    } else if measured {
        Verdict::Unchanged
    } else {
        Verdict::SeenNotMeasured
    };
    (verdict, since.to_owned())
}
