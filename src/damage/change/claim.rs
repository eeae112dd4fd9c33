//! Which size has changed beyond what both surveys may be off?
//!
//! Each survey sees the end of a crack or patch to within [`end_error_mm`]; the error of a change is
//! the root of the sum of squares. Lengths mm, areas mm2.

use super::Looked;
use crate::damage::Finding;
use crate::model::survey::{LightWas, SeenNow, TapePeople};
use crate::read::job::Job;
use crate::rules::id;
use crate::surface::marks::{Form, Patch};

/// What may be said of a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Claim {
    /// Larger beyond error.
    Grown,
    /// Smaller beyond error.
    Smaller,
    /// Neither.
    WithinError,
    /// It was not measured this time: nothing may be said.
    NotMeasured,
}

impl Claim {
    /// The word of the record.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Grown => "grown",
            Self::Smaller => "smaller",
            Self::WithinError => "not_beyond_error",
            Self::NotMeasured => "not_measured",
        }
    }
}

/// A size in both surveys.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeChange {
    /// Which size.
    pub what: &'static str,
    /// It is an area.
    pub is_area: bool,
    /// Then, mm or mm2.
    pub before: f64,
    /// Now, mm or mm2.
    pub now: f64,
    /// Error of their difference, 95 %, mm or mm2.
    pub error: f64,
    /// What may be said.
    pub claim: Claim,
}

/// How well a survey sees where a crack or patch ends, 95 %, mm.
#[must_use]
pub fn end_error_mm(job: &Job) -> f64 {
    let alone = job.survey.people == TapePeople::One && job.survey.light_is != LightWas::Good;
    job.book.figure(if alone { id::CHANGE_END_ALONE } else { id::CHANGE_END })
}

/// A change with what may be said of it.
#[must_use]
pub fn claimed(before: f64, now: f64, error: f64, measured: bool) -> Claim {
    if !measured {
        Claim::NotMeasured
    } else if now - before > error {
        Claim::Grown
    } else if before - now > error {
        Claim::Smaller
    } else {
        Claim::WithinError
    }
}

/// Sizes of marks that are one, in both surveys; none where one survey lacks them.
pub(super) fn sizes(
    earlier: &Looked<'_>,
    later: &Looked<'_>,
    before: &[&Finding<'_>],
    now: &[&Finding<'_>],
) -> Vec<SizeChange> {
    if before.is_empty() || now.is_empty() {
        return Vec::new();
    }
    let measured = now.iter().all(|one| one.mark().now == SeenNow::Measured);
    let (then_mm, now_mm) = (end_error_mm(earlier.job), end_error_mm(later.job));
    let length = |what: &'static str, before: f64, now: f64, error: f64| SizeChange {
        what,
        is_area: false,
        before,
        now,
        error,
        claim: claimed(before, now, error, measured),
    };
    let error_mm = then_mm.hypot(now_mm);
    if let ([was], [is]) = (before, now) {
        return match (&was.placed.form, &is.placed.form) {
            (Form::Line(one), Form::Line(other)) => {
                let mut found = vec![length("length", one.length_mm, other.length_mm, error_mm)];
                let backs = (was.mark().back_length_mm, is.mark().back_length_mm);
                if let (Some(one), Some(other)) = backs {
                    let back = length("length on the back", one.value(), other.value(), error_mm);
                    found.push(back);
                }
                found
            }
            (Form::Patch(one), Form::Patch(other)) if is_round(one) && is_round(other) => {
                vec![length("diameter", one.length_mm, other.length_mm, error_mm)]
            }
            (Form::Patch(one), Form::Patch(other)) => vec![
                length("longer side", one.length_mm, other.length_mm, error_mm),
                length("shorter side", one.width_mm, other.width_mm, error_mm),
            ],
            (one, other) => {
                vec![length("longest extent", longest_mm(one), longest_mm(other), error_mm)]
            }
        };
    }
    let forms = |found: &[&Finding<'_>]| -> Vec<Form> {
        found.iter().map(|one| one.placed.form.clone()).collect()
    };
    let (was, is) = (forms(before), forms(now));
    let all_lines = was.iter().chain(&is).all(|form| matches!(form, Form::Line(_)));
    if all_lines {
        let sum = |forms: &[Form]| forms.iter().map(longest_mm).sum::<f64>();
        let squares = was.len() as f64 * then_mm.powi(2) + is.len() as f64 * now_mm.powi(2);
        return vec![length("length together", sum(&was), sum(&is), squares.sqrt())];
    }
    let area = |forms: &[Form]| forms.iter().map(area_mm2).sum::<f64>();
    let squares = |forms: &[Form], end_mm: f64| {
        forms.iter().map(|form| area_error_mm2(form, end_mm).powi(2)).sum::<f64>()
    };
    let error = (squares(&was, then_mm) + squares(&is, now_mm)).sqrt();
    let (then, today) = (area(&was), area(&is));
    vec![SizeChange {
        what: "area together",
        is_area: true,
        before: then,
        now: today,
        error,
        claim: claimed(then, today, error, measured),
    }]
}

fn is_round(patch: &Patch) -> bool {
    patch.turns_into_itself && (patch.length_mm - patch.width_mm).abs() < 1e-9
}

fn longest_mm(form: &Form) -> f64 {
    match form {
        Form::Line(line) => line.length_mm,
        Form::Patch(patch) => patch.length_mm,
    }
}

fn area_mm2(form: &Form) -> f64 {
    match form {
        Form::Line(_) => 0.0,
        Form::Patch(patch) => patch.area_mm2,
    }
}

/// Error of length times width, each side off by the same.
fn area_error_mm2(form: &Form, end_mm: f64) -> f64 {
    match form {
        Form::Line(_) => 0.0,
        Form::Patch(patch) => end_mm * patch.length_mm.hypot(patch.width_mm),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two surveys of two people each: 10 mm and 10 mm, so 14.1 mm.
    #[test]
    fn a_change_counts_beyond_the_root_of_the_squares() {
        let error = 10.0_f64.hypot(10.0);
        assert_eq!(claimed(140.0, 165.0, error, true), Claim::Grown);
        assert_eq!(claimed(140.0, 154.0, error, true), Claim::WithinError);
        assert_eq!(claimed(140.0, 155.0, error, true), Claim::Grown);
        assert_eq!(claimed(140.0, 125.0, error, true), Claim::Smaller);
        assert_eq!(claimed(140.0, 126.0, error, true), Claim::WithinError);
        assert_eq!(claimed(140.0, 140.0, error, false), Claim::NotMeasured);
    }
}
