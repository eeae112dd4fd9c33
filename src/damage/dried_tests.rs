use super::*;
use crate::read::job::{Named, TextFolder, job};

const PANEL: &str = "(format: 1, name: \"sheet\", surface: Flat(length_mm: 900, width_mm: 600),
    laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [skin], back: reached,
    fixings: none_seen)";

/// Readings as (day of November, reading, reference, hours dry).
fn log(readings: &[(u32, f64, f64, f64)]) -> Dried {
    let lines: Vec<String> = readings
        .iter()
        .map(|(day, reading, reference, dry)| {
            format!(
                "(mark: 1, at: \"2024-11-{day:02} 09:00\", reading: {reading:?},
                  reference: {reference:?}, hours_dry: {dry:?}, air_c: 18, humidity_percent: 50)"
            )
        })
        .collect();
    written(&lines.join(", "))
}

fn written(readings: &str) -> Dried {
    let survey = "(format: 1, meter: (kind: \"relative scale\", reference: 9, step: 1),
        panels: [(name: \"sheet\", file: \"sheet.ron\")], drying: \"drying.ron\",
        marks: [(id: 1, panel: \"sheet\", kind: blisters, layer: gel, evidence: [wet],
                 place: On(300, 300), shape: Patch(length_mm: 100, width_mm: 80))])";
    let log = format!("(format: 1, survey: \"survey.ron\", readings: [{readings}])");
    let texts =
        TextFolder::from([("survey.ron", survey), ("sheet.ron", PANEL), ("drying.ron", &log)]);
    let job = job(&texts, "survey.ron", &Named::default())
        .unwrap_or_else(|faults| panic!("{}", faults[0]));
    of_mark(&job, 1).unwrap()
}

const DRY: [(u32, f64, f64, f64); 3] =
    [(4, 10.0, 9.0, 72.0), (6, 9.0, 9.0, 120.0), (8, 9.0, 9.0, 168.0)];

#[test]
fn three_equal_readings_two_days_apart_give_the_go_ahead() {
    let dried = log(&DRY);
    assert!(dried.is_dry(), "{}", dried.wanting);
    assert_eq!(dried.go_ahead.len(), 3);
    assert_eq!(dried.trend, Trend::Steady);
}

#[test]
fn each_thing_that_is_wanting_keeps_it_shut() {
    let mut two = DRY.to_vec();
    two.remove(1);
    assert!(log(&two).wanting.contains("2 of 3"));
    let close = [(4, 9.0, 9.0, 72.0), (5, 9.0, 9.0, 96.0), (6, 9.0, 9.0, 120.0)];
    assert!(log(&close).wanting.contains("2 of 3"), "{}", log(&close).wanting);
    let mut wet = DRY;
    wet[0].1 = 11.0;
    assert!(log(&wet).wanting.contains("more than the meter's step"));
    let mut below = DRY;
    below[2].1 = 7.0;
    assert!(!log(&below).is_dry(), "below the reference is not equal to it");
    let rising = [(4, 8.0, 9.0, 72.0), (6, 9.0, 9.0, 120.0), (8, 9.5, 9.0, 168.0)];
    assert!(log(&rising).wanting.contains("stands above the one before"));
    let mut rained = DRY;
    rained[1].3 = 47.0;
    assert!(!log(&rained).is_dry());
}

#[test]
fn whatever_is_read_afterwards_takes_the_go_ahead_away_until_it_agrees() {
    let and = |more: (u32, f64, f64, f64)| log(&[&DRY[..], &[more]].concat());
    assert!(!and((9, 14.0, 9.0, 192.0)).is_dry(), "wet again");
    assert!(!and((9, 9.0, 9.0, 10.0)).is_dry(), "rained on, so nobody knows");
    assert!(and((10, 9.0, 9.0, 216.0)).is_dry());
    // A wet reading between two that agree counts too.
    let between = [DRY[0], (5, 13.0, 9.0, 96.0), DRY[1], DRY[2]];
    assert!(!log(&between).is_dry());
}

#[test]
fn every_place_of_the_mark_has_to_be_dry() {
    let at = |place: &str, day: u32, reading: f64| {
        format!(
            "(mark: 1, place: \"{place}\", at: \"2024-11-{day:02} 09:00\", reading: {reading:?},
              reference: 9.0, hours_dry: 96, air_c: 18, humidity_percent: 50)"
        )
    };
    let dry = [4, 6, 8].map(|day| at("upper end", day, 9.0)).join(", ");
    assert!(written(&dry).is_dry());
    let low = [4, 6, 8].map(|day| at("lower end", day, 15.0)).join(", ");
    let both = written(&format!("{dry}, {low}"));
    assert!(both.wanting.starts_with("lower end:"), "{}", both.wanting);
}

#[test]
fn what_was_not_recorded_does_not_count_as_dry() {
    for left_out in ["hours_dry: 96, ", "air_c: 18, ", ", humidity_percent: 50"] {
        let whole = "(mark: 1, at: \"DAY 09:00\", reading: 9.0, reference: 9.0, hours_dry: 96, air_c: 18, humidity_percent: 50)";
        let line = |day: &str| whole.replace(left_out, "").replace("DAY", day);
        let log = ["2024-11-04", "2024-11-06", "2024-11-08"].map(line).join(", ");
        let dried = written(&log);
        assert!(!dried.is_dry() && dried.readings.iter().all(|one| one.not_used.is_some()));
    }
}

#[test]
fn a_reference_that_has_become_wet_makes_nothing_dry() {
    let wet = [(4, 15.0, 15.0, 72.0), (6, 15.0, 15.0, 120.0), (8, 15.0, 15.0, 168.0)];
    let dried = log(&wet);
    assert!(!dried.is_dry() && dried.wanting.contains("stands above the 9 of the survey"));
}

#[test]
fn the_slope_is_that_of_a_straight_line_through_them() {
    // Two units a week down.
    let dried = log(&[(1, 15.0, 9.0, 60.0), (8, 13.0, 9.0, 200.0), (15, 11.0, 9.0, 400.0)]);
    assert!((dried.slope_per_week.unwrap() + 2.0).abs() < 1e-9);
    assert_eq!(dried.trend, Trend::Falling);
}
