//! Distances and areas on the mesh of a panel file, to be compared with other software.
//!
//! ```text
//! cargo run --example mesh_distances -- PANEL.ron < QUESTIONS
//! ```
//!
//! A question a line, lengths in mm, places on the panel's grid: `vertex NUMBER` (distance of
//! every vertex), `point REACH U V`, `line REACH U V U V...` and `patch REACH U V U V...` (area
//! within the reach, mm2). No way leads through an opening. Prints one JSON object: corners and
//! triangles of the mesh, numbers of the triangles in openings, and the answers in order.
#![allow(clippy::print_stdout, reason = "printing is what this program is for")]

use std::error::Error;
use std::io::Read;
use std::path::Path;

use nalgebra::{Point2, Vector3};
use plymend::read::job::{self, TextFolder};
use plymend::surface::field::DistanceField;
use plymend::surface::level::area_within;
use plymend::surface::mesh::{Mesh, MeshPoint};
use plymend::surface::origin::Origin;
use plymend::surface::skin;

fn main() -> Result<(), Box<dyn Error>> {
    let path = std::env::args().nth(1).ok_or("which panel file?")?;
    let (folder, name) = files_beside(Path::new(&path))?;
    let (panel, _) = job::panel(&folder, &name)
        .map_err(|faults| faults.iter().map(ToString::to_string).collect::<String>())?;
    let skin = skin::of(&panel).map_err(|faults| format!("{faults:?}"))?;
    let mesh = &skin.mesh;
    let passable: Vec<bool> = mesh.tags.iter().map(|tag| tag.opening.is_none()).collect();
    let mut questions = String::new();
    std::io::stdin().read_to_string(&mut questions)?;
    let answers = questions
        .lines()
        .map(|question| answer(mesh, &passable, question))
        .collect::<Result<Vec<_>, _>>()?;
    let closed: Vec<usize> =
        (0..passable.len()).filter(|f| passable.get(*f) == Some(&false)).collect();
    let positions: Vec<[f64; 3]> = mesh.positions.iter().map(|p| [p.x, p.y, p.z]).collect();
    let record = serde_json::json!({
        "positions": positions,
        "faces": mesh.faces,
        "in_openings": closed,
        "answers": answers,
    });
    println!("{record}");
    Ok(())
}

/// The files in the folder of a panel file, and the panel file's name there.
fn files_beside(path: &Path) -> Result<(TextFolder, String), Box<dyn Error>> {
    let beside = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let beside = beside.unwrap_or_else(|| Path::new("."));
    let mut folder = TextFolder::default();
    for entry in std::fs::read_dir(beside)? {
        let file = entry?.path();
        let name =
            file.file_name().and_then(|name| name.to_str()).ok_or("a name that is no text")?;
        if file.extension().is_some_and(|ending| ending == "ron") {
            folder.put(name, &std::fs::read_to_string(&file)?);
        } else if file.is_file() {
            folder.put_bytes(name, std::fs::read(&file)?);
        }
    }
    let name = path.file_name().and_then(|name| name.to_str()).ok_or("a name that is no text")?;
    Ok((folder, name.to_owned()))
}

fn answer(
    mesh: &Mesh,
    passable: &[bool],
    question: &str,
) -> Result<serde_json::Value, Box<dyn Error>> {
    let mut words = question.split_whitespace();
    let kind = words.next().ok_or("an empty question")?;
    if kind == "vertex" {
        let number: u32 = words.next().ok_or("which vertex?")?.parse()?;
        let from = at_vertex(mesh, passable, number).ok_or("no such vertex")?;
        // Farther than any way over a panel.
        let field = DistanceField::spread(mesh, passable, &Origin::point(from), 1e5)?;
        let all: Vec<Option<f64>> = (0..mesh.positions.len())
            .map(|v| u32::try_from(v).ok())
            .map(|v| Some(field.at(&at_vertex(mesh, passable, v?)?)))
            .collect();
        return Ok(serde_json::json!(all));
    }
    let numbers: Vec<f64> = words.map(str::parse).collect::<Result<_, _>>()?;
    let (reach, places) = numbers.split_first().ok_or("which reach?")?;
    let places: Vec<_> =
        places.as_chunks::<2>().0.iter().map(|[u, v]| Point2::new(*u, *v)).collect();
    let origin = match kind {
        "point" | "line" => Origin::polyline(mesh, &places),
        "patch" => Origin::patch(mesh, places),
        other => return Err(format!("no such question: {other}").into()),
    };
    let field = DistanceField::spread(mesh, passable, &origin, *reach)?;
    Ok(serde_json::json!(area_within(&field, *reach).area_mm2))
}

/// A vertex as a place in one of its faces outside openings.
fn at_vertex(mesh: &Mesh, passable: &[bool], vertex: u32) -> Option<MeshPoint> {
    let open = |face: &&u32| passable.get(**face as usize) == Some(&true);
    let face = *mesh.faces_round(vertex).iter().find(open)?;
    let corner = mesh.faces.get(face as usize)?.iter().position(|v| *v == vertex)?;
    let mut weights = Vector3::zeros();
    *weights.get_mut(corner)? = 1.0;
    Some(MeshPoint { face, weights })
}
