//! Random panels and marks, and the survey that writes them down.

use std::fmt::Write as _;

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

impl Mark {
    /// It goes through by its kind or by what was seen.
    pub(crate) fn is_through(&self) -> bool {
        matches!(self.kind, "through_crack" | "hole") || self.evidence.contains(&"through")
    }

    fn shape(&self) -> String {
        let ((length, width), angle) = (self.size, self.angle);
        let (along, up) = angle.to_radians().sin_cos();
        let (along, up) = (up, along);
        let point = |x: f64, y: f64| {
            let u = (self.at.0 + x * along - y * up).clamp(1.0, SIZE.0 - 1.0);
            let v = (self.at.1 + x * up + y * along).clamp(1.0, SIZE.1 - 1.0);
            format!("On({u:.2}, {v:.2})")
        };
        let patch = |more: &str| format!("Patch(length_mm: {length}, width_mm: {width}{more})");
        match self.form {
            Form::Straight => format!("Line(length_mm: {length}, direction: Angle({angle}))"),
            Form::UnknownWay => format!("Line(length_mm: {length})"),
            Form::Traced => format!(
                "Traced(points: [{}, {}, {}])",
                point(-length / 2.0, 0.0),
                point(0.0, width / 4.0),
                point(length / 2.0, 0.0)
            ),
            Form::Rectangle => patch(&format!(", angle_deg: {angle}")),
            Form::Oval => patch(&format!(", angle_deg: {angle}, outline: oval")),
            Form::UnknownAngle => patch(""),
            Form::Spot => format!("Spot(diameter_mm: {length})"),
            Form::Outline => {
                let (x, y) = (length / 2.0, width / 2.0);
                let corners = [point(-x, -y), point(x, -y), point(x, y), point(-x, y)];
                format!("Traced(points: [{}], closed: true)", corners.join(", "))
            }
        }
    }

    /// Found by two tapes: on the flat skin only, where tapes are straight, and clear of the line
    /// between the landmarks.
    pub(crate) fn by_tape(&self, skin: usize) -> bool {
        self.taped && skin == 0 && self.at.1 > 150.0
    }

    fn text(&self, id: usize, skin: usize) -> String {
        let mut text = format!("(id: {id}, panel: \"p\", kind: {}, ", self.kind);
        let depth = match self.depth {
            "full" | "unknown" => self.depth,
            _ if self.is_through() => "unknown",
            depth => depth,
        };
        let _ = write!(text, "depth: {depth}, shape: {}, ", self.shape());
        let (u, v) = self.at;
        if !matches!(self.form, Form::Traced | Form::Outline) {
            if self.by_tape(skin) {
                let (a, b) = (u.hypot(v), (SIZE.0 - u).hypot(v));
                let tapes = format!("a: (\"a\", {a:.1}), b: (\"b\", {b:.1}), side: upper");
                let _ = write!(text, "place: Taped({tapes}), ");
            } else {
                let _ = write!(text, "place: On({u}, {v}), ");
            }
        }
        if self.kind == "blisters" {
            let _ = write!(text, "layer: {}, ", self.layer);
        }
        if let Some(share) = self.back_share {
            let _ = write!(text, "back_length_mm: {:.1}, ", (share * self.size.0).max(1.0));
        }
        if let Some(back) = self.back {
            let _ = write!(text, "back: {back}, ");
        }
        if let Some(reading) = self.reading {
            let _ = write!(text, "reading: {reading}, ");
        }
        let Self { side, lips, cause, watch_only, .. } = self;
        let _ = write!(
            text,
            "side: {side}, edges_move: {lips}, evidence: [{}], cause: {cause}, \
             watch_only: {watch_only})",
            self.evidence.join(", ")
        );
        text
    }
}

impl Panel {
    fn fixings(&self) -> String {
        let list = match &self.fixings {
            Fixings::Unknown => return "unknown".to_owned(),
            Fixings::NoneSeen => return "none_seen".to_owned(),
            Fixings::Listed(list) => list,
        };
        let one = |(number, fixing): (usize, &Fixing)| {
            let Fixing { carries, state, at: (u, v), radius_mm } = fixing;
            let radius =
                radius_mm.map_or_else(String::new, |mm| format!(", footprint_radius_mm: {mm}"));
            format!(
                "(name: \"f{number}\", at: ({u}, {v}), carries: {carries}, state: {state}{radius})"
            )
        };
        let all: Vec<String> = list.iter().enumerate().map(one).collect();
        format!("Listed([{}])", all.join(", "))
    }
}

/// The panel file of a skin.
pub(crate) fn panel_file(skin: usize) -> String {
    format!(
        "(format: 1, name: \"p\", surface: {}, \
         landmarks: [(name: \"a\", at: (0, 0)), (name: \"b\", at: ({}, 0))])",
        SKINS[skin], SIZE.0
    )
}

/// The survey of a panel and its marks, numbered from 1; the body has been dry for three days.
pub(crate) fn survey(panel: &Panel, marks: &[Mark]) -> String {
    let marks: Vec<String> = (1..).zip(marks).map(|(id, mark)| mark.text(id, panel.skin)).collect();
    format!(
        "(format: 1, topcoat: gel_finish, hours_dry: 72, \
         meter: (kind: \"pins\", reference: 12, step: 1), \
         panels: [(name: \"p\", file: \"p.ron\", thickness_mm: {}, material: {}, roles: [{}], \
         back: {}, fixings: {})], marks: [{}])",
        panel.thickness_mm,
        panel.material,
        panel.roles.join(", "),
        panel.back,
        panel.fixings(),
        marks.join(",\n")
    )
}
