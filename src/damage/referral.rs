//! May we touch it? Every reason why a mark goes to a specialist, before any repair is laid out.

use super::clearance;
use super::depth::{MarkDepth, Reaches};
use super::extent::Extents;
use crate::model::panel::{
    BackAccess, Carries, FixingState, Fixings, LoadRow, Material, Panel, Role,
};
use crate::model::survey::{Cause, Evidence, Mark, MarkKind, Tried};
use crate::read::job::JobPanel;
use crate::rules::{Book, id};
use crate::surface::field::DistanceField;
use crate::surface::marks::{Form, PlacedMark};
use crate::surface::placed::{PlacedFixing, PlacedPanel};

/// Why a mark is referred.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// The rule.
    pub rule: &'static str,
    /// In words, with the figure that decided.
    pub text: String,
    /// Who should look.
    pub who: &'static str,
    /// What the fixing carries, where one decided.
    pub carries: Option<Carries>,
    /// The panel over a seam that it comes from; none for the mark's own.
    pub over: Option<String>,
}

/// What stands near a mark that is no reason to refer it.
#[derive(Debug, Clone, PartialEq)]
pub struct Nearby {
    /// The rule.
    pub rule: &'static str,
    /// In words.
    pub text: String,
}

/// What looking round a mark gave.
#[derive(Debug, Clone, Default)]
pub struct Judged {
    /// Reasons to refer it.
    pub reasons: Vec<Reason>,
    /// Notes.
    pub nearby: Vec<Nearby>,
    /// A bracket-like fixing within its distance: the cause comes first.
    pub bracket_cause: Option<String>,
}

/// Whom a reason is for.
pub const BODY_SPECIALIST: &str = "a repairer who specialises in GRP bodies and their mounts";
const SAFETY_ENGINEER: &str =
    "a vehicle engineer or licensed repairer for the part it carries, with a GRP specialist";
const TEST_FIRST: &str = "yourself with one test, then a GRP specialist if the lips move";
const OWNER_LIST: &str = "yourself: look at both sides and list what is fixed there; then as found";

/// A fixing with the distances over the skin from it.
#[derive(Debug)]
pub struct Watched<'p> {
    /// The fixing.
    pub fixing: &'p PlacedFixing<'p>,
    /// The farthest that any row asks about, errors of the tape included, mm.
    pub asked_mm: f64,
    /// Distances from its middle; none where no mark can be that near.
    pub reach: Option<DistanceField<'p>>,
    /// The panel it is on, when that is one over a seam.
    pub over: Option<&'p JobPanel>,
}

/// Largest distance any row asks for, mm.
#[must_use]
pub fn largest_mm(book: &Book, carries: Carries) -> f64 {
    match carries.row() {
        LoadRow::Vital => book.figure(id::REFER_VITAL),
        LoadRow::Moving => book.figure(id::REFER_MOVING),
        LoadRow::BodyMount => {
            book.figure(id::REFER_BODY_MOUNT).max(book.figure(id::REFER_BODY_MOUNT_GEL))
        }
        LoadRow::Bracket => book.figure(id::REFER_BRACKET),
        LoadRow::Light => 1.0,
    }
}

/// A mark in the paint alone, in every case.
#[must_use]
pub fn is_paint_only(depth: &MarkDepth) -> bool {
    depth.cases.high == Reaches::Paint
}

/// It sounds dull, flexes or has let go.
#[must_use]
pub fn is_drummy(mark: &Mark) -> bool {
    mark.kind == MarkKind::Delamination
        || mark.evidence.contains(&Evidence::Drummy)
        || mark.evidence.contains(&Evidence::Flexes)
}

/// Judges one mark.
#[must_use]
pub fn judge(
    book: &Book,
    panel: &PlacedPanel<'_>,
    placed: &PlacedMark<'_>,
    depth: &MarkDepth,
    extents: &Extents,
    parted: bool,
    watched: &[Watched<'_>],
) -> Judged {
    let mut judged = Judged::default();
    let (mark, of) = (placed.of, &panel.of.panel);
    by_evidence(mark, &mut judged);
    // Stripping paint by hand already cuts into fibres that the rules do not know.
    let back = mark.back.unwrap_or(of.back);
    by_material(of, back, depth, &mut judged);
    if is_paint_only(depth) {
        return judged;
    }
    by_role(of, back, depth, placed, &mut judged);
    by_unknown_fixings(of, &mut judged);
    for near in watched {
        by_fixing(book, panel, placed, depth, extents, parted, near, &mut judged);
    }
    judged.in_order();
    judged
}

/// Unknown is never none.
pub(super) fn by_unknown_fixings(of: &Panel, judged: &mut Judged) {
    if matches!(of.fixings, Fixings::Unknown) {
        judged.refer(
            id::REFER_FIXINGS_UNKNOWN,
            "nobody has said what is fixed to this panel: look at both sides, then list the fixings or say none_seen".to_owned(),
            OWNER_LIST,
        );
    }
}

impl Judged {
    /// What is fixed there first, what a test of one's own would settle last.
    pub fn in_order(&mut self) {
        self.reasons.sort_by_key(|reason| {
            (reason.who == TEST_FIRST, reason.carries.is_none(), reason.carries.map(Carries::row))
        });
    }

    fn refer(&mut self, rule: &'static str, text: String, who: &'static str) {
        self.reasons.push(Reason { rule, text, who, carries: None, over: None });
    }
}

fn by_evidence(mark: &Mark, judged: &mut Judged) {
    let rows = [
        (Evidence::HeatBelowGel, id::REFER_HEAT_BATTERY),
        (Evidence::BatteryDamage, id::REFER_HEAT_BATTERY),
        (Evidence::SeamLettingGo, id::REFER_SEAM),
        (Evidence::Distortion, id::REFER_DISTORTION),
    ];
    for (evidence, rule) in rows {
        if mark.evidence.contains(&evidence) {
            judged.refer(rule, format!("recorded: {}", evidence.words()), BODY_SPECIALIST);
        }
    }
    if mark.edges_move == Tried::Yes {
        judged.refer(
            id::REFER_LIPS_MOVE,
            "its lips move against each other: the laminate has parted".to_owned(),
            BODY_SPECIALIST,
        );
    }
    if mark.kind == MarkKind::Other {
        judged.refer(
            id::REFER_STRANGE,
            "damage of a kind that the rules do not know".to_owned(),
            BODY_SPECIALIST,
        );
    }
}

pub(super) fn by_material(of: &Panel, back: BackAccess, depth: &MarkDepth, judged: &mut Judged) {
    let only_covers = of.roles.iter().all(|role| *role == Role::Skin) && !of.roles.is_empty();
    let refer = match of.material {
        Material::CarbonOrAramid | Material::Thermoplastic | Material::Cored => true,
        Material::CompressionMoulded => !only_covers,
        Material::Unknown | Material::HandLaidPolyester | Material::Epoxy => false,
    };
    if refer {
        judged.refer(
            id::REFER_MATERIAL,
            format!(
                "the moulding is {}: not to be filled, ground or laminated",
                of.material.words()
            ),
            BODY_SPECIALIST,
        );
        return;
    }
    if of.material != Material::CompressionMoulded {
        return;
    }
    if depth.cases.high.in_glass() && matches!(back, BackAccess::Closed | BackAccess::Unknown) {
        judged.refer(
            id::PRESSED,
            format!(
                "the moulding is {} and takes a backer, and its back is {}",
                of.material.words(),
                back_words(back)
            ),
            BODY_SPECIALIST,
        );
    } else {
        judged.nearby.push(Nearby {
            rule: id::PRESSED,
            text: "pressed moulding: epoxy or a bonding adhesive with a backer, never polyester; it has no gel coat, so filler and primer of its own system go on".to_owned(),
        });
    }
}

pub(super) fn by_role(
    of: &Panel,
    back: BackAccess,
    depth: &MarkDepth,
    placed: &PlacedMark<'_>,
    judged: &mut Judged,
) {
    let mark = placed.of;
    let at_laminate = depth.cases.high.in_glass();
    let how = if depth.assumed { "may go into the laminate" } else { "goes into the laminate" };
    let has = |role| of.roles.contains(&role);
    if at_laminate && (has(Role::Stressed) || has(Role::Unknown) || of.roles.is_empty()) {
        let role = if has(Role::Stressed) { Role::Stressed } else { Role::Unknown };
        let text = match role {
            Role::Stressed => format!("it {how} of a stressed panel"),
            _ => format!(
                "it {how}, and nobody has said what this panel does (roles: skin, opens, holds_people, stressed)"
            ),
        };
        judged.refer(id::REFER_STRESSED, text, BODY_SPECIALIST);
    }
    if at_laminate && has(Role::HoldsPeople) {
        let text = format!("it {how} of a panel that holds people");
        judged.refer(id::REFER_HOLDS_PEOPLE, text, BODY_SPECIALIST);
    }
    // A star is cracks too.
    let is_crack =
        matches!(placed.form, Form::Line(_)) || mark.kind.is_line() || mark.kind == MarkKind::Star;
    let only_covers = of.roles.iter().all(|role| *role == Role::Skin) && !of.roles.is_empty();
    if is_crack && mark.edges_move == Tried::NotTried && !only_covers {
        judged.refer(
            id::REFER_LIPS_UNTRIED,
            "nobody has tried whether its lips move: press one side, feel for a step, record edges_move".to_owned(),
            TEST_FIRST,
        );
    }
    let closed = matches!(back, BackAccess::Closed | BackAccess::Unknown);
    let goes_through = depth.through || depth.full;
    if goes_through && closed && (has(Role::Opens) || has(Role::HoldsPeople)) {
        judged.refer(
            id::REFER_BACK_CLOSED,
            format!("the repair goes through, and its back is {}", back_words(back)),
            BODY_SPECIALIST,
        );
    }
}

#[allow(clippy::too_many_arguments, reason = "one mark against one fixing, each part used once")]
fn by_fixing(
    book: &Book,
    panel: &PlacedPanel<'_>,
    placed: &PlacedMark<'_>,
    depth: &MarkDepth,
    extents: &Extents,
    parted: bool,
    near: &Watched<'_>,
    judged: &mut Judged,
) {
    let fixing = near.fixing;
    let carries = fixing.of.carries;
    let Some(reach) = &near.reach else { return };
    if clearance::is_far(panel, placed, extents, fixing, near.asked_mm) {
        return;
    }
    let found = clearance::of_mark(book, panel, placed, extents, fixing, reach);
    let mark = placed.of;
    let deep = depth.cases.high.in_glass() || is_drummy(mark) || parted;
    let on = near.over.unwrap_or(panel.of);
    let assumed = if on.fixings_assumed { ", assumed there," } else { "" };
    let of = near.over.map_or_else(String::new, |of| format!(" of the {} over the seam", of.name));
    let says = |limit_mm: f64| {
        let state = match fixing.of.state {
            FixingState::NotSeen => String::new(),
            state => format!(" ({})", state.words()),
        };
        format!(
            "it may come within {:.0} mm of {:?}{of}{state}{assumed} which carries: {} (limit {limit_mm:.0} mm)",
            found.high_mm,
            fixing.of.name,
            carries.words()
        )
    };
    let mut refer = |rule, text: String, who| {
        let over = near.over.map(|of| of.name.clone());
        judged.reasons.push(Reason { rule, text, who, carries: Some(carries), over });
    };
    let failed = fixing.of.state.has_failed();
    match carries.row() {
        LoadRow::Vital => {
            let limit_mm = book.figure(id::REFER_VITAL);
            if found.high_mm <= limit_mm {
                refer(id::REFER_VITAL, says(limit_mm), SAFETY_ENGINEER);
            }
        }
        LoadRow::Moving => {
            let limit_mm = book.figure(id::REFER_MOVING);
            if found.high_mm <= limit_mm {
                refer(id::REFER_MOVING, says(limit_mm), BODY_SPECIALIST);
            }
        }
        LoadRow::BodyMount => {
            let rule = if deep || failed { id::REFER_BODY_MOUNT } else { id::REFER_BODY_MOUNT_GEL };
            let limit_mm = book.figure(rule);
            if found.high_mm <= limit_mm {
                refer(rule, says(limit_mm), BODY_SPECIALIST);
            }
        }
        LoadRow::Bracket => {
            let limit_mm = book.figure(id::REFER_BRACKET);
            if found.high_mm > limit_mm {
                return;
            }
            if depth.through || mark.edges_move == Tried::Yes || failed {
                let why = if depth.through {
                    "the mark goes through"
                } else if failed {
                    "the fixing has failed"
                } else {
                    "the lips move"
                };
                refer(id::REFER_BRACKET, format!("{}; {why}", says(limit_mm)), BODY_SPECIALIST);
            } else if !matches!(mark.cause, Cause::Closed { .. }) {
                judged.bracket_cause = Some(format!(
                    "{:?} ({}) is {:.0} mm away: find out why the panel cracks there and put that right",
                    fixing.of.name,
                    carries.words(),
                    found.high_mm
                ));
            }
        }
        LoadRow::Light => {
            if found.solved_mm > 0.0 {
                return;
            }
            if failed {
                refer(id::REFER_FAILED_FIXING, says(0.0), BODY_SPECIALIST);
            } else {
                judged.nearby.push(Nearby {
                    rule: id::NOTE_LIGHT,
                    text: format!(
                        "the mark reaches {:?} ({}): take it off first, and clamp it again only on a flat, cured seat",
                        fixing.of.name,
                        carries.words()
                    ),
                });
            }
        }
    }
    if failed {
        by_failed_fixing(book, near, found.high_mm, judged);
    }
}

/// A fixing reported as failed refers every mark within its row's distance.
fn by_failed_fixing(book: &Book, near: &Watched<'_>, high_mm: f64, judged: &mut Judged) {
    let fixing = near.fixing;
    let carries = fixing.of.carries;
    if carries.row() != LoadRow::Light && high_mm <= largest_mm(book, carries) {
        judged.reasons.push(Reason {
            rule: id::REFER_FAILED_FIXING,
            text: format!("{:?} is reported {}", fixing.of.name, fixing.of.state.words()),
            who: BODY_SPECIALIST,
            carries: Some(carries),
            over: near.over.map(|of| of.name.clone()),
        });
    }
}

/// Whether a back can be worked on, inside a sentence.
const fn back_words(back: BackAccess) -> &'static str {
    match back {
        BackAccess::Reached => "within reach",
        BackAccess::NotSeen => "within reach, though nobody has looked",
        BackAccess::Closed => "closed in",
        BackAccess::Unknown => "closed in for all that anybody has said",
    }
}
