//! A sparse symmetric system taken apart once and solved many times: Cholesky within the envelope
//! of the table, its unknowns renumbered so that neighbours stand close (reverse Cuthill-McKee;
//! George and Liu, Computer Solution of Large Sparse Positive Definite Systems, 1981; published).
#![allow(clippy::indexing_slicing, reason = "numbers come from the tables they index")]

use std::cmp::Reverse;

use super::solve::Rows;

/// More multiplications than this and the table is too wide to be taken apart (choice: some
/// seconds).
const MOST_WORK: f64 = 2e10;
const NONE: u32 = u32::MAX;

/// The lower triangle, row by row from each row's first entry up to its diagonal.
pub(super) struct Factor {
    /// Unknown at each place of the new numbering.
    order: Vec<u32>,
    first: Vec<u32>,
    start: Vec<usize>,
    values: Vec<f64>,
}

impl Factor {
    /// Takes the free part of a table apart; nothing when it is too wide or not positive definite.
    pub(super) fn new(rows: &Rows, free: &[bool]) -> Option<Self> {
        let order = renumbered(rows, free);
        let mut place = vec![NONE; free.len()];
        for (new, unknown) in (0..).zip(&order) {
            place[*unknown as usize] = new;
        }
        let mut first: Vec<u32> = (0..order.len() as u32).collect();
        for (new, unknown) in order.iter().enumerate() {
            for (column, _) in rows.row(*unknown) {
                // A fixed unknown has no place, and NONE is larger than any.
                first[new] = first[new].min(place[*column as usize]);
            }
        }
        let width = |new: usize| new - first[new] as usize + 1;
        let work: f64 = (0..order.len()).map(|new| (width(new) as f64).powi(2)).sum();
        if work > MOST_WORK {
            return None;
        }
        let mut start = vec![0; order.len() + 1];
        for new in 0..order.len() {
            start[new + 1] = start[new] + width(new);
        }
        let mut values = vec![0.0; start[order.len()]];
        for (new, unknown) in order.iter().enumerate() {
            values[start[new + 1] - 1] = rows.diagonal[*unknown as usize];
            for (column, value) in rows.row(*unknown) {
                let other = place[*column as usize];
                if other < new as u32 {
                    values[start[new] + (other - first[new]) as usize] = *value;
                }
            }
        }
        let mut factor = Self { order, first, start, values };
        factor.take_apart().then_some(factor)
    }

    fn take_apart(&mut self) -> bool {
        for i in 0..self.order.len() {
            let (before, here) = self.values.split_at_mut(self.start[i]);
            let row = &mut here[..self.start[i + 1] - self.start[i]];
            let low = self.first[i] as usize;
            for j in low..i {
                let from = low.max(self.first[j] as usize);
                let other = &before[self.start[j]..self.start[j + 1]];
                let length = j - from;
                let left = &row[from - low..from - low + length];
                let right = &other[from - self.first[j] as usize..][..length];
                let diagonal = other[other.len() - 1];
                row[j - low] = (row[j - low] - dot(left, right)) / diagonal;
            }
            let last = row.len() - 1;
            let rest = row[last] - dot(&row[..last], &row[..last]);
            if rest <= 0.0 || !rest.is_finite() {
                return false;
            }
            row[last] = rest.sqrt();
        }
        true
    }

    /// Solves for the free unknowns; the others keep their value.
    pub(super) fn solve(&self, rows: &Rows, x: &mut [f64], b: &[f64], free: &[bool]) {
        let mut y: Vec<f64> = self
            .order
            .iter()
            .map(|unknown| {
                let fixed = rows.row(*unknown).iter().filter(|(column, _)| !free[*column as usize]);
                b[*unknown as usize]
                    - fixed.map(|(column, value)| value * x[*column as usize]).sum::<f64>()
            })
            .collect();
        for i in 0..y.len() {
            let row = &self.values[self.start[i]..self.start[i + 1]];
            let (low, last) = (self.first[i] as usize, row.len() - 1);
            y[i] = (y[i] - dot(&row[..last], &y[low..i])) / row[last];
        }
        for i in (0..y.len()).rev() {
            let row = &self.values[self.start[i]..self.start[i + 1]];
            let (low, last) = (self.first[i] as usize, row.len() - 1);
            y[i] /= row[last];
            let here = y[i];
            for (value, entry) in y[low..i].iter_mut().zip(row) {
                *value -= entry * here;
            }
        }
        for (unknown, value) in self.order.iter().zip(y) {
            x[*unknown as usize] = value;
        }
    }
}

/// Four sums at once, so that the processor need not wait for each.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut sums = [0.0; 4];
    let (left, right) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = left.remainder().iter().zip(right.remainder()).map(|(a, b)| a * b).sum();
    for (a, b) in left.zip(right) {
        for k in 0..4 {
            sums[k] += a[k] * b[k];
        }
    }
    sums[0] + sums[1] + sums[2] + sums[3] + rest
}

/// The free unknowns, each part from an end of it outwards, then turned round.
fn renumbered(rows: &Rows, free: &[bool]) -> Vec<u32> {
    let mut order = Vec::new();
    let mut seen: Vec<bool> = free.iter().map(|free| !free).collect();
    for start in 0..free.len() as u32 {
        if seen[start as usize] {
            continue;
        }
        // The last one met going out from anywhere is an end; twice is enough.
        let mut end = start;
        for _ in 0..2 {
            let mut met = seen.clone();
            end = outwards(rows, &mut met, end).last().copied().unwrap_or(end);
        }
        order.extend(outwards(rows, &mut seen, end));
    }
    order.reverse();
    order
}

fn outwards(rows: &Rows, seen: &mut [bool], start: u32) -> Vec<u32> {
    let mut list = vec![start];
    seen[start as usize] = true;
    let mut at = 0;
    while at < list.len() {
        let first = list.len();
        for (column, _) in rows.row(list[at]) {
            if !seen[*column as usize] {
                seen[*column as usize] = true;
                list.push(*column);
            }
        }
        list[first..].sort_by_key(|v| (rows.row(*v).len(), Reverse(*v)));
        at += 1;
    }
    list
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    /// A net of springs with two parts, some corners fixed: the answer of conjugate gradients.
    #[test]
    fn it_agrees_with_conjugate_gradients() {
        let (n, count) = (17_u32, 17 * 17 + 3);
        let mut edges = Vec::new();
        let mut join = |a: u32, b: u32| {
            let value = -1.0 - f64::from((a * 7 + b * 3) % 11) / 10.0;
            edges.extend([(a, b, value), (b, a, value)]);
        };
        for j in 0..n {
            for i in 0..n {
                let here = j * n + i;
                if i + 1 < n {
                    join(here, here + 1);
                }
                if j + 1 < n {
                    join(here, here + n);
                }
                if i + 1 < n && j + 1 < n {
                    join(here, here + n + 1);
                }
            }
        }
        join(n * n, n * n + 1);
        join(n * n + 1, n * n + 2);
        let rows = Rows::laplacian(count, edges);
        let free: Vec<bool> = (0..count).map(|v| v != 5 && v != 200 && v != count - 1).collect();
        let b: Vec<f64> = (0..count).map(|v| (v as f64).sin()).collect();
        let start: Vec<f64> = (0..count).map(|v| (v as f64 * 0.3).cos()).collect();
        let (mut direct, mut drawn) = (start.clone(), start.clone());
        Factor::new(&rows, &free).expect("positive definite").solve(&rows, &mut direct, &b, &free);
        rows.solve(&mut drawn, &b, &free, 1e-12);
        for v in 0..count {
            assert_relative_eq!(direct[v], drawn[v], epsilon = 1e-8);
            assert!(free[v] || direct[v].to_bits() == start[v].to_bits());
        }
    }

    #[test]
    fn a_part_without_a_fixed_place_is_refused() {
        let rows = Rows::laplacian(2, vec![(0, 1, -1.0), (1, 0, -1.0)]);
        assert!(Factor::new(&rows, &[true, true]).is_none());
    }
}
