//! Sessions as text: mix cards and the air.

use super::model::*;
use super::text::Page;
use crate::quantity::Minutes;
use crate::rules::id;

/// What is done with a pot that is over its time (usual practice; hot resin and fire: from memory).
pub(super) const OVER: &str = "a pot that is past its time, thickens or gets warm is not stretched and not laid: \
    out of doors at once, away from all that burns, into a metal tub with water, until it is hard and cold; \
    never warm into a bin, never down a drain";

/// Mix cards and air of every session.
pub(crate) fn sessions(page: &mut Page, of: &CourseLines, day: &str) {
    if of.sessions.is_empty() {
        return;
    }
    let rules = page.rules(&[id::MIX_MOST, id::MIX_MOST_OWNER, id::MIX_LEAST, id::USE_BY]);
    page.line(
        4,
        &format!("mix cards; times move with the first pot, minutes do not; {OVER} {rules}:"),
    );
    for session in &of.sessions {
        page.line(
            6,
            &format!("session {}, {day}{} {}:", session.session, session.day, session.from),
        );
        for (number, card) in (1..).zip(&session.mixes) {
            page.line(8, &format!("pot {number} of {}: {}", session.mixes.len(), pot(card)));
        }
        if session.mixes.is_empty() {
            page.line(8, "no pot: the kind of resin is not known, or even the smallest pot gels before it is wetted out");
        }
        if let Some(air) = &session.air {
            let rules = page.rules(&[id::AIR_EMISSION, id::AIR_NEAR]);
            page.line(8, &format!("air: {} {rules}", levels(air)));
        }
    }
}

fn pot(card: &MixCardLine) -> String {
    let catalyst = match (card.catalyst_g, card.catalyst_ml) {
        (Some(g), Some(ml)) => format!(" with {g:.1} g = {ml:.1} ml of catalyst"),
        _ => ", hardener within this mass as its tin says".to_owned(),
    };
    let used = match (card.use_within_min, &card.use_by) {
        (Some(minutes), Some(by)) => {
            format!("use by {by}, {:.0} min after stirring in", minutes.floor())
        }
        _ => "use within the pot life of its data sheet".to_owned(),
    };
    let shares: Vec<String> =
        card.shares.iter().map(|share| format!("{} {:.0} g", share.repair, share.g)).collect();
    format!(
        "{:.0} g of {}{catalyst}, mixed at {}, {used}; for {}",
        card.resin_g,
        card.what,
        card.mixed_at,
        shares.join(", ")
    )
}

fn levels(air: &SessionAirLine) -> String {
    let after = |level: &&AirLevelLine| level.after_min > air.laying_min + 0.5;
    let later: Vec<String> = air
        .levels
        .iter()
        .filter(after)
        .map(|level| {
            let minutes = Minutes(level.after_min - air.laying_min);
            format!("{:.0} after {}", level.ppm, minutes.in_words())
        })
        .collect();
    format!(
        "{:.0} g of styrene; the room comes to {:.0} ppm, the head over the job to {:.0} ppm, then {}; no other session and nobody in it for {}",
        air.styrene_g,
        air.peak_ppm,
        air.near_ppm,
        later.join(", "),
        Minutes(air.clear_after_min).in_words()
    )
}
