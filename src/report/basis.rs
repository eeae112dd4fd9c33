//! Which rules stand behind each part of the report, by its path.

use std::collections::BTreeMap;

use super::model::{Report, RuleLine};
use crate::rules::{Book, Rule, id};

/// The rules behind every figure.
#[must_use]
pub fn of(report: &Report) -> BTreeMap<String, Vec<String>> {
    let mut basis: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut add = |path: &str, rules: &[&str]| {
        basis.insert(path.to_owned(), rules.iter().map(|rule| (*rule).to_owned()).collect());
    };
    add("findings[].place_mm", PLACES);
    add("findings[].grown_length_mm", GROWTH);
    add("findings[].grown_area_m2", GROWTH);
    add("findings[].depth", DEPTH);
    add("findings[].action", ACTIONS);
    add("findings[].pattern", &[id::LINE_SPACING]);
    add("findings[].candidates", &[id::CAUSE_NEAR, id::CAUSE_ALONG, id::CAUSE_WIDE, id::GEL_THICK]);
    add("grids[].area_m2", &[id::GRID_DOUBT, id::METER_DRY]);
    add("repairs[].marks", &[id::JOIN]);
    add("repairs[].scenarios.method", METHOD);
    add("repairs[].scenarios.removal_area_m2", REMOVAL);
    add("repairs[].scenarios.ground_area_m2", GROUND);
    add("repairs[].scenarios.prepared_area_m2", &[id::PREPARED, id::UNION]);
    add("repairs[].scenarios.prepared_back_area_m2", &[id::BACKING_PREPARED]);
    add("repairs[].scenarios.plies", PLIES);
    add("repairs[].scenarios.plies.backing", BACKING);
    add("repairs[].scenarios.parent_match", MATCH);
    add("repairs[].scenarios.tissue", &[id::TISSUE, id::TISSUE_RESIN]);
    add("repairs[].scenarios.gel_coat_kg", &[id::GEL_COVERAGE, id::COAT_GLASS]);
    add("materials.resin_kg", &[id::RESIN_RATIO, id::TISSUE_RESIN, id::AS_POURED]);
    add("materials.catalyst_g", &[id::CATALYST_DOSE]);
    add("materials.catalyst_ml", &[id::CATALYST_VOLUME]);
    add("materials.hardeners", &[id::CATALYST_DOSE_GEL, id::CATALYST_VOLUME, id::EPOXY]);
    add("materials.excludes", &[id::EXCLUDES, id::HELD, id::PERSON_DECIDES]);
    add("paint.area_m2", &[id::PAINT_REGION]);
    add("paint.litres", &[id::PAINT_LITRES]);
    add("paint.waiting", &[id::PAINT_WAITS]);
    add("shop.gel_min", &[id::CURE_MODEL, id::GEL_BAND]);
    add("shop.night", &[id::CURE_MODEL, id::GEL_BAND, id::AFTER_GEL_BAND]);
    add("shop.sandable_h", &[id::CURE_MODEL, id::AFTER_GEL_BAND, id::CLOCK_STANDS]);
    add("shop.primer_days", &[id::PAINT_FLOOR_PRIMER]);
    add("shop.gloss_days", &[id::PAINT_FLOOR_GLOSS]);
    add("shop.softens_after_a_day_c", &[id::CURE_MODEL, id::POST_CURE_ABOVE]);
    add("shop.sittings", SITTINGS);
    add("shop.air", AIR);
    if report.shop.climate.is_some() || report.shop.brought_in.is_some() {
        add("shop.climate", &[id::PANEL_QUICK, id::PANEL_SLOW, id::CLOCK_STANDS]);
    }
    if report.shop.warming.is_some() {
        add("shop.warming", WARMING);
    }
    add("put_right", &[id::CAUSE_FIRST]);
    add("repairs[].waits_for", &[id::CAUSE_FIRST, id::WET_NO_DATE, id::METER_DRY]);
    add("repairs[].scenarios.plies.lap_m2", &[id::LAP, id::LAP_STAGGER, id::ROLL_WIDTH]);
    add("drying.marks", &[id::WET_NO_DATE, id::DRYING_APART, id::METER_DRY]);
    add("drying.marks.expected", &[id::DRYING_TIME, id::DRYING_LEFT]);
    add("cautions", &[id::ENERGY_UNKNOWN]);
    add("body_mounts", &[id::MOUNTS_SEIZED]);
    for (number, caution) in report.cautions.iter().enumerate() {
        let rules = crate::safety::table::find(&caution.code).map(|row| row.rules());
        let rules = rules.unwrap_or_default();
        if !rules.is_empty() {
            let rules: Vec<&str> = rules.iter().map(String::as_str).collect();
            add(&format!("cautions[{number}]"), &rules);
        }
    }
    for (number, gate) in report.shop.gates.iter().enumerate() {
        let rules: Vec<&str> = gate.rules.iter().map(String::as_str).collect();
        add(&format!("shop.gates[{number}]"), &rules);
    }
    basis
}

/// Every rule that the report names, in order of id.
#[must_use]
pub fn rules_named(report: &Report, book: &Book) -> Vec<RuleLine> {
    let mut ids: Vec<&str> = report.basis.values().flatten().map(String::as_str).collect();
    ids.extend(report.stops.iter().map(|one| one.rule.as_str()));
    ids.extend(report.referrals.iter().map(|one| one.rule.as_str()));
    ids.extend(report.assumptions.iter().map(|one| one.rule.as_str()));
    ids.extend(report.settings.iter().map(|one| one.rule.as_str()));
    ids.extend(report.answers_given.iter().map(|one| one.rule.as_str()));
    ids.extend(report.blocks.iter().map(|one| one.code.as_str()));
    ids.extend(report.findings.iter().flat_map(|one| &one.notes).map(|one| one.rule.as_str()));
    ids.sort_unstable();
    ids.dedup();
    ids.into_iter().filter_map(|named| book.get(named)).map(rule_line).collect()
}

fn rule_line(rule: &Rule) -> RuleLine {
    RuleLine {
        id: rule.id.clone(),
        title: rule.title.clone(),
        figure: figure_words(rule),
        evidence: rule.evidence.to_string(),
        source: rule.source.clone(),
    }
}

/// The figure of a rule with its unit.
#[must_use]
pub fn figure_words(rule: &Rule) -> String {
    let figure = match (rule.value, rule.cases) {
        (Some(value), _) => value.to_string(),
        (None, Some((low, likely, high))) => format!("{low} / {likely} / {high}"),
        (None, None) => return String::new(),
    };
    if rule.unit.is_empty() { figure } else { format!("{figure} {}", rule.unit) }
}

/// Rules of places.
pub const PLACES: &[&str] = &[
    id::TAPE_ONE,
    id::TAPE_TWO,
    id::TAPE_LANDMARK,
    id::TAPE_MISS,
    id::TAPE_CROSSING,
    id::PLACE_GRID,
];
/// Rules of growth.
pub const GROWTH: &[&str] = &[
    id::GROW_CRAZE,
    id::GROW_GEL_CRACK,
    id::GROW_THROUGH,
    id::GROW_FIXING,
    id::GROW_HOLE,
    id::GROW_BLISTERS,
    id::GROW_OLD_REPAIR,
    id::GROW_CHIP,
    id::MOVE_CRAZE,
    id::MOVE_GEL_CRACK,
    id::MOVE_CRACK,
    id::MOVE_HOLE,
    id::MOVE_BLISTERS,
    id::MOVE_CHIP,
    id::MOVE_CAP,
    id::GROW_STRAIGHT,
];
/// Rules of depth.
pub const DEPTH: &[&str] =
    &[id::DEPTH_ASSUMED, id::FIRST_GLASS, id::THICKNESS_ASSUMED, id::OLD_REPAIR_RING];
/// Rules of actions.
pub const ACTIONS: &[&str] = &[
    id::REFER_FIXINGS_UNKNOWN,
    id::REFER_VITAL,
    id::REFER_MOVING,
    id::REFER_BODY_MOUNT,
    id::REFER_BODY_MOUNT_GEL,
    id::REFER_BRACKET,
    id::NOTE_LIGHT,
    id::REFER_FAILED_FIXING,
    id::REFER_PLY_AT_FIXING,
    id::REFER_LIPS_MOVE,
    id::REFER_LIPS_UNTRIED,
    id::REFER_STRESSED,
    id::REFER_HOLDS_PEOPLE,
    id::REFER_MATERIAL,
    id::REFER_BACK_CLOSED,
    id::FOOTPRINT,
    id::HELD,
];
/// Rules of methods.
pub const METHOD: &[&str] = &[id::CRACK_SPACING, id::CRAZE_TENTH, id::FORMER, id::BACK_UNSEEN];
/// Rules of removal.
pub const REMOVAL: &[&str] = &[id::CRACK_WIDTH, id::CRACK_SPACING, id::UNION];
/// Rules of ground.
pub const GROUND: &[&str] = &[id::COAT_GEL_CRACK, id::COAT_GEL_AREA, id::COAT_GLASS, id::UNION];
/// Rules of plies.
pub const MATCH: &[&str] = &[
    id::MATCH_MEMBRANE_LEAST,
    id::MATCH_MEMBRANE_MOST,
    id::MATCH_THICKNESS_LEAST,
    id::MATCH_THICKNESS_MOST,
    id::MATCH_BACKING,
];
const PLIES: &[&str] = &[
    id::TAPER,
    id::TAPER_LOADED,
    id::PLY_UNDER,
    id::PLY_OVER,
    id::PLY_STEP,
    id::PLY_ORDER,
    id::PLY_THICKNESS,
    id::UNION,
];
/// Rules of backings.
pub const BACKING: &[&str] = &[id::BACKING_REACH, id::BACKING_THIN];
/// What it takes to warm a shop.
const WARMING: &[&str] = &[
    id::LAYUP_COLD_WARN,
    id::WARM_OVER,
    id::PANEL_QUICK,
    id::PANEL_SLOW,
    id::WALL_LOSS_LEAST,
    id::WALL_LOSS_MOST,
];

/// Rules of sittings.
pub const SITTINGS: &[&str] = &[
    id::STAGE_CAP,
    id::STAGE_CAP_BLIND,
    id::STAGE_PEAK,
    id::STAGE_PEAK_FACE,
    id::MIX_MOST,
    id::MIX_MOST_OWNER,
    id::MIX_LEAST,
    id::USE_BY,
    id::WET_OUT,
    id::AIR_SITTING,
];
/// Rules of the air.
pub const AIR: &[&str] = &[
    id::AIR_EMISSION,
    id::AIR_ROOM,
    id::AIR_CHANGES,
    id::AIR_MIXING_STILL,
    id::AIR_MIXING_DRIVEN,
    id::AIR_NEAR,
    id::AIR_BLOCK,
    id::AIR_BLOCK_HEAD,
    id::AIR_BLOCK_FIRE,
    id::AIR_LIMITS,
];
