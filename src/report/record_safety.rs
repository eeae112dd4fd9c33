//! Stops, referrals, blocks, answers and cautions in the record.

use serde::Serialize;

/// A stop line.
#[derive(Debug, Clone, Serialize)]
pub struct Stop {
    /// What must not be done.
    pub text: String,
    /// Marks behind it.
    pub marks: Vec<u32>,
    /// Where.
    #[serde(rename = "where")]
    pub place: String,
    /// The rule.
    pub rule: String,
}

/// A referral.
#[derive(Debug, Clone, Serialize)]
pub struct Referral {
    /// The mark; nothing when a fixing alone is referred.
    pub mark: Option<u32>,
    /// The panel.
    pub panel: String,
    /// Why.
    pub reason: String,
    /// The rule.
    pub rule: String,
    /// Who should look.
    pub who: String,
}

/// A step that is blocked.
#[derive(Debug, Clone, Serialize)]
pub struct Block {
    /// The code.
    pub code: String,
    /// Which part of the work: sanding, lay-up, buying, paint or warming.
    pub work: String,
    /// The step.
    pub step: String,
    /// Why.
    pub why: String,
    /// The way out.
    pub way_out: String,
    /// Marks concerned; empty means all.
    pub marks: Vec<u32>,
}

/// A caution.
#[derive(Debug, Clone, Serialize)]
pub struct Caution {
    /// Its code.
    pub code: String,
    /// It stands at the top of a text.
    pub leads: bool,
    /// What raised it.
    pub trigger: String,
    /// What to do.
    pub text: String,
    /// It blocks a step.
    pub blocks: bool,
    /// How it is known.
    pub evidence: String,
    /// Where from.
    pub source: String,
}

/// An answer of the user's that bears on a block.
#[derive(Debug, Clone, Serialize)]
pub struct AnswerLine {
    /// The question.
    pub question: String,
    /// The answer.
    pub answer: String,
    /// The rule.
    pub rule: String,
}

/// Body mounts of the whole body.
#[derive(Debug, Clone, Serialize)]
pub struct BodyMounts {
    /// By state.
    pub states: Vec<MountState>,
    /// Seized ones: an allowance, since some may tear out and would then be referrals.
    pub seized_allowance: usize,
    /// Some are those that such a moulding usually has: nobody has confirmed them.
    pub assumed: bool,
}

/// Body mounts in one state.
#[derive(Debug, Clone, Serialize)]
pub struct MountState {
    /// The state.
    pub state: String,
    /// How many.
    pub count: usize,
    /// Which.
    pub mounts: Vec<String>,
}
