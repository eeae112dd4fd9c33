//! One gel crack of 60 mm at several distances from a hinge, a body mount and a wiper spindle: what
//! is done about it, and why. Distances are from the rim of the fixing to the crack as it is seen;
//! the rules look at the crack as it may be found and at how far off its place may be.
//!
//! `cargo run --example crack_near_fixings`

#![allow(clippy::print_stdout, reason = "an example prints its table")]

use plymend::read::job::{Named, TextFolder, job};

const RIM_MM: f64 = 10.0;

fn main() -> Result<(), String> {
    for depth in ["gel", "first_glass"] {
        for carries in ["hinge", "body_mount", "wiper"] {
            println!("crack in the {}, near: {carries}", depth.replace('_', " "));
            for far_mm in [300.0, 200.0, 150.0, 100.0, 50.0, 20.0] {
                println!("  {far_mm:>3.0} mm  {}", told(depth, carries, far_mm)?);
            }
        }
    }
    Ok(())
}

/// The action and its reason.
fn told(depth: &str, carries: &str, far_mm: f64) -> Result<String, String> {
    let panel = format!(
        "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1200, width_mm: 800),
          laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [skin], back: reached,
          fixings: Listed([(name: \"fixing\", at: (300, 400), carries: {carries},
                            footprint_radius_mm: {RIM_MM}, state: sound)]))"
    );
    let survey = format!(
        "(format: 1, panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [
          (id: 1, panel: \"sheet\", kind: gel_crack, depth: {depth}, edges_move: no,
           place: On({}, 400), shape: Line(length_mm: 60, direction: Angle(90)))])",
        300.0 + RIM_MM + far_mm
    );
    let texts = TextFolder::from([("survey.ron", survey.as_str()), ("sheet.ron", panel.as_str())]);
    let faults = |faults: Vec<plymend::diagnostic::Diagnostic>| format!("{faults:?}");
    let job = job(&texts, "survey.ron", &Named::default()).map_err(faults)?;
    let report = plymend::estimate(&job).map_err(faults)?;
    let action = report.findings.first().map_or("", |one| one.action.as_str());
    let mut why: Vec<String> =
        report.referrals.iter().map(|one| format!("{} [{}]", one.reason, one.rule)).collect();
    why.extend(report.put_right.iter().map(|one| format!("first: {}", one.what)));
    let why = if why.is_empty() { "nothing near enough".to_owned() } else { why.join("; ") };
    Ok(format!("{action:<7} {why}"))
}
