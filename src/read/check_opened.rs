//! The values of opened-up sizes, and that they belong to the marks of their survey.

use super::check_mark::{self, MARK};
use super::faults::Faults;
use super::job::JobPanel;
use super::opened::with_found;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::opened::{FoundMark, OpenedSizes};
use crate::model::survey::{Direction, Evidence, Mark, SeenNow, Shape, Survey, Tried};

/// Area of a mark, m2 (choice: from a pinprick to the side of a coach).
const AREA: std::ops::RangeInclusive<f64> = 1e-6..=25.0;
/// What lies beyond a recorded end, mm (choice: as the length of a mark).
const BEYOND: std::ops::RangeInclusive<f64> = 0.0..=5_000.0;

/// Every fault in opened-up sizes that are read with a survey.
pub(super) fn sizes(
    sizes: &OpenedSizes,
    loaded: &Loaded,
    survey_file: &str,
    survey: &Survey,
    panels: &[JobPanel],
) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    if !same_survey(&mut faults, "sizes", &sizes.survey, survey_file) {
        return faults.into_found();
    }
    if sizes.found.is_empty() {
        faults.add(
            "found",
            "READ-NOTHING",
            "the list of what was found is empty",
            "one mark or more",
            "leave the file out until a mark has been opened up",
        );
    }
    let marks: Vec<u32> = sizes.found.iter().map(|found| found.mark).collect();
    faults.unlike("mark", &marks, |number| format!("found[{number}].mark"));
    for (number, found) in sizes.found.iter().enumerate() {
        let field = format!("found[{number}]");
        faults.name(&format!("{field}.by"), "who opened and measured it", &found.by);
        faults.name(&format!("{field}.date"), "when it was opened", &found.date);
        values(found, &field, &mut faults);
        let Some(mark) = survey.marks.iter().find(|mark| mark.id == found.mark) else {
            let known: Vec<String> = survey.marks.iter().map(|mark| mark.id.to_string()).collect();
            let known: Vec<&str> = known.iter().map(String::as_str).collect();
            let at = format!("{field}.mark");
            faults.known(&at, "mark in the survey", &found.mark.to_string(), &known);
            continue;
        };
        of_mark(mark, found, &field, &mut faults);
        let panel = panels.iter().find(|panel| panel.name == mark.panel);
        let panel = panel.map(|panel| &panel.panel);
        check_mark::depth(&with_found(mark, found), &field, panel, &mut faults);
    }
    faults.into_found()
}

/// Whether a file that names marks by number belongs to the survey that is read; else a fault.
pub(super) fn same_survey(
    faults: &mut Faults<'_>,
    what: &str,
    named: &str,
    survey_file: &str,
) -> bool {
    let own_name = |path: &str| path.rsplit('/').next().unwrap_or(path).to_owned();
    if own_name(named) == own_name(survey_file) {
        return true;
    }
    faults.add(
        "survey",
        "READ-OTHER-SURVEY",
        format!("these {what} belong to {named:?}, and the survey read is {:?}", own_name(survey_file)),
        format!("{what} of the survey that is read"),
        format!("name the right survey here, or leave these {what} out: numbers of marks mean nothing in another survey"),
    );
    false
}

fn values(found: &FoundMark, field: &str, faults: &mut Faults<'_>) {
    let lengths = [
        ("length_mm", "length", found.length_mm),
        ("width_mm", "width", found.width_mm),
        ("back_length_mm", "length on the back", found.back_length_mm),
    ];
    for (name, what, value) in lengths {
        let value = value.map(|value| value.value());
        faults.range_if(&format!("{field}.{name}"), what, value, "mm", MARK);
    }
    let area = found.area_m2.map(|area| area.value());
    faults.range_if(&format!("{field}.area_m2"), "area", area, "m2", AREA);
    if let Some((before, after)) = found.beyond_mm {
        for (end, value) in [before, after].into_iter().enumerate() {
            let at = format!("{field}.beyond_mm[{end}]");
            faults.range(&at, "beyond the end", value.value(), "mm", BEYOND);
        }
    }
}

/// The mark was recorded as a line.
pub(super) const fn is_line(mark: &Mark) -> bool {
    matches!(mark.shape, Shape::Line { .. } | Shape::Traced { closed: false, .. })
}

fn of_mark(mark: &Mark, found: &FoundMark, field: &str, faults: &mut Faults<'_>) {
    size(mark, found, field, faults);
    if let SeenNow::Repaired { by, .. } = &mark.now {
        faults.add(
            &format!("{field}.mark"),
            "READ-CONTRADICTION",
            format!("mark {} was repaired by {by}, as the survey says, yet it was opened", mark.id),
            "a mark that is still there",
            "where the repair was opened, record what was found as a mark of its own",
        );
    }
    let through = mark.kind.is_through() || mark.evidence.contains(&Evidence::Through);
    if through && found.through == Tried::No {
        faults.add(
            &format!("{field}.through"),
            "READ-CONTRADICTION",
            format!("mark {} ({}) is recorded as open to the back", mark.id, mark.kind.words()),
            "yes, or left out",
            "what was recorded as worse stands; where it was a mistake, correct the survey and say so there",
        );
    }
}

fn size(mark: &Mark, found: &FoundMark, field: &str, faults: &mut Faults<'_>) {
    let given = [
        ("length_mm", found.length_mm.is_some()),
        ("width_mm", found.width_mm.is_some()),
        ("area_m2", found.area_m2.is_some()),
        ("beyond_mm", found.beyond_mm.is_some()),
        ("back_length_mm", found.back_length_mm.is_some()),
    ];
    let traced = matches!(mark.shape, Shape::Traced { closed: true, .. });
    let (takes, accepted): (&[&str], &str) = if is_line(mark) {
        (&["length_mm", "beyond_mm", "back_length_mm"], "length_mm or beyond_mm")
    } else if traced {
        (&["area_m2"], "area_m2: this outline was traced")
    } else {
        (&["length_mm", "width_mm", "area_m2"], "length_mm with width_mm, or area_m2")
    };
    let mut wrong = false;
    for (name, _) in given.iter().filter(|(name, given)| *given && !takes.contains(name)) {
        wrong = true;
        faults.add(
            &format!("{field}.{name}"),
            "READ-SHAPE",
            format!("`{name}` does not fit mark {}, a {}", mark.id, mark.kind.words()),
            accepted,
            "take it out; damage of another form is a mark of its own in a new survey",
        );
    }
    let sized = match (found.length_mm, found.width_mm, found.area_m2, found.beyond_mm) {
        (Some(_), None, None, None) | (None, None, None, Some(_)) => is_line(mark),
        (Some(_), Some(_), None, None) | (None, None, Some(_), None) => !is_line(mark),
        _ => false,
    };
    if !sized && !wrong {
        faults.add(
            field,
            "READ-FOUND-SIZE",
            format!(
                "mark {} ({}): it does not say once how large it was",
                mark.id,
                mark.kind.words()
            ),
            accepted,
            "measure it as it was found, and write the size in one way",
        );
    }
    let unknown = matches!(&mark.shape, Shape::Line { direction: Direction::Unknown, .. });
    if unknown && found.beyond_mm.is_some() {
        faults.add(
            &format!("{field}.beyond_mm"),
            "READ-FOUND-SIZE",
            format!("mark {} has no direction, so its ends cannot be told apart", mark.id),
            "length_mm",
            "give the whole length, or record the direction in the survey",
        );
    }
}
