//! The skin laid over cross-sections taken with a contour gauge.
//!
//! Each section passes through its points by a cubic that keeps each coordinate monotone between
//! neighbouring points (Fritsch and Carlson, SIAM J. Numer. Anal. 17, 1980; published), by chord
//! length, or straight where told; so nothing overshoots. Along the panel, places at the same
//! share of the section's own length are joined the same way. Grid u is the place along the base
//! line. At a station v is the tape over the section from its first point; between stations it is
//! the share of the section's length times a section length that runs monotonely from station to
//! station. mm throughout.
#![allow(
    clippy::indexing_slicing,
    reason = "a line has two knots or more, checked before it is made, and spans are clamped"
)]

use nalgebra::{Point2, Point3, Vector2, Vector3};

use super::Form;
use crate::model::GridPlace;
use crate::model::panel::{Section, Sections};
use crate::surface::skin::SkinFault;

/// Points nearer than this are the same reading.
const SAME_MM: f64 = 0.1;
/// Longest panel and longest section, mm.
const MOST_MM: f64 = 6000.0;
/// Pieces each span is cut into when it is measured.
const PIECES: usize = 16;

/// Slopes at the knots of a cubic that stays monotone where its values do.
fn slopes(knots: &[f64], values: &[Vector2<f64>]) -> Vec<Vector2<f64>> {
    let last = knots.len() - 1;
    let rise: Vec<Vector2<f64>> =
        (0..last).map(|i| (values[i + 1] - values[i]) / (knots[i + 1] - knots[i])).collect();
    let mut slopes = vec![rise[0]; knots.len()];
    slopes[last] = rise[last - 1];
    // The parabola through three neighbours, held to three times the lesser secant.
    for i in 1..last {
        let (h, k) = (knots[i] - knots[i - 1], knots[i + 1] - knots[i]);
        let parabola = (rise[i - 1] * k + rise[i] * h) / (h + k);
        slopes[i] = parabola.zip_zip_map(&rise[i - 1], &rise[i], limited);
    }
    if last > 1 {
        let end = |inner: Vector2<f64>, secant: Vector2<f64>| {
            (secant * 2.0 - inner).zip_zip_map(&secant, &secant, limited)
        };
        // The parabola of the end span: its mean slope is the secant.
        slopes[0] = end(slopes[1], rise[0]);
        slopes[last] = end(slopes[last - 1], rise[last - 1]);
    }
    slopes
}

fn limited(slope: f64, before: f64, after: f64) -> f64 {
    if before * after <= 0.0 {
        0.0
    } else {
        let most = 3.0 * before.abs().min(after.abs());
        let along = slope * before.signum();
        along.clamp(0.0, most) * before.signum()
    }
}

/// Cubic of one span at share `t` and its slope, from end values and end slopes.
fn cubic(
    span: f64,
    (a, b): (Vector2<f64>, Vector2<f64>),
    (m, n): (Vector2<f64>, Vector2<f64>),
    t: f64,
) -> (Vector2<f64>, Vector2<f64>) {
    let (t2, t3) = (t * t, t * t * t);
    let value = a * (2.0 * t3 - 3.0 * t2 + 1.0)
        + m * (span * (t3 - 2.0 * t2 + t))
        + b * (3.0 * t2 - 2.0 * t3)
        + n * (span * (t3 - t2));
    let slope = (b - a) * (6.0 * (t - t2) / span)
        + m * (3.0 * t2 - 4.0 * t + 1.0)
        + n * (3.0 * t2 - 2.0 * t);
    (value, slope)
}

fn span_at(knots: &[f64], at: f64) -> usize {
    knots.partition_point(|k| *k <= at).clamp(1, knots.len() - 1) - 1
}

/// A line through points, with its own length measured.
#[derive(Debug, Clone)]
struct Line {
    knots: Vec<f64>,
    points: Vec<Vector2<f64>>,
    slopes: Vec<Vector2<f64>>,
    straight: bool,
    /// Length from the first point to each piece's end, [`PIECES`] a span.
    lengths: Vec<f64>,
}

impl Line {
    fn new(points: Vec<Vector2<f64>>, straight: bool) -> Self {
        let mut knots = vec![0.0];
        for pair in points.windows(2) {
            knots.push(knots[knots.len() - 1] + (pair[1] - pair[0]).norm());
        }
        let slopes = slopes(&knots, &points);
        let mut line = Self { knots, points, slopes, straight, lengths: vec![0.0] };
        let mut total = 0.0;
        for span in 0..line.points.len() - 1 {
            for piece in 0..PIECES {
                total += line.piece_length(span, piece, 1.0);
                line.lengths.push(total);
            }
        }
        line
    }

    fn length(&self) -> f64 {
        self.lengths[self.lengths.len() - 1]
    }

    fn in_span(&self, span: usize, t: f64) -> (Vector2<f64>, Vector2<f64>) {
        let (a, b) = (self.points[span], self.points[span + 1]);
        let wide = self.knots[span + 1] - self.knots[span];
        if self.straight {
            return (a + (b - a) * t, (b - a) / wide);
        }
        cubic(wide, (a, b), (self.slopes[span], self.slopes[span + 1]), t)
    }

    /// Length of the first `share` of a piece; three-point Gauss-Legendre.
    fn piece_length(&self, span: usize, piece: usize, share: f64) -> f64 {
        let wide = self.knots[span + 1] - self.knots[span];
        let from = piece as f64 / PIECES as f64;
        let size = share / PIECES as f64;
        let off = 0.6_f64.sqrt();
        [(-off, 5.0 / 18.0), (0.0, 8.0 / 18.0), (off, 5.0 / 18.0)]
            .iter()
            .map(|(x, w)| {
                w * self.in_span(span, from + 0.5 * size * (1.0 + x)).1.norm() * wide * size
            })
            .sum()
    }

    /// The point at a share of the line's own length; runs on straight beyond its ends.
    fn at(&self, share: f64) -> Vector2<f64> {
        let inside = share.clamp(0.0, 1.0);
        let aim = inside * self.length();
        let number =
            self.lengths.partition_point(|s| *s <= aim).clamp(1, self.lengths.len() - 1) - 1;
        let (span, piece) = (number / PIECES, number % PIECES);
        let rest = aim - self.lengths[number];
        let whole = self.lengths[number + 1] - self.lengths[number];
        let mut part = rest / whole;
        for _ in 0..4 {
            part += (rest - self.piece_length(span, piece, part)) / whole;
        }
        let (point, slope) = self.in_span(span, (piece as f64 + part) / PIECES as f64);
        point + slope.normalize() * ((share - inside) * self.length())
    }

    /// Share of the length at which each point sits.
    fn shares(&self) -> impl Iterator<Item = f64> + '_ {
        self.lengths.iter().step_by(PIECES).map(|s| s / self.length())
    }
}

/// The skin over all sections.
#[derive(Debug, Clone)]
pub(crate) struct Loft {
    stations: Vec<f64>,
    lines: Vec<Line>,
    /// Section lengths, as the first coordinate.
    lengths: Vec<Vector2<f64>>,
    length_slopes: Vec<Vector2<f64>>,
}

impl Loft {
    /// The skin through every given point.
    ///
    /// # Errors
    /// Every section that is short of points, repeats one, stands out of order, or folds the skin.
    pub(crate) fn new(sections: &Sections) -> Result<Self, Vec<SkinFault>> {
        let faults = reading_faults(&sections.sections);
        if !faults.is_empty() {
            return Err(faults);
        }
        let stations: Vec<f64> = sections.sections.iter().map(|s| s.at_mm.value()).collect();
        let lines: Vec<Line> = sections
            .sections
            .iter()
            .map(|section| {
                let points = section.points.iter().map(|p| Vector2::new(p.0.value(), p.1.value()));
                Line::new(points.collect(), section.straight)
            })
            .collect();
        let lengths: Vec<_> = lines.iter().map(|l| Vector2::new(l.length(), 0.0)).collect();
        let length_slopes = slopes(&stations, &lengths);
        let loft = Self { stations, lines, lengths, length_slopes };
        loft.check_fold()?;
        Ok(loft)
    }

    fn check_fold(&self) -> Result<(), Vec<SkinFault>> {
        let (columns, rows) = (12 * (self.stations.len() - 1), 48);
        let (low, high) = self.along();
        let normal = |i: usize, j: usize| -> Vector3<f64> {
            // Middles of cells, so that no sample stands on a crease.
            let share = |k: usize, n: usize| (k as f64 + 0.5) / n as f64;
            let (along, across) = self.tangents(self.at_share(share(i, columns), share(j, rows)));
            along.cross(&across)
        };
        for i in 0..columns {
            for j in 0..rows {
                let here = normal(i, j);
                let folded = here.norm() < 0.05
                    || (i > 0 && normal(i - 1, j).dot(&here) <= 0.0)
                    || (j > 0 && normal(i, j - 1).dot(&here) <= 0.0);
                if folded {
                    let u = low + (i as f64 + 0.5) / columns as f64 * (high - low);
                    let number = self.nearest_station(u);
                    return Err(vec![SkinFault::new(
                        format!("surface.sections[{number}].points"),
                        format!(
                            "the skin folds over near the section at {} mm",
                            self.stations[number]
                        ),
                        "sections whose points run the same way, from the lower edge upwards, and \
                         that turn by less than 90 degrees from one to the next",
                        "look at the order of the points and at readings taken from the wrong end",
                    )]);
                }
            }
        }
        Ok(())
    }

    fn nearest_station(&self, u: f64) -> usize {
        let span = span_at(&self.stations, u);
        span + usize::from(u - self.stations[span] > self.stations[span + 1] - u)
    }
}

fn step(pair: &[GridPlace]) -> f64 {
    (pair[1].0.value() - pair[0].0.value()).hypot(pair[1].1.value() - pair[0].1.value())
}

fn reading_faults(sections: &[Section]) -> Vec<SkinFault> {
    let mut faults = Vec::new();
    if sections.len() < 2 {
        faults.push(SkinFault::new(
            "surface.sections",
            format!("found {} section(s)", sections.len()),
            "two or more",
            "take one section at each end of the panel and more where its shape changes",
        ));
    }
    for (number, pair) in sections.windows(2).enumerate() {
        let (before, after) = (pair[0].at_mm.value(), pair[1].at_mm.value());
        if (after - before).is_nan() || after - before < 1.0 {
            faults.push(SkinFault::new(
                format!("surface.sections[{}].at_mm", number + 1),
                format!("found {after} mm after a section at {before} mm"),
                "stations in increasing order, 1 mm apart or more",
                "put the sections in order along the base line",
            ));
        }
    }
    if let [first, .., last] = sections {
        let whole = last.at_mm.value() - first.at_mm.value();
        if faults.is_empty() && !(20.0..=MOST_MM).contains(&whole) {
            faults.push(SkinFault::new(
                format!("surface.sections[{}].at_mm", sections.len() - 1),
                format!("the last section stands {whole} mm from the first"),
                format!("20 to {MOST_MM} mm"),
                "give the stations in mm",
            ));
        }
    }
    for (number, section) in sections.iter().enumerate() {
        let field = format!("surface.sections[{number}].points");
        if section.points.len() < 2 {
            faults.push(SkinFault::new(
                field,
                format!("found {} point(s)", section.points.len()),
                "two or more",
                "give (out, up) from the lower edge upwards",
            ));
            continue;
        }
        if section.points.iter().any(|p| !(p.0.value().is_finite() && p.1.value().is_finite())) {
            faults.push(SkinFault::new(
                field,
                "found a coordinate that is not a number".to_owned(),
                "plain numbers of mm",
                "give (out, up) from the lower edge upwards",
            ));
            continue;
        }
        let whole: f64 = section.points.windows(2).map(|pair| step(pair)).sum();
        if !(20.0..=MOST_MM).contains(&whole) {
            faults.push(SkinFault::new(
                field.clone(),
                format!("the section is {whole:.0} mm from point to point"),
                format!("20 to {MOST_MM} mm"),
                "give (out, up) in mm",
            ));
        }
        for (at, pair) in section.points.windows(2).enumerate() {
            let step = step(pair);
            if step < SAME_MM {
                faults.push(SkinFault::new(
                    format!("{field}[{}]", at + 1),
                    format!("the same point as the one before it, {step:.2} mm away"),
                    format!("points {SAME_MM} mm apart or more"),
                    "strike out the repeated point",
                ));
            }
        }
    }
    faults
}

impl Form for Loft {
    fn at(&self, grid: Point2<f64>) -> Point3<f64> {
        let share = grid.y / self.top(grid.x);
        let span = span_at(&self.stations, grid.x);
        // Slopes at both ends of the span need one station more on each side.
        let first = span.saturating_sub(1);
        let last = (span + 2).min(self.stations.len() - 1);
        let knots = &self.stations[first..=last];
        let values: Vec<_> = self.lines[first..=last].iter().map(|l| l.at(share)).collect();
        let (mut m, mut n) = {
            let slopes = slopes(knots, &values);
            (slopes[span - first], slopes[span - first + 1])
        };
        if self.stations.len() == 2 {
            let rise = (values[1] - values[0]) / (knots[1] - knots[0]);
            (m, n) = (rise, rise);
        }
        let ends = (values[span - first], values[span - first + 1]);
        let wide = self.stations[span + 1] - self.stations[span];
        let t = (grid.x - self.stations[span]) / wide;
        let inside = t.clamp(0.0, 1.0);
        let (value, slope) = cubic(wide, ends, (m, n), inside);
        let value = value + slope * ((t - inside) * wide);
        Point3::new(grid.x, value.y, value.x)
    }

    fn along(&self) -> (f64, f64) {
        (self.stations[0], self.stations[self.stations.len() - 1])
    }

    fn top(&self, u: f64) -> f64 {
        let span = span_at(&self.stations, u);
        let wide = self.stations[span + 1] - self.stations[span];
        let t = ((u - self.stations[span]) / wide).clamp(0.0, 1.0);
        let ends = (self.lengths[span], self.lengths[span + 1]);
        cubic(wide, ends, (self.length_slopes[span], self.length_slopes[span + 1]), t).0.x
    }

    fn creases(&self) -> Vec<f64> {
        let mut shares: Vec<f64> = self
            .lines
            .iter()
            .filter(|line| line.straight)
            .flat_map(|line| line.shares().collect::<Vec<_>>())
            .filter(|share| *share > 1e-6 && *share < 1.0 - 1e-6)
            .collect();
        shares.sort_by(f64::total_cmp);
        shares.dedup_by(|a, b| (*a - *b).abs() < 1e-4);
        shares
    }

    fn measured(&self) -> Vec<Point2<f64>> {
        let mut places = Vec::new();
        for (line, u) in self.lines.iter().zip(&self.stations) {
            places.extend(line.shares().map(|share| Point2::new(*u, share * line.length())));
        }
        places
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Millimetres;

    fn section(at: f64, points: &[(f64, f64)], straight: bool) -> Section {
        let points = points.iter().map(|p| (Millimetres(p.0), Millimetres(p.1))).collect();
        Section { at_mm: Millimetres(at), points, straight }
    }

    fn nose() -> Sections {
        Sections {
            sections: vec![
                section(0.0, &[(0.0, 0.0), (40.0, 120.0), (45.0, 300.0), (20.0, 420.0)], false),
                section(200.0, &[(10.0, 0.0), (70.0, 110.0), (80.0, 310.0), (30.0, 450.0)], false),
                section(700.0, &[(5.0, 0.0), (60.0, 115.0), (66.0, 300.0), (28.0, 440.0)], true),
            ],
        }
    }

    #[test]
    fn the_skin_passes_through_every_point() {
        let (sections, loft) = (nose(), Loft::new(&nose()).unwrap());
        let places = loft.measured();
        let mut number = 0;
        for section in &sections.sections {
            for point in &section.points {
                let p = loft.at(places[number]);
                let truth = Point3::new(section.at_mm.value(), point.1.value(), point.0.value());
                assert!((p - truth).norm() < 1e-6, "{p} instead of {truth}");
                number += 1;
            }
        }
        assert_eq!(number, places.len());
    }

    #[test]
    fn nothing_overshoots_its_points() {
        let loft = Loft::new(&nose()).unwrap();
        for i in 0..=80 {
            for j in 0..=80 {
                let p = loft.at(loft.at_share(f64::from(i) / 80.0, f64::from(j) / 80.0));
                assert!(p.z >= -1e-9 && p.z <= 80.0 + 1e-9, "{p}");
                assert!(p.y >= -1e-9 && p.y <= 450.0 + 1e-9, "{p}");
            }
        }
    }

    #[test]
    fn at_a_station_v_is_the_tape_over_the_section() {
        let loft = Loft::new(&nose()).unwrap();
        let mut tape = 0.0;
        for i in 0..2000 {
            let v = |k: i32| f64::from(k) / 2000.0 * loft.top(200.0);
            let (a, b) = (Point2::new(200.0, v(i)), Point2::new(200.0, v(i + 1)));
            tape += (loft.at(b) - loft.at(a)).norm();
            assert!((tape - b.y).abs() < 0.01, "tape {tape}, v {}", b.y);
        }
    }

    #[test]
    fn bad_readings_are_named() {
        let fields = |sections: Vec<Section>| -> Vec<String> {
            let faults = Loft::new(&Sections { sections }).unwrap_err();
            faults.into_iter().map(|f| f.field).collect()
        };
        let good = [(0.0, 0.0), (20.0, 100.0), (0.0, 200.0)];
        assert_eq!(fields(vec![section(0.0, &good, false)]), ["surface.sections"]);
        assert_eq!(
            fields(vec![section(0.0, &good, false), section(0.0, &good, false)]),
            ["surface.sections[1].at_mm"]
        );
        let short = section(90.0, &good[..1], false);
        assert_eq!(fields(vec![section(0.0, &good, false), short]), ["surface.sections[1].points"]);
        let twice = section(90.0, &[(0.0, 0.0), (0.0, 0.0), (0.0, 90.0)], false);
        assert_eq!(
            fields(vec![section(0.0, &good, false), twice]),
            ["surface.sections[1].points[1]"]
        );
    }

    #[test]
    fn a_section_read_from_the_wrong_end_folds_the_skin() {
        let up = [(0.0, 0.0), (20.0, 100.0), (0.0, 200.0)];
        let down = [(0.0, 200.0), (20.0, 100.0), (0.0, 0.0)];
        let sections = vec![
            section(0.0, &up, false),
            section(300.0, &up, false),
            section(600.0, &down, false),
        ];
        let faults = Loft::new(&Sections { sections }).unwrap_err();
        assert!(faults[0].field.starts_with("surface.sections["), "{faults:?}");
        assert!(faults[0].problem.contains("folds"), "{faults:?}");
    }
}
