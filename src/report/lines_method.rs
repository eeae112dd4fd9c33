//! How repairs are done, as lines of the report.

use super::lines::codes;
use super::model::{Note, StepLine};
use crate::damage::Finding;
use crate::model::panel::Material;
use crate::model::survey::Side;
use crate::read::job::Job;
use crate::repair::method::choose::{Way, ways};
use crate::repair::method::{StepKind, StepSide, filled, find};
use crate::repair::{Action, Repair};
use crate::rules::id;
use crate::safety::Blocked;
use crate::safety::table::Work;
use crate::surface::placed::PlacedPanel;

/// Steps of a repair, and when not to take them.
pub(super) struct Done {
    pub(super) steps: Vec<StepLine>,
    pub(super) when_not_to: Vec<String>,
}

/// How one repair is done.
pub(super) fn of_repair(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    repair: &Repair<'_>,
    blocked: &[Blocked],
) -> Done {
    let book = &job.book;
    let polyester = repair.material == Material::HandLaidPolyester;
    let mut done = Done { steps: Vec::new(), when_not_to: Vec::new() };
    for chosen in ways(book, job.survey.topcoat, panels, findings, repair) {
        let Some(row) = find(chosen.way.name()) else { continue };
        done.when_not_to.extend(
            row.when_not_to.iter().map(|text| format!("{}: {}", row.title, filled(text, book))),
        );
        for step in &row.steps {
            // The back gets neither tissue nor coat.
            let coated = step.kind == StepKind::Coats || chosen.way == Way::GelArea;
            if repair.side == Side::Back && coated && step.kind.lays() {
                continue;
            }
            let mut text = filled(&step.text, book);
            if let Some(more) = step.polyester.as_ref().filter(|_| polyester) {
                text = format!("{text} {}", filled(more, book));
            }
            let side = match step.side {
                StepSide::Worked => repair.side.words(),
                StepSide::Back => step.side.words(),
            };
            done.steps.push(StepLine {
                order: u32::try_from(done.steps.len() + 1).unwrap_or(u32::MAX),
                method: row.title.clone(),
                marks: chosen.marks.clone(),
                only_if_deeper: chosen.only_if_deeper,
                step: step.kind.words().to_owned(),
                text,
                check: filled(&step.check, book),
                side: side.to_owned(),
                evidence: step.evidence.to_string(),
                source: step.source.clone(),
                rules: step.all_rules(polyester),
                blocked_by: codes(blocked, &chosen.marks, |work| stops(work, step.kind)),
            });
        }
    }
    done
}

/// Work of this part is what such a step does.
const fn stops(work: Work, step: StepKind) -> bool {
    match step {
        StepKind::Look | StepKind::Drying => false,
        StepKind::Removal | StepKind::Preparation | StepKind::Finish => {
            matches!(work, Work::Sanding)
        }
        StepKind::Plies | StepKind::Coats => matches!(work, Work::LayUp | Work::Buying),
        StepKind::Paint => matches!(work, Work::Paint | Work::Sanding),
    }
}

/// What would change the mind about a mark that is only watched.
pub(super) fn watch_note(job: &Job, finding: &Finding<'_>, action: Action) -> Option<Note> {
    if action != Action::Watch || finding.is_repaired() {
        return None;
    }
    let step = find(Way::Watch.name())?.steps.first()?;
    let text = format!("{} {}", filled(&step.text, &job.book), filled(&step.check, &job.book));
    Some(Note { text, rule: id::TAPE_ONE.to_owned() })
}
