//! The demo is about curved skins: its panels are curved, and its repairs measure something that a
//! flat sheet would get wrong.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::f64::consts::PI;
use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;

use plymend::quantity::Case;
use plymend::read::job::{Job, Named, TextFolder, job};
use plymend::repair::Repair;
use plymend::surface::marks::Form;
use plymend::surface::shape_figures::curvature_integral;

/// Panels of the demo that are flat on purpose: none.
const FLAT: &[&str] = &[];
/// Least integral of |Gaussian curvature| of a curved panel. A sheet that only rolls one way has 0
/// and measures like a flat one.
const LEAST_CURVATURE: f64 = 0.02;
/// Prepared area on the skin against the flat closed form: at least so much apart, as a share. A
/// flat sheet meets its closed form ten times closer; the ground alone of a short gel crack is
/// too narrow for any skin of these radii to show.
const LEAST_DIFFERENCE: f64 = 1e-5;

fn demo() -> &'static Job {
    static JOB: OnceLock<Job> = OnceLock::new();
    JOB.get_or_init(|| {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/harbour-shuttle");
        let mut texts = TextFolder::default();
        for entry in fs::read_dir(&folder).expect("the demo is there") {
            let path = entry.expect("listed").path();
            if path.extension().is_some_and(|end| end == "ron") {
                let name = path.file_name().and_then(|name| name.to_str()).expect("plain");
                texts.put(name, &fs::read_to_string(&path).expect("text"));
            }
        }
        super::demo_photos::put(&mut texts);
        job(&texts, "survey-a.ron", &Named::default())
            .unwrap_or_else(|faults| panic!("{faults:#?}"))
    })
}

#[test]
fn every_panel_is_curved_unless_it_is_listed_as_flat() {
    let panels = plymend::skins(demo()).expect("skins");
    assert!(panels.len() > 10, "{}", panels.len());
    for panel in &panels {
        let strength = curvature_integral(&panel.mesh);
        let flat = FLAT.contains(&panel.of.name.as_str());
        assert_eq!(strength < LEAST_CURVATURE, flat, "{}: {strength}", panel.of.name);
    }
    for name in FLAT {
        assert!(panels.iter().any(|panel| panel.of.name == *name), "{name} is no panel");
    }
}

/// Prepared ground of a repair of one mark on a flat sheet without edges, mm2, and what the skin
/// gives; nothing where marks were joined, which no closed form covers.
fn flat_and_found(
    repair: &Repair<'_>,
    findings: &[plymend::damage::Finding<'_>],
    case: Case,
) -> Option<(f64, f64)> {
    let [only] = repair.findings.as_slice() else { return None };
    let finding = &findings[*only];
    let areas = repair.areas.get(case);
    let extent = finding.extents.cases.get(case);
    // How far the removal goes beyond the line or outline, and the outermost coat beyond that.
    let glass = areas.deepest_mm > 0.0;
    let last = areas
        .plies
        .iter()
        .filter(|ply| ply.side == repair.side)
        .map(|ply| ply.reach_mm)
        .fold(0.0, f64::max);
    let (removal, coat) = match (&finding.placed.form, glass) {
        (Form::Line(_), true) => (1.5, last + 12.0),
        (Form::Line(_), false) => (1.5, 12.0),
        (Form::Patch(_), true) => (extent.grown_mm, last + 12.0),
        (Form::Patch(_), false) => (extent.grown_mm, 24.0),
    };
    let r = removal + coat + 75.0;
    let flat = match &finding.placed.form {
        Form::Line(line) => 2.0 * r * extent.length_mm.unwrap_or(line.length_mm) + PI * r * r,
        Form::Patch(patch) => patch.area_mm2 + r * patch.perimeter_mm + PI * r * r,
    };
    Some((flat, areas.prepared_mm2))
}

#[test]
fn no_repair_measures_as_if_its_panel_were_flat() {
    let job = demo();
    let panels = plymend::skins(job).expect("skins");
    let answer = plymend::work(job, &panels).expect("worked out");
    assert!(!answer.plan.repairs.is_empty(), "the demo repairs nothing");
    let mut compared = 0;
    let (mut lines, mut as_flat) = (Vec::new(), Vec::new());
    for repair in &answer.plan.repairs {
        for case in Case::ALL {
            let Some((flat, found)) = flat_and_found(repair, &answer.findings, case) else {
                continue;
            };
            compared += 1;
            let share = found / flat - 1.0;
            let marks: Vec<u32> =
                repair.findings.iter().map(|n| answer.findings[*n].mark().id).collect();
            lines.push(format!(
                "{} marks {marks:?} {}: flat {flat:.1}, skin {found:.1}, {:+.4} %",
                repair.id,
                case.word(),
                100.0 * share
            ));
            // Edges may take much away; beyond that the closed form would be of some other work.
            assert!((-0.6..0.02).contains(&share), "not the same work:\n{}", lines.join("\n"));
            if share.abs() <= LEAST_DIFFERENCE {
                as_flat.push(lines.last().cloned().unwrap_or_default());
            }
        }
    }
    assert!(!lines.is_empty(), "no repair was compared");
    assert!(as_flat.is_empty(), "measured as flat: {as_flat:#?}");
    assert!(compared >= 9, "too few single-mark repairs to compare: {compared}");
}
