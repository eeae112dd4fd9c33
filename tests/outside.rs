//! Figures checked against sources outside this project; prints the whole table.

#[path = "outside/surface.rs"]
mod surface;
#[path = "outside/table.rs"]
mod table;

use table::Check;

#[test]
#[allow(clippy::print_stdout, reason = "the table is what this test is for")]
fn every_figure_agrees_with_its_source() {
    let rows: Vec<Check> = surface::rows();
    for row in &rows {
        println!(
            "{} | {} | {} | {} | {} | {:.6} | {:.6} | {:.2e} of {:.2e}",
            if row.holds() { "ok " } else { "OFF" },
            row.id,
            row.class,
            row.source,
            row.input,
            row.expected,
            row.got,
            (row.got - row.expected).abs(),
            row.tolerance,
        );
    }
    let off: Vec<&str> = rows.iter().filter(|row| !row.holds()).map(|row| row.id).collect();
    assert!(off.is_empty(), "{} of {} figures are off: {off:?}", off.len(), rows.len());
}
