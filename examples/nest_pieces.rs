//! Lays out a set of pieces twice, once as mat and once as cloth, and prints where they lie as
//! JSON, for comparison with other libraries.
//!
//! ```sh
//! cargo run --release --example nest_pieces -- tests/nest/pieces.json [MOVES [SEED]]
//! ```

use std::io::{self, BufWriter, Write};

use nalgebra::Point2;
use plymend::buy::nest::{Piece, Roll, Settings, Turns, nest};
use serde::Deserialize;
use serde_json::json;

#[derive(Deserialize)]
struct Set {
    roll_mm: f64,
    gap_mm: f64,
    pieces: Vec<Drawn>,
}

#[derive(Deserialize)]
struct Drawn {
    id: String,
    outline_mm: Vec<[f64; 2]>,
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let file =
        arguments.next().ok_or("give the file of the set, such as tests/nest/pieces.json")?;
    let set: Set = serde_json::from_str(&std::fs::read_to_string(file)?)?;
    let mut settings = Settings { gap_mm: set.gap_mm, ..Settings::default() };
    if let Some(moves) = arguments.next() {
        settings.moves = moves.parse()?;
    }
    if let Some(seed) = arguments.next() {
        settings.seed = seed.parse()?;
    }
    let roll = Roll { material: "glass".to_owned(), width_mm: set.roll_mm };
    let mut cases = Vec::new();
    for (name, turns) in [("mat", Turns::Any), ("cloth", Turns::QuarterTurns)] {
        let piece = |drawn: &Drawn| Piece {
            id: drawn.id.clone(),
            outline_mm: drawn.outline_mm.iter().map(|p| Point2::from(*p)).collect(),
            copies: 1,
            material: roll.material.clone(),
            turns,
            may_be_turned_over: false,
        };
        let pieces: Vec<Piece> = set.pieces.iter().map(piece).collect();
        let layout = nest(&pieces, &roll, &settings).map_err(|faults| {
            faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
        })?;
        let placed: Vec<_> = layout
            .placed
            .iter()
            .map(|one| {
                json!({
                    "id": one.id,
                    "turned_over": one.turned_over,
                    "rotation_deg": one.rotation_deg,
                    "x_mm": one.offset_mm.x,
                    "y_mm": one.offset_mm.y,
                })
            })
            .collect();
        let offcuts: Vec<_> = layout
            .offcuts
            .iter()
            .map(|o| json!([o.x_mm, o.y_mm, o.along_mm, o.across_mm]))
            .collect();
        cases.push(json!({
            "case": name,
            "used_length_mm": layout.used_length_mm,
            "shelf_length_mm": layout.shelf_length_mm,
            "area_bound_mm": layout.area_bound_mm,
            "placed": placed,
            "offcuts": offcuts,
        }));
    }
    let mut out = BufWriter::new(io::stdout().lock());
    serde_json::to_writer_pretty(&mut out, &cases)?;
    writeln!(out)?;
    out.flush()?;
    Ok(())
}
