//! The JSON of `compare`, `history`, `totals` and `learn`, spelled out: a name that appears, goes or
//! changes its kind by accident fails here.
#![allow(dead_code, reason = "what is only read by serde is not used otherwise")]

use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

fn held<T: DeserializeOwned>(of: &Value, schema: &str) {
    assert_eq!(of["schema"], schema);
    assert_eq!(of["schema_version"], 1);
    serde_json::from_value::<T>(of.clone()).unwrap_or_else(|why| panic!("{schema}: {why}"));
}

pub(crate) fn hold(compare: &Value, history: &Value, totals: &Value, learn: &Value) {
    held::<Comparison>(compare, "plymend.compare");
    held::<History>(history, "plymend.history");
    held::<TotalsTable>(totals, "plymend.totals");
    held::<LearntTable>(learn, "plymend.learn");
    assert_eq!(totals["surveys"][0]["schema"], "plymend.totals.survey");
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Cases<T> {
    low: T,
    likely: T,
    high: T,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GridMm {
    u: f64,
    v: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SettingLine {
    rule: String,
    text: String,
    weakened: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Exclusion {
    mark: Option<u32>,
    reason: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stop {
    text: String,
    marks: Vec<u32>,
    #[serde(rename = "where")]
    place: String,
    rule: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Referral {
    mark: Option<u32>,
    panel: String,
    reason: String,
    rule: String,
    who: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Comparison {
    schema: String,
    schema_version: u32,
    files_read: Vec<String>,
    body: String,
    earlier: ComparedSurvey,
    later: ComparedSurvey,
    unlike: Vec<String>,
    stops: Vec<ComparedStop>,
    referrals: Vec<ComparedReferral>,
    no_longer: Vec<NoLonger>,
    not_seen: Vec<String>,
    counts: VerdictCounts,
    marks: Vec<MarkChange>,
    fixings: Vec<FixingLine>,
    readings: Vec<ReadingLine>,
    alone: Vec<String>,
    settings: Vec<SettingLine>,
    limits: Vec<String>,
    needs_a_person: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ComparedSurvey {
    file: String,
    date: String,
    on: Option<String>,
    author: String,
    people: String,
    light: String,
    light_is: String,
    cleaning: String,
    weather: String,
    meter: String,
    end_error_mm: f64,
    marks: usize,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ComparedStop {
    text: String,
    #[serde(rename = "where")]
    place: String,
    marks: Vec<u32>,
    rule: String,
    new: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ComparedReferral {
    mark: Option<u32>,
    panel: String,
    reason: String,
    rule: String,
    who: String,
    standing: String,
    before: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct NoLonger {
    mark: Option<u32>,
    panel: String,
    text: String,
    rule: String,
    because: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct VerdictCounts {
    grown: usize,
    turned: usize,
    new: usize,
    back_again: usize,
    smaller: usize,
    gone: usize,
    repaired: usize,
    measured_unchanged: usize,
    not_examined: usize,
    seen_not_measured: usize,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MarkChange {
    verdict: String,
    words: String,
    earlier_marks: Vec<u32>,
    later_marks: Vec<u32>,
    panel: String,
    side: String,
    kinds_before: Vec<String>,
    kinds_now: Vec<String>,
    turn: Option<String>,
    places_before: Vec<GridMm>,
    places_now: Vec<GridMm>,
    apart_mm: Option<f64>,
    place_error_mm: Option<f64>,
    apart_beyond_error: bool,
    lengths: Vec<LengthChange>,
    areas: Vec<AreaChange>,
    later_state: Vec<String>,
    told: Vec<String>,
    why: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LengthChange {
    what: String,
    before_mm: f64,
    now_mm: f64,
    change_mm: f64,
    error_mm: f64,
    claim: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AreaChange {
    what: String,
    before_m2: f64,
    now_m2: f64,
    change_m2: f64,
    error_m2: f64,
    claim: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FixingLine {
    panel: String,
    fixing: String,
    carries: String,
    before: Option<String>,
    now: Option<String>,
    verdict: String,
    words: String,
    asks: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadingLine {
    earlier_mark: Option<u32>,
    later_mark: Option<u32>,
    before_above: Option<f64>,
    now_above: Option<f64>,
    error: Option<f64>,
    verdict: String,
    why: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct History {
    schema: String,
    schema_version: u32,
    files_read: Vec<String>,
    body: String,
    surveys: Vec<ComparedSurvey>,
    by_day: bool,
    stops: Vec<Stop>,
    referrals: Vec<Referral>,
    not_seen: Vec<String>,
    marks: Vec<TrackLine>,
    limits: Vec<String>,
    needs_a_person: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TrackLine {
    panel: String,
    side: String,
    seen: Vec<SeenLine>,
    sizes: Vec<SizeSeries>,
    ran_into: Vec<u32>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SeenLine {
    survey: usize,
    marks: Vec<u32>,
    kinds: Vec<String>,
    state: String,
    place_mm: Option<GridMm>,
    why: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SizeSeries {
    what: String,
    readings: Vec<SizeReading>,
    overall: Option<OverallChange>,
    rate: Option<RateLine>,
    no_rate: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SizeReading {
    survey: usize,
    size_mm: f64,
    error_mm: f64,
    measured: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OverallChange {
    first_mm: f64,
    last_mm: f64,
    error_mm: f64,
    claim: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RateLine {
    mm_a_year: f64,
    low_mm_a_year: f64,
    high_mm_a_year: f64,
    surveys: Vec<usize>,
    rests_on: String,
    says: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TotalsTable {
    schema: String,
    schema_version: u32,
    surveys: Vec<SurveyTotals>,
    all: AllTotals,
    bad_files: Vec<BadFile>,
    other_files: usize,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SurveyTotals {
    schema: String,
    schema_version: u32,
    file: String,
    body: String,
    client: String,
    date: String,
    on: Option<String>,
    stops: Vec<String>,
    reasons: Vec<String>,
    fixings_referred: usize,
    blocked_steps: usize,
    figures: TotalFigures,
    hours: Cases<f64>,
    at_least: bool,
    excludes: Vec<Exclusion>,
    weakened: Vec<String>,
    panels: Vec<PanelTotals>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PanelTotals {
    panel: String,
    figures: TotalFigures,
    at_least: bool,
    left_out: Vec<u32>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TotalFigures {
    marks: usize,
    referred: usize,
    held: usize,
    to_repair: usize,
    watched: usize,
    area_m2: f64,
    looked_at_m2: f64,
    cracks_m: f64,
    crazed_m2: f64,
    drummy_m2: f64,
    blistered_m2: f64,
    wet_m2: f64,
    hole_m2: f64,
    prepared_m2: Cases<f64>,
    glass_kg: Cases<f64>,
    resin_kg: Cases<f64>,
    gel_coat_kg: Cases<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AllTotals {
    surveys: usize,
    with_stops: usize,
    with_referrals: usize,
    figures: TotalFigures,
    hours: Cases<f64>,
    at_least: bool,
    excludes: Vec<LeftOutCount>,
    bad_files: usize,
    surveyed_again: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LeftOutCount {
    reason: String,
    marks: usize,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BadFile {
    schema: String,
    schema_version: u32,
    file: String,
    faults: Vec<FaultLine>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FaultLine {
    code: String,
    file: String,
    line: Option<usize>,
    column: Option<usize>,
    field: String,
    problem: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LearntTable {
    schema: String,
    schema_version: u32,
    surveys: usize,
    jobs: usize,
    marks: usize,
    estimator: String,
    book_worth: f64,
    rules: Vec<LearntRule>,
    bad_files: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LearntRule {
    rule: String,
    title: String,
    marks: usize,
    jobs: usize,
    before: Cases<f64>,
    after: Cases<f64>,
    likely_low: f64,
    likely_high: f64,
    alone: f64,
    alone_low: Option<f64>,
    alone_high: Option<f64>,
    left_out: String,
}
