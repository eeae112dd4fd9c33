//! Distances over the skin of a panel from each of its landmarks to a place: what a tape laid on
//! the panel reads there. `cargo run --example tapes -- PANEL.ron U V [U V ...]`

use std::error::Error;
use std::io::Write;
use std::path::Path;

use nalgebra::Point2;
use plymend::read::job::{self, TextFolder};
use plymend::surface::field::DistanceField;
use plymend::surface::origin::Origin;
use plymend::surface::skin;

fn main() -> Result<(), Box<dyn Error>> {
    let mut typed = std::env::args().skip(1);
    let file = typed.next().ok_or("give a panel file, then u and v of each place")?;
    let numbers: Vec<f64> = typed.map(|word| word.parse()).collect::<Result<_, _>>()?;
    let mut folder = TextFolder::default();
    let beside = Path::new(&file).parent().unwrap_or(Path::new(""));
    let listed = if beside.as_os_str().is_empty() { Path::new(".") } else { beside };
    for entry in std::fs::read_dir(listed)? {
        let path = beside.join(entry?.file_name());
        if path.extension().is_some_and(|end| end == "ron") {
            folder.put(&path.to_string_lossy(), &std::fs::read_to_string(&path)?);
        }
    }
    let (panel, _) = job::panel(&folder, &file)
        .map_err(|faults| faults.iter().map(ToString::to_string).collect::<String>())?;
    let skin = skin::of(&panel).map_err(|faults| format!("{faults:?}"))?;
    let mesh = &skin.mesh;
    let everywhere = vec![true; mesh.faces.len()];
    let mut out = std::io::stdout().lock();
    for place in numbers.chunks_exact(2) {
        let [u, v] = place else { continue };
        let (there, _) = mesh.nearest(Point2::new(*u, *v));
        writeln!(out, "u {u} v {v}")?;
        for landmark in &panel.panel.landmarks {
            let (from, _) = skin.nearest(&landmark.at);
            let origin = Origin::point(from);
            let reach = DistanceField::spread(mesh, &everywhere, &origin, 5000.0)?;
            writeln!(out, "  {:>8.1} mm from {}", reach.at(&there), landmark.name)?;
        }
    }
    Ok(())
}
