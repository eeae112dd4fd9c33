//! What a survey may not say of a panel: where the body or a file has said it already.

use super::job::Reading;
use super::text::Loaded;
use crate::model::survey::{PanelSize, SurveyPanel};

/// The entry only changes a panel of the body, so it may not bring one of its own.
pub(super) fn only_changes(
    reading: &mut Reading<'_>,
    loaded: &Loaded,
    entry: &SurveyPanel,
    field: &str,
) {
    let source = [("file", entry.file.is_some()), ("generic", entry.generic.is_some())];
    for (name, _) in source.into_iter().filter(|(_, given)| *given) {
        reading.faults.push(loaded.fault(
            &format!("{field}.{name}"),
            "READ-PANEL-SOURCE",
            format!("the body already has a panel called {:?}", entry.name),
            "thickness, material, roles, fixings and back of a panel of the body",
            format!("take `{name}` out, or give the panel another name"),
        ));
    }
    nothing_of_a_generic(reading, loaded, entry, field);
}

/// Sizes and which way u runs are told in the survey of a generic moulding only.
pub(super) fn nothing_of_a_generic(
    reading: &mut Reading<'_>,
    loaded: &Loaded,
    entry: &SurveyPanel,
    field: &str,
) {
    no_sizes(reading, loaded, entry, field);
    if entry.u_runs.is_some() {
        reading.faults.push(loaded.fault(
            &format!("{field}.u_runs"),
            "READ-PANEL-SOURCE",
            format!("which way u runs is told for {:?}, which is no generic moulding", entry.name),
            "`u_runs` together with `generic`",
            "take `u_runs` out, or write it into the panel's own file",
        ));
    }
}

/// Sizes are of a generic moulding only.
pub(super) fn no_sizes(
    reading: &mut Reading<'_>,
    loaded: &Loaded,
    entry: &SurveyPanel,
    field: &str,
) {
    if is_sized(&entry.size) {
        reading.faults.push(loaded.fault(
            &format!("{field}.size"),
            "READ-SIZE",
            format!("sizes are given for {:?}, which is no generic moulding", entry.name),
            "sizes together with `generic`",
            "take `size` out, or correct the sizes in the panel's own file",
        ));
    }
}

const fn is_sized(size: &PanelSize) -> bool {
    size.length_mm.is_some()
        || size.width_mm.is_some()
        || size.crown_along_mm.is_some()
        || size.crown_across_mm.is_some()
        || size.edge_return_mm.is_some()
        || size.corner_radius_mm.is_some()
        || size.taper_mm.is_some()
        || size.twist_mm.is_some()
}
