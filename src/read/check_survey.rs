//! The values and references of a survey.

use super::check_panel::{SIDE, THICKNESS};
use super::faults::Faults;
use super::job::JobPanel;
use super::text::{Loaded, row_of};
use super::{check_body, check_grid, check_mark, check_panel, check_shop};
use crate::diagnostic::Diagnostic;
use crate::model::panel::{Fixings, Panel};
use crate::model::stock::Stock;
use crate::model::survey::{HazardTest, Survey, SurveyPanel};

/// Every fault in a survey. Panels that could not be read are missing from `panels`, and places
/// on them go unchecked; `all_read` is false when even the names of some are not known.
pub(super) fn survey(
    survey: &Survey,
    loaded: &Loaded,
    panels: &[JobPanel],
    all_read: bool,
) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    conditions(survey, &mut faults);
    tested("old_paint", &survey.old_paint, &mut faults);
    tested("underseal", &survey.underseal, &mut faults);
    if let Some(energy) = &survey.energy {
        check_body::energy("energy.", energy, &mut faults);
    }
    for (number, entry) in survey.panels.iter().enumerate() {
        entry_values(entry, &format!("panels[{number}]"), &mut faults);
    }
    let names: Vec<&str> = survey.panels.iter().map(|entry| entry.name.as_str()).collect();
    faults.unlike("panel", &names, |number| format!("panels[{number}].name"));
    for (number, missed) in survey.not_examined.iter().enumerate() {
        let field = format!("not_examined[{number}].what");
        faults.name(&field, "what was not examined", &missed.what);
    }
    let find = |name: &str| panels.iter().find(|panel| panel.name == name);
    let mut known: Vec<&str> = panels.iter().map(|panel| panel.name.as_str()).collect();
    known.extend(names.iter().filter(|name| !panels.iter().any(|panel| panel.name == **name)));
    for (number, missed) in survey.not_examined.iter().enumerate() {
        let field = format!("not_examined[{number}]");
        let panel = missed.panel.as_ref().and_then(|name| find(name));
        if let (Some(name), None, true) = (&missed.panel, panel, all_read) {
            faults.known(&format!("{field}.panel"), "panel", name, &known);
        }
        match (&missed.region, &missed.panel, panel) {
            (Some(region), _, Some(panel)) => {
                let regions: Vec<&str> =
                    panel.panel.regions.iter().map(|region| region.name.as_str()).collect();
                let what = "region of this panel";
                faults.known(&format!("{field}.region"), what, region, &regions);
            }
            (Some(region), None, _) => faults.add(
                &format!("{field}.region"),
                "READ-NAME-UNKNOWN",
                format!("region {region:?} of no panel"),
                "a region together with the panel it is on",
                "add `panel`, or leave `region` out",
            ),
            _ => {}
        }
    }
    for (number, found) in survey.fixing_states.iter().enumerate() {
        let field = format!("fixing_states[{number}]");
        let Some(panel) = find(&found.panel) else {
            if all_read {
                faults.known(&format!("{field}.panel"), "panel", &found.panel, &known);
            }
            continue;
        };
        let fixings: Vec<&str> = match &panel.panel.fixings {
            Fixings::Listed(fixings) => fixings.iter().map(|one| one.name.as_str()).collect(),
            Fixings::Unknown | Fixings::NoneSeen => Vec::new(),
        };
        let what = "fixing of this panel";
        faults.known(&format!("{field}.fixing"), what, &found.fixing, &fixings);
    }
    let named: Vec<String> = survey
        .fixing_states
        .iter()
        .map(|found| format!("{:?} of {:?}", found.fixing, found.panel))
        .collect();
    faults.unlike("state of", &named, |number| format!("fixing_states[{number}].fixing"));
    for (number, mark) in survey.marks.iter().enumerate() {
        let field = format!("marks[{number}]");
        let panel: Option<&Panel> = find(&mark.panel).map(|panel| &panel.panel);
        if panel.is_none() && all_read {
            faults.known(&format!("{field}.panel"), "panel", &mark.panel, &known);
        }
        check_mark::mark(mark, &field, panel, survey.meter.is_some(), &mut faults);
    }
    amendments(survey, &mut faults);
    check_grid::grids(survey, panels, all_read, &mut faults);
    let ids: Vec<u32> = survey.marks.iter().map(|mark| mark.id).collect();
    faults.unlike("mark", &ids, |number| format!("marks[{number}].id"));
    faults.into_found()
}

/// An amendment says when, by whom and what; its mark is one of the survey.
fn amendments(survey: &Survey, faults: &mut Faults<'_>) {
    for (number, one) in survey.amendments.iter().enumerate() {
        let at = |name: &str| format!("amendments[{number}].{name}");
        faults.name(&at("date"), "when it was changed", &one.date);
        faults.name(&at("by"), "who changed it", &one.by);
        faults.name(&at("what"), "what was changed", &one.what);
        let Some(mark) = one.mark.filter(|mark| survey.marks.iter().all(|one| one.id != *mark))
        else {
            continue;
        };
        let ids: Vec<String> = survey.marks.iter().map(|one| one.id.to_string()).collect();
        let ids: Vec<&str> = ids.iter().map(String::as_str).collect();
        let accepted = if ids.is_empty() {
            "no mark, as the survey has none".to_owned()
        } else {
            row_of(&ids)
        };
        faults.add(
            &at("mark"),
            "READ-NAME-UNKNOWN",
            format!("mark {mark} is not in this survey"),
            accepted,
            "write the number of the mark, or leave `mark` out and name it in `what`",
        );
    }
}

fn conditions(survey: &Survey, faults: &mut Faults<'_>) {
    if let (Some(day), None) = (&survey.on, survey.day()) {
        faults.add(
            "on",
            "READ-MOMENT",
            format!("{day:?} is no day of the calendar"),
            "a day as year, month and day, such as \"2024-10-12\"",
            "write it so, or leave `on` out; `date` takes any words",
        );
    }
    let air = survey.air_c.map(|air| air.value());
    faults.range_if("air_c", "air", air, "C", -30.0..=60.0);
    let panel = survey.panel_c.map(|panel| panel.value());
    faults.range_if("panel_c", "panel", panel, "C", -30.0..=90.0);
    check_shop::humidity(faults, survey.humidity_percent.map(|share| share.value()));
    let dry = survey.hours_dry.map(|hours| hours.value());
    faults.range_if("hours_dry", "hours since it was last wet", dry, "h", 0.0..=1_000_000.0);
    if let Some(meter) = &survey.meter {
        faults.name("meter.kind", "the meter", &meter.kind);
        let reference = meter.reference;
        faults.range("meter.reference", "reference reading", reference, "", 0.0..=10_000.0);
        faults.range("meter.step", "step of the meter", meter.step, "", 0.001..=1_000.0);
    }
}

/// An answer that lifts a block says who gave it and when.
pub(super) fn tested(field: &str, test: &HazardTest, faults: &mut Faults<'_>) {
    if let Some((by, date)) = test.tested() {
        faults.name(&format!("{field}.by"), "who tested it", by);
        faults.name(&format!("{field}.date"), "when it was tested", date);
    }
}

fn entry_values(entry: &SurveyPanel, field: &str, faults: &mut Faults<'_>) {
    let at = |name: &str| format!("{field}.{name}");
    faults.name(&at("name"), "a panel", &entry.name);
    let thickness = entry.thickness_mm.map(|thickness| thickness.value());
    faults.range_if(&at("thickness_mm"), "thickness", thickness, "mm", THICKNESS);
    let size = &entry.size;
    let sizes = [
        ("length_mm", "length", size.length_mm, SIDE),
        ("width_mm", "width", size.width_mm, SIDE),
        ("crown_along_mm", "crown along", size.crown_along_mm, -5400.0..=5400.0),
        ("crown_across_mm", "crown across", size.crown_across_mm, -5400.0..=5400.0),
        ("edge_return_mm", "turned edge", size.edge_return_mm, 0.0..=500.0),
        ("corner_radius_mm", "corner radius", size.corner_radius_mm, 0.0..=6000.0),
        ("taper_mm", "taper", size.taper_mm, -10_800.0..=10_800.0),
        ("twist_mm", "twist", size.twist_mm, -1000.0..=1000.0),
    ];
    for (name, what, value, range) in sizes {
        let value = value.map(|value| value.value());
        faults.range_if(&at(&format!("size.{name}")), what, value, "mm", range);
    }
    if entry.roles.as_ref().is_some_and(Vec::is_empty) {
        faults.add(
            &at("roles"),
            "READ-NOTHING",
            "the list of roles is empty",
            "skin, opens, holds_people, stressed or unknown; one or more",
            "leave `roles` out, or write [unknown]",
        );
    }
    if let Some(Fixings::Listed(fixings)) = &entry.fixings {
        check_panel::fixings_listed(fixings, &at("fixings"), faults);
    }
}

/// The resin that a survey wants has to be in the stock.
pub(super) fn resin(name: &str, stock: &Stock, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    let known: Vec<&str> = stock.resins.iter().map(|resin| resin.name.as_str()).collect();
    faults.known("resin", "resin of the stock", name, &known);
    faults.into_found()
}
