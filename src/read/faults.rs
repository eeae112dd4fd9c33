//! Collects the faults of one file, each in the same words.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::ops::RangeInclusive;

use super::text::{Loaded, nearest, row_of};
use crate::diagnostic::Diagnostic;
use crate::model::GridPlace;
use crate::model::panel::PanelPlace;

/// More faults of one file than a person works through in one go.
const MOST: usize = 1000;

/// The faults found so far in one file.
pub(super) struct Faults<'l> {
    loaded: &'l Loaded,
    found: Vec<Diagnostic>,
}

impl<'l> Faults<'l> {
    pub(super) const fn new(loaded: &'l Loaded) -> Self {
        Self { loaded, found: Vec::new() }
    }

    pub(super) fn into_found(self) -> Vec<Diagnostic> {
        self.found
    }

    pub(super) fn add(
        &mut self,
        field: &str,
        code: &'static str,
        problem: impl Into<String>,
        accepted: impl Into<String>,
        way_out: impl Into<String>,
    ) {
        match self.found.len() {
            count if count < MOST => {
                self.found.push(self.loaded.fault(field, code, problem, accepted, way_out));
            }
            MOST => self.found.push(self.loaded.fault_at(
                None,
                "",
                "READ-MANY",
                format!("more than {MOST} faults; the rest are not listed"),
                "a file without faults",
                "put right what they have in common, then check again",
            )),
            _ => {}
        }
    }

    /// A figure has to be a number within the range.
    pub(super) fn range(
        &mut self,
        field: &str,
        what: &str,
        value: f64,
        unit: &str,
        range: RangeInclusive<f64>,
    ) -> bool {
        let (least, most) = (*range.start(), *range.end());
        let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
        let accepted = format!("{}{unit} to {}{unit}", Grouped(least), Grouped(most));
        if !value.is_finite() {
            let sort = if value.is_nan() { "not a number" } else { "without limit" };
            self.add(
                field,
                "READ-NUMBER",
                format!("{what}: found {value}, which is {sort}"),
                accepted,
                "write the figure as measured, or leave the field out where it may be left out",
            );
            return false;
        }
        if range.contains(&value) {
            return true;
        }
        let size = if value < 0.0 && least >= 0.0 {
            "less than nothing"
        } else if value < least {
            "too small to be meant"
        } else {
            "too large to be meant"
        };
        self.add(
            field,
            "READ-RANGE",
            format!("{what}: found {}{unit}, {size}", Grouped(value)),
            accepted,
            "look at the unit in the field's name and at the reading",
        );
        false
    }

    /// As [`Faults::range`], where a figure is given.
    pub(super) fn range_if(
        &mut self,
        field: &str,
        what: &str,
        value: Option<f64>,
        unit: &str,
        range: RangeInclusive<f64>,
    ) {
        if let Some(value) = value {
            self.range(field, what, value, unit, range);
        }
    }

    /// A name has to have letters.
    pub(super) fn name(&mut self, field: &str, what: &str, name: &str) {
        if name.trim().is_empty() {
            self.add(
                field,
                "READ-NAME-EMPTY",
                format!("{what} has an empty name"),
                "at least one letter or digit",
                "write the word by which it is known",
            );
        } else if name.chars().count() > 200 {
            self.add(
                field,
                "READ-NAME-EMPTY",
                format!("{what} has a name of {} characters", name.chars().count()),
                "at most 200 characters",
                "shorten it and put the rest into a `note`",
            );
        }
    }

    /// Names of one kind have to differ.
    pub(super) fn unlike<T: Ord + Display>(
        &mut self,
        what: &str,
        names: &[T],
        field: impl Fn(usize) -> String,
    ) {
        let mut first_with: BTreeMap<&T, usize> = BTreeMap::new();
        for (number, name) in names.iter().enumerate() {
            let first = *first_with.entry(name).or_insert(number);
            if first != number {
                self.add(
                    &field(number),
                    "READ-NAME-TWICE",
                    format!("{what} {name} is there twice, first as {}", field(first)),
                    "each name once",
                    "rename one of them",
                );
            }
        }
    }

    /// A name has to be one of those that are known.
    pub(super) fn known(&mut self, field: &str, what: &str, name: &str, known: &[&str]) -> bool {
        if known.contains(&name) {
            return true;
        }
        let way_out = match nearest(name, known.iter().copied()) {
            Some(near) => format!("write {near:?} if that is meant"),
            None if known.is_empty() => format!("there is no {what} yet: add it first"),
            None => "choose one of them, or add it first".to_owned(),
        };
        let quoted: Vec<String> = known.iter().take(30).map(|name| format!("{name:?}")).collect();
        let quoted: Vec<&str> = quoted.iter().map(String::as_str).collect();
        self.add(
            field,
            "READ-NAME-UNKNOWN",
            format!("there is no {what} called {name:?}"),
            row_of(&quoted),
            way_out,
        );
        false
    }

    /// An outline has to have corners, and each of them figures.
    pub(super) fn outline(&mut self, field: &str, what: &str, corners: &[GridPlace]) {
        if corners.len() < 3 {
            self.add(
                field,
                "READ-OUTLINE",
                format!("{what} has {} corners", corners.len()),
                "three corners or more, each as (u, v) in mm",
                "give the corners in order round the outline",
            );
        }
        for (number, corner) in corners.iter().enumerate() {
            self.grid_place(&format!("{field}[{number}]"), what, *corner);
        }
    }

    /// As [`Faults::outline`], each corner on the grid or in space.
    pub(super) fn panel_outline(&mut self, field: &str, what: &str, corners: &[PanelPlace]) {
        let flat: Vec<GridPlace> = corners.iter().filter_map(PanelPlace::on_grid).collect();
        if flat.len() == corners.len() || corners.len() < 3 {
            return self.outline(field, what, &flat);
        }
        for (number, corner) in corners.iter().enumerate() {
            self.panel_place(&format!("{field}[{number}]"), what, corner);
        }
    }

    /// A place on the grid or in space.
    pub(super) fn panel_place(&mut self, field: &str, what: &str, place: &PanelPlace) {
        match place {
            PanelPlace::Grid(..)
                if self.loaded.written(field).is_some_and(|text| text.starts_with("Xyz")) =>
            {
                self.add(
                    field,
                    "READ-PLACE",
                    format!("{what}: Xyz with two numbers"),
                    "Xyz(x, y, z) in space, or (u, v) on the grid",
                    "give all three coordinates",
                );
            }
            PanelPlace::Grid(u, v) => self.grid_place(field, what, (*u, *v)),
            PanelPlace::Space((x, y, z)) => {
                for (axis, (name, value)) in [("x", x), ("y", y), ("z", z)].into_iter().enumerate()
                {
                    let field = format!("{field}[{axis}]");
                    self.range(&field, &format!("{what}, {name}"), value.value(), "mm", SPACE);
                }
            }
        }
    }

    /// A place on a panel's grid has to be within what a panel can measure.
    pub(super) fn grid_place(&mut self, field: &str, what: &str, place: GridPlace) {
        self.range(&format!("{field}[0]"), &format!("{what}, u"), place.0.value(), "mm", GRID);
        self.range(&format!("{field}[1]"), &format!("{what}, v"), place.1.value(), "mm", GRID);
    }
}

/// Coordinates on a panel's grid, mm (choice: the largest panel either way from its origin).
pub(super) const GRID: RangeInclusive<f64> = -15_000.0..=15_000.0;

/// Coordinates of a scan, mm (choice: a scan of a whole vehicle on a workshop's axes).
pub(super) const SPACE: RangeInclusive<f64> = -100_000.0..=100_000.0;

/// A figure with its thousands grouped, as a person reads it.
struct Grouped(f64);

impl Display for Grouped {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.0.abs() < 10_000.0 || self.0.fract() != 0.0 || self.0.abs() > 1e12 {
            return write!(out, "{}", self.0);
        }
        let digits = format!("{:.0}", self.0.abs());
        if self.0 < 0.0 {
            out.write_str("-")?;
        }
        for (number, digit) in digits.chars().enumerate() {
            if number > 0 && (digits.len() - number).is_multiple_of(3) {
                out.write_str(",")?;
            }
            write!(out, "{digit}")?;
        }
        Ok(())
    }
}
