//! Stop lines: what must not be done with the vehicle until somebody has looked.

use super::referral::Reason;
use crate::model::panel::{Carries, LoadRow, Panel, Role};
use crate::model::survey::{Evidence, Mark};
use crate::rules::id;

/// One reason to stop, of one mark or fixing.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stop {
    /// The rule.
    pub rule: &'static str,
    /// What must not be done, in words.
    pub text: String,
    /// Where: the panel and what is on it.
    pub place: String,
}

/// What a referred or hurt mark stops.
#[must_use]
pub fn of_mark(
    of: &Panel,
    name: &str,
    mark: &Mark,
    reasons: &[Reason],
    in_glass: bool,
) -> Vec<Stop> {
    let mut stops = Vec::new();
    let has = |role| of.roles.contains(&role);
    let drive = |text: String| Stop { rule: id::STOP_DRIVE, text, place: name.to_owned() };
    let carry = |text: String| Stop { rule: id::STOP_CARRY, text, place: name.to_owned() };
    for reason in reasons.iter().filter(|reason| reason.over.is_none()) {
        stops.extend(of_reason(reason, has(Role::Opens), name));
    }
    if has(Role::HoldsPeople) && (in_glass || !reasons.is_empty()) {
        stops.push(carry(format!(
            "do not carry anyone behind or on the {name}: it may not hold them"
        )));
    }
    if mark.evidence.contains(&Evidence::DoesNotLatch) {
        stops.push(drive(format!("do not drive: the {name} does not latch")));
        stops.push(carry(format!("do not carry anyone behind the {name}: it does not latch")));
    }
    if mark.evidence.contains(&Evidence::LooseTornEdge) {
        stops.push(drive(format!("do not drive: a loose torn edge on the {name} can break off")));
    }
    stops.sort();
    stops.dedup();
    stops
}

fn of_reason(reason: &Reason, opens: bool, name: &str) -> Vec<Stop> {
    let mut stops = Vec::new();
    if reason.rule == id::REFER_FIXINGS_UNKNOWN {
        stops.push(Stop {
            rule: id::STOP_DRIVE,
            text: format!(
                "do not drive until somebody has looked: nobody has said what is fixed to the {name}"
            ),
            place: name.to_owned(),
        });
    }
    if let Some(carries) = reason.carries {
        stops.extend(of_load(carries, opens, name));
    }
    stops
}

/// What a mark stops on a panel that its own is moulded in one with.
#[must_use]
pub fn over_seam(of: &Panel, name: &str, reasons: &[Reason]) -> Vec<Stop> {
    let has = |role| of.roles.contains(&role);
    let there: Vec<&Reason> =
        reasons.iter().filter(|reason| reason.over.as_deref() == Some(name)).collect();
    let mut stops: Vec<Stop> =
        there.iter().flat_map(|reason| of_reason(reason, has(Role::Opens), name)).collect();
    if has(Role::HoldsPeople) && !there.is_empty() {
        stops.push(Stop {
            rule: id::STOP_CARRY,
            text: format!("do not carry anyone behind or on the {name}: it may not hold them"),
            place: name.to_owned(),
        });
    }
    stops.sort();
    stops.dedup();
    stops
}

/// What a fixing that has failed stops, with or without a mark.
#[must_use]
pub fn of_load(carries: Carries, opens: bool, name: &str) -> Vec<Stop> {
    let stop = |rule, text: String| Stop { rule, text, place: name.to_owned() };
    let mut stops = Vec::new();
    match carries {
        Carries::Hinge | Carries::Latch | Carries::Striker | Carries::Prop if opens => {
            stops.push(stop(
                id::STOP_DRIVE,
                format!("do not drive: the {name} is hurt where it hinges, latches or is propped, and may open"),
            ));
        }
        Carries::Striker | Carries::Hinge | Carries::Latch => {
            stops.push(stop(
                id::STOP_DRIVE,
                format!("do not drive: what shuts against the {name} may open"),
            ));
        }
        Carries::Seat | Carries::Belt | Carries::ChildSeat => {
            let what = carries.words();
            stops.push(stop(
                id::STOP_DRIVE,
                format!("do not drive: the {what} on the {name} may not hold"),
            ));
            stops.push(stop(
                id::STOP_CARRY,
                format!("do not carry anyone on the {what} of the {name}"),
            ));
        }
        Carries::Jacking
        | Carries::Lifting
        | Carries::Towing
        | Carries::Step
        | Carries::GrabRail => {
            let verb = match carries {
                Carries::Towing => "tow by",
                Carries::Step => "step on",
                Carries::GrabRail => "hold on to",
                _ => "jack or lift at",
            };
            stops.push(stop(
                id::STOP_JACK,
                format!("do not {verb} the {} of the {name}", carries.words()),
            ));
        }
        _ if carries.row() == LoadRow::Vital || carries == Carries::BodyMount => {
            stops.push(stop(
                id::STOP_DRIVE,
                format!(
                    "do not drive: the {} on the {name} may let go",
                    match carries {
                        Carries::Unknown => "fixing of unknown load",
                        other => other.words(),
                    }
                ),
            ));
        }
        _ => {}
    }
    stops
}
