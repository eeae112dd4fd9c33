//! The seams to the rooms behind `read`.

use plymend::diagnostic::Diagnostic;
use plymend::read::text::Texts;
use plymend::read::{Job, JobPanel};
use plymend::report::{Report, text};

/// HOOK: faults of the skins themselves, found by building them.
pub(super) fn skins(_panels: &[JobPanel], _texts: &Texts) -> Vec<Diagnostic> {
    Vec::new()
}

/// HOOK: what `panel` prints.
pub(super) fn panel(panel: &JobPanel, _texts: &Texts) -> Result<String, Vec<Diagnostic>> {
    Ok(format!("{}\n", panel.name))
}

/// HOOK: the mesh as PLY text.
pub(super) fn mesh(panel: &JobPanel, _texts: &Texts) -> Result<String, Vec<Diagnostic>> {
    Ok(format!("ply\ncomment {}\n", panel.name))
}

/// HOOK: what `assess` prints.
pub(super) fn assessed(report: &Report) -> String {
    text::brief(report)
}

/// HOOK: removal sets, file name and JSON text each.
pub(super) fn geometry(_job: &Job, _report: &Report) -> Result<Vec<(String, String)>, Vec<Diagnostic>> {
    Ok(Vec::new())
}

/// HOOK: a caution by its code, at length.
pub(super) fn caution(_code: &str) -> Option<String> {
    None
}

/// HOOK: codes of all cautions with their titles.
pub(super) fn cautions() -> Vec<(String, String)> {
    Vec::new()
}
