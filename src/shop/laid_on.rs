//! What every repair is laid on, as far as it decides how hot the plies get.

use super::stages::Behind;
use crate::damage::Finding;
use crate::model::survey::Side;
use crate::quantity::Case;
use crate::repair::work::Method;
use crate::repair::{Plan, Repair};

/// Thinnest rest of a panel that is counted on, mm: less is ground through in places (choice).
const LEAST_REST_MM: f64 = 0.5;

/// What one repair is laid on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LaidOn {
    /// Behind its front plies.
    pub behind: Behind,
    /// An outer gel or paint face stays on behind the plies.
    pub keeps_face: bool,
}

/// What each repair of a job is laid on, in their order.
#[must_use]
pub fn of_repairs(plan: &Plan<'_>, findings: &[Finding<'_>]) -> Vec<LaidOn> {
    plan.repairs.iter().map(|repair| of_repair(repair, findings)).collect()
}

fn of_repair(repair: &Repair<'_>, findings: &[Finding<'_>]) -> LaidOn {
    let areas = repair.areas.get(Case::High);
    let thinnest_mm = repair
        .findings
        .iter()
        .filter_map(|number| Some(findings.get(*number)?.parent.glass_mm))
        .reduce(f64::min);
    let rest_mm = thinnest_mm.map_or(0.0, |panel_mm| panel_mm - areas.deepest_mm);
    let behind = if rest_mm >= LEAST_REST_MM {
        Behind::Panel { thickness_mm: rest_mm }
    } else if areas.method == Method::LaminateBacked {
        // The backing is glass of one mat; its rest is not counted on.
        Behind::Air
    } else {
        Behind::Former
    };
    LaidOn { behind, keeps_face: repair.side == Side::Back }
}
