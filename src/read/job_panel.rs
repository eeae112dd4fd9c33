//! One panel of a job: its file followed, sized, and with what was found on the day.

use std::sync::Arc;

use super::scan_file::ScanFile;
use crate::model::panel::{AlongU, Fixing, Fixings, Panel};

/// One panel of a job.
#[derive(Debug, Clone)]
pub struct JobPanel {
    /// What it is called in this job.
    pub name: String,
    /// Its file, or such as `built in: lid`.
    pub file: String,
    /// Path of its entry in the body or the survey; empty for a panel read by itself.
    pub field: String,
    /// The panel: mirror followed, sizes and what was found on the day put in.
    pub panel: Panel,
    /// The triangles of a scanned skin.
    pub scan: Option<Arc<ScanFile>>,
    /// The skin is the mirror image of `panel.surface`, or u runs to the left: same grid, the other
    /// hand.
    pub mirrored: bool,
    /// It is a generic moulding.
    pub generic: bool,
    /// Nobody has confirmed its fixings.
    pub fixings_assumed: bool,
    /// What was taken without having been measured or said.
    pub assumptions: Vec<String>,
}

impl JobPanel {
    /// The fixings that are listed; none when nobody listed any.
    #[must_use]
    pub fn listed_fixings(&self) -> &[Fixing] {
        match &self.panel.fixings {
            Fixings::Listed(fixings) => fixings,
            Fixings::Unknown | Fixings::NoneSeen => &[],
        }
    }

    pub(super) fn new(file: &str, panel: Panel) -> Self {
        Self {
            name: panel.name.clone(),
            file: file.to_owned(),
            field: String::new(),
            mirrored: panel.u_runs == Some(AlongU::ToTheLeft),
            panel,
            scan: None,
            generic: false,
            fixings_assumed: false,
            assumptions: Vec::new(),
        }
    }
}
