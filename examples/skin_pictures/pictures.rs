//! The pictures themselves.
#![allow(clippy::indexing_slicing, reason = "face and vertex numbers come from the mesh itself")]

#[path = "drawing.rs"]
mod drawing;

use std::error::Error;

use drawing::{Drawing, Pen, View, net};
use nalgebra::{Point2, Vector2};
use plymend::read::job::{self, TextFolder};
use plymend::surface::allowed::{Reading, allowed_region};
use plymend::surface::closed::closed_rim;
use plymend::surface::ellipse::Ellipse;
use plymend::surface::field::DistanceField;
use plymend::surface::flatten::LaidFlat;
use plymend::surface::level::area_within;
use plymend::surface::mesh::{Mesh, MeshPoint};
use plymend::surface::origin::Origin;
use plymend::surface::place::places;
use plymend::surface::skin;
use plymend::surface::trace::{Direction, trace};

type Picture = (&'static str, String);

/// Reaches of the plies round the crack, mm.
const REACHES: [f64; 4] = [25.0, 50.0, 100.0, 150.0];

/// Every picture with its file's name.
pub(crate) fn pictures() -> Result<Vec<Picture>, Box<dyn Error>> {
    let wing = include_str!("../../panels/wing.ron");
    let folder = TextFolder::from([("wing.ron", wing)]);
    let (panel, _) = job::panel(&folder, "wing.ron")
        .map_err(|faults| faults.iter().map(ToString::to_string).collect::<String>())?;
    let skin = skin::of(&panel).map_err(|faults| format!("{faults:?}"))?;
    let mesh = &skin.mesh;
    let everywhere = vec![true; mesh.faces.len()];

    // A crack of 260 mm, straight over the skin, running into the upper bend.
    let (start, _) = mesh.nearest(Point2::new(430.0, 330.0));
    let crack = trace(mesh, &everywhere, start, Direction::Degrees(25.0), 260.0).path;
    let origin = Origin::line(mesh, &crack);
    let field = DistanceField::spread(mesh, &everywhere, &origin, 160.0)?;
    let levels = REACHES.map(|reach| {
        let level = area_within(&field, reach);
        let rim = closed_rim(&[(&field, reach)], &level);
        Ply { reach, area_mm2: level.area_mm2, rim }
    });

    Ok(vec![
        ("reaches.svg", reaches(mesh, &crack, &levels)),
        ("laid_flat.svg", laid_flat(mesh, &crack, &field, &levels)),
        ("two_tapes.svg", two_tapes(mesh)?),
    ])
}

/// What one reach covers.
struct Ply {
    reach: f64,
    area_mm2: f64,
    rim: Vec<Vec<MeshPoint>>,
}

fn panel(drawing: &mut Drawing, mesh: &Mesh, view: View) {
    for line in net(mesh, 100.0, &|point| !mesh.tags[point.face as usize].on_return) {
        drawing.line(view.line(mesh, &line), Pen::Grid);
    }
    for (face, side) in mesh.boundary_edges() {
        let ends = mesh.edge(face, side).map(|v| view.of(mesh.positions[v as usize]));
        drawing.line(ends.to_vec(), Pen::Edge);
    }
}

fn reaches(mesh: &Mesh, crack: &[MeshPoint], plies: &[Ply]) -> String {
    let (mut drawing, view) = (Drawing::default(), View::from(20.0, 35.0));
    panel(&mut drawing, mesh, view);
    for ply in plies {
        for line in &ply.rim {
            drawing.line(view.line(mesh, line), Pen::Rim);
        }
        let rim = ply.rim.iter().flatten().map(|point| view.of(mesh.position(point)));
        if let Some(at) = rim.min_by(|p, q| p.y.total_cmp(&q.y)) {
            let word = format!("{} mm: {:.0} cm²", ply.reach, ply.area_mm2 / 100.0);
            drawing.word(at + Vector2::new(20.0, -8.0), word);
        }
    }
    drawing.line(view.line(mesh, crack), Pen::Crack);
    drawing.svg("A crack on a wing with the rims of four reaches round it")
}

fn laid_flat(mesh: &Mesh, crack: &[MeshPoint], field: &DistanceField<'_>, plies: &[Ply]) -> String {
    let mut drawing = Drawing::default();
    let reach = REACHES[REACHES.len() - 1];
    for sheet in LaidFlat::of(mesh, &field.faces_within(reach)) {
        for line in net(mesh, 50.0, &|point| field.at(point) <= reach) {
            drawing.line(sheet.line(&line), Pen::Grid);
        }
        for line in plies.iter().flat_map(|ply| &ply.rim) {
            drawing.line(sheet.line(line), Pen::Rim);
        }
        drawing.line(sheet.line(crack), Pen::Crack);
        let d = sheet.distortion;
        if let Some(at) = crack.first().and_then(|point| sheet.place(point)) {
            drawing.word(
                at + Vector2::new(20.0, -168.0),
                format!(
                    "stretch {:+.1} to {:+.1} %, curvature {:.2}",
                    d.stretch_percent.0, d.stretch_percent.1, d.curvature
                ),
            );
        }
    }
    drawing.svg("The same reaches laid flat, with the panel's grid at 50 mm")
}

fn two_tapes(mesh: &Mesh) -> Result<String, Box<dyn Error>> {
    let everywhere = vec![true; mesh.faces.len()];
    let (mut drawing, view) = (Drawing::default(), View::from(20.0, 35.0));
    panel(&mut drawing, mesh, view);
    let (a, _) = mesh.nearest(Point2::new(40.0, 470.0));
    let (b, _) = mesh.nearest(Point2::new(1060.0, 450.0));
    let (tape_a, tape_b, width) = (560.0, 640.0, 13.0);
    let from_a = DistanceField::spread(mesh, &everywhere, &Origin::point(a), 700.0)?;
    let from_b = DistanceField::spread(mesh, &everywhere, &Origin::point(b), 700.0)?;
    for (field, tape, from) in [(&from_a, tape_a, a), (&from_b, tape_b, b)] {
        drawing.word(view.of(mesh.position(&from)), format!("+ tape reads {tape} mm"));
        for line in &area_within(field, tape).outline {
            drawing.line(view.line(mesh, line), Pen::Tape);
        }
    }
    let placing = places(mesh, &from_a, tape_a, &from_b, tape_b, 10.0);
    for found in &placing.candidates {
        let reading = |field, tape_mm| Reading { field, tape_mm, width_mm: width };
        let allowed = allowed_region(
            mesh,
            &reading(&from_a, tape_a),
            &reading(&from_b, tape_b),
            &found.point,
        );
        for place in &allowed {
            let at = view.of(mesh.position(place));
            let dot = |dx: f64, dy: f64| Point2::new(at.x + dx, at.y + dy);
            drawing.line(vec![dot(-1.5, 0.0), dot(1.5, 0.0)], Pen::Rim);
        }
        let Some(bearings) = found.bearings_deg else { continue };
        let ellipse = Ellipse::of_tapes(&bearings, 10.4);
        let axis = |turn: f64, run: f64| {
            trace(mesh, &everywhere, found.point, Direction::Degrees(ellipse.angle_deg + turn), run)
                .path
        };
        for (turn, run) in [(0.0, ellipse.long_mm), (90.0, ellipse.short_mm)] {
            for way in [turn, turn + 180.0] {
                drawing.line(view.line(mesh, &axis(way, run)), Pen::Crack);
            }
        }
        drawing.word(
            view.of(mesh.position(&found.point)) + Vector2::new(24.0, 24.0),
            format!("good to {:.0} by {:.0} mm", ellipse.long_mm, ellipse.short_mm),
        );
    }
    Ok(drawing.svg("Two tapes over a wing, the places where they meet and what they allow"))
}
