//! Which earlier mark is which later one, all together at the least cost.
//!
//! Shortest augmenting paths with potentials (Jonker and Volgenant 1987, after Kuhn 1955; published).
//! Takes the pairs that are possible; every mark may also stay alone, at a cost that is higher than
//! any pair's, so that as many marks as possible find one another.
#![allow(
    clippy::indexing_slicing,
    reason = "rows and columns are numbered by the square table they stand in"
)]

/// A pair that is possible.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pair {
    pub(super) earlier: usize,
    pub(super) later: usize,
    pub(super) cost: f64,
}

/// The chosen pairs, by number in `pairs`, in order.
pub(super) fn choose(pairs: &[Pair], alone: f64) -> Vec<usize> {
    let mut chosen = Vec::new();
    for part in parts(pairs) {
        let ends = |end: fn(&Pair) -> usize| {
            let mut found: Vec<usize> = part.iter().map(|number| end(&pairs[*number])).collect();
            found.sort_unstable();
            found.dedup();
            found
        };
        let (rows, columns) = (ends(|pair| pair.earlier), ends(|pair| pair.later));
        let size = rows.len() + columns.len();
        let mut table = vec![vec![0.0; size]; size];
        for (row, line) in table.iter_mut().enumerate() {
            for (column, cost) in line.iter_mut().enumerate() {
                // A mark alone costs; two places left over cost nothing.
                *cost = match (row < rows.len(), column < columns.len()) {
                    (true, true) => 4.0 * alone,
                    (false, false) => 0.0,
                    _ => alone,
                };
            }
        }
        let mut number_of = vec![vec![None; columns.len()]; rows.len()];
        for number in &part {
            let pair = &pairs[*number];
            let (row, column) = (
                rows.binary_search(&pair.earlier).unwrap_or(0),
                columns.binary_search(&pair.later).unwrap_or(0),
            );
            table[row][column] = pair.cost;
            number_of[row][column] = Some(*number);
        }
        for (row, column) in least(&table).into_iter().enumerate().take(rows.len()) {
            chosen.extend(number_of[row].get(column).copied().flatten());
        }
    }
    chosen.sort_unstable();
    chosen
}

/// Pairs in groups that share no mark.
fn parts(pairs: &[Pair]) -> Vec<Vec<usize>> {
    let mut parts: Vec<Vec<usize>> = Vec::new();
    for (number, pair) in pairs.iter().enumerate() {
        let meets = |part: &Vec<usize>| {
            let shares = |one: &usize| {
                pairs[*one].earlier == pair.earlier || pairs[*one].later == pair.later
            };
            part.iter().any(shares)
        };
        let (joined, apart): (Vec<_>, Vec<_>) = parts.into_iter().partition(meets);
        parts = apart;
        let mut whole: Vec<usize> = joined.into_iter().flatten().collect();
        whole.push(number);
        parts.push(whole);
    }
    parts
}

/// The column of every row of a square table, at the least sum.
fn least(table: &[Vec<f64>]) -> Vec<usize> {
    let size = table.len();
    // Row and column 0 stand for nothing; the others are one up.
    let (mut of_row, mut of_column) = (vec![0.0; size + 1], vec![0.0; size + 1]);
    let mut row_at = vec![0; size + 1];
    for row in 1..=size {
        let (mut slack, mut done) = (vec![f64::INFINITY; size + 1], vec![false; size + 1]);
        let mut came_from = vec![0; size + 1];
        row_at[0] = row;
        let mut column = 0;
        loop {
            done[column] = true;
            let here = row_at[column];
            let (mut step, mut next) = (f64::INFINITY, 0);
            for other in 1..=size {
                if done[other] {
                    continue;
                }
                let cost = table[here - 1][other - 1] - of_row[here] - of_column[other];
                if cost < slack[other] {
                    slack[other] = cost;
                    came_from[other] = column;
                }
                if slack[other] < step {
                    step = slack[other];
                    next = other;
                }
            }
            for other in 0..=size {
                if done[other] {
                    of_row[row_at[other]] += step;
                    of_column[other] -= step;
                } else {
                    slack[other] -= step;
                }
            }
            column = next;
            if row_at[column] == 0 {
                break;
            }
        }
        while column != 0 {
            row_at[column] = row_at[came_from[column]];
            column = came_from[column];
        }
    }
    let mut columns = vec![0; size];
    for column in 1..=size {
        columns[row_at[column] - 1] = column - 1;
    }
    columns
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(earlier: usize, later: usize, cost: f64) -> Pair {
        Pair { earlier, later, cost }
    }

    #[test]
    fn the_least_sum_wins_over_the_nearest_first() {
        // Nearest first takes 0-0 and leaves 1 with the dear pair.
        let pairs = [pair(0, 0, 1.0), pair(0, 1, 2.0), pair(1, 0, 2.0), pair(1, 1, 9.0)];
        assert_eq!(choose(&pairs, 20.0), [1, 2]);
    }

    #[test]
    fn as_many_as_can_find_one_another() {
        let pairs = [pair(7, 3, 0.0), pair(7, 4, 5.0), pair(9, 3, 6.0)];
        assert_eq!(choose(&pairs, 20.0), [1, 2]);
        assert!(choose(&[], 20.0).is_empty());
    }

    /// Every way of pairing four with four is tried.
    #[test]
    fn no_other_pairing_is_cheaper() {
        let mut state = 7_u64;
        let mut draw = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (state >> 40) as f64 / 1e6
        };
        for _ in 0..50 {
            let table: Vec<Vec<f64>> = (0..4).map(|_| (0..4).map(|_| draw()).collect()).collect();
            let found: f64 =
                least(&table).iter().enumerate().map(|(row, column)| table[row][*column]).sum();
            let mut best = f64::INFINITY;
            for a in 0..4 {
                for b in (0..4).filter(|b| *b != a) {
                    for c in (0..4).filter(|c| *c != a && *c != b) {
                        let d = 6 - a - b - c;
                        best = best.min(table[0][a] + table[1][b] + table[2][c] + table[3][d]);
                    }
                }
            }
            assert!((found - best).abs() < 1e-9, "{found} {best}");
        }
    }
}
