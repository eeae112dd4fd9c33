//! One page for whoever thinks of buying, in the record.

use serde::Serialize;

use super::record_buy::{NotHereLine, TotalLine};
use super::record_work::Exclusion;
use crate::quantity::Cases;

/// A summary for a buyer: what stops, who has to look, what putting it right costs and what nobody
/// can say.
#[derive(Debug, Clone, Serialize)]
pub struct Summary {
    /// Every stop line.
    pub stops: Vec<String>,
    /// What goes to a specialist, a line a mark or fixing; none of it is in any figure here.
    pub referred: Vec<ReferredLine>,
    /// What putting the rest right costs; nothing without a price file.
    pub cost: Option<CostLine>,
    /// What nobody has priced.
    pub not_priced: Vec<NotHereLine>,
    /// What nobody could see.
    pub not_seen: Vec<String>,
    /// Both sides of all panels.
    pub area_m2: f64,
    /// Of that looked at.
    pub looked_at_m2: f64,
    /// Marks whose depth is assumed.
    pub depth_assumed: Vec<u32>,
    /// Steps that are blocked until something is answered or changed.
    pub blocked: Vec<String>,
    /// Hours of whoever works, without referred and held marks.
    pub hours: Option<Cases<f64>>,
    /// Who that is.
    pub worker: String,
    /// When, in days from a start and never past a referral.
    pub earliest: Vec<String>,
    /// What to ask before buying.
    pub ask: Vec<AskLine>,
    /// What no figure holds.
    pub excludes: Vec<Exclusion>,
    /// For whom and for what, and what it is not.
    pub foot: String,
}

/// Something that goes to a specialist.
#[derive(Debug, Clone, Serialize)]
pub struct ReferredLine {
    /// The mark; nothing when a fixing alone is referred.
    pub mark: Option<u32>,
    /// The panel.
    pub panel: String,
    /// Every reason.
    pub reasons: Vec<String>,
    /// Who should look.
    pub who: String,
}

/// What it costs in short.
#[derive(Debug, Clone, Serialize)]
pub struct CostLine {
    /// The currency.
    pub currency: String,
    /// Decimals of its money.
    pub decimals: u32,
    /// When the prices were looked up; empty where the file does not say.
    pub priced_on: String,
    /// Everything that has a price, and what is missing from it.
    pub totals: Cases<TotalLine>,
    /// Lines with the widest spread from low to high, the widest first.
    pub drivers: Vec<DriverLine>,
}

/// A line that the spread comes from.
#[derive(Debug, Clone, Serialize)]
pub struct DriverLine {
    /// What it is for.
    pub what: String,
    /// High less low, as the file counts tax.
    pub spread: f64,
}

/// A question before buying.
#[derive(Debug, Clone, Serialize)]
pub struct AskLine {
    /// Whom.
    pub whom: String,
    /// What.
    pub what: String,
    /// Marks it is about.
    pub marks: Vec<u32>,
}
