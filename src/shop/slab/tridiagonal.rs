//! Solves a tridiagonal system by elimination from the first row to the last.

/// One row: what stands before, on and after the diagonal, and the right side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Before the diagonal; without meaning in the first row.
    pub before: f64,
    /// On the diagonal.
    pub on: f64,
    /// After the diagonal; without meaning in the last row.
    pub after: f64,
    /// Right side.
    pub right: f64,
}

/// The solution, into `solution`. Sound without exchanges for rows whose diagonal outweighs the
/// rest, as every row of a heat balance does.
pub fn solve(rows: &mut [Row], solution: &mut Vec<f64>) {
    let (mut factor, mut known) = (0.0, 0.0);
    for row in rows.iter_mut() {
        let pivot = row.on - row.before * factor;
        factor = row.after / pivot;
        known = (row.right - row.before * known) / pivot;
        (row.after, row.right) = (factor, known);
    }
    solution.clear();
    let mut next = 0.0;
    for row in rows.iter().rev() {
        next = row.right - row.after * next;
        solution.push(next);
    }
    solution.reverse();
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn a_system_worked_by_hand_is_solved() {
        // 2x + y = 4, x + 3y + z = 10, y + 2z = 8 has the solution 1, 2, 3.
        let row = |before, on, after, right| Row { before, on, after, right };
        let mut rows = [row(9.0, 2.0, 1.0, 4.0), row(1.0, 3.0, 1.0, 10.0), row(1.0, 2.0, 9.0, 8.0)];
        let mut found = Vec::new();
        solve(&mut rows, &mut found);
        for (got, expected) in found.into_iter().zip([1.0, 2.0, 3.0]) {
            assert_abs_diff_eq!(got, expected, epsilon = 1e-12);
        }
    }
}
