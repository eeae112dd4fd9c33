//! The table for readers.

use std::fmt::Write as _;

use super::cells::{Cell, MATERIALS, ROLES, rows};

const LEGEND: &str = "\
What is decided about one mark on a panel with one fixing. Rows: the fixing, how far the mark as
it may be found in the high case lies from the fixing's rim (mm over the skin), and the layer it
goes down to. Columns: what the panel does. A cell is one of
  repair               repaired
  repair, cause first  repaired once the cause at the bracket has been put right
  REFER-...            goes to a specialist; the rule that comes first
A repair that would meet a referred mark is held, and a mark only to be watched is watched; a
referral stays in both cases. The back is reached, the lips do not move, the depth is known.
";

/// Blocks of materials that are decided alike stand once, under all their names.
pub(crate) fn table(cells: &[Cell], words: &[String]) -> String {
    let mut blocks: Vec<(Vec<&str>, String)> = Vec::new();
    for material in MATERIALS {
        let of: Vec<&str> = cells
            .iter()
            .zip(words)
            .filter(|(cell, _)| cell.material == material)
            .map(|(_, word)| word.as_str())
            .collect();
        let text = block(&of);
        match blocks.iter_mut().find(|(_, known)| *known == text) {
            Some((names, _)) => names.push(material),
            None => blocks.push((vec![material], text)),
        }
    }
    let mut text = LEGEND.to_owned();
    for (names, block) in blocks {
        let _ = write!(text, "\nMaterial: {}\n{block}", names.join(", "));
    }
    text
}

fn block(words: &[&str]) -> String {
    let mut text = String::new();
    line(&mut text, "fixing", "distance, mm", "layer", &ROLES);
    let mut before = "";
    for ((fixing, place, layer), row) in rows().into_iter().zip(words.chunks(ROLES.len())) {
        if fixing.name != before {
            text.push('\n');
            before = fixing.name;
        }
        line(&mut text, fixing.name, place.map_or("any", |p| p.name), layer.name(), row);
    }
    text
}

fn line(text: &mut String, fixing: &str, place: &str, layer: &str, cells: &[&str]) {
    let mut row = format!("{fixing:<17} {place:<13} {layer:<9}");
    for cell in cells {
        let _ = write!(row, " {cell:<21}");
    }
    let _ = writeln!(text, "{}", row.trim_end());
}
