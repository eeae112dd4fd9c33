//! Random panels and marks.

use proptest::prelude::*;
use proptest::sample::select;

/// Skins by number: flat, domed, rolled one way, domed with a loaded region all over. All are
/// 900 mm by 700 mm over the skin.
pub(crate) const SKINS: [&str; 4] = [
    "Flat(length_mm: 900, width_mm: 700)",
    "Moulding(kind: sheet, length_mm: 900, width_mm: 700, crown_along_mm: 25, crown_across_mm: 18)",
    "Moulding(kind: sheet, length_mm: 900, width_mm: 700, crown_across_mm: 30)",
    "Moulding(kind: sheet, length_mm: 900, width_mm: 700, crown_along_mm: 25, crown_across_mm: 18), \
     regions: [(name: \"web\", outline: [(-1, -1), (901, -1), (901, 701), (-1, 701)], loaded: true)]",
];
/// Length and width of every skin, mm.
pub(crate) const SIZE: (f64, f64) = (900.0, 700.0);

/// What a fixing carries, all words.
pub(crate) const CARRIES: [&str; 31] = [
    "seat",
    "belt",
    "child_seat",
    "steering",
    "suspension",
    "brake",
    "pedals",
    "motor_mount",
    "battery_tray",
    "tank",
    "roll_hoop",
    "pyrotechnic_device",
    "unknown",
    "hinge",
    "latch",
    "striker",
    "prop",
    "grab_rail",
    "step",
    "towing",
    "jacking",
    "lifting",
    "body_mount",
    "bracket",
    "bumper",
    "mirror",
    "handle",
    "wiper",
    "aerofoil",
    "lamp",
    "trim",
];

pub(crate) const KINDS: [&str; 11] = [
    "crazing",
    "gel_crack",
    "chip",
    "star",
    "crack_at_fixing",
    "delamination",
    "blisters",
    "old_repair",
    "through_crack",
    "hole",
    "other",
];

/// Everything that may be recorded as seen.
pub(crate) const EVIDENCE: [&str; 17] = [
    "through",
    "heat_below_gel",
    "battery_damage",
    "seam_letting_go",
    "distortion",
    "drummy",
    "wet",
    "flexes",
    "broken_fibre",
    "loose_torn_edge",
    "does_not_latch",
    "rust_stain",
    "rings",
    "parallel",
    "radiating",
    "one_sided_patch",
    "heat_near",
];

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fixing {
    pub(crate) carries: &'static str,
    pub(crate) state: &'static str,
    pub(crate) at: (f64, f64),
    pub(crate) radius_mm: Option<f64>,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Fixings {
    Unknown,
    NoneSeen,
    Listed(Vec<Fixing>),
}

#[derive(Debug, Clone)]
pub(crate) struct Panel {
    pub(crate) skin: usize,
    pub(crate) thickness_mm: f64,
    pub(crate) material: &'static str,
    pub(crate) roles: Vec<&'static str>,
    pub(crate) back: &'static str,
    pub(crate) fixings: Fixings,
}

/// Form of a mark; a line's kind takes the first three, a patch's kind the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    Straight,
    UnknownWay,
    Traced,
    Rectangle,
    Oval,
    UnknownAngle,
    Spot,
    Outline,
}

#[derive(Debug, Clone)]
pub(crate) struct Mark {
    pub(crate) kind: &'static str,
    pub(crate) form: Form,
    pub(crate) depth: &'static str,
    pub(crate) layer: &'static str,
    pub(crate) size: (f64, f64),
    pub(crate) angle: f64,
    pub(crate) at: (f64, f64),
    pub(crate) taped: bool,
    pub(crate) lips: &'static str,
    pub(crate) evidence: Vec<&'static str>,
    pub(crate) cause: &'static str,
    pub(crate) back: Option<&'static str>,
    pub(crate) back_share: Option<f64>,
    pub(crate) side: &'static str,
    pub(crate) watch_only: bool,
    pub(crate) reading: Option<f64>,
    /// How much longer a trace has become at each end, mm.
    pub(crate) ends_mm: f64,
}

/// A random survey: one panel, one to three marks.
#[derive(Debug, Clone)]
pub(crate) struct Drawn {
    pub(crate) panel: Panel,
    pub(crate) marks: Vec<Mark>,
}

fn fixing() -> impl Strategy<Value = Fixing> {
    let state = prop_oneof![
        6 => select(vec!["sound", "not_seen", "seized", "corroded"]),
        1 => select(vec!["loose", "cracked", "corroded_through", "torn_out"]),
    ];
    let radius = prop::option::of(2.0..60.0_f64);
    (select(CARRIES.to_vec()), state, (0.03..0.97_f64, 0.03..0.97_f64), radius).prop_map(
        |(carries, state, share, radius)| Fixing {
            carries,
            state,
            at: ((share.0 * SIZE.0).round(), (share.1 * SIZE.1).round()),
            radius_mm: radius.map(f64::round),
        },
    )
}

fn panel() -> impl Strategy<Value = Panel> {
    let fixings = prop_oneof![
        1 => Just(Fixings::Unknown),
        3 => Just(Fixings::NoneSeen),
        10 => prop::collection::vec(fixing(), 1..4).prop_map(Fixings::Listed),
        10 => fixing().prop_map(|one| Fixings::Listed(vec![one])),
    ];
    let thickness = prop_oneof![4 => 1.5..5.0_f64, 1 => 5.0..24.0_f64];
    let material = prop_oneof![
        5 => Just("hand_laid_polyester"),
        3 => select(vec!["unknown", "epoxy", "compression_moulded"]),
        1 => select(vec!["carbon_or_aramid", "thermoplastic", "cored"]),
    ];
    let roles = prop_oneof![
        4 => Just(vec!["skin"]),
        3 => Just(vec!["opens"]),
        1 => Just(vec!["skin", "opens"]),
        1 => Just(vec!["holds_people"]),
        1 => Just(vec!["opens", "holds_people"]),
        1 => Just(vec!["stressed"]),
        1 => Just(vec!["unknown"]),
    ];
    let back = select(vec!["reached", "reached", "not_seen", "closed", "unknown"]);
    (0..SKINS.len(), thickness, material, roles, back, fixings).prop_map(
        |(skin, thickness, material, roles, back, fixings)| Panel {
            skin,
            thickness_mm: (thickness * 10.0).round() / 10.0,
            material,
            roles,
            back,
            fixings,
        },
    )
}

fn mark() -> impl Strategy<Value = Mark> {
    use Form::{Outline, Oval, Rectangle, Spot, Straight, Traced, UnknownAngle, UnknownWay};
    let line = select(vec![Straight, UnknownWay, Traced]);
    let patch = select(vec![Rectangle, Oval, UnknownAngle, Spot, Outline]);
    let depth = select(vec!["unknown", "unknown", "paint", "gel", "first_glass", "half", "full"]);
    let layer = select(vec!["unknown", "paint", "gel", "laminate"]);
    let size = (prop_oneof![4 => 3.0..120.0_f64, 1 => 120.0..300.0_f64], 0.3..1.0_f64);
    let evidence = prop_oneof![
        3 => Just(Vec::new()),
        1 => prop::sample::subsequence(EVIDENCE.to_vec(), 1..3),
    ];
    let more = (
        prop::bool::weighted(0.2),
        select(vec!["not_tried", "no", "no", "yes"]),
        evidence,
        select(vec![
            "unknown",
            "Open(what: \"a gap\", who: trade)",
            "Closed(what: \"a knock, long past\")",
        ]),
        prop::option::weighted(0.2, select(vec!["reached", "not_seen", "closed"])),
        prop::option::weighted(0.3, 0.4..2.5_f64),
        select(vec!["outer", "outer", "outer", "back"]),
        prop::bool::weighted(0.1),
    );
    let place = (0.02..0.98_f64, 0.02..0.98_f64);
    (select(KINDS.to_vec()), line, patch, depth, layer, size, -90.0..90.0_f64, place, more)
        .prop_map(|(kind, line, patch, depth, layer, size, angle, place, more)| {
            let (taped, lips, evidence, cause, back, back_share, side, watch_only) = more;
            let is_line = matches!(kind, "gel_crack" | "crack_at_fixing" | "through_crack");
            Mark {
                kind,
                form: if is_line { line } else { patch },
                depth,
                layer,
                size: (size.0.round(), (size.0 * size.1).round().max(2.0)),
                angle: angle.round(),
                at: ((place.0 * SIZE.0).round(), (place.1 * SIZE.1).round()),
                taped,
                lips,
                evidence,
                cause,
                back,
                back_share: back_share.filter(|_| is_line),
                side,
                watch_only,
                reading: None,
                ends_mm: 0.0,
            }
        })
}

/// A random survey.
pub(crate) fn drawn() -> impl Strategy<Value = Drawn> {
    let marks = prop_oneof![
        3 => prop::collection::vec(mark(), 1..2),
        1 => prop::collection::vec(mark(), 2..4),
    ];
    (panel(), marks).prop_map(|(panel, marks)| Drawn { panel, marks })
}
