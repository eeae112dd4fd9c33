//! Panels as the job uses them: files read, mirrors followed, generic mouldings sized, what the
//! survey found put in.

use super::job::{JobPanel, Reading, path_from};
use super::text::{Loaded, nearest, row_of};
use super::{built_in, check_entry, check_panel, check_scan, ron_file, sizing};
use crate::diagnostic::Diagnostic;
use crate::model::body::Body;
use crate::model::panel::{
    AlongU, FixingState, Fixings, Material, Panel, PanelPlace, ParentLaminate, Role, SurfaceForm,
};
use crate::model::survey::{Survey, SurveyPanel};

/// A panel that mirrors one that mirrors one, and so on; more is a slip (choice).
const MIRRORS: usize = 8;

/// The panels of a job.
pub(super) struct Resolved {
    pub(super) panels: Vec<JobPanel>,
    /// No panel of the body is missing because its file could not be read, so every name is known.
    pub(super) all_read: bool,
}

/// Resolves the panels of body and survey.
pub(super) fn resolve(
    reading: &mut Reading<'_>,
    survey: &Survey,
    loaded: &Loaded,
    body: Option<(&Body, &Loaded)>,
) -> Resolved {
    let Resolved { mut panels, all_read } = match body {
        Some((body, body_loaded)) => of_body(reading, body, body_loaded),
        None => Resolved { panels: Vec::new(), all_read: true },
    };
    let of_body = panels.len();
    for (number, entry) in survey.panels.iter().enumerate() {
        let field = format!("panels[{number}]");
        let in_body = panels.iter().take(of_body).position(|panel| panel.name == entry.name);
        if let Some(panel) = in_body.and_then(|place| panels.get_mut(place)) {
            check_entry::only_changes(reading, loaded, entry, &field);
            found_on_the_day(panel, entry);
        } else if let Some(mut panel) = of_the_survey(reading, loaded, entry, &field) {
            panel.name.clone_from(&entry.name);
            panel.field = field;
            found_on_the_day(&mut panel, entry);
            panels.push(panel);
        }
    }
    for state in &survey.fixing_states {
        let fixing = panels.iter_mut().find(|panel| panel.name == state.panel).and_then(|panel| {
            match &mut panel.panel.fixings {
                Fixings::Listed(fixings) => fixings.iter_mut().find(|one| one.name == state.fixing),
                Fixings::Unknown | Fixings::NoneSeen => None,
            }
        });
        // A fixing that is not there is told by the survey's own check.
        if let Some(fixing) = fixing {
            fixing.state = state.state;
        }
    }
    for panel in &mut panels {
        assumed_fixings(panel);
    }
    Resolved { panels, all_read }
}

/// The panels a body names.
pub(super) fn of_body(reading: &mut Reading<'_>, body: &Body, loaded: &Loaded) -> Resolved {
    let mut panels: Vec<JobPanel> = Vec::new();
    let mut all_read = true;
    for (number, placed) in body.panels.iter().enumerate() {
        let entry = format!("panels[{number}]");
        let field = format!("{entry}.file");
        match from_file(reading, loaded, &field, &placed.file, &mut Vec::new()) {
            Some(panel) if panels.iter().any(|other| other.name == panel.name) => {
                reading.faults.push(loaded.fault(
                    &field,
                    "READ-NAME-TWICE",
                    format!("two panels of this body are called {:?}", panel.name),
                    "each panel name once",
                    "change the `name` in one of the panel files",
                ));
            }
            Some(panel) => panels.push(JobPanel { field: entry, ..panel }),
            None => all_read = false,
        }
    }
    Resolved { panels, all_read }
}

fn of_the_survey(
    reading: &mut Reading<'_>,
    loaded: &Loaded,
    entry: &SurveyPanel,
    field: &str,
) -> Option<JobPanel> {
    match (&entry.file, &entry.generic) {
        (Some(_), Some(_)) | (None, None) => {
            let found = if entry.file.is_some() { "both a file and" } else { "neither a file nor" };
            reading.faults.push(loaded.fault(
                field,
                "READ-PANEL-SOURCE",
                format!("panel {:?} names {found} a generic moulding", entry.name),
                "either `file` or `generic`",
                format!(
                    "write a panel file, or one of the generic mouldings: {}",
                    row_of(&built_in::names().collect::<Vec<_>>())
                ),
            ));
            None
        }
        (Some(file), None) => {
            check_entry::nothing_of_a_generic(reading, loaded, entry, field);
            from_file(reading, loaded, &format!("{field}.file"), file, &mut Vec::new())
        }
        (None, Some(name)) => generic(reading, loaded, entry, name, field),
    }
}

fn generic(
    reading: &mut Reading<'_>,
    loaded: &Loaded,
    entry: &SurveyPanel,
    name: &str,
    field: &str,
) -> Option<JobPanel> {
    let at = format!("{field}.generic");
    let Some(text) = built_in::panel(name) else {
        let known: Vec<&str> = built_in::names().collect();
        reading.faults.push(loaded.fault(
            &at,
            "READ-NAME-UNKNOWN",
            format!("there is no generic moulding called {name:?}"),
            row_of(&known),
            nearest(name, known.iter().copied()).map_or_else(
                || "choose one of them, or describe the panel in a file of its own".to_owned(),
                |near| format!("write {near:?} if that is meant"),
            ),
        ));
        return None;
    };
    let shown = built_in::shown(name);
    reading.note_built_in(&shown, text);
    let mut panel: Panel = match ron_file::parse(&shown, text) {
        Ok((panel, built)) => {
            reading.texts.keep(built);
            panel
        }
        Err(fault) => {
            reading.faults.push(fault);
            return None;
        }
    };
    let to_the_left = entry.u_runs == Some(AlongU::ToTheLeft);
    let Some(unmeasured) = sizing::size(&mut panel, &entry.size) else {
        check_entry::no_sizes(reading, loaded, entry, field);
        return Some(JobPanel { mirrored: to_the_left, ..JobPanel::new(&shown, panel) });
    };
    if let Some(SurfaceForm::Moulding(moulding)) = &panel.surface {
        let mut faults = super::faults::Faults::new(loaded);
        check_panel::moulded(moulding, &format!("{field}.size"), &mut faults);
        reading.faults.extend(faults.into_found());
    }
    let mut assumptions = Vec::new();
    if !unmeasured.is_empty() {
        assumptions.push(format!(
            "{}: not measured, taken from the generic {name}: {}",
            entry.name,
            unmeasured.join(", ")
        ));
    }
    if entry.material.is_none() && panel.material != Material::Unknown {
        assumptions.push(format!(
            "{}: material taken from the generic {name}: {}",
            entry.name,
            panel.material.words()
        ));
    }
    if entry.thickness_mm.is_none()
        && let Some(thickness) = panel.laminate.thickness_mm
    {
        assumptions
            .push(format!("{}: thickness taken from the generic {name}: {thickness}", entry.name));
    }
    Some(JobPanel {
        mirrored: to_the_left,
        generic: true,
        fixings_assumed: true,
        assumptions,
        ..JobPanel::new(&shown, panel)
    })
}

/// What the survey says of a panel replaces what its file says.
fn found_on_the_day(panel: &mut JobPanel, entry: &SurveyPanel) {
    if let Some(thickness) = entry.thickness_mm {
        panel.panel.laminate.thickness_mm = Some(thickness);
        panel.panel.laminate.includes.clear();
    }
    if let Some(material) = entry.material {
        panel.panel.material = material;
    }
    if let Some(roles) = &entry.roles {
        panel.panel.roles.clone_from(roles);
    }
    if let Some(fixings) = &entry.fixings {
        panel.panel.fixings = fixings.clone();
        panel.fixings_assumed = false;
    }
    if let Some(back) = entry.back {
        panel.panel.back = back;
    }
}

fn assumed_fixings(panel: &mut JobPanel) {
    if !panel.fixings_assumed {
        return;
    }
    let Fixings::Listed(fixings) = &panel.panel.fixings else {
        panel.fixings_assumed = matches!(panel.panel.fixings, Fixings::NoneSeen);
        if panel.fixings_assumed {
            panel.assumptions.push(format!("{}: assumed: nothing is fixed to it", panel.name));
        }
        return;
    };
    let listed: Vec<String> = fixings
        .iter()
        .map(|fixing| {
            format!("{} ({}) at {}", fixing.name, fixing.carries.words(), said_place(&fixing.at))
        })
        .collect();
    panel.assumptions.push(format!(
        "{}: assumed, until the survey lists its fixings or says none_seen: {}",
        panel.name,
        listed.join("; ")
    ));
}

fn said_place(at: &PanelPlace) -> String {
    match at {
        PanelPlace::Grid(u, v) => format!("u {:.0}, v {:.0} mm", u.value(), v.value()),
        PanelPlace::Space(_) => format!("{at} mm"),
    }
}

/// A panel from its file, with what it mirrors.
pub(super) fn from_file(
    reading: &mut Reading<'_>,
    from: &Loaded,
    field: &str,
    name: &str,
    before: &mut Vec<String>,
) -> Option<JobPanel> {
    let file = path_from(&from.file, name);
    if before.contains(&file) || before.len() >= MIRRORS {
        reading.faults.push(from.fault(
            field,
            "READ-MIRROR-LOOP",
            format!("the panels mirror each other without end: {}", before.join(", ")),
            "a panel that in the end mirrors one with a surface of its own",
            "give one of them its surface",
        ));
        return None;
    }
    let (panel, loaded) = reading.named::<Panel>(from, field, name)?;
    before.push(file);
    checked(reading, panel, &loaded, before)
}

/// A panel with its own faults told and its mirror followed.
pub(super) fn checked(
    reading: &mut Reading<'_>,
    panel: Panel,
    loaded: &Loaded,
    before: &mut Vec<String>,
) -> Option<JobPanel> {
    let found: Vec<Diagnostic> = check_panel::panel(&panel, loaded);
    reading.faults.extend(found);
    match panel.mirror_of.clone().filter(|_| panel.surface.is_none()) {
        None => {
            let scan = match &panel.surface {
                Some(SurfaceForm::Scan(scan)) => {
                    Some(check_scan::read(reading, loaded, &scan.file)?)
                }
                _ => None,
            };
            Some(JobPanel { scan, ..JobPanel::new(&loaded.file, panel) })
        }
        Some(other) => {
            let other = from_file(reading, loaded, "mirror_of", &other, before)?;
            Some(mirrored(JobPanel::new(&loaded.file, panel), other))
        }
    }
}

/// The mirror image takes what its own file leaves out from the panel it mirrors.
fn mirrored(mut image: JobPanel, other: JobPanel) -> JobPanel {
    let (own, of) = (&mut image.panel, other.panel);
    let mut taken: Vec<&str> = Vec::new();
    own.surface = of.surface;
    own.outline = own.outline.take().or(of.outline);
    if own.openings.is_empty() {
        own.openings = of.openings;
    }
    if own.regions.is_empty() {
        own.regions = of.regions;
    }
    if own.landmarks.is_empty() {
        own.landmarks = of.landmarks;
    }
    if own.strips.is_empty() && !of.strips.is_empty() {
        own.strips = of.strips;
        taken.push("strips on the back");
    }
    if is_blank(&own.laminate) && !is_blank(&of.laminate) {
        own.laminate = of.laminate;
        taken.push("thickness and make-up");
    }
    if own.material == Material::Unknown && of.material != Material::Unknown {
        own.material = of.material;
        taken.push("material");
    }
    if own.roles == [Role::Unknown] && of.roles != [Role::Unknown] {
        own.roles = of.roles;
        taken.push("roles");
    }
    // "None seen" was said of the other side of the vehicle, so it is not carried over.
    if matches!(own.fixings, Fixings::Unknown)
        && let Fixings::Listed(mut fixings) = of.fixings
    {
        for fixing in &mut fixings {
            fixing.state = FixingState::NotSeen;
        }
        own.fixings = Fixings::Listed(fixings);
        image.fixings_assumed = true;
    }
    image.mirrored = !other.mirrored;
    image.scan = other.scan;
    if !taken.is_empty() {
        image.assumptions.push(format!(
            "{}: taken from the panel it mirrors ({}): {}",
            image.name,
            other.file,
            taken.join(", ")
        ));
    }
    image
}

fn is_blank(laminate: &ParentLaminate) -> bool {
    laminate.thickness_mm.is_none()
        && laminate.gel_mm.is_none()
        && laminate.paint_mm.is_none()
        && laminate.named_plies().is_empty()
}
