//! Free rectangles that are worth keeping.

use super::exact::Laid;
use super::outline::{edges, to_segment_mm};

/// Cells are at most so long and wide.
const CELL_MM: f64 = 5.0;

/// An upright rectangle of the roll that no piece comes nearer to than the gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offcut {
    /// From here along the roll, mm.
    pub x_mm: f64,
    /// From here across the roll, mm.
    pub y_mm: f64,
    /// Size along the roll, mm.
    pub along_mm: f64,
    /// Size across the roll, mm.
    pub across_mm: f64,
}

/// The part of a roll that is looked at, and what is worth keeping.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    pub(super) length_mm: f64,
    pub(super) width_mm: f64,
    pub(super) gap_mm: f64,
    pub(super) short_mm: f64,
    pub(super) long_mm: f64,
}

#[derive(Clone, Copy, Debug)]
struct Cells {
    along: (usize, usize),
    across: (usize, usize),
}

/// The largest free rectangle, then the largest in what is left, and so on down to the least size.
///
/// Measured on cells of up to 5 mm that divide length and width evenly. A cell is taken when a
/// piece comes nearer to its middle than the gap and half its diagonal; so a rectangle may be up to
/// two cells too small on a side with a piece, and is never too large.
pub(super) fn offcuts(laid: &[Laid], wanted: &Wanted) -> Vec<Offcut> {
    let cells = |size_mm: f64| ((size_mm / CELL_MM).ceil() as usize).max(1);
    let (columns, rows) = (cells(wanted.length_mm), cells(wanted.width_mm));
    let along_mm = wanted.length_mm / columns as f64;
    let across_mm = wanted.width_mm / rows as f64;
    // Column by column along the roll.
    let mut free = vec![true; columns * rows];
    let reach_mm = wanted.gap_mm + along_mm.hypot(across_mm) / 2.0;
    for one in laid {
        let range = |low: f64, high: f64, size: f64, count: usize| {
            let first = ((low - reach_mm) / size).floor().max(0.0) as usize;
            first..(((high + reach_mm) / size).ceil().max(0.0) as usize).min(count)
        };
        for column in range(one.bounds.low.x, one.bounds.high.x, along_mm, columns) {
            for row in range(one.bounds.low.y, one.bounds.high.y, across_mm, rows) {
                let x = (column as f64 + 0.5) * along_mm;
                let y = (row as f64 + 0.5) * across_mm;
                let middle = nalgebra::Point2::new(x, y);
                if let Some(cell) = free.get_mut(column * rows + row).filter(|cell| **cell) {
                    let near = |(a, b)| to_segment_mm(middle, a, b) < reach_mm;
                    *cell = !(one.holds(&middle) || edges(&one.points).any(near));
                }
            }
        }
    }
    let mut found = Vec::new();
    let size = |cells: &Cells| {
        let along = (cells.along.1 - cells.along.0) as f64 * along_mm;
        (along, (cells.across.1 - cells.across.0) as f64 * across_mm)
    };
    let worth = |cells: &Cells| {
        let (along, across) = size(cells);
        let enough = along.min(across) >= wanted.short_mm && along.max(across) >= wanted.long_mm;
        enough.then_some(along * across)
    };
    while let Some(cells) = largest(&free, columns, rows, &worth) {
        let (along, across) = size(&cells);
        found.push(Offcut {
            x_mm: cells.along.0 as f64 * along_mm,
            y_mm: cells.across.0 as f64 * across_mm,
            along_mm: along,
            across_mm: across,
        });
        for column in cells.along.0..cells.along.1 {
            let column = column * rows;
            if let Some(taken) = free.get_mut(column + cells.across.0..column + cells.across.1) {
                taken.fill(false);
            }
        }
    }
    found
}

/// The free rectangle that is worth most: for every column the free lengths back along the roll
/// make a bar chart, whose rectangles come off a stack of rising bars.
fn largest(
    free: &[bool],
    columns: usize,
    rows: usize,
    worth: &dyn Fn(&Cells) -> Option<f64>,
) -> Option<Cells> {
    let mut lengths = vec![0_usize; rows];
    let mut best: Option<(f64, Cells)> = None;
    for (column, cells) in free.chunks(rows).enumerate().take(columns) {
        for (length, free) in lengths.iter_mut().zip(cells) {
            *length = if *free { *length + 1 } else { 0 };
        }
        // Bars that still go on: from which row, how long.
        let mut bars: Vec<(usize, usize)> = Vec::new();
        for (row, length) in lengths.iter().copied().chain([0]).enumerate() {
            let mut start = row;
            while let Some((from, bar)) = bars.pop_if(|(_, bar)| *bar > length) {
                let cells = Cells { along: (column + 1 - bar, column + 1), across: (from, row) };
                let value = worth(&cells);
                if let Some(value) = value.filter(|v| best.is_none_or(|(most, _)| *v > most)) {
                    best = Some((value, cells));
                }
                start = from;
            }
            if length > 0 && bars.last().is_none_or(|(_, bar)| *bar < length) {
                bars.push((start, length));
            }
        }
    }
    best.map(|(_, cells)| cells)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::buy::nest::shape::Lie;
    use nalgebra::Vector2;

    fn block(low: (f64, f64), size: (f64, f64)) -> Laid {
        let (x, y) = size;
        let outline = [(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)].map(|(x, y)| Vector2::new(x, y));
        Laid::new(&outline, Lie::default(), &Vector2::new(low.0, low.1))
    }

    /// Closed form: a block of 400 x 600 in the corner of 1000 x 1000 leaves 600 x 1000 beyond it
    /// and 400 x 400 beside it, less the gap and what the cells lose.
    #[test]
    fn the_end_and_the_side_strip_beside_a_block_are_found() {
        let wanted = Wanted {
            length_mm: 1000.0,
            width_mm: 1000.0,
            gap_mm: 5.0,
            short_mm: 100.0,
            long_mm: 300.0,
        };
        let found = offcuts(&[block((0.0, 0.0), (400.0, 600.0))], &wanted);
        let [end, side] = found.as_slice() else { panic!("{found:?}") };
        assert!(end.x_mm >= 405.0 && end.x_mm <= 415.0 && end.y_mm.abs() < 1e-9);
        assert!((end.x_mm + end.along_mm - 1000.0).abs() < 1e-9);
        assert!((end.across_mm - 1000.0).abs() < 1e-9);
        assert!(side.y_mm >= 605.0 && side.y_mm <= 615.0 && side.x_mm.abs() < 1e-9);
        assert!((side.along_mm - end.x_mm).abs() < 1e-9);
        let small = Wanted { short_mm: 405.0, ..wanted };
        assert_eq!(offcuts(&[block((0.0, 0.0), (400.0, 600.0))], &small).len(), 1);
    }

    #[test]
    fn a_full_roll_leaves_nothing_and_an_empty_one_all() {
        let wanted = Wanted {
            length_mm: 333.0,
            width_mm: 777.0,
            gap_mm: 0.0,
            short_mm: 10.0,
            long_mm: 10.0,
        };
        assert!(offcuts(&[block((0.0, 0.0), (333.0, 777.0))], &wanted).is_empty());
        let all = offcuts(&[], &wanted);
        assert_eq!(all.len(), 1);
        assert!((all[0].along_mm - 333.0).abs() < 1e-9 && (all[0].across_mm - 777.0).abs() < 1e-9);
    }
}
