//! Which mark is worst? All of them in order, each with its reasons in words.
//!
//! Three bands (common practice among inspectors): what bears on safety or structure, what should
//! be seen to in time, what is cosmetic or only watched. No number and no letter stands for a band:
//! the reasons do.

use super::{Action, Decision};
use crate::damage::Finding;
use crate::damage::referral::is_drummy;
use crate::model::panel::LoadRow;
use crate::model::survey::{Evidence, MarkKind};
use crate::model::words;
use crate::surface::marks::Form;
use crate::surface::placed::PlacedPanel;

words! {
/// How soon a mark asks for somebody.
Band {
    /// It bears on safety or structure.
    Safety => "safety or structure",
    /// It gets worse, or lets water in, or holds other work up.
    Timely => "timely",
    /// It is looked at again, or put right when it suits.
    Cosmetic => "cosmetic or watch",
}}

/// One mark in the order.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked {
    /// The finding, by its number.
    pub finding: usize,
    /// Its band.
    pub band: Band,
    /// Why.
    pub reasons: Vec<String>,
}

/// All marks, worst first: by band, then what stops the vehicle, then the gravest load near it,
/// then depth, then size as it may be found, then number.
#[must_use]
pub fn worst_first(
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    decisions: &[Decision],
) -> Vec<Ranked> {
    let mut ranked: Vec<(Key, Ranked)> = findings
        .iter()
        .zip(decisions)
        .enumerate()
        .filter_map(|(number, (finding, decision))| {
            let panel = panels.get(finding.placed.panel)?;
            let stops = finding.stops(panel).len();
            let (band, reasons) = of(finding, decision, panel);
            let key = Key {
                band,
                stops: std::cmp::Reverse(stops),
                load: finding
                    .judged
                    .reasons
                    .iter()
                    .filter_map(|one| one.carries)
                    .map(|one| one.row())
                    .min(),
                depth_mm: finding.depth.cases.high.glass_mm(),
                size_mm: size_mm(finding),
                id: finding.mark().id,
            };
            Some((key, Ranked { finding: number, band, reasons }))
        })
        .collect();
    ranked.sort_by(|(one, _), (other, _)| one.order(other));
    ranked.into_iter().map(|(_, ranked)| ranked).collect()
}

struct Key {
    band: Band,
    stops: std::cmp::Reverse<usize>,
    load: Option<LoadRow>,
    depth_mm: f64,
    size_mm: f64,
    id: u32,
}

impl Key {
    fn order(&self, other: &Self) -> std::cmp::Ordering {
        let load = |key: &Self| (key.load.is_none(), key.load);
        self.band
            .cmp(&other.band)
            .then(self.stops.cmp(&other.stops))
            .then(load(self).cmp(&load(other)))
            .then(other.depth_mm.total_cmp(&self.depth_mm))
            .then(other.size_mm.total_cmp(&self.size_mm))
            .then(self.id.cmp(&other.id))
    }
}

/// A length that stands for a mark's size: a line's own, a patch's longer side.
fn size_mm(finding: &Finding<'_>) -> f64 {
    match &finding.placed.form {
        Form::Line(line) => finding.extents.cases.high.length_mm.unwrap_or(line.length_mm),
        Form::Patch(patch) => patch.length_mm + 2.0 * finding.extents.cases.high.grown_mm,
    }
}

fn of(finding: &Finding<'_>, decision: &Decision, panel: &PlacedPanel<'_>) -> (Band, Vec<String>) {
    let mark = finding.mark();
    if finding.is_repaired() {
        return (Band::Cosmetic, vec!["repaired since; what lies inside was not seen".to_owned()]);
    }
    let mut safety: Vec<String> = finding.stops(panel).into_iter().map(|stop| stop.text).collect();
    safety.extend(finding.judged.reasons.iter().map(|reason| reason.text.clone()));
    safety.dedup();
    let mut timely = Vec::new();
    if decision.action == Action::Held {
        timely.push("waits for a mark that goes to a specialist".to_owned());
    }
    if finding.depth.through {
        timely.push("open to the back".to_owned());
    } else if finding.depth.cases.likely.in_glass() {
        let word = if finding.depth.assumed { "likely into the glass" } else { "into the glass" };
        timely.push(word.to_owned());
    }
    if finding.wet {
        timely.push("wet".to_owned());
    }
    if is_drummy(mark) {
        timely.push("layers have let go or it sounds dull".to_owned());
    }
    if mark.evidence.contains(&Evidence::LooseTornEdge) {
        timely.push("a torn edge stands out".to_owned());
    }
    if mark.evidence.contains(&Evidence::CameBack) {
        timely.push("back again after an earlier repair".to_owned());
    }
    if let Some((what, _)) = &finding.open_cause {
        timely.push(format!("its cause is still at work: {what}"));
    }
    if mark.kind == MarkKind::Blisters && !finding.wet {
        timely.push("blisters, not yet known to be dry".to_owned());
    }
    if !safety.is_empty() {
        return (Band::Safety, safety);
    }
    if !timely.is_empty() {
        return (Band::Timely, timely);
    }
    let why = if mark.watch_only {
        "watched, as the user wishes"
    } else {
        "in the gel coat or the paint, with no sign of more"
    };
    let assumed = if finding.depth.assumed { "; its depth is assumed" } else { "" };
    (Band::Cosmetic, vec![format!("{why}{assumed}")])
}
