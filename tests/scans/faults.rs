//! Every fault of a scan is found, and named by its place.

use super::writing::{self, Ply, Shape};
use super::{ARC, LENGTH, RADIUS, near, sheet, skin_of};

fn told(shape: &Shape, fields: &str, more: &str) -> Result<Vec<String>, String> {
    skin_of(fields, more, writing::ply(shape, Ply::Little)).map(|skin| skin.notes)
}

fn note(notes: &[String], words: &str) -> String {
    notes.iter().find(|note| note.contains(words)).expect("the note is there").clone()
}

/// A net over the cylinder with fields left out.
fn with_holes(keep: impl Fn(usize, usize) -> bool) -> Shape {
    let at = |s: f64, t: f64| {
        let angle = ARC / RADIUS * (t - 0.5);
        [s * LENGTH, RADIUS * angle.sin() + 0.5 * ARC, RADIUS * (angle.cos() - 1.0)]
    };
    writing::net(80, 70, 0.0, at, keep)
}

fn middle(shape: &Shape, face: usize) -> String {
    let corners = shape.faces[face].map(|v| shape.positions[v as usize]);
    let mean = |i: usize| corners.iter().map(|place| place[i]).sum::<f64>() / 3.0;
    format!("x {:.1} y {:.1} z {:.1}", mean(0), mean(1), mean(2))
}

#[test]
fn a_triangle_that_stands_there_twice_counts_once() {
    let mut shape = sheet();
    let area = shape.area();
    let [a, b, c] = shape.faces[700];
    shape.faces.push([b, c, a]);
    let skin = skin_of("", "", writing::ply(&shape, Ply::Little)).unwrap();
    near(skin.face_area_mm2(true), area, 1e-4);
    let told = note(&skin.notes, "stood there twice");
    assert!(told.contains("1 triangle(s)") && told.contains(&middle(&shape, 700)), "{told}");
    shape.faces.push([c, b, a]);
    let told = skin_of("", "", writing::ply(&shape, Ply::Little)).unwrap_err();
    assert!(told.contains("SCAN-DOUBLED") && told.contains(&middle(&shape, 700)), "{told}");
}

#[test]
fn a_rib_behind_the_skin_is_refused_with_its_place() {
    let mut shape = sheet();
    let [a, b, _] = shape.faces[900];
    let foot = shape.positions[a as usize];
    shape.positions.push([foot[0], foot[1], foot[2] - 40.0]);
    shape.faces.push([a, b, shape.positions.len() as u32 - 1]);
    let told = told(&shape, "", "").unwrap_err();
    let at = format!("x {:.0}", 0.5 * (foot[0] + shape.positions[b as usize][0]));
    assert!(told.contains("SCAN-EDGE-SHARED") && told.contains(&at), "{told}");
}

#[test]
fn turned_triangles_are_refused_or_turned_as_the_file_says() {
    let mut shape = sheet();
    let area = shape.area();
    for face in [300, 301, 2000] {
        shape.faces[face].swap(1, 2);
    }
    let refused = told(&shape, "", "").unwrap_err();
    assert!(refused.contains("SCAN-FLIPPED surface.turn_flipped"), "{refused}");
    assert!(refused.contains("3 triangle(s)") && refused.contains(&middle(&shape, 2000)));
    let skin = skin_of("turn_flipped: true", "", writing::ply(&shape, Ply::Little)).unwrap();
    near(skin.face_area_mm2(true), area, 1e-4);
    assert!(note(&skin.notes, "wrong way round").contains("turned, as the panel file allows"));
    assert!(skin.mesh.check_laws().is_ok());
}

#[test]
fn a_band_with_one_side_is_refused() {
    // A band of 300 x 60 mm closed with half a twist.
    let at = |s: f64, t: f64| {
        let (round, half) = (std::f64::consts::TAU * s, std::f64::consts::PI * s);
        let out = 200.0 + 60.0 * (t - 0.5) * half.cos();
        [out * round.cos(), out * round.sin(), 60.0 * (t - 0.5) * half.sin()]
    };
    let (columns, rows) = (60_u32, 6_u32);
    let mut shape = writing::net(columns as usize, rows as usize, 0.0, at, |_, _| true);
    // The last column is the first one, upside down.
    for v in shape.faces.iter_mut().flatten() {
        let (row, column) = (*v / (columns + 1), *v % (columns + 1));
        if column == columns {
            *v = (rows - row) * (columns + 1);
        }
    }
    let told = told(&shape, "turn_flipped: true", "").unwrap_err();
    assert!(told.contains("SCAN-FLIPPED") && told.contains("only one side"), "{told}");
}

#[test]
fn crumbs_are_left_out_and_a_second_panel_is_refused() {
    let mut shape = sheet();
    let area = shape.area();
    let crumb = writing::cylinder(100.0, 40.0, 30.0, 4, 4);
    let first = shape.positions.len() as u32;
    shape.positions.extend(crumb.positions.iter().map(|[x, y, z]| [x + 2000.0, *y, *z]));
    shape.faces.extend(crumb.faces.iter().map(|face| face.map(|v| v + first)));
    let skin = skin_of("", "", writing::ply(&shape, Ply::Little)).unwrap();
    near(skin.face_area_mm2(true), area, 1e-4);
    let told_of = note(&skin.notes, "largest piece");
    assert!(told_of.contains("1 other(s)") && told_of.contains("12.0 cm²"), "{told_of}");

    let mut two = sheet();
    let first = two.positions.len() as u32;
    two.positions.extend(sheet().positions.iter().map(|[x, y, z]| [x + 2000.0, *y, *z]));
    two.faces.extend(sheet().faces.iter().map(|face| face.map(|v| v + first)));
    let told = told(&two, "", "").unwrap_err();
    assert!(told.contains("SCAN-PART surface.part") && told.contains("2 pieces"), "{told}");
}

#[test]
fn a_named_part_is_the_panel() {
    let (panel, other) = (sheet(), writing::cylinder(RADIUS, 500.0, 500.0, 30, 30));
    let mut bytes = writing::obj(&panel, "hood");
    let second = writing::obj(&other, "frame");
    // Corners counted from 1 go on from those of the first object.
    for line in String::from_utf8(second).unwrap().lines() {
        let shifted = |word: &str| -> String {
            let number: i64 = word.split('/').next().unwrap().parse().unwrap();
            let number = if number > 0 { number + panel.positions.len() as i64 } else { number };
            number.to_string()
        };
        let line = match line.strip_prefix("f ") {
            Some(rest) => {
                format!("f {}", rest.split(' ').map(shifted).collect::<Vec<_>>().join(" "))
            }
            None => match line.strip_prefix("v ").and_then(|rest| rest.split_once(' ')) {
                Some((x, rest)) => format!("v {} {rest}", x.parse::<f64>().unwrap() + 2000.0),
                None => line.to_owned(),
            },
        };
        bytes.extend(format!("{line}\n").bytes());
    }
    // The reader goes by what the bytes are; an OBJ is told by its name.
    let text =
        "(format: 1, name: \"skin\", surface: Scan(file: \"a.obj\", unit: mm, part: \"NAME\"))";
    let area = |name: &str| {
        let mut folder = plymend::read::job::TextFolder::default();
        folder.put("panel.ron", &text.replace("NAME", name));
        folder.put_bytes("a.obj", bytes.clone());
        let (panel, _) = plymend::read::job::panel(&folder, "panel.ron").unwrap();
        plymend::surface::skin::of(&panel).map(|skin| skin.face_area_mm2(true))
    };
    near(area("hood").unwrap(), panel.area(), 1e-4);
    near(area("frame").unwrap(), other.area(), 1e-4);
    let fault = &area("hod").unwrap_err()[0];
    assert_eq!((fault.code, fault.accepted.as_str()), ("SCAN-PART", "frame or hood"));
    assert!(fault.way_out.contains("\"hood\""));
}

#[test]
fn holes_are_openings_gaps_or_refused() {
    // Fields of 10 x 10 mm: a hole of 60 x 50 mm, and a gap of one field.
    let hole = |i: usize, j: usize| (30..36).contains(&i) && (20..25).contains(&j);
    let shape = with_holes(|i, j| !hole(i, j) && (i, j) != (60, 50));
    let refused = told(&shape, "", "").unwrap_err();
    assert!(refused.contains("SCAN-HOLE surface.fill_holes_mm"), "{refused}");
    assert!(refused.contains("a hole of 78 mm at x 330.0"), "{refused}");
    assert!(refused.contains("name it: (name: \"...\", at: Xyz(330"), "{refused}");
    assert_eq!(refused.lines().count(), 1, "the small gap is no fault: {refused}");

    let opening = "openings: [(name: \"lamp\", at: Xyz(305, 220, -10))]";
    let skin = skin_of("", opening, writing::ply(&shape, Ply::Little)).unwrap();
    near(skin.face_area_mm2(false), LENGTH * ARC - 60.0 * 50.0, 2e-4);
    let lid = skin.face_area_mm2(true) - skin.face_area_mm2(false);
    near(lid, 60.0 * 50.0, 2e-3);
    assert!(note(&skin.notes, "opening \"lamp\"").contains("hole of 78 mm"));
    let gap = note(&skin.notes, "taken for gaps");
    assert!(gap.contains("1 hole(s)") && gap.contains("14.1 mm at x 605.0"), "{gap}");

    let filled = skin_of("fill_holes_mm: 80", "", writing::ply(&shape, Ply::Little)).unwrap();
    near(filled.face_area_mm2(false), LENGTH * ARC, 2e-4);

    let far = "openings: [(name: \"lamp\", at: Xyz(700, 600, -60))]";
    let told_of = told(&shape, "", far).unwrap_err();
    assert!(told_of.contains("SCAN-HOLE openings[0].at"), "{told_of}");
}

#[test]
fn an_opening_may_be_cut_out_by_its_outline() {
    let corners: Vec<String> = [(200.0, -100.0), (300.0, -100.0), (300.0, 50.0), (200.0, 50.0)]
        .iter()
        .map(|(x, arc): &(f64, f64)| {
            let angle = arc / RADIUS;
            let (y, z) = (RADIUS * angle.sin() + 0.5 * ARC, RADIUS * (angle.cos() - 1.0));
            format!("Xyz({x}, {y}, {z})")
        })
        .collect();
    let outline = corners.join(", ");
    for (list, more) in [
        ("opening", format!("openings: [(name: \"a\", outline: [{outline}])]")),
        ("region", format!("regions: [(name: \"a\", outline: [{outline}])]")),
        ("strip", format!("strips: [(name: \"a\", outline: [{outline}])]")),
    ] {
        let skin = skin_of("", &more, writing::binary_stl(&sheet())).unwrap();
        let area = skin
            .mesh
            .area_mm2(|tag| tag.opening.is_some() || tag.region.is_some() || tag.strip.is_some());
        near(area, 100.0 * 150.0, 5e-4);
        assert!(skin.mesh.check_laws().is_ok(), "{list}");
        near(skin.face_area_mm2(true), LENGTH * ARC, 2e-4);
    }
}

#[test]
fn a_closed_scan_and_a_tunnel_are_no_panel() {
    let mut closed = writing::cap(300.0, 0.9 * std::f64::consts::PI * 300.0, 30);
    let last = (closed.positions.len() - 180) as u32;
    closed.positions.push([0.0, 0.0, -300.0]);
    let pole = closed.positions.len() as u32 - 1;
    closed.faces.extend((0..180).map(|k| [pole, last + (k + 1) % 180, last + k]));
    let refused = told(&closed, "", "").unwrap_err();
    assert!(refused.contains("SCAN-SHAPE") && refused.contains("closed all round"), "{refused}");

    // A bent tube from one hole of the sheet to another makes a tunnel behind it. It swings about
    // an axis half-way between them, so that its end meets the other hole corner by corner.
    let holes = [(20, 20), (40, 20)];
    let mut shape = with_holes(|i, j| !holes.contains(&(i, j)));
    let corner = |(i, j): (usize, usize)| (j * 81 + i) as u32;
    let rim = [(20, 20), (21, 20), (21, 21), (20, 21)];
    let mut before: Vec<u32> = rim.iter().map(|at| corner(*at)).collect();
    for step in 1..=12 {
        let turn = std::f64::consts::PI * f64::from(step) / 12.0;
        let mut ring = Vec::new();
        for (i, j) in rim {
            let [x, y, z] = shape.positions[corner((i, j)) as usize];
            let half = 305.0 - x;
            if step == 12 {
                ring.push(corner((61 - i, j)));
            } else {
                ring.push(shape.positions.len() as u32);
                shape.positions.push([305.0 - half * turn.cos(), y, z - half * turn.sin()]);
            }
        }
        for k in 0..4 {
            let next = (k + 1) % 4;
            shape.faces.push([before[k], before[next], ring[k]]);
            shape.faces.push([before[next], ring[next], ring[k]]);
        }
        before = ring;
    }
    let told = told(&shape, "", "").unwrap_err();
    assert!(told.contains("SCAN-SHAPE") && told.contains("handle or a tunnel"), "{told}");
}

#[test]
fn cracks_between_strips_are_welded_and_said() {
    // Two halves written apart, the second 0.004 mm off.
    let (one, other) = (with_holes(|i, _| i < 40), with_holes(|i, _| i >= 40));
    let mut shape = one.clone();
    let first = shape.positions.len() as u32;
    shape.positions.extend(other.positions.iter().map(|[x, y, z]| [*x, y + 0.004, *z]));
    shape.faces.extend(other.faces.iter().map(|face| face.map(|v| v + first)));
    let skin = skin_of("", "", writing::ply(&shape, Ply::Little)).unwrap();
    near(skin.face_area_mm2(true), LENGTH * ARC, 2e-4);
    let told_of = note(&skin.notes, "corners of open edges within 0.01 mm");
    assert!(told_of.contains("71 corner(s), moved by 0.0040 mm"), "{told_of}");
    let told = told(&shape, "weld_mm: 0.001", "").unwrap_err();
    assert!(told.contains("SCAN-PART"), "{told}");
}

#[test]
fn needles_and_folds_are_told() {
    let mut shape = sheet();
    // A corner moved onto the side opposite makes a needle.
    let [a, b, c] = shape.faces[1500];
    let (p, q) = (shape.positions[a as usize], shape.positions[b as usize]);
    shape.positions[c as usize] = [0, 1, 2].map(|i| 0.5 * (p[i] + q[i]));
    let notes = told(&shape, "thin_mm: 1, thin_area_percent: 0.5", "").unwrap();
    assert!(note(&notes, "without area").contains("1 triangle(s)"));

    let mut shape = sheet();
    let [a, b, c] = shape.faces[1500];
    let (p, q, r) =
        (shape.positions[a as usize], shape.positions[b as usize], shape.positions[c as usize]);
    // Beyond the opposite side: the triangle lies on its neighbour.
    shape.positions[c as usize] = [0, 1, 2].map(|i| p[i] + q[i] - r[i] * 1.0);
    let refused_or_told = told(&shape, "thin_mm: 2, thin_area_percent: 2", "");
    let text = match &refused_or_told {
        Ok(notes) => notes.join("\n"),
        Err(text) => text.clone(),
    };
    assert!(text.contains("folded over their neighbours"), "{text}");
}

#[test]
fn what_needs_a_grid_says_so() {
    let region = "regions: [(name: \"a\", outline: [(10, 10), (100, 10), (100, 90)])]";
    let refused = told(&sheet(), "", region).unwrap_err();
    assert!(refused.contains("SCAN-AXIS regions[0].outline[0]"), "{refused}");
    let axis = "axis: (at: (100, 350, 0), along: (0, 0, 1))";
    let refused = told(&sheet(), axis, "").unwrap_err();
    assert!(refused.contains("SCAN-AXIS surface.axis.along"), "{refused}");
    let axis = "axis: (at: (100, 350, 90), along: (1, 0, 0))";
    let refused = told(&sheet(), axis, "").unwrap_err();
    assert!(refused.contains("SCAN-AXIS surface.axis.at") && refused.contains("90 mm off"));
    for (fields, more, code) in [
        ("axis: (at: (0, 0, 0), along: (0, 0, 0))", "", "SCAN-AXIS"),
        ("weld_mm: 5", "", "READ-RANGE"),
        ("thin_mm: 0", "", "READ-RANGE"),
        ("", "outline: [(0, 0), (9, 0), (9, 9)]", "READ-CONTRADICTION"),
        ("", "openings: [(name: \"a\")]", "READ-OUTLINE"),
        (
            "",
            "openings: [(name: \"a\", at: (1, 2), outline: [(1, 2), (3, 4), (5, 1)])]",
            "READ-CONTRADICTION",
        ),
        ("", "landmarks: [(name: \"a\", at: Xyz(1, 2))]", "READ-PLACE"),
    ] {
        let told = told(&sheet(), fields, more).unwrap_err();
        assert!(told.contains(code), "{fields} {more}: {told}");
    }
}
