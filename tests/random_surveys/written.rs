//! Random panels and marks as files.

use std::fmt::Write as _;

use super::drawn::{Fixing, Fixings, Form, Mark, Panel, SIZE, SKINS};

impl Mark {
    /// It goes through by its kind or by what was seen.
    pub(crate) fn is_through(&self) -> bool {
        matches!(self.kind, "through_crack" | "hole") || self.evidence.contains(&"through")
    }

    /// A place on the panel, from along and across the mark.
    fn point(&self, x: f64, y: f64) -> (f64, f64) {
        let (sin, cos) = self.angle.to_radians().sin_cos();
        (self.at.0 + x * cos - y * sin, self.at.1 + x * sin + y * cos)
    }

    /// The points of a trace or an outline, before the panel's edges.
    pub(crate) fn points(&self) -> Vec<(f64, f64)> {
        let (x, y) = (self.size.0 / 2.0, self.size.1 / 2.0);
        if self.form == Form::Outline {
            return vec![
                self.point(-x, -y),
                self.point(x, -y),
                self.point(x, y),
                self.point(-x, y),
            ];
        }
        let mut all = vec![self.point(-x, 0.0), self.point(0.0, y / 2.0), self.point(x, 0.0)];
        for (end, next) in [(0, 1), (2, 1)] {
            let out = (all[end].0 - all[next].0, all[end].1 - all[next].1);
            let share = 1.0 + self.ends_mm / out.0.hypot(out.1);
            all[end] = (all[next].0 + out.0 * share, all[next].1 + out.1 * share);
        }
        all
    }

    /// All of it lies on the panel, so that no edge moves a point.
    pub(crate) fn points_on_panel(&self) -> bool {
        let on = |at: f64, size: f64| (1.0..=size - 1.0).contains(&at);
        self.points().iter().all(|(u, v)| on(*u, SIZE.0) && on(*v, SIZE.1))
    }

    fn shape(&self) -> String {
        let ((length, width), angle) = (self.size, self.angle);
        let traced = |more: &str| {
            let on = |(u, v): &(f64, f64)| {
                let (u, v) = (u.clamp(1.0, SIZE.0 - 1.0), v.clamp(1.0, SIZE.1 - 1.0));
                format!("On({u:.3}, {v:.3})")
            };
            let points: Vec<String> = self.points().iter().map(on).collect();
            format!("Traced(points: [{}]{more})", points.join(", "))
        };
        let patch = |more: &str| format!("Patch(length_mm: {length}, width_mm: {width}{more})");
        match self.form {
            Form::Straight => format!("Line(length_mm: {length}, direction: Angle({angle}))"),
            Form::UnknownWay => format!("Line(length_mm: {length})"),
            Form::Traced => traced(""),
            Form::Rectangle => patch(&format!(", angle_deg: {angle}")),
            Form::Oval => patch(&format!(", angle_deg: {angle}, outline: oval")),
            Form::UnknownAngle => patch(""),
            Form::Spot => format!("Spot(diameter_mm: {length})"),
            Form::Outline => traced(", closed: true"),
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
