//! Rates and learnt growth as tables, for comparison with a statistics library.
//!
//!     cargo run --quiet --example growth_traces | python3 tests/compare_growth.py
#![allow(clippy::print_stdout, reason = "an example says what it found")]

use plymend::damage::change::rate::{least_squares, student_95};
use plymend::damage::learnt_many::{Find, pooled};
use plymend::rules::{Book, id};

/// A draw from 0 to under 1, the same on every machine.
fn draw(state: &mut u64) -> f64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    (*state >> 11) as f64 / (1_u64 << 53) as f64
}

fn listed(figures: &[f64]) -> String {
    figures.iter().map(ToString::to_string).collect::<Vec<_>>().join(";")
}

fn main() {
    for freedom in (1..=60).chain([80, 100, 200, 1000]) {
        println!("t,{freedom},{}", student_95(freedom));
    }
    let mut state = 20_241_012;
    for _ in 0..200 {
        let count = 3 + (8.0 * draw(&mut state)) as usize;
        let slope = 60.0 * draw(&mut state) - 10.0;
        let points: Vec<(f64, f64)> = (0..count)
            .map(|year| {
                let x = year as f64 + 0.5 * draw(&mut state);
                (x, 100.0 + slope * x + 12.0 * (draw(&mut state) - 0.5))
            })
            .collect();
        let Some(fit) = least_squares(&points) else { continue };
        let (x, y): (Vec<f64>, Vec<f64>) = points.into_iter().unzip();
        println!("rate,{},{},{},{}", listed(&x), listed(&y), fit.slope, fit.by_scatter());
    }
    let book = Book::built_in();
    let worth = book.figure(id::GROWTH_PRIOR_WORTH);
    let rules = [id::GROW_CRAZE, id::GROW_GEL_CRACK, id::GROW_THROUGH, id::GROW_BLISTERS];
    for round in 0..50 {
        for rule in rules {
            let count = 1 + (round * round) / 20;
            let finds: Vec<Find> = (0..count)
                .map(|job| Find { job, rule, ratio: (1.2 * draw(&mut state) - 0.1).exp() })
                .collect();
            for one in pooled(&book, &finds) {
                let ratios: Vec<f64> = finds.iter().map(|find| find.ratio).collect();
                let (low, high) = one.alone.1.unwrap_or((f64::NAN, f64::NAN));
                let three =
                    |of: &plymend::quantity::Cases<f64>| listed(&[of.low, of.likely, of.high]);
                println!(
                    "learn,{worth},{},{},{},{},{},{}",
                    three(&one.before),
                    listed(&ratios),
                    three(&one.after),
                    listed(&[one.likely_within.0, one.likely_within.1]),
                    one.alone.0,
                    listed(&[low, high])
                );
            }
        }
    }
}
