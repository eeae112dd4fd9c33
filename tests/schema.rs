//! The whole JSON schema, spelled out on the outside: a field that appears, goes or changes its kind
//! by accident fails here. Then what holds between the fields: codes that resolve, sums that add
//! up, and exclusions that every total carries.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

#[path = "together/photos.rs"]
mod demo_photos;

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;

use plymend::read::job::{Named, TextFolder, job};
use plymend::report::json;
use plymend::rules::Book;
use serde::{Deserialize, Serialize};
use serde_json::Value;

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ThreeCases<T> {
    low: T,
    likely: T,
    high: T,
}

impl<T> ThreeCases<T> {
    fn each(&self) -> [&T; 3] {
        [&self.low, &self.likely, &self.high]
    }
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Report {
    schema: String,
    schema_version: u32,
    answers: String,
    program: ProgramLine,
    files_read: Vec<String>,
    files: Vec<FileLine>,
    survey: SurveyHead,
    photos: Vec<PhotoLine>,
    amendments: Vec<AmendmentLine>,
    stops: Vec<Stop>,
    referrals: Vec<Referral>,
    not_seen: Vec<String>,
    panels: Vec<PanelLine>,
    findings: Vec<FindingLine>,
    condition: Condition,
    grids: Vec<GridLine>,
    drying: Option<DryingLines>,
    classes: Option<Vec<ClassLine>>,
    hours: Option<HoursLines>,
    timetable: Option<TimetableLines>,
    turns: Option<TurnLines>,
    order: Option<OrderLines>,
    price: Option<PriceLines>,
    summary: Option<Summary>,
    conflicts: Vec<ConflictLine>,
    opened: Option<OpenedUp>,
    repairs: Vec<RepairLine>,
    materials: ThreeCases<Materials>,
    paint: Paint,
    shop: ShopLines,
    blocks: Vec<Block>,
    answers_given: Vec<AnswerLine>,
    body_mounts: Option<BodyMounts>,
    put_right: Vec<PutRight>,
    cautions: Vec<Caution>,
    assumptions: Vec<Assumption>,
    settings: Vec<SettingLine>,
    not_included: Vec<String>,
    basis: BTreeMap<String, Vec<String>>,
    rules: Vec<RuleLine>,
    needs_a_person: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct FileLine {
    name: String,
    sha256: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ProgramLine {
    name: String,
    version: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PhotoLine {
    mark: Option<u32>,
    file: String,
    what: String,
    width_px: u32,
    height_px: u32,
    sha256: String,
    bytes: usize,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct AmendmentLine {
    date: String,
    by: String,
    what: String,
    mark: Option<u32>,
    was: String,
    now: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct DryingLines {
    log: Option<String>,
    marks: Vec<DryingMark>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct DryingMark {
    mark: u32,
    go_ahead: bool,
    by: Vec<String>,
    wanting: String,
    trend: String,
    slope_per_week: Option<f64>,
    readings: Vec<DryingReadingLine>,
    expected: Option<DryingTime>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct DryingReadingLine {
    at: String,
    place: String,
    reading: f64,
    reference: f64,
    not_used: Option<String>,
    as_recorded: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct DryingTime {
    thickness_mm: f64,
    air_c: f64,
    left_percent: f64,
    one_face_days: [f64; 2],
    both_faces_days: [f64; 2],
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct TimetableLines {
    open: String,
    open_assumed: bool,
    people: u32,
    free: Option<CourseLines>,
    after_cause: Option<CourseLines>,
    untimed: Vec<UntimedLine>,
    warmer: Vec<WarmerLine>,
    wanting: Option<String>,
    excludes: Vec<Exclusion>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct CourseLines {
    days: i64,
    hands_on_h: f64,
    tasks: Vec<TaskLine>,
    hours_unread: bool,
    sessions: Vec<SessionLine>,
    no_paint: Option<String>,
    decided_by: Vec<usize>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct SessionLine {
    session: usize,
    day: i64,
    from: String,
    mixes: Vec<MixCardLine>,
    air: Option<SessionAirLine>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct MixCardLine {
    what: String,
    resin_g: f64,
    catalyst_g: Option<f64>,
    catalyst_ml: Option<f64>,
    mixed_at: String,
    use_within_min: Option<f64>,
    use_by: Option<String>,
    shares: Vec<MixShareLine>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct MixShareLine {
    repair: String,
    g: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct SessionAirLine {
    styrene_g: f64,
    laying_min: f64,
    peak_ppm: f64,
    near_ppm: f64,
    levels: Vec<AirLevelLine>,
    clear_after_min: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct AirLevelLine {
    after_min: f64,
    ppm: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct TaskLine {
    what: String,
    repairs: Vec<String>,
    session: Option<usize>,
    start_day: i64,
    start_weekday: String,
    start_time: String,
    end_day: i64,
    end_time: String,
    people: u32,
    then: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct UntimedLine {
    repair: String,
    why: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct WarmerLine {
    air_c: f64,
    days: i64,
    with_paint: bool,
    caution: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct OrderLines {
    lines: Vec<WareLine>,
    cut_plan: Option<Vec<CutLine>>,
    enough: Option<EnoughLine>,
    buy_only_after: Vec<BuyAfterLine>,
    not_here: Vec<NotHereLine>,
    at_hand: Vec<NotHereLine>,
    waste: Vec<WasteLine>,
    excludes: Vec<Exclusion>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct WasteLine {
    class: String,
    mass_kg: ThreeCases<f64>,
    from: Vec<String>,
    caution: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct CutLine {
    mat: String,
    roll_width_mm: f64,
    pieces: usize,
    pieces_m2: f64,
    length_m: ThreeCases<f64>,
    least_m: f64,
    not_cut: Vec<String>,
    offcuts: Vec<OffcutLine>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct OffcutLine {
    along_mm: f64,
    across_mm: f64,
    from_end_mm: f64,
    from_edge_mm: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct EnoughLine {
    seed: u64,
    draws: u32,
    likely: String,
    high: String,
    drivers: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct WareLine {
    what: String,
    unit: String,
    need: ThreeCases<f64>,
    from_shelf: f64,
    try_first: bool,
    too_old: Vec<String>,
    packs: Vec<PackCount>,
    left_over: f64,
    packs_high: Vec<PackCount>,
    opened_keeps_days: Option<f64>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PackCount {
    count: u64,
    amount: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct BuyAfterLine {
    after: String,
    repairs: Vec<String>,
    lines: Vec<WareLine>,
    cut_plan: Option<Vec<CutLine>>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct NotHereLine {
    what: String,
    why: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PriceLines {
    file: String,
    currency: String,
    decimals: u32,
    priced_on: String,
    lines: Vec<MoneyLine>,
    totals: ThreeCases<TotalLine>,
    compared: Vec<ComparedLine>,
    not_counted: Vec<String>,
    not_priced: Vec<NotHereLine>,
    excludes: Vec<Exclusion>,
    provisional: Vec<ProvisionalLine>,
    quote: QuoteLine,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ComparedLine {
    panel: String,
    joined: String,
    repairing: ThreeCases<Option<f64>>,
    replacing: ThreeCases<Option<f64>>,
    with_hours: bool,
    missing: Vec<String>,
    leaves_out: Vec<u32>,
    verdict: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Summary {
    stops: Vec<String>,
    referred: Vec<ReferredLine>,
    cost: Option<CostLine>,
    not_priced: Vec<NotHereLine>,
    not_seen: Vec<String>,
    area_m2: f64,
    looked_at_m2: f64,
    depth_assumed: Vec<u32>,
    blocked: Vec<String>,
    hours: Option<ThreeCases<f64>>,
    worker: String,
    earliest: Vec<String>,
    ask: Vec<AskLine>,
    excludes: Vec<Exclusion>,
    foot: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ReferredLine {
    mark: Option<u32>,
    panel: String,
    reasons: Vec<String>,
    who: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct CostLine {
    currency: String,
    decimals: u32,
    priced_on: String,
    totals: ThreeCases<TotalLine>,
    drivers: Vec<DriverLine>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct DriverLine {
    what: String,
    spread: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct AskLine {
    whom: String,
    what: String,
    marks: Vec<u32>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct TurnLines {
    specialist_first: Vec<TurnLine>,
    do_now: Vec<TurnLine>,
    can_wait: Vec<TurnLine>,
    leave: Vec<TurnLine>,
    meanwhile: String,
    look_again: String,
    shared: Vec<SharedLine>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct TurnLine {
    repair: Option<String>,
    marks: Vec<u32>,
    fixing: Option<String>,
    panel: String,
    why: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct SharedLine {
    repairs: Vec<String>,
    after_cause: bool,
    together: EffortLine,
    alone: EffortLine,
    wares: Vec<WareSavedLine>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct EffortLine {
    sessions: u32,
    setup_h: f64,
    mixes: u32,
    left_in_g: f64,
    days: i64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct WareSavedLine {
    what: String,
    unit: String,
    together: f64,
    alone: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct MoneyLine {
    group: String,
    what: String,
    money: ThreeCases<Option<f64>>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct TotalLine {
    net: f64,
    tax: f64,
    gross: f64,
    at_least: bool,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ProvisionalLine {
    mark: u32,
    what: String,
    money: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct QuoteLine {
    figure: String,
    work: f64,
    contingency: f64,
    gross: f64,
    stop_at: f64,
    expires_days: u32,
    lacks: bool,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ClassLine {
    mark: u32,
    standard: String,
    class: Option<String>,
    basis: String,
    evidence: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct HoursLines {
    table: String,
    worker: String,
    pace: ThreeCases<f64>,
    repairs: Vec<RepairHoursLine>,
    paint_h: ThreeCases<f64>,
    trade_h: ThreeCases<f64>,
    worker_h: ThreeCases<f64>,
    excludes: Vec<Exclusion>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct RepairHoursLine {
    repair: String,
    marks: Vec<MarkHoursLine>,
    strip_h: ThreeCases<f64>,
    hours: ThreeCases<f64>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct MarkHoursLine {
    mark: u32,
    work: ThreeCases<String>,
    hours: ThreeCases<f64>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ConflictLine {
    id: String,
    question: String,
    why: String,
    set_by: String,
    answers: Vec<AnswerInUse>,
    evidence: String,
    source: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct AnswerInUse {
    answer: String,
    used: bool,
    default: bool,
    more_glass_kg: Option<ThreeCases<f64>>,
    more_resin_kg: Option<ThreeCases<f64>>,
    more_gel_coat_kg: Option<ThreeCases<f64>>,
    more_trade_h: Option<ThreeCases<f64>>,
    referred_more: Vec<u32>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct OpenedUp {
    file: String,
    marks: Vec<OpenedMark>,
    growth: Vec<LearntGrowth>,
    extra_work: ExtraWorkLine,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct OpenedMark {
    mark: u32,
    seen_length_mm: Option<f64>,
    found_length_mm: Option<f64>,
    seen_area_m2: Option<f64>,
    found_area_m2: Option<f64>,
    found_over_seen: f64,
    depth: String,
    beyond_high: bool,
    by: String,
    date: String,
    as_recorded: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct LearntGrowth {
    rule: String,
    of: String,
    marks: Vec<u32>,
    before: ThreeCases<f64>,
    after: ThreeCases<f64>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ExtraWorkLine {
    raised: Vec<RaisedLine>,
    joined: Vec<JoinedLine>,
    methods: Vec<MethodLine>,
    plies: ChangeLine,
    plies_m2: ChangeLine,
    glass_kg: ChangeLine,
    resin_kg: ChangeLine,
    gel_coat_kg: ChangeLine,
    prepared_m2: ChangeLine,
    cost: Option<ExtraCostLine>,
    excludes_before: Vec<Exclusion>,
    excludes: Vec<Exclusion>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ExtraCostLine {
    packs: Vec<PackChangeLine>,
    hours: ChangeLine,
    money: Option<MoneyChangeLine>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PackChangeLine {
    what: String,
    unit: String,
    before: Vec<PackCount>,
    after: Vec<PackCount>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct MoneyChangeLine {
    currency: String,
    decimals: u32,
    before: ThreeCases<TotalLine>,
    after: ThreeCases<TotalLine>,
    figure: String,
    stop_at: f64,
    limit: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct RaisedLine {
    mark: u32,
    before: String,
    now: String,
    reasons: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct JoinedLine {
    repair: String,
    marks: Vec<u32>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct MethodLine {
    mark: u32,
    before: String,
    now: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ChangeLine {
    before: ThreeCases<f64>,
    after: ThreeCases<f64>,
    more: ThreeCases<f64>,
    beyond_high: bool,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct RuleLine {
    id: String,
    title: String,
    figure: String,
    evidence: String,
    source: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct SurveyHead {
    client: String,
    purpose: String,
    author: String,
    interest: String,
    access: String,
    date: String,
    conditions: String,
    readings: String,
    body: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Stop {
    text: String,
    marks: Vec<u32>,
    #[serde(rename = "where")]
    place: String,
    rule: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Referral {
    mark: Option<u32>,
    panel: String,
    reason: String,
    rule: String,
    who: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PanelLine {
    name: String,
    file: String,
    area_m2: f64,
    regions: Vec<RegionLine>,
    material: String,
    roles: Vec<String>,
    glass_mm: f64,
    glass_measured: bool,
    marks: Vec<u32>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct RegionLine {
    name: String,
    area_m2: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PanelShare {
    panel: String,
    area_m2: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct GridMm {
    u: f64,
    v: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PlaceEllipse {
    long_mm: f64,
    short_mm: f64,
    angle_deg: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct FindingLine {
    mark: u32,
    panel: String,
    region: String,
    side: String,
    kind: String,
    place_mm: GridMm,
    place_xyz_mm: [f64; 3],
    place_error_mm: f64,
    place_ellipse: PlaceEllipse,
    length_mm: Option<f64>,
    grown_length_mm: Option<ThreeCases<f64>>,
    area_m2: Option<f64>,
    grown_area_m2: Option<ThreeCases<f64>>,
    depth: ThreeCases<String>,
    depth_assumed: bool,
    action: String,
    held_by: Vec<u32>,
    repair: Option<String>,
    causes: Vec<CauseLine>,
    pattern: Option<PatternLine>,
    candidates: Vec<CandidateLine>,
    seen: Vec<String>,
    lips_move: String,
    back_length_mm: Option<f64>,
    worst_per_dm2: Option<f64>,
    mean_per_dm2: Option<f64>,
    wet: bool,
    reading: Option<String>,
    notes: Vec<Note>,
    as_recorded: String,
    as_written: String,
    written_at: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct CauseLine {
    what: String,
    open: bool,
    who: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Note {
    text: String,
    rule: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PatternLine {
    told_by: String,
    pattern: String,
    lines: Option<usize>,
    length_mm: Option<f64>,
    eigenvalues: Option<[f64; 2]>,
    direction_deg: Option<f64>,
    centre_mm: Option<GridMm>,
    centre_miss_mm: Option<f64>,
    crack_m_per_m2: Option<f64>,
    spacing_mm: Option<f64>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct CandidateLine {
    cause: String,
    consistent_with: String,
    decided_by: Vec<String>,
    speaks_for: Vec<String>,
    speaks_against: Vec<String>,
    next_look: String,
    evidence: String,
    source: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Condition {
    panels: Vec<PanelCondition>,
    sides: Vec<SideCondition>,
    body: SideCondition,
    worst_first: Vec<WorstLine>,
    excludes: Vec<Exclusion>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PanelCondition {
    panel: String,
    side: String,
    area_m2: f64,
    looked_at_m2: f64,
    how: String,
    crazed_percent: Option<f64>,
    quantities: QuantitiesLine,
    regions: Vec<RegionCondition>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct RegionCondition {
    region: String,
    quantities: QuantitiesLine,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct SideCondition {
    side: String,
    area_m2: f64,
    looked_at_m2: f64,
    quantities: QuantitiesLine,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct QuantitiesLine {
    cracks_m: f64,
    traced_m: f64,
    crazed_m2: f64,
    drummy_m2: f64,
    blistered_m2: f64,
    worst_per_dm2: Option<f64>,
    mean_per_dm2: Option<f64>,
    old_repair_m2: f64,
    wet_m2: f64,
    hole_m2: f64,
    chipped_m2: f64,
    other_m2: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct WorstLine {
    mark: u32,
    panel: String,
    kind: String,
    band: String,
    reasons: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct GridLine {
    name: String,
    panel: String,
    side: String,
    what: String,
    mark: Option<u32>,
    pitch_mm: f64,
    taken: usize,
    above: usize,
    not_used: Option<String>,
    area_m2: Option<ThreeCases<f64>>,
    rims_xyz_mm: Vec<Vec<[f64; 3]>>,
    at_edge: bool,
    worst: Option<f64>,
    mean: Option<f64>,
    to_do: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct MatchLine {
    thickness_ratio: f64,
    membrane_ratio: f64,
    bending_ratio: Option<f64>,
    parent_assumed: bool,
    outside: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct RepairLine {
    id: String,
    panel: String,
    side: String,
    marks: Vec<u32>,
    scenarios: ThreeCases<Scenario>,
    waits_for: Vec<String>,
    blocked_by: Vec<String>,
    steps: Vec<StepLine>,
    when_not_to: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct StepLine {
    order: u32,
    method: String,
    marks: Vec<u32>,
    only_if_deeper: bool,
    step: String,
    text: String,
    check: String,
    side: String,
    evidence: String,
    source: String,
    rules: Vec<String>,
    blocked_by: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Scenario {
    method: String,
    removal_area_m2: f64,
    ground_area_m2: f64,
    prepared_area_m2: f64,
    prepared_by_panel: Vec<PanelShare>,
    prepared_back_area_m2: f64,
    depth_mm: f64,
    plies: Vec<PlyLine>,
    parent_match: Option<MatchLine>,
    tissue: TissueLine,
    gel_coat_area_m2: f64,
    gel_coat_kg: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PlyLine {
    sequence: u32,
    side: String,
    reinforcement: String,
    reach_mm: f64,
    area_m2: f64,
    strips: usize,
    lap_m2: f64,
    glass_kg: f64,
    resin_kg: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct TissueLine {
    area_m2: f64,
    tissue_kg: f64,
    resin_kg: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Materials {
    glass_kg: f64,
    mats: Vec<MatLine>,
    tissue_m2: f64,
    tissue_kg: f64,
    resin_kg: f64,
    resins: Vec<ResinLine>,
    gel_coat_kg: f64,
    catalyst_g: Option<f64>,
    catalyst_ml: Option<f64>,
    hardeners: Vec<HardenerLine>,
    excludes: Vec<Exclusion>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct MatLine {
    reinforcement: String,
    area_m2: f64,
    glass_kg: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ResinLine {
    kind: String,
    kg: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct HardenerLine {
    product: String,
    #[serde(rename = "for")]
    goes_into: String,
    g: f64,
    ml: Option<f64>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Exclusion {
    mark: Option<u32>,
    reason: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Paint {
    low: PaintCase,
    likely: PaintCase,
    high: PaintCase,
    waiting: Vec<WaitingRegion>,
    topcoat: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PaintCase {
    regions: Vec<PaintRegion>,
    area_m2: f64,
    litres: f64,
    products: Vec<PaintProduct>,
    excludes: Vec<Exclusion>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PaintRegion {
    panel: String,
    region: String,
    area_m2: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PaintProduct {
    product: String,
    litres: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct WaitingRegion {
    panel: String,
    region: String,
    area_m2: f64,
    marks: Vec<u32>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ShopLines {
    from: String,
    place: String,
    worker: String,
    pour_c: Option<f64>,
    night_c: Option<f64>,
    humidity_percent: Option<f64>,
    catalyst_percent: f64,
    gel_catalyst_percent: f64,
    pot_most_g: f64,
    gates: Vec<GateLine>,
    climate: Option<ClimateLines>,
    warming: Option<WarmingLine>,
    brought_in: Option<BroughtInLine>,
    untimed: Vec<String>,
    gel_min: Option<TimeBand>,
    night: Vec<NightLine>,
    sandable_h: Option<TimeBand>,
    primer_days: Option<TimeBand>,
    gloss_days: Option<TimeBand>,
    softens_after_a_day_c: Option<f64>,
    sittings: Vec<SittingLine>,
    air: Option<AirLines>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct NightLine {
    after_h: f64,
    at_c: f64,
    conversion: [f64; 3],
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ClimateLines {
    from: String,
    first: String,
    last: String,
    panel_lag_h: [f64; 2],
    steps: Vec<StepHoursLine>,
    stands_still_percent: f64,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct StepHoursLine {
    step: String,
    rest_min: f64,
    open_h: f64,
    shut_by_temperature_h: f64,
    shut_by_damp_h: f64,
    shut_by_dew_h: f64,
    windows: Vec<WindowLine>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct WindowLine {
    weekday: String,
    from: String,
    to: String,
    coldest_c: f64,
    hottest_c: f64,
    most_humidity_percent: f64,
    least_above_dew_k: f64,
    hardens: bool,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct WarmingLine {
    to_c: f64,
    air_c: f64,
    outdoors_c: f64,
    before_h: [f64; 2],
    walls_kw: Option<[f64; 2]>,
    air_kw: Option<f64>,
    stop_air_kw: Option<f64>,
    fresh_air_kw: Option<f64>,
    caution: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct BroughtInLine {
    panel_c: f64,
    air_c: f64,
    lay_up_after_h: Option<[f64; 2]>,
    above_dew_after_h: Option<[f64; 2]>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct TimeBand {
    low: Option<f64>,
    likely: Option<f64>,
    high: Option<f64>,
    rests_on: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct GateLine {
    step: String,
    state: String,
    why: String,
    way_out: String,
    rules: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct SittingLine {
    repair: String,
    stage: usize,
    what: String,
    plies: usize,
    glass_kg_m2: f64,
    peak_low_c: Option<f64>,
    peak_high_c: Option<f64>,
    peak_most_c: Option<f64>,
    next_stage_min: Option<f64>,
    poured_kg: f64,
    mixes: usize,
    mix_g: Option<f64>,
    mix_catalyst_g: Option<f64>,
    mix_catalyst_ml: Option<f64>,
    use_by_min: Option<f64>,
    styrene_g: f64,
    blocked_by: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct AirLines {
    room_m3: Option<f64>,
    air_changes_per_h: Option<f64>,
    room_assumed: bool,
    worst_sitting: String,
    poured_kg: f64,
    styrene_g: [f64; 3],
    peak_ppm: Option<f64>,
    near_ppm: Option<f64>,
    all_at_once_ppm: Option<f64>,
    all_styrene_g: f64,
    stop_air_m3_h: Option<f64>,
    most_resin_kg: Option<f64>,
    purge_min: Option<f64>,
    limits: Vec<LimitLine>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct LimitLine {
    set: String,
    over: String,
    ppm: f64,
    fresh_air_m3_h: f64,
    needed_factor: Option<f64>,
    most_kg: Option<f64>,
    document: String,
    evidence: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Block {
    code: String,
    work: String,
    step: String,
    why: String,
    way_out: String,
    marks: Vec<u32>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct PutRight {
    what: String,
    who: String,
    marks: Vec<u32>,
    repairs: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Caution {
    code: String,
    leads: bool,
    trigger: String,
    text: String,
    blocks: bool,
    evidence: String,
    source: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct AnswerLine {
    question: String,
    answer: String,
    rule: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct BodyMounts {
    states: Vec<MountState>,
    seized_allowance: usize,
    assumed: bool,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct MountState {
    state: String,
    count: usize,
    mounts: Vec<String>,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Assumption {
    text: String,
    rule: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct SettingLine {
    rule: String,
    text: String,
    weakened: bool,
}

fn text_of(texts: &TextFolder) -> String {
    let job =
        job(texts, "survey.ron", &Named::default()).unwrap_or_else(|faults| panic!("{faults:#?}"));
    json::text(&plymend::estimate(&job).unwrap_or_else(|faults| panic!("{faults:#?}")))
}

/// Ten lines: one mark referred, one repaired through the laminate, one in the gel coat.
fn short() -> String {
    text_of(&TextFolder::from([(
        "survey.ron",
        "(
  format: 1, air_c: 19, humidity_percent: 55,
  panels: [(name: \"lid\", generic: \"lid\", material: hand_laid_polyester, back: reached,
            size: (length_mm: 1200, width_mm: 1000))],
  marks: [
    (id: 1, panel: \"lid\", kind: through_crack, place: On(90, 850), shape: Line(length_mm: 60)),
    (id: 2, panel: \"lid\", kind: hole, place: On(600, 500), shape: Spot(diameter_mm: 40)),
    (id: 3, panel: \"lid\", kind: chip, depth: gel, place: On(900, 480), shape: Spot(diameter_mm: 20)),
  ],
)",
    )]))
}

/// Four marks of a sheet, three of them opened up: one is referred now, two become one repair.
fn opened() -> String {
    text_of(&TextFolder::from([
        (
            "survey.ron",
            "(
  format: 1, air_c: 19, humidity_percent: 55, opened: \"opened.ron\",
  panels: [
    (name: \"sheet\", generic: \"flat-sheet\", size: (length_mm: 1200, width_mm: 1000),
     material: hand_laid_polyester, roles: [skin], back: reached, fixings: none_seen),
    (name: \"lid\", generic: \"flat-sheet\", size: (length_mm: 900, width_mm: 700),
     material: hand_laid_polyester, roles: [stressed], back: reached, fixings: none_seen),
  ],
  marks: [
    (id: 1, panel: \"sheet\", kind: hole, place: On(400, 500), shape: Spot(diameter_mm: 40)),
    (id: 2, panel: \"sheet\", kind: hole, place: On(700, 500), shape: Spot(diameter_mm: 40)),
    (id: 3, panel: \"sheet\", kind: chip, depth: gel, place: On(200, 200), shape: Spot(diameter_mm: 20)),
    (id: 4, panel: \"lid\", kind: gel_crack, depth: gel, edges_move: no, place: On(450, 350),
     shape: Line(length_mm: 60, direction: Angle(0))),
  ],
)",
        ),
        (
            "opened.ron",
            "(
  format: 1, survey: \"survey.ron\",
  found: [
    (mark: 1, length_mm: 300, width_mm: 60, by: \"the yard\", date: \"May\"),
    (mark: 3, area_m2: 0.0006, depth: half, by: \"the yard\", date: \"May\"),
    (mark: 4, beyond_mm: (5, 25), depth: first_glass, by: \"the yard\", date: \"May\"),
  ],
)",
        ),
    ]))
}

/// The demo, survey A.
fn demo() -> String {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/harbour-shuttle");
    let mut texts = TextFolder::default();
    for entry in fs::read_dir(&folder).expect("the demo is there") {
        let path = entry.expect("listed").path();
        if path.extension().is_some_and(|end| end == "ron") {
            let name = path.file_name().and_then(|name| name.to_str()).expect("plain").to_owned();
            texts.put(&name, &fs::read_to_string(&path).expect("text"));
        }
    }
    demo_photos::put(&mut texts);
    let survey = fs::read_to_string(folder.join("survey-a.ron")).expect("survey A is there");
    texts.put("survey.ron", &survey);
    text_of(&texts)
}

fn records() -> &'static [(&'static str, String); 3] {
    static RECORDS: OnceLock<[(&str, String); 3]> = OnceLock::new();
    RECORDS.get_or_init(|| [("ten lines", short()), ("demo", demo()), ("opened up", opened())])
}

#[test]
fn the_record_has_these_names_and_no_others() {
    for (name, text) in records() {
        let record: Report =
            serde_json::from_str(text).unwrap_or_else(|fault| panic!("{name}: {fault}"));
        assert_eq!((record.schema.as_str(), record.schema_version), ("plymend.estimate", 1));
        // Back again: a field that may be empty but has gone missing would come back as null.
        let there: Value = serde_json::from_str(text).expect("JSON");
        let back = serde_json::to_value(&record).expect("JSON");
        assert!(names(&there) == names(&back), "{name}: a name has gone from the record");
    }
}

/// Every path of names in a value, list places left out.
fn names(value: &Value) -> std::collections::BTreeSet<String> {
    fn walk(value: &Value, path: &str, found: &mut std::collections::BTreeSet<String>) {
        match value {
            Value::Object(fields) => {
                for (name, inner) in fields {
                    let path = format!("{path}.{name}");
                    walk(inner, &path, found);
                    found.insert(path);
                }
            }
            Value::Array(items) => {
                for item in items {
                    walk(item, path, found);
                }
            }
            _ => {}
        }
    }
    let mut found = std::collections::BTreeSet::new();
    walk(value, "", &mut found);
    found
}

/// Strings that stand where a code belongs, with their field.
fn codes(value: &Value, field: &str, found: &mut Vec<(String, String)>) {
    match value {
        Value::Object(fields) => fields.iter().for_each(|(name, inner)| codes(inner, name, found)),
        Value::Array(items) => items.iter().for_each(|item| codes(item, field, found)),
        Value::String(text) if matches!(field, "rule" | "rules" | "code") => {
            found.push((field.to_owned(), text.clone()));
        }
        _ => {}
    }
}

#[test]
fn every_code_in_the_record_is_one_that_explain_knows() {
    let book = Book::built_in();
    for (name, text) in records() {
        let value: Value = serde_json::from_str(text).expect("JSON");
        let mut found = Vec::new();
        codes(&value, "", &mut found);
        for line in value["rules"].as_array().expect("a list") {
            found.push(("rules".to_owned(), line["id"].as_str().expect("an id").to_owned()));
        }
        // The record's own basis, by path; a time's basis is a sentence.
        for list in value["basis"].as_object().expect("by path").values() {
            for code in list.as_array().expect("a list") {
                found.push(("basis".to_owned(), code.as_str().expect("an id").to_owned()));
            }
        }
        assert!(found.len() > 30, "{name}: {}", found.len());
        for field in ["rule", "rules", "code", "basis"] {
            assert!(found.iter().any(|(of, _)| of == field), "{name}: no code under {field}");
        }
        for (field, code) in found {
            assert!(
                book.get(&code).is_some()
                    || plymend::safety::table::find(&code).is_some()
                    || plymend::read::codes::explained(&code).is_some(),
                "{name}: nobody knows {code:?} of {field}"
            );
        }
    }
}

#[test]
fn totals_are_the_sums_of_their_plies() {
    for (name, text) in records() {
        let record: Report = serde_json::from_str(text).expect("the schema");
        for (number, total) in record.materials.each().into_iter().enumerate() {
            let mut plies = 0;
            let (mut glass, mut resin, mut tissue, mut coat) = (0.0, 0.0, 0.0, 0.0);
            for repair in &record.repairs {
                let of = repair.scenarios.each()[number];
                plies += of.plies.len() + 1;
                glass += of.plies.iter().map(|ply| ply.glass_kg).sum::<f64>();
                resin += of.plies.iter().map(|ply| ply.resin_kg).sum::<f64>() + of.tissue.resin_kg;
                tissue += of.tissue.tissue_kg;
                coat += of.gel_coat_kg;
            }
            assert!(plies > 0, "{name}: nothing to add up");
            // Each figure is rounded to a millionth.
            let within = 1e-6 * (plies + 1) as f64;
            for (what, sum, total) in [
                ("glass", glass, total.glass_kg),
                ("resin", resin, total.resin_kg),
                ("tissue", tissue, total.tissue_kg),
                ("gel coat", coat, total.gel_coat_kg),
                ("mats", total.mats.iter().map(|mat| mat.glass_kg).sum(), total.glass_kg),
                ("resins", total.resins.iter().map(|one| one.kg).sum(), total.resin_kg),
            ] {
                assert!((sum - total).abs() <= within, "{name}: {what} {sum} against {total}");
            }
        }
    }
}

#[test]
fn every_total_names_every_mark_it_leaves_out() {
    for (name, text) in records() {
        let record: Report = serde_json::from_str(text).expect("the schema");
        let mut out: Vec<u32> = record
            .findings
            .iter()
            .filter(|finding| finding.action != "repair")
            .map(|finding| finding.mark)
            .collect();
        out.sort_unstable();
        assert!(!out.is_empty(), "{name}: nothing is left out, so this shows nothing");
        let paint = [&record.paint.low, &record.paint.likely, &record.paint.high];
        let totals = record.materials.each().map(|total| &total.excludes);
        for excludes in totals.into_iter().chain(paint.map(|total| &total.excludes)) {
            let mut named: Vec<u32> = excludes.iter().filter_map(|one| one.mark).collect();
            named.sort_unstable();
            named.dedup();
            assert_eq!(named, out, "{name}");
            assert!(excludes.iter().all(|one| !one.reason.is_empty()), "{name}");
        }
        for finding in &record.findings {
            let repaired = record.repairs.iter().any(|one| one.marks.contains(&finding.mark));
            assert_eq!(repaired, finding.action == "repair", "{name}: mark {}", finding.mark);
        }
    }
}
