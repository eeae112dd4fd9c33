//! Is a mark wet, and is a meter reading worth anything?

use crate::model::survey::{Evidence, Mark, SeenNow};
use crate::read::job::Job;
use crate::rules::id;

/// What of it alone shows water.
const SHOWS_WATER: [Evidence; 4] =
    [Evidence::Wet, Evidence::SourSmell, Evidence::Greasy, Evidence::ClearWater];

/// What is known of a mark's moisture.
#[derive(Debug, Default)]
pub(super) struct Wetness {
    pub(super) wet: bool,
    pub(super) reading: Option<String>,
    pub(super) above: bool,
    /// A reading that counts does not stand above the dry reference, and nothing else shows water.
    pub(super) reads_dry: bool,
}

/// Whether a mark counts as wet, and what its reading is worth.
pub(super) fn of_mark(job: &Job, mark: &Mark) -> Wetness {
    if matches!(mark.now, SeenNow::Repaired { .. }) && mark.reading.is_none() {
        return Wetness::default();
    }
    let seen = mark.evidence.iter().any(|seen| SHOWS_WATER.contains(seen));
    let said = |wet: bool, text: String, above: bool| Wetness {
        wet,
        reading: Some(text),
        above,
        reads_dry: false,
    };
    let Some(reading) = mark.reading else { return Wetness { wet: seen, ..Wetness::default() } };
    let Some(meter) = &job.survey.meter else {
        let text = format!("reading {reading} without a dry reference: kept, not used");
        return said(seen, text, false);
    };
    if let Some(why) = unusable(job) {
        let text = format!(
            "reading {reading} against {} on the dry reference: {why}; kept, not used",
            meter.reference
        );
        // An unusable reading proves nothing, dry least of all.
        return said(seen, text, false);
    }
    let above = reading > meter.reference + meter.step;
    let word = if above { "above" } else { "equal to" };
    let text = format!("reading {reading}, {word} {} on the dry reference", meter.reference);
    Wetness { reads_dry: !seen && !above, ..said(seen || above, text, above) }
}

fn near_dew_point(job: &Job) -> Option<String> {
    let (air, damp) = (job.survey.air_c?, job.survey.humidity_percent?);
    let panel = job.survey.panel_c.unwrap_or(air);
    let dew = crate::dew_point::dew_point_c(air.value(), damp.value()).ok()?;
    let margin = job.book.figure(id::DEW_MARGIN);
    (panel.value() - dew < margin).then(|| {
        format!(
            "taken with the panel {:.1} C above the dew point, less than {margin} C",
            panel.value() - dew
        )
    })
}

/// Why the survey's meter readings are kept and not used; none where they count.
pub(super) fn unusable(job: &Job) -> Option<String> {
    let dry_h = job.book.figure(id::METER_DRY);
    if job.survey.wet_ground {
        Some("taken over wet ground".to_owned())
    } else if let Some(hours) = job.survey.hours_dry.filter(|hours| hours.value() < dry_h) {
        Some(format!("taken {hours} after wash or rain, less than {dry_h:.0} h"))
    } else if job.survey.hours_dry.is_none() {
        Some("nobody recorded how long the body had been dry".to_owned())
    } else {
        near_dew_point(job)
    }
}
