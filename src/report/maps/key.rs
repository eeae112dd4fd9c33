//! The key: a piece of every line and every sign that is drawn, with its meaning.

use nalgebra::Point2;

use super::ink::{Canvas, Item, Pen, Sign};
use super::labels::{LINE_MM, SIZE_MM, broken};
use super::sheet::SHEET_MM;

const SAMPLE_MM: f64 = 16.0;
const EDGE_MM: f64 = 3.0;

/// Kinds of lines and signs, each once, in the order of the key.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Used {
    pub(super) pens: Vec<Pen>,
    pub(super) signs: Vec<Sign>,
    pub(super) greys: bool,
}

impl Used {
    /// What a drawing uses.
    pub(super) fn of(canvas: &Canvas, signs: &[Sign]) -> Self {
        let pens = canvas.items.iter().filter_map(|item| match item {
            Item::Lines { pen, lines, .. } if !lines.is_empty() => Some(*pen),
            _ => None,
        });
        let greys = canvas.items.iter().any(
            |item| matches!(item, Item::Shade { grey, .. } if !matches!(*grey, "#000000" | "#ffffff")),
        );
        let mut used = Self { pens: pens.collect(), signs: signs.to_vec(), greys };
        used.tidy();
        used
    }

    /// With what another drawing uses.
    pub(super) fn and(&mut self, other: &Self) {
        self.pens.extend(&other.pens);
        self.signs.extend(&other.signs);
        self.greys |= other.greys;
        self.tidy();
    }

    fn tidy(&mut self) {
        self.pens = Pen::ALL.into_iter().filter(|one| self.pens.contains(one)).collect();
        self.signs = Sign::ALL.into_iter().filter(|one| self.signs.contains(one)).collect();
    }

    /// Draws the key from a height down, in two columns; gives where it ends.
    pub(super) fn draw(&self, canvas: &mut Canvas, from: f64) -> f64 {
        let pens = self.pens.iter().filter_map(|pen| Some((Entry::Line(*pen), pen.meaning()?)));
        let signs = self.signs.iter().map(|sign| (Entry::Sign(*sign), sign.meaning()));
        let greys = self.greys.then_some((
            Entry::Greys,
            "slope of the skin, darker where it turns down and to the right",
        ));
        let rows: Vec<(Entry, &str)> = pens.chain(signs).chain(greys).collect();
        let column = SHEET_MM / 2.0;
        let room = column - SAMPLE_MM - 2.0 * EDGE_MM - 2.0;
        let broken = |text: &str| broken(text, SIZE_MM, false, room);
        let lines: usize = rows.iter().map(|(_, text)| broken(text).len()).sum();
        let (mut x, mut y, mut lowest, mut so_far) = (EDGE_MM, from, from, 0);
        for (entry, text) in &rows {
            let words = broken(text);
            if so_far * 2 >= lines && x < column {
                (x, y) = (column + EDGE_MM, from);
            }
            let middle = y + LINE_MM * 0.5;
            match entry {
                Entry::Line(pen) => {
                    canvas.line(&[(x, middle), (x + SAMPLE_MM, middle)], *pen);
                }
                Entry::Sign(sign) => {
                    canvas.sign(Point2::new(x + SAMPLE_MM / 2.0, middle), *sign);
                }
                Entry::Greys => {
                    let box_of = |from: f64, to: f64| {
                        let corners = [(from, y), (to, y), (to, y + 3.0), (from, y + 3.0)];
                        vec![corners.map(|(x, y)| Point2::new(x, y)).to_vec()]
                    };
                    let half = x + SAMPLE_MM / 2.0;
                    for (from, to, grey) in [(x, half, "#ededed"), (half, x + SAMPLE_MM, "#d2d2d2")]
                    {
                        canvas.items.push(Item::Shade { lines: box_of(from, to), grey });
                    }
                }
            }
            for line in &words {
                canvas.words((x + SAMPLE_MM + 2.0, y + LINE_MM * 0.75), SIZE_MM, false, line);
                y += LINE_MM;
            }
            y += 1.2;
            so_far += words.len();
            lowest = lowest.max(y);
        }
        lowest
    }

    /// The same as one sentence.
    pub(super) fn says(&self) -> String {
        let pens = self.pens.iter().filter_map(|pen| pen.meaning());
        let signs = self.signs.iter().map(|sign| sign.meaning());
        let all: Vec<&str> = pens.chain(signs).collect();
        format!("Lines and signs of the maps: {}.", all.join("; "))
    }
}

enum Entry {
    Line(Pen),
    Sign(Sign),
    Greys,
}
