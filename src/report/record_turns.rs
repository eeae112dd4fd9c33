//! What is done now, what can wait and what is left, in the record.

use serde::Serialize;

/// Every repair, mark and failed fixing in exactly one list.
#[derive(Debug, Clone, Serialize)]
pub struct TurnLines {
    /// A specialist looks first; in no figure.
    pub specialist_first: Vec<TurnLine>,
    /// Done now.
    pub do_now: Vec<TurnLine>,
    /// Done later.
    pub can_wait: Vec<TurnLine>,
    /// Left as it is.
    pub leave: Vec<TurnLine>,
    /// What happens meanwhile to what waits or is left; empty where nothing does.
    pub meanwhile: String,
    /// When to look at it again.
    pub look_again: String,
    /// What sharing sessions saves, by groups that may be timed together; only in a quote.
    pub shared: Vec<SharedLine>,
}

/// One thing with its turn.
#[derive(Debug, Clone, Serialize)]
pub struct TurnLine {
    /// The repair; nothing where there is none.
    pub repair: Option<String>,
    /// Its marks; empty for a fixing.
    pub marks: Vec<u32>,
    /// The failed fixing, where it is one.
    pub fixing: Option<String>,
    /// The panel.
    pub panel: String,
    /// Why it has this turn.
    pub why: Vec<String>,
}

/// Repairs in shared sessions, and each by itself.
#[derive(Debug, Clone, Serialize)]
pub struct SharedLine {
    /// The repairs.
    pub repairs: Vec<String>,
    /// Counted from the day a cause is put right.
    pub after_cause: bool,
    /// All together.
    pub together: EffortLine,
    /// Each by itself, added up; days one after the other.
    pub alone: EffortLine,
    /// Wares of which sharing takes less.
    pub wares: Vec<WareSavedLine>,
}

/// What work takes beside the hours at the marks.
#[derive(Debug, Clone, Serialize)]
pub struct EffortLine {
    /// Sessions.
    pub sessions: u32,
    /// Setting up, of whoever works.
    pub setup_h: f64,
    /// Pots.
    pub mixes: u32,
    /// Resin that stays in pots and brushes.
    pub left_in_g: f64,
    /// Days, without paint.
    pub days: i64,
}

/// A ware used up both ways.
#[derive(Debug, Clone, Serialize)]
pub struct WareSavedLine {
    /// The ware.
    pub what: String,
    /// Its unit.
    pub unit: String,
    /// Together.
    pub together: f64,
    /// Each by itself.
    pub alone: f64,
}
