//! Values from outside this crate, one row each: standards, rules, textbooks, closed forms.
//!
//! The class of a row says how independent it is: "outside" comes from a source or from exact
//! mathematics; "outside, weak" from memory or with an inferred input; "regression" and
//! "calibration" prove only that nothing has moved; "behaviour" is a rule of the product;
//! "formula only" holds a published formula that this crate does not use yet.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::io::Write as _;

#[path = "outside/air.rs"]
mod air;
#[path = "outside/climate.rs"]
mod climate;
#[path = "outside/cure.rs"]
mod cure;
#[path = "outside/laminate.rs"]
mod laminate;
#[path = "outside/paint.rs"]
mod paint;
#[path = "outside/safety.rs"]
mod safety;
#[path = "outside/slab.rs"]
mod slab;
#[path = "outside/surface.rs"]
mod surface;
#[path = "outside/table.rs"]
mod table;
#[path = "outside/ventilation.rs"]
mod ventilation;
#[path = "outside/worked.rs"]
mod worked;

#[test]
fn every_row_holds() {
    let mut rows = air::rows();
    rows.extend(climate::rows());
    rows.extend(cure::rows());
    rows.extend(laminate::rows());
    rows.extend(paint::rows());
    rows.extend(safety::rows());
    rows.extend(slab::rows());
    rows.extend(surface::rows());
    rows.extend(ventilation::rows());
    rows.extend(worked::rows());
    let text = table::printed(&rows);
    let _ = std::io::stderr().write_all(text.as_bytes());
    same_rows_as_written(&text);
    let off = rows.iter().filter(|row| !row.holds()).count();
    assert!(rows.len() > 150, "rows have gone missing: {}", rows.len());
    assert_eq!(off, 0, "{off} of {} rows are off:\n{text}", rows.len());
}

/// `tests/outside/table.txt` is the table for readers. `WRITE_TABLE=1 cargo test --test all outside::`
/// writes it anew; otherwise its rows, all but the last digits, have to be those of this run.
fn same_rows_as_written(text: &str) {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/outside/table.txt");
    if std::env::var_os("WRITE_TABLE").is_some() {
        std::fs::write(file, text).expect("the table can be written");
    }
    let written = std::fs::read_to_string(file).expect("the table is there");
    let names = |text: &str| -> Vec<String> {
        text.lines().map(|line| line.split(" got ").next().unwrap_or_default().to_owned()).collect()
    };
    assert_eq!(names(text), names(&written), "write the table anew: WRITE_TABLE=1");
}

#[test]
fn a_refused_value_is_off() {
    let row = table::Check {
        id: "-",
        class: "behaviour",
        source: "-",
        input: String::new(),
        expected: 1.0,
        tolerance: f64::INFINITY,
        got: f64::NAN,
    };
    assert!(!row.holds());
}
