use std::collections::BTreeSet;

use super::*;
use crate::surface::shape_figures::curvature_integral;

const KINDS: [&str; 10] =
    ["lid", "gate", "wing", "roof", "quarter", "sill", "arch", "valance", "tub", "sheet"];

fn panel(surface: &str, rest: &str) -> Panel {
    let text = format!("(format: 1, name: \"test\", surface: {surface}, {rest})");
    ron::from_str(&text).unwrap_or_else(|fault| panic!("{fault}: {text}"))
}

fn skin(surface: &str, rest: &str) -> Skin {
    build(&panel(surface, rest), false).unwrap_or_else(|faults| panic!("{surface}: {faults:?}"))
}

fn fault_fields(surface: &str, rest: &str) -> Vec<String> {
    let faults = build(&panel(surface, rest), false).unwrap_err();
    faults.into_iter().map(|fault| fault.field).collect()
}

/// Places in space along a straight line of the grid, on the mesh.
fn line(mesh: &Mesh, from: (f64, f64), to: (f64, f64)) -> Vec<Point3<f64>> {
    let (from, to) = (Point2::new(from.0, from.1), Point2::new(to.0, to.1));
    let count = (to - from).norm().ceil() as usize;
    (0..=count)
        .map(|k| {
            let (point, miss) = mesh.nearest(from + (to - from) * (k as f64 / count as f64));
            assert!(miss < 0.01, "off the panel by {miss}");
            mesh.position(&point)
        })
        .collect()
}

fn tape(places: &[Point3<f64>]) -> f64 {
    places.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum()
}

fn rise(places: &[Point3<f64>]) -> f64 {
    let (a, b) = (places[0], places[places.len() - 1]);
    let edge = (b - a).normalize();
    places.iter().map(|p| ((p - a) - edge * (p - a).dot(&edge)).norm()).fold(0.0, f64::max)
}

/// Sizes a tape could give: length, width, crown along, crown across, taper, twist, radius.
const SIZES: [[f64; 7]; 4] = [
    [620.0, 540.0, 18.0, 16.0, 0.0, 0.0, 60.0],
    [1400.0, 400.0, 55.0, 20.0, 60.0, 12.0, 25.0],
    [900.0, 1000.0, 10.0, 70.0, -80.0, -8.0, 100.0],
    [300.0, 200.0, 3.0, 12.0, 15.0, 3.0, 10.0],
];

#[test]
fn every_reading_comes_back_on_the_mesh() {
    for kind in KINDS {
        for [length, width, along, across, taper, twist, radius] in SIZES {
            let sizes = format!(
                "kind: {kind}, length_mm: {length:?}, width_mm: {width:?}, crown_along_mm: {along:?}, \
                 crown_across_mm: {across:?}, taper_mm: {taper:?}, twist_mm: {twist:?}"
            );
            let name = format!("{kind} {length} x {width}");
            let near = |what: &str, found: f64, read: f64| {
                assert!((found - read).abs() < 1.0, "{name}: {what} {found:.2} instead of {read}");
            };
            let square = skin(&format!("Moulding({sizes})"), "").mesh;
            let middle = line(&square, (0.0, width / 2.0), (length, width / 2.0));
            near("length", tape(&middle), length);
            near("crown along", rise(&middle), along);
            near("u", tape(&middle[..=(length / 3.0) as usize]), (length / 3.0).floor());
            let middle = line(&square, (length / 2.0, 0.0), (length / 2.0, width));
            near("width", tape(&middle), width);
            near("crown across", rise(&middle), across);
            near("v", tape(&middle[..=(width / 3.0) as usize]), (width / 3.0).floor());
            let end = |u: f64| tape(&line(&square, (u, 0.0), (u, width)));
            near("taper", end(0.0) - end(length), taper);
            let corner = |u: f64, v: f64| line(&square, (u, v), (u, v + 1e-9))[0];
            let (a, b, c) = (corner(0.0, 0.0), corner(length, 0.0), corner(0.0, width));
            let plane = (b - a).cross(&(c - a)).normalize();
            near("twist", plane.dot(&(corner(length, width) - a)), twist);

            let turned = format!(
                "{sizes}, corner_radius_mm: {radius:?}, edge_return_mm: 32.0, return_radius_mm: 9.0"
            );
            let turned = skin(&format!("Moulding({turned})"), "");
            let down = line(&turned.mesh, (length / 2.0, 0.0), (length / 2.0, -32.0));
            // On a tapered panel a grid mm across is a tape mm across the middle only.
            near("edge return", tape(&down), 32.0);
            let (first, last) = (down[0], down[down.len() - 1]);
            let fall = 32.0 - FRAC_PI_2 * 9.0 + 9.0;
            near("fall of the turned edge", (last - first).norm(), fall.hypot(9.0));
            near("corner radius", corner_radius(&turned, length), radius);
        }
    }
}

/// Radius of the circle through three places of the corner at the greatest u and least v.
fn corner_radius(skin: &Skin, length: f64) -> f64 {
    let rim = &skin.outline;
    let last_below =
        (0..rim.len()).filter(|i| rim[*i].y < 1e-6).max_by(|a, b| rim[*a].x.total_cmp(&rim[*b].x));
    let start = last_below.unwrap();
    let stop = (0..rim.len())
        .filter(|i| rim[*i].x > length - 1e-6)
        .min_by(|a, b| rim[*a].y.total_cmp(&rim[*b].y))
        .unwrap();
    let count = (stop + rim.len() - start) % rim.len();
    let [a, b, c] = [0, count / 2, count].map(|k| {
        let (point, _) = skin.mesh.nearest(rim[(start + k) % rim.len()]);
        skin.mesh.position(&point)
    });
    let area = 0.5 * (b - a).cross(&(c - a)).norm();
    (b - a).norm() * (c - b).norm() * (a - c).norm() / (4.0 * area)
}

#[test]
fn every_kind_is_truly_curved_and_only_what_is_flat_rolls_out() {
    for kind in KINDS {
        let curved = skin(
            &format!(
                "Moulding(kind: {kind}, length_mm: 900, width_mm: 600, crown_along_mm: 30, crown_across_mm: 30)"
            ),
            "",
        );
        let strength = curvature_integral(&curved.mesh);
        assert!(strength > 0.05, "{kind}: {strength}");
        let rolled = skin(
            &format!("Moulding(kind: {kind}, length_mm: 900, width_mm: 600, crown_across_mm: 30)"),
            "",
        );
        if kind != "wing" {
            let strength = curvature_integral(&rolled.mesh);
            assert!(strength < 0.01, "{kind} rolled one way: {strength}");
        }
    }
}

#[test]
fn a_flat_sheet_measures_its_closed_form_area() {
    let sheet = skin("Flat(length_mm: 800, width_mm: 500, corner_radius_mm: 50)", "");
    let truth = 800.0 * 500.0 - (4.0 - std::f64::consts::PI) * 2500.0;
    assert!((sheet.face_area_mm2(true) / truth - 1.0).abs() < 1e-4);
    assert!(curvature_integral(&sheet.mesh) < 1e-9);
}

#[test]
fn the_mirror_panel_keeps_its_grid_and_shows_its_outer_side() {
    let text = "Moulding(kind: wing, length_mm: 900, width_mm: 500, crown_along_mm: 40, \
                crown_across_mm: 60, edge_return_mm: 30, corner_radius_mm: 20)";
    let (one, other) =
        (build(&panel(text, ""), false).unwrap(), build(&panel(text, ""), true).unwrap());
    assert_eq!(one.mesh.grid, other.mesh.grid);
    for (face, back) in one.mesh.faces.iter().zip(&other.mesh.faces) {
        let normal = |mesh: &Mesh, f: &[u32; 3]| {
            let [a, b, c] = f.map(|v| mesh.positions[v as usize]);
            (b - a).cross(&(c - a))
        };
        let (n, m) = (normal(&one.mesh, face), normal(&other.mesh, back));
        assert!((n.x - m.x).abs() < 1e-6 && (n.y - m.y).abs() < 1e-6 && (n.z + m.z).abs() < 1e-6);
    }
}

const SHEET: &str = "Flat(length_mm: 1000, width_mm: 600)";

#[test]
fn parts_are_tagged_and_never_straddled() {
    let rest = "openings: [(name: \"hatch\", outline: [(200, 150), (520, 170), (500, 400), (210, 380)])], \
         regions: [(name: \"lower\", outline: [(0, 0), (1000, 0), (1000, 310), (0, 290)]), \
                   (name: \"upper\", outline: [(0, 290), (1000, 310), (1000, 600), (0, 600)])], \
         strips: [(name: \"rib\", outline: [(-5, 450), (1005, 450), (1005, 490), (-5, 490)])]";
    let mesh = skin(SHEET, rest).mesh;
    // Closed forms of the three outlines (shoelace).
    let near =
        |found: f64, truth: f64| assert!((found / truth - 1.0).abs() < 1e-4, "{found} {truth}");
    near(mesh.area_mm2(|t| t.opening == Some(0)), 70_250.0);
    near(mesh.area_mm2(|t| t.region == Some(0)), 300_000.0);
    near(mesh.area_mm2(|t| t.region == Some(1)), 300_000.0);
    near(mesh.area_mm2(|t| t.strip == Some(0)), 40_000.0);
}

#[test]
fn wrong_outlines_are_named() {
    let outline = |corners: &str| fault_fields(SHEET, &format!("outline: [{corners}]"));
    assert_eq!(outline("(0, 0), (900, 500), (900, 0), (0, 500)"), ["outline[2]"]);
    assert_eq!(outline("(0, 0), (1200, 0), (900, 500)"), ["outline[1]"]);
    let opening = |first: &str, second: &str| {
        fault_fields(
            SHEET,
            &format!(
                "openings: [(name: \"a\", outline: [{first}]), (name: \"b\", outline: [{second}])]"
            ),
        )
    };
    let good = "(100, 100), (300, 100), (300, 300), (100, 300)";
    let second = ["openings[1].outline"];
    assert_eq!(opening(good, "(200, 200), (400, 200), (400, 400), (200, 400)"), second);
    assert_eq!(opening(good, "(150, 150), (200, 150), (200, 200), (150, 200)"), second);
    assert_eq!(opening(good, "(900, 100), (1100, 100), (1100, 300), (900, 300)"), second);
    assert_eq!(opening(good, "(1200, 100), (1300, 100), (1300, 300)"), second);
    let region = "regions: [(name: \"far\", outline: [(1200, 0), (1300, 0), (1300, 90)])]";
    assert_eq!(fault_fields(SHEET, region), ["regions[0].outline"]);
}

#[test]
fn sizes_that_no_skin_has_are_named() {
    let lid = |more: &str| {
        fault_fields(&format!("Moulding(kind: lid, length_mm: 600, width_mm: 500, {more})"), "")
    };
    assert_eq!(lid("crown_along_mm: 400"), ["surface.crown_along_mm"]);
    assert_eq!(lid("crown_across_mm: -5"), ["surface.crown_across_mm"]);
    assert_eq!(lid("crown_along_mm: 180, crown_across_mm: 150"), ["surface.crown_across_mm"]);
    assert_eq!(lid("corner_radius_mm: 260"), ["surface.corner_radius_mm"]);
    assert_eq!(lid("edge_return_mm: 10"), ["surface.return_radius_mm"]);
    assert_eq!(lid("taper_mm: 900"), ["surface.taper_mm"]);
    assert_eq!(lid("twist_mm: 400"), ["surface.twist_mm"]);
    let large = "Flat(length_mm: 6000, width_mm: 6000)";
    assert_eq!(fault_fields(large, ""), ["surface"]);
    assert_eq!(fault_fields("Flat(length_mm: 3, width_mm: 0)", "").len(), 2);
}

#[test]
fn a_turned_edge_goes_round_sharp_corners_but_not_into_a_notch() {
    let lid = "Moulding(kind: lid, length_mm: 600, width_mm: 500, crown_along_mm: 15, \
               crown_across_mm: 12, edge_return_mm: 30)";
    let closed = skin(lid, "");
    // One rim only: the turned edge's lower rim.
    let rim: BTreeSet<u32> =
        closed.mesh.boundary_edges().flat_map(|(f, i)| closed.mesh.edge(f, i)).collect();
    assert!(rim.iter().all(|v| {
        let g = closed.mesh.grid[*v as usize];
        g.x < -1.0 || g.x > 601.0 || g.y < -1.0 || g.y > 501.0
    }));
    let notch =
        "outline: [(0, 0), (600, 0), (600, 500), (350, 500), (300, 400), (250, 500), (0, 500)]";
    assert_eq!(fault_fields(lid, notch), ["surface.edge_return_mm"]);
}

#[test]
fn the_same_file_gives_the_same_mesh() {
    let text = "Moulding(kind: quarter, length_mm: 1400, width_mm: 1000, crown_along_mm: 40, \
                crown_across_mm: 90, corner_radius_mm: 50, edge_return_mm: 25)";
    let (one, two) = (skin(text, ""), skin(text, ""));
    assert_eq!(one.mesh.positions, two.mesh.positions);
    assert_eq!(one.mesh.faces, two.mesh.faces);
    assert_eq!(one.mesh.tags, two.mesh.tags);
}

#[test]
fn faces_lie_close_to_the_smooth_skin_and_none_is_a_sliver() {
    for kind in KINDS {
        let text = format!(
            "Moulding(kind: {kind}, length_mm: 1100, width_mm: 700, crown_along_mm: 40, crown_across_mm: 50, \
             taper_mm: 40, corner_radius_mm: 50, edge_return_mm: 28)"
        );
        let rest = "regions: [(name: \"part\", outline: [(-20, 90), (640, 330), (500, 720)])]";
        let smooth = form(&panel(&text, rest)).unwrap();
        let mesh = skin(&text, rest).mesh;
        let (mut gap, mut height) = (0.0_f64, f64::INFINITY);
        for (face, tag) in mesh.faces.iter().zip(&mesh.tags) {
            let [a, b, c] = face.map(|v| mesh.positions[v as usize]);
            let longest = (b - a).norm().max((c - b).norm()).max((a - c).norm());
            height = height.min((b - a).cross(&(c - a)).norm() / longest);
            if !tag.on_return {
                let middle = Point3::from((a.coords + b.coords + c.coords) / 3.0);
                gap = gap.max((smooth.at(super::middle(&mesh.grid, *face)) - middle).norm());
            }
        }
        assert!(gap < 0.15, "{kind}: {gap} mm off the smooth skin");
        assert!(height > 0.2, "{kind}: a face only {height} mm high");
    }
}

#[test]
fn stations_and_lengths_out_of_reason_are_named() {
    let sections = |to: &str, up: &str| {
        let points = format!("points: [(0, 0), (20, {up})]");
        format!("Sections(sections: [(at_mm: 0, {points}), (at_mm: {to}, {points})])")
    };
    assert_eq!(fault_fields(&sections("1e9", "300"), ""), ["surface.sections[1].at_mm"]);
    assert_eq!(fault_fields(&sections("NaN", "300"), ""), ["surface.sections[1].at_mm"]);
    assert_eq!(fault_fields(&sections("500", "1e300"), "").len(), 2);
    assert_eq!(fault_fields(SHEET, "outline: [(0, 0), (1e300, 0), (0, inf)]"), ["outline[1]"]);
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(24))]

    #[test]
    fn any_sizes_give_a_lawful_mesh_or_a_worded_fault(
        kind in 0_usize..10,
        length in 10.0..2500.0_f64,
        width in 10.0..1500.0_f64,
        crowns in (-0.003..0.12_f64, -0.003..0.12_f64),
        taper in -0.5..0.5_f64,
        twist in -0.1..0.1_f64,
        radius in 0.0..120.0_f64,
        depth in 10.0..60.0_f64,
        corners in proptest::collection::vec((-0.1..1.1_f64, -0.1..1.1_f64), 3..7),
    ) {
        let ring: Vec<String> =
            corners.iter().map(|(u, v)| format!("({:?}, {:?})", u * length, v * width)).collect();
        let surface = format!(
            "Moulding(kind: {}, length_mm: {length:?}, width_mm: {width:?}, crown_along_mm: {:?}, \
             crown_across_mm: {:?}, taper_mm: {:?}, twist_mm: {:?}, corner_radius_mm: {radius:?}, \
             edge_return_mm: {depth:?})",
            KINDS[kind], crowns.0 * length, crowns.1 * width, taper * width, twist * width,
        );
        let rest = format!("regions: [(name: \"part\", outline: [{}])]", ring.join(", "));
        match build(&panel(&surface, &rest), false) {
            Ok(skin) => {proptest::prop_assert_eq!(skin.mesh.check_laws(), Ok(()))},
            Err(faults) => {
                proptest::prop_assert!(!faults.is_empty());
                for fault in faults {
                    let whole = [&fault.field, &fault.problem, &fault.accepted, &fault.way_out];
                    proptest::prop_assert!(whole.iter().all(|s| !s.is_empty()), "{:?}", fault);
                    // A mesh fault would be ours, not the user's.
                    proptest::prop_assert!(!fault.problem.contains("face has no area"), "{:?}", fault);
                }
            }
        }
    }
}
