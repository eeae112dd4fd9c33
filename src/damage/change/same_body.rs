//! Are two surveys of one body, on the same skins, in the right order?

use super::Looked;
use crate::diagnostic::Diagnostic;
use crate::surface::mesh::Mesh;

/// Places on two skins that differ by less are the same, mm.
const SAME_MM: f64 = 1e-6;

/// Every reason why they cannot be compared.
pub(super) fn check(earlier: &Looked<'_>, later: &Looked<'_>) -> Result<(), Vec<Diagnostic>> {
    let mut faults = Vec::new();
    let told = |field: &str, problem: String, accepted: &str, way_out: &str| {
        let (job, code) = (later.job, "COMPARE-NOT-ONE-BODY");
        job.fault(&job.survey_file, field, code, problem, accepted, way_out)
    };
    if let (Some(before), Some(now)) = (&earlier.job.body, &later.job.body)
        && before.name != now.name
    {
        faults.push(told(
            "body",
            format!(
                "the earlier survey ({}) is of {:?}, this one of {:?}",
                earlier.job.survey_file, before.name, now.name
            ),
            "two surveys of one body",
            "name the surveys of one body",
        ));
    }
    if let (Some(before), Some(now)) = (earlier.job.survey.day(), later.job.survey.day())
        && now < before
    {
        faults.push(told(
            "on",
            format!("this survey is of an earlier day than {}", earlier.job.survey_file),
            "the earlier survey first, the later second",
            "change the order, or correct the day",
        ));
    }
    let mut shared = 0;
    for before in earlier.panels {
        let Some((_, now)) = later.panel(&before.of.name) else { continue };
        shared += 1;
        if let Some(how) = unlike(&before.mesh, &now.mesh) {
            faults.push(later.job.fault(
                &now.of.file,
                "",
                "COMPARE-SKIN",
                format!(
                    "the skin of {:?} is not the one of the earlier survey ({}): {how}",
                    now.of.name, before.of.file
                ),
                "the same panel file or the same sizes in both surveys",
                "name the same panel file in both, and measure its skin once",
            ));
        }
    }
    if shared == 0 && faults.is_empty() {
        faults.push(told(
            "panels",
            format!("no panel of this survey is in {}", earlier.job.survey_file),
            "two surveys of one body: panels of the same names",
            "call each panel by the same name in both",
        ));
    }
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// How two skins differ; none where they are the same.
fn unlike(one: &Mesh, other: &Mesh) -> Option<String> {
    if one.faces != other.faces {
        let (before, now) = (one.faces.len(), other.faces.len());
        return Some(format!("it is of other triangles, {before} then and {now} now"));
    }
    let apart = one.positions.iter().zip(&other.positions).map(|(a, b)| (a - b).norm());
    let most_mm = apart.fold(0.0, f64::max);
    (most_mm > SAME_MM).then(|| format!("places on it differ by up to {most_mm:.1} mm"))
}
