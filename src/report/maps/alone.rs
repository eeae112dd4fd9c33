//! A drawing as a file of its own: what stops and what is left out stand over it, the key under it.

use nalgebra::Vector2;

use super::ink::Canvas;
use super::labels::{LINE_MM, SIZE_MM, broken};
use super::svg;
use super::{Drawing, Maps};

const EDGE_MM: f64 = 4.0;

impl Drawing {
    /// The drawing as a whole file, with everything over it that must not be parted from it: what
    /// must not be done, what is left out, and what can be seen in words.
    #[must_use]
    pub fn alone(&self, stops: &[String], left_out: &[String]) -> String {
        let stops = stops.iter().map(|text| (true, format!("STOP: {text}")));
        let left = left_out.iter().map(|text| (false, format!("left out: {text}")));
        let said = std::iter::once((false, self.says.clone()));
        let mut canvas = Canvas { width_mm: self.width_mm, height_mm: 0.0, items: Vec::new() };
        let mut y = EDGE_MM;
        let title = std::iter::once((true, self.title.clone()));
        for (bold, text) in title.chain(stops).chain(left).chain(said) {
            for line in broken(&text, SIZE_MM, bold, self.width_mm - 2.0 * EDGE_MM) {
                y += LINE_MM;
                canvas.words((EDGE_MM, y), SIZE_MM, bold, &line);
            }
            y += 1.0;
        }
        y += EDGE_MM;
        let mut own = self.canvas.clone();
        own.moved(Vector2::new(0.0, y));
        canvas.items.extend(own.items);
        y += self.height_mm + 2.0;
        canvas.height_mm = self.used.draw(&mut canvas, y) + EDGE_MM;
        svg::of(&canvas, &self.title, &self.says, None)
    }
}

impl Maps {
    /// Every drawing as a whole file with its name: see [`Drawing::alone`].
    #[must_use]
    pub fn files(&self, stops: &[String], left_out: &[String]) -> Vec<(String, String)> {
        let mut files = Vec::new();
        let mut add = |start: String, of: &Drawing| {
            files.push((format!("{start}.svg"), of.alone(stops, left_out)));
        };
        for (number, drawing) in self.overview.iter().enumerate() {
            add(format!("body-{}", number + 1), drawing);
        }
        for (number, map) in self.panels.iter().enumerate() {
            let start = format!("panel-{}-{}", number + 1, plain(&map.panel));
            for (how, drawing) in [("stood", &map.stood), ("flat", &map.flat)] {
                if let Some(drawing) = drawing {
                    let says = [drawing.says.clone()].into_iter().chain(map.says.iter().cloned());
                    let says = says.collect::<Vec<_>>().join(" ");
                    add(format!("{start}-{how}"), &Drawing { says, ..drawing.clone() });
                }
            }
        }
        files
    }
}

/// A name that any disk takes.
fn plain(name: &str) -> String {
    let safe = |letter: char| if letter.is_ascii_alphanumeric() { letter } else { '-' };
    let joined: String = name.chars().map(safe).collect();
    let words: Vec<&str> = joined.split('-').filter(|word| !word.is_empty()).take(8).collect();
    words.join("-").to_lowercase()
}
