//! The panel files that ship: each is read, built, and measured against what it promises.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::fs;
use std::path::{Path, PathBuf};

use nalgebra::Point2;
use plymend::model::body::Body;
use plymend::model::panel::{Fixings, Panel};
use plymend::surface::shape_figures::{curvature_integral, largest_gap_mm};
use plymend::surface::skin::{Skin, build};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &Path) -> Panel {
    let text = fs::read_to_string(path).unwrap();
    ron::from_str(&text).unwrap_or_else(|fault| panic!("{}: {fault}", path.display()))
}

/// Landmarks and fixings must lie on the outer skin, its very edge included.
fn check_places(path: &Path, panel: &Panel, skin: &Skin) {
    let landmarks = panel.landmarks.iter().map(|l| (&l.name, l.at));
    let fixings = match &panel.fixings {
        Fixings::Listed(list) => list.as_slice(),
        Fixings::Unknown | Fixings::NoneSeen => &[],
    };
    for (name, at) in landmarks.chain(fixings.iter().map(|f| (&f.name, f.at))) {
        let (u, v) = at.on_grid().unwrap();
        on_face(path, name, skin, (u.value(), v.value()));
    }
}

fn on_face(path: &Path, name: &str, skin: &Skin, (u, v): (f64, f64)) {
    let (point, miss) = skin.mesh.nearest(Point2::new(u, v));
    // On the line where face and turned edge meet either of them may be found.
    let place = Point2::new(u, v);
    let ends = skin.outline.iter().zip(skin.outline.iter().cycle().skip(1));
    let on_rim = ends.into_iter().any(|(a, b)| {
        let along = b - a;
        let t = ((place - a).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
        (a + along * t - place).norm() < 1e-6
    });
    let turned = skin.mesh.tags[point.face as usize].on_return;
    assert!(
        miss < 1e-6 && (!turned || on_rim),
        "{}: {name} ({u}, {v}) is off the face",
        path.display()
    );
}

#[test]
fn generic_mouldings_build_and_are_curved() {
    let names = [
        "lid",
        "gate-skin",
        "wing",
        "roof",
        "quarter",
        "sill",
        "wheel-arch",
        "valance",
        "tub",
        "flat-sheet",
    ];
    for name in names {
        let path = root().join("panels").join(format!("{name}.ron"));
        let panel = read(&path);
        let skin = build(&panel, false).unwrap_or_else(|faults| panic!("{name}: {faults:#?}"));
        check_places(&path, &panel, &skin);
        let strength = curvature_integral(&skin.mesh);
        if name == "flat-sheet" {
            assert!(strength < 1e-9);
            assert!(matches!(panel.fixings, Fixings::Unknown), "nobody has looked at it");
        } else {
            assert!(strength > 0.05, "{name}: {strength}");
            assert!(largest_gap_mm(&skin.mesh, 300.0) > 1.0, "{name}");
            assert!(matches!(panel.fixings, Fixings::Listed(_)), "{name}");
        }
        assert!((2_000..20_000).contains(&skin.mesh.faces.len()), "{name}");
    }
}

/// File, area in m2 and true places of its marks; all invented with the vehicle.
type Promise = (&'static str, f64, &'static [(f64, f64)]);

const SHUTTLE: [Promise; 15] = [
    ("front-panel", 0.66, &[(430.0, 300.0), (300.0, 210.0)]),
    ("bonnet-lid", 0.32, &[(310.0, 110.0), (90.0, 470.0)]),
    ("scuttle-panel", 0.32, &[(410.0, 190.0)]),
    ("canopy-roof", 2.40, &[(420.0, 330.0), (420.0, 1010.0), (1180.0, 690.0)]),
    ("gate-skin-nearside", 0.61, &[(90.0, 770.0), (690.0, 600.0)]),
    ("gate-skin-offside", 0.61, &[(410.0, 240.0), (95.0, 730.0)]),
    ("rear-quarter-nearside", 1.28, &[(980.0, 180.0)]),
    ("rear-quarter-offside", 0.92, &[(1150.0, 420.0)]),
    ("luggage-locker-lid", 0.42, &[(380.0, 500.0)]),
    ("sill-nearside", 0.25, &[(470.0, 120.0), (470.0, 80.0)]),
    ("sill-offside", 0.25, &[]),
    ("rear-wheel-arch-nearside", 0.27, &[(640.0, 90.0)]),
    ("rear-wheel-arch-offside", 0.27, &[]),
    ("tail-panel", 0.95, &[(195.0, 900.0)]),
    ("rear-valance", 0.34, &[(900.0, 120.0)]),
];

#[test]
fn the_shuttle_has_its_areas_its_places_and_its_curves() {
    let folder = root().join("examples/harbour-shuttle");
    for (name, area, marks) in SHUTTLE {
        let path = folder.join(format!("{name}.ron"));
        let mut panel = read(&path);
        let mirrored = panel.mirror_of.is_some();
        if let Some(other) = &panel.mirror_of {
            let other = read(&folder.join(other));
            panel.surface = other.surface;
            panel.outline = other.outline;
        }
        let skin = build(&panel, mirrored).unwrap_or_else(|f| panic!("{name}: {f:#?}"));
        check_places(&path, &panel, &skin);
        for place in marks {
            on_face(&path, "mark", &skin, *place);
        }
        let found = skin.face_area_mm2(false) * 1e-6;
        let strength = curvature_integral(&skin.mesh);
        assert!((found / area - 1.0).abs() < 0.05, "{name}: {found} m2 instead of {area}");
        assert!(strength > 0.05, "{name}: {strength}");
        assert!((2_000..20_000).contains(&skin.mesh.faces.len()), "{name}");
    }
}

#[test]
fn the_body_lists_every_panel_once() {
    let folder = root().join("examples/harbour-shuttle");
    let text = fs::read_to_string(folder.join("body.ron")).unwrap();
    let body: Body = ron::from_str(&text).unwrap();
    let mut listed: Vec<String> = body.panels.iter().map(|p| p.file.clone()).collect();
    let mut there: Vec<String> = SHUTTLE.iter().map(|(name, ..)| format!("{name}.ron")).collect();
    listed.sort();
    there.sort();
    assert_eq!(listed, there);
}
