//! Sparse symmetric systems, solved by conjugate gradients scaled by the diagonal (Hestenes and
//! Stiefel, J. Res. NBS 49, 1952; published) where [`super::envelope`] would be too wide.
#![allow(clippy::indexing_slicing, reason = "columns are rows of the same square table")]

/// A symmetric table by rows: diagonal, and the other entries of each row.
pub(super) struct Rows {
    pub(super) diagonal: Vec<f64>,
    pub(super) start: Vec<u32>,
    pub(super) entries: Vec<(u32, f64)>,
}

impl Rows {
    /// From entries (row, column, value) off the diagonal, each row's diagonal being less the sum
    /// of its entries.
    pub(super) fn laplacian(count: usize, mut all: Vec<(u32, u32, f64)>) -> Self {
        all.sort_by_key(|(row, column, _)| (*row, *column));
        let mut rows =
            Self { diagonal: vec![0.0; count], start: vec![0; count + 1], entries: Vec::new() };
        let mut last = None;
        for (row, column, value) in all {
            rows.diagonal[row as usize] -= value;
            if last == Some((row, column)) {
                if let Some(entry) = rows.entries.last_mut() {
                    entry.1 += value;
                }
                continue;
            }
            last = Some((row, column));
            rows.entries.push((column, value));
            rows.start[row as usize + 1] = rows.entries.len() as u32;
        }
        for row in 0..count {
            rows.start[row + 1] = rows.start[row + 1].max(rows.start[row]);
        }
        rows
    }

    /// Entries of a row off its diagonal.
    pub(super) fn row(&self, row: u32) -> &[(u32, f64)] {
        &self.entries[self.start[row as usize] as usize..self.start[row as usize + 1] as usize]
    }

    fn times(&self, x: &[f64], out: &mut [f64], free: &[bool]) {
        for row in 0..x.len() {
            if !free[row] {
                out[row] = 0.0;
                continue;
            }
            let rest: f64 = self
                .row(row as u32)
                .iter()
                .map(|(column, value)| value * x[*column as usize])
                .sum();
            out[row] = self.diagonal[row] * x[row] + rest;
        }
    }

    /// Solves for the free unknowns from a first guess; the others keep their value.
    pub(super) fn solve(&self, x: &mut [f64], b: &[f64], free: &[bool], tolerance: f64) {
        let count = x.len();
        let mut r = vec![0.0; count];
        // The fixed ones act on the free ones through the first residual.
        self.times(x, &mut r, free);
        for row in 0..count {
            r[row] = if free[row] { b[row] - r[row] } else { 0.0 };
        }
        let scaled = |r: &[f64]| -> Vec<f64> {
            r.iter().zip(&self.diagonal).map(|(r, d)| r / d.max(1e-30)).collect()
        };
        let dot = |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(a, b)| a * b).sum() };
        let mut z = scaled(&r);
        let mut p = z.clone();
        let mut rz = dot(&r, &z);
        let target = tolerance * tolerance;
        let mut q = vec![0.0; count];
        for _ in 0..4 * count + 100 {
            if rz <= target {
                break;
            }
            self.times(&p, &mut q, free);
            let bend = dot(&p, &q);
            if bend <= 0.0 {
                break;
            }
            let step = rz / bend;
            for row in 0..count {
                x[row] += step * p[row];
                r[row] -= step * q[row];
            }
            z = scaled(&r);
            let next = dot(&r, &z);
            let keep = next / rz;
            rz = next;
            for row in 0..count {
                p[row] = z[row] + keep * p[row];
            }
        }
    }
}
