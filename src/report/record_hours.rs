//! Hours of work and the questions on which practice disagrees in the record.

use serde::Serialize;

use super::record_work::Exclusion;
use crate::quantity::Cases;

/// Hands-on hours.
#[derive(Debug, Clone, Serialize)]
pub struct HoursLines {
    /// The table they come from.
    pub table: String,
    /// Who works.
    pub worker: String,
    /// How many times as long as a trade whoever works takes.
    pub pace: Cases<f64>,
    /// By repair, of a trade.
    pub repairs: Vec<RepairHoursLine>,
    /// Painting, of a trade.
    pub paint_h: Cases<f64>,
    /// All of it, of a trade.
    pub trade_h: Cases<f64>,
    /// All of it, of whoever works.
    pub worker_h: Cases<f64>,
    /// What is not in these hours.
    pub excludes: Vec<Exclusion>,
}

/// Hands-on hours of a trade at one repair.
#[derive(Debug, Clone, Serialize)]
pub struct RepairHoursLine {
    /// The repair.
    pub repair: String,
    /// By mark.
    pub marks: Vec<MarkHoursLine>,
    /// Stripping and keying.
    pub strip_h: Cases<f64>,
    /// All of it.
    pub hours: Cases<f64>,
}

/// Hands-on hours of a trade at one mark.
#[derive(Debug, Clone, Serialize)]
pub struct MarkHoursLine {
    /// The mark.
    pub mark: u32,
    /// As what it counts.
    pub work: Cases<String>,
    /// The hours.
    pub hours: Cases<f64>,
}

/// A question on which practice disagrees.
#[derive(Debug, Clone, Serialize)]
pub struct ConflictLine {
    /// Its name.
    pub id: String,
    /// The question.
    pub question: String,
    /// Why it is one.
    pub why: String,
    /// What sets it.
    pub set_by: String,
    /// Answers in use, the default first.
    pub answers: Vec<AnswerInUse>,
    /// How it is known.
    pub evidence: String,
    /// Where it comes from.
    pub source: String,
}

/// An answer in use, against the one the job is worked by.
#[derive(Debug, Clone, Serialize)]
pub struct AnswerInUse {
    /// The answer.
    pub answer: String,
    /// It is the one the job is worked by.
    pub used: bool,
    /// It is the default.
    pub default: bool,
    /// Glass more than now; nothing for the one used.
    pub more_glass_kg: Option<Cases<f64>>,
    /// Resin more than now.
    pub more_resin_kg: Option<Cases<f64>>,
    /// Gel or flow coat more than now.
    pub more_gel_coat_kg: Option<Cases<f64>>,
    /// Hands-on hours of a trade more than now.
    pub more_trade_h: Option<Cases<f64>>,
    /// Marks that it would refer or hold besides; they are in no figure of it.
    pub referred_more: Vec<u32>,
}
