//! How long a scan takes to read, to weld and check, and to thin and lay out.
//! `cargo run --release --example scan_timing -- write FOLDER` writes three scans of two million
//! triangles; `... -- FILE` reads one of them, and `... -- FILE whole` makes its skin as well.
#![allow(clippy::disallowed_methods, reason = "it measures time, and nothing else comes of it")]

use std::error::Error;
use std::io::Write;
use std::time::Instant;

use plymend::model::panel::{Panel, SurfaceForm};
use plymend::read::job::{self, TextFolder};
use plymend::read::scan_file;
use plymend::surface::{scan, skin};

#[path = "../tests/scans/writing.rs"]
mod writing;

fn main() -> Result<(), Box<dyn Error>> {
    let typed: Vec<String> = std::env::args().skip(1).collect();
    let mut out = std::io::stdout().lock();
    match typed.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["write", folder] => {
            // A crowned panel of 1.6 x 1.2 m with a swage, as a scanner sees it.
            let at = |s: f64, t: f64| {
                let (x, y) = (1.6 * (s - 0.5), 1.2 * (t - 0.5));
                let crown = 0.10 * (1.0 - (x / 0.8).powi(2)) * (1.0 - (y / 0.6).powi(2));
                let swage = 0.015 * (-((y - 0.2) / 0.03).powi(2)).exp();
                [1000.0 * x, 1000.0 * y, 1000.0 * (crown + swage)]
            };
            let shape = writing::net(1154, 867, 0.3, at, |_, _| true);
            std::fs::write(format!("{folder}/large.stl"), writing::binary_stl(&shape))?;
            std::fs::write(format!("{folder}/large.ply"), writing::plain_ply(&shape))?;
            let single = shape.single();
            std::fs::write(format!("{folder}/large.obj"), writing::obj(&single, "panel"))?;
            writeln!(out, "{} triangles", single.faces.len())?;
        }
        [file, rest @ ..] => {
            let name = file.rsplit('/').next().unwrap_or(file);
            let text = format!(
                "(format: 1, name: \"scan\", surface: Scan(file: {name:?}, unit: mm, thin_mm: 0.2))"
            );
            let start = Instant::now();
            let bytes = std::fs::read(file)?;
            let loaded = start.elapsed();
            let raw = scan_file::read(name, &bytes).map_err(|fault| fault.to_string())?;
            drop(bytes);
            let read = start.elapsed();
            let panel: Panel = plymend::read::ron_file::parse("panel.ron", &text)
                .map_err(|fault| fault.to_string())?
                .0;
            let Some(SurfaceForm::Scan(written)) = &panel.surface else {
                return Err("no scan".into());
            };
            let start = Instant::now();
            let checked = scan::checked(written, &raw).map_err(|fault| fault.problem)?;
            let done = start.elapsed();
            writeln!(
                out,
                "{name}: {} triangles; bytes {:.3} s, read {:.3} s, weld and check {:.3} s, \
                 together {:.3} s",
                checked.faces.len(),
                loaded.as_secs_f64(),
                (read - loaded).as_secs_f64(),
                done.as_secs_f64(),
                (read + done).as_secs_f64()
            )?;
            if rest.is_empty() {
                return Ok(());
            }
            drop((raw, checked));
            let mut folder = TextFolder::default();
            folder.put("panel.ron", &text);
            folder.put_bytes(name, std::fs::read(file)?);
            let (panel, _) = job::panel(&folder, "panel.ron")
                .map_err(|faults| faults.iter().map(ToString::to_string).collect::<String>())?;
            drop(folder);
            let start = Instant::now();
            let skin = skin::of(&panel).map_err(|faults| format!("{faults:?}"))?;
            writeln!(
                out,
                "  skin {:.2} s, {} triangles",
                start.elapsed().as_secs_f64(),
                skin.mesh.faces.len()
            )?;
            for note in &skin.notes {
                writeln!(out, "  {note}")?;
            }
        }
        [] => return Err("give `write FOLDER`, or a scan".into()),
    }
    Ok(())
}
