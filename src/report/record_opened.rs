//! Opened-up sizes in the record: what was found, what it says of growth, what changes.

use serde::Serialize;

use super::record_buy::{PackCount, TotalLine};
use super::record_work::Exclusion;
use crate::quantity::Cases;

/// What opening up found and what it changes.
#[derive(Debug, Clone, Serialize)]
pub struct OpenedUp {
    /// The file of the sizes.
    pub file: String,
    /// Marks that were opened.
    pub marks: Vec<OpenedMark>,
    /// Growth of the other marks, re-estimated.
    pub growth: Vec<LearntGrowth>,
    /// What changes against the estimate from the survey.
    pub extra_work: ExtraWorkLine,
}

/// A mark that was opened.
#[derive(Debug, Clone, Serialize)]
pub struct OpenedMark {
    /// The mark.
    pub mark: u32,
    /// Its length as recorded, for a crack.
    pub seen_length_mm: Option<f64>,
    /// Its length as found, for a crack.
    pub found_length_mm: Option<f64>,
    /// Its area as recorded, before any edge clips it.
    pub seen_area_m2: Option<f64>,
    /// Its area as found.
    pub found_area_m2: Option<f64>,
    /// Found over seen: of length for a crack, of area otherwise.
    pub found_over_seen: f64,
    /// Its depth as found, likely case.
    pub depth: String,
    /// It went further than the estimate's high case.
    pub beyond_high: bool,
    /// By whom.
    pub by: String,
    /// When.
    pub date: String,
    /// The user's note, word for word.
    pub as_recorded: String,
}

/// Growth of one kind of mark on this body.
#[derive(Debug, Clone, Serialize)]
pub struct LearntGrowth {
    /// The rule it replaces for this job.
    pub rule: String,
    /// What it is of.
    pub of: String,
    /// Opened marks it was learnt from.
    pub marks: Vec<u32>,
    /// Factors of the book.
    pub before: Cases<f64>,
    /// Factors used for the marks that are still closed.
    pub after: Cases<f64>,
}

/// What changes.
#[derive(Debug, Clone, Serialize)]
pub struct ExtraWorkLine {
    /// New referrals, then what is newly held.
    pub raised: Vec<RaisedLine>,
    /// Repairs whose marks were apart before.
    pub joined: Vec<JoinedLine>,
    /// Marks that are worked in another way.
    pub methods: Vec<MethodLine>,
    /// Number of plies.
    pub plies: ChangeLine,
    /// Area of the plies.
    pub plies_m2: ChangeLine,
    /// Glass in mats.
    pub glass_kg: ChangeLine,
    /// Laminating resin.
    pub resin_kg: ChangeLine,
    /// Gel and flow coat.
    pub gel_coat_kg: ChangeLine,
    /// Prepared surface of both sides.
    pub prepared_m2: ChangeLine,
    /// Packs, hours and money against the quote made from the survey; only in a quote.
    pub cost: Option<ExtraCostLine>,
    /// What the figures from the survey leave out.
    pub excludes_before: Vec<Exclusion>,
    /// What the figures from the sizes found leave out.
    pub excludes: Vec<Exclusion>,
}

/// A mark whose action is more serious than before, or that has more reasons.
#[derive(Debug, Clone, Serialize)]
pub struct RaisedLine {
    /// The mark.
    pub mark: u32,
    /// Its action before.
    pub before: String,
    /// Its action now.
    pub now: String,
    /// What is new.
    pub reasons: Vec<String>,
}

/// A repair whose marks were apart before.
#[derive(Debug, Clone, Serialize)]
pub struct JoinedLine {
    /// The repair.
    pub repair: String,
    /// Its marks.
    pub marks: Vec<u32>,
}

/// A mark that is worked in another way.
#[derive(Debug, Clone, Serialize)]
pub struct MethodLine {
    /// The mark.
    pub mark: u32,
    /// Before.
    pub before: String,
    /// Now.
    pub now: String,
}

/// A quantity before and after.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct ChangeLine {
    /// From the survey.
    pub before: Cases<f64>,
    /// From the sizes found.
    pub after: Cases<f64>,
    /// After less before.
    pub more: Cases<f64>,
    /// The likely figure has passed what was printed as the high one.
    pub beyond_high: bool,
}

/// Extra work in packs, hours and money.
#[derive(Debug, Clone, Serialize)]
pub struct ExtraCostLine {
    /// Packs for the likely need of the whole job, only where they change.
    pub packs: Vec<PackChangeLine>,
    /// Hours of whoever works.
    pub hours: ChangeLine,
    /// Money; nothing without a price file.
    pub money: Option<MoneyChangeLine>,
}

/// Packs of a ware before and after.
#[derive(Debug, Clone, Serialize)]
pub struct PackChangeLine {
    /// The ware.
    pub what: String,
    /// The unit of a pack.
    pub unit: String,
    /// By the quote.
    pub before: Vec<PackCount>,
    /// Now.
    pub after: Vec<PackCount>,
}

/// Money before and after.
#[derive(Debug, Clone, Serialize)]
pub struct MoneyChangeLine {
    /// The currency.
    pub currency: String,
    /// Decimals of its money.
    pub decimals: u32,
    /// By the quote.
    pub before: Cases<TotalLine>,
    /// Now.
    pub after: Cases<TotalLine>,
    /// The case that was quoted.
    pub figure: &'static str,
    /// The limit of the quote, tax included.
    pub stop_at: f64,
    /// Whether the cost of the work now passes it: passed, may be passed, not passed.
    pub limit: &'static str,
}
