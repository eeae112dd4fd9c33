//! What the marks that were opened up say of the growth of the others on this body.
//!
//! Takes marks as recorded and as found; gives, for every rule of growth with an opened mark, its
//! three factors re-estimated. The mean is that of a normal distribution of known spread in the
//! logarithm of found over seen (see [`ratio`] for short marks), the book's likely factor counting as so many marks (closed form:
//! the mean of prior and data weighted by their numbers; the spread of one more mark is
//! s sqrt(1 + 1/n)). What is learnt of a body holds for that body only.

use std::f64::consts::PI;

use super::Finding;
use super::growth::{line_mm, outward_mm, rules_of};
use crate::model::opened::FoundMark;
use crate::model::survey::{PatchOutline, Shape};
use crate::quantity::Cases;
use crate::read::opened::OpenedUp;
use crate::rules::{Book, id};
use crate::surface::marks::Form;

/// What was learnt of one rule of growth.
#[derive(Debug, Clone, PartialEq)]
pub struct Learnt {
    /// The rule of growth.
    pub rule: &'static str,
    /// Marks that were opened, each with what it says of the factor: [`ratio`].
    pub ratios: Vec<(u32, f64)>,
    /// Factors of the book.
    pub before: Cases<f64>,
    /// Factors for the other marks.
    pub after: Cases<f64>,
}

/// Factors re-estimated from ratios found over seen; those of the book when there is none.
///
/// A ratio below 1 counts as 1, and no factor is below 1. The larger any ratio, the larger or
/// equal every factor.
#[must_use]
pub fn factors(book: Cases<f64>, ratios: &[f64], worth: f64) -> Cases<f64> {
    if ratios.is_empty() {
        return book;
    }
    let logs: Vec<f64> = ratios.iter().map(|ratio| ratio.max(1.0).ln()).collect();
    let (count, known) = (logs.len() as f64, worth + logs.len() as f64);
    let middle = (worth * book.likely.ln() + logs.iter().sum::<f64>()) / known;
    // Low and high stand off the middle as the book's do, by a spread that narrows with the mean.
    let narrower = ((1.0 + 1.0 / known) / (1.0 + 1.0 / (known - count))).sqrt();
    let stands_off = |figure: f64| (figure / book.likely).ln() * narrower;
    let least = logs.iter().copied().fold(f64::INFINITY, f64::min);
    let most = logs.iter().copied().fold(0.0, f64::max);
    Cases {
        low: (middle + stands_off(book.low)).min(least).max(0.0).exp(),
        likely: middle.max(0.0).exp(),
        high: (middle + stands_off(book.high)).max(most).max(0.0).exp(),
    }
}

/// Found over seen of a mark: of length for a crack, of area otherwise; none where nothing was
/// seen to compare with.
#[must_use]
pub fn found_over_seen(recorded: &Finding<'_>, found: &FoundMark) -> Option<f64> {
    let seen = match &recorded.placed.form {
        Form::Line(line) => line.length_mm,
        Form::Patch(patch) => patch.area_mm2,
    };
    let beyond_mm = found.beyond_mm.map(|(before, after)| before.value() + after.value());
    let size = match (&recorded.placed.form, found.area_m2, found.length_mm, found.width_mm) {
        (Form::Line(_), _, length, _) => {
            length.map(|length| length.value()).or(beyond_mm.map(|more_mm| seen + more_mm))?
        }
        (Form::Patch(_), Some(area), ..) => area.value() * 1e6,
        (Form::Patch(_), None, length, width) => {
            let oval = matches!(
                recorded.mark().shape,
                Shape::Spot { .. } | Shape::Patch { outline: PatchOutline::Oval, .. }
            );
            length?.value() * width?.value() * if oval { PI / 4.0 } else { 1.0 }
        }
    };
    (seen > 0.0).then_some(size / seen)
}

/// It went further, or deeper, than the high case said.
#[must_use]
pub fn is_beyond_high(recorded: &Finding<'_>, now: &Finding<'_>) -> bool {
    let deeper = now.depth.cases.likely.glass_mm() > recorded.depth.cases.high.glass_mm() + 1e-9;
    let larger = match (&recorded.placed.form, &now.placed.form) {
        (Form::Patch(seen), Form::Patch(found)) => {
            let out_mm = recorded.extents.cases.high.grown_mm;
            let grown_mm2 = seen.area_mm2 + seen.perimeter_mm * out_mm + PI * out_mm * out_mm;
            found.area_mm2 > grown_mm2
        }
        (_, Form::Line(found)) => {
            recorded.extents.cases.high.length_mm.is_some_and(|high| found.length_mm > high + 1e-6)
        }
        _ => false,
    };
    deeper || larger
}

/// What a find says of its rule's factor: found over the likely size that the book expected, times
/// the likely factor. Where the factor rules this is found over seen; where the least move rules,
/// a find as large as the move expected says nothing against the factor.
#[must_use]
pub fn ratio(book: &Book, recorded: &Finding<'_>, found: &FoundMark) -> Option<f64> {
    let over_seen = found_over_seen(recorded, found)?;
    let kind = recorded.mark().kind;
    let expected = match &recorded.placed.form {
        Form::Line(line) => line_mm(book, kind, line.length_mm).likely / line.length_mm,
        Form::Patch(patch) => {
            let (area_mm2, rim_mm) = (patch.area_mm2, patch.perimeter_mm);
            let out_mm = outward_mm(book, kind, area_mm2, rim_mm, patch.length_mm).likely;
            1.0 + (rim_mm * out_mm + PI * out_mm * out_mm) / area_mm2
        }
    };
    Some(over_seen / expected * book.cases(rules_of(kind).0).likely)
}

/// What the opened marks of a job say, by rule in the order of its marks.
#[must_use]
pub fn of_job(book: &Book, opened: &OpenedUp, recorded: &[Finding<'_>]) -> Vec<Learnt> {
    let mut learnt: Vec<Learnt> = Vec::new();
    for finding in recorded {
        let mark = finding.mark();
        let found = opened.sizes.found.iter().find(|found| found.mark == mark.id);
        let Some(ratio) = found.and_then(|found| ratio(book, finding, found)) else {
            continue;
        };
        let (rule, _) = rules_of(mark.kind);
        match learnt.iter_mut().find(|one| one.rule == rule) {
            Some(one) => one.ratios.push((mark.id, ratio)),
            None => {
                let before = book.cases(rule);
                learnt.push(Learnt { rule, ratios: vec![(mark.id, ratio)], before, after: before });
            }
        }
    }
    for one in &mut learnt {
        let ratios: Vec<f64> = one.ratios.iter().map(|(_, ratio)| *ratio).collect();
        one.after = factors(one.before, &ratios, book.figure(id::GROWTH_PRIOR_WORTH));
    }
    learnt
}

/// The book with what was learnt in it.
#[must_use]
pub fn book_of(book: &Book, learnt: &[Learnt]) -> Book {
    let mut book = book.clone();
    for one in learnt {
        book.learn(one.rule, one.after, one.ratios.len());
    }
    book
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOOK: Cases<f64> = Cases { low: 1.1, likely: 1.35, high: 1.8 };

    #[test]
    fn without_a_mark_the_book_stands() {
        assert_eq!(factors(BOOK, &[], 4.0), BOOK);
    }

    #[test]
    fn the_mean_is_the_weighted_one_of_logarithms() {
        // (1.35^4 x 2 x 1.6)^(1/6), by hand.
        let found = factors(BOOK, &[2.0, 1.6], 4.0);
        let by_hand = (1.35_f64.powi(4) * 2.0 * 1.6).powf(1.0 / 6.0);
        approx::assert_relative_eq!(found.likely, by_hand, max_relative = 1e-12);
        // As many marks as the book is worth, all alike: half way between, as logarithms go.
        let half = factors(BOOK, &[2.0; 4], 4.0).likely;
        approx::assert_relative_eq!(half, (1.35_f64 * 2.0).sqrt(), max_relative = 1e-12);
    }

    #[test]
    fn many_marks_outweigh_the_book() {
        let found = factors(BOOK, &[2.2; 4000], 4.0);
        approx::assert_relative_eq!(found.likely, 2.2, max_relative = 1e-3);
        // The spread of one more mark: s where the mean is known, s sqrt(1 + 1/4) before.
        let spread = (1.8_f64 / 1.35).ln() / 1.25_f64.sqrt();
        approx::assert_relative_eq!((found.high / found.likely).ln(), spread, max_relative = 1e-3);
    }

    #[test]
    fn a_find_smaller_than_seen_counts_as_one_and_no_factor_is_below_one() {
        let small = factors(BOOK, &[0.2, 0.5], 4.0);
        assert_eq!(small, factors(BOOK, &[1.0, 1.0], 4.0));
        let many = factors(BOOK, &[0.5; 1000], 4.0);
        assert!(many.low >= 1.0 && many.low <= many.likely && many.likely <= many.high);
    }

    #[test]
    fn a_larger_find_never_makes_a_factor_smaller() {
        let mut ratios = [1.0, 1.2, 1.5, 1.3, 2.9];
        for number in 0..ratios.len() {
            let mut before = factors(BOOK, &ratios, 4.0);
            for _ in 0..60 {
                ratios[number] *= 1.07;
                let after = factors(BOOK, &ratios, 4.0);
                let rises = |a: f64, b: f64| b >= a - 1e-12;
                assert!(rises(before.low, after.low) && rises(before.likely, after.likely));
                assert!(rises(before.high, after.high), "{ratios:?}");
                assert!(after.low <= after.likely && after.likely <= after.high);
                before = after;
            }
        }
    }
}
