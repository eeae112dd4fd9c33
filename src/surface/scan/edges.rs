//! Which triangle lies across each edge of a scan, and which edges are not those of a surface?
//!
//! Half-edges are listed by the lower of their two corners, so that both halves of an edge stand
//! in one short list. Works on millions of triangles in a fraction of a second.
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers were checked when the scan was read; lists are made in this file"
)]

/// No triangle.
pub(super) const NONE: u32 = u32::MAX;

/// An edge that has not exactly one triangle on each side: its ends and its half-edges, each as
/// three times the face and the side in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct OddEdge {
    pub(super) ends: [u32; 2],
    pub(super) halves: Vec<u32>,
}

/// The neighbours of every triangle.
#[derive(Debug, Clone, Default)]
pub(super) struct Edges {
    /// `across[f][i]`: the triangle across the edge from corner `i` to corner `i + 1`.
    pub(super) across: Vec<[u32; 3]>,
    /// Edges with two triangles that run the same way, or with three or more.
    pub(super) odd: Vec<OddEdge>,
}

/// Pairs the half-edges; no triangle may name a corner twice.
pub(super) fn pair(corners: usize, faces: &[[u32; 3]]) -> Edges {
    let mut start = vec![0_u32; corners + 1];
    let low = |face: &[u32; 3], side: usize| face[side].min(face[(side + 1) % 3]);
    for face in faces {
        for side in 0..3 {
            start[low(face, side) as usize + 1] += 1;
        }
    }
    for v in 0..corners {
        start[v + 1] += start[v];
    }
    // The higher corner, then the half-edge, then whether it runs downwards.
    let mut halves = vec![0_u64; faces.len() * 3];
    for (number, face) in (0_u64..).zip(faces) {
        for side in 0..3 {
            let (a, b) = (face[side], face[(side + 1) % 3]);
            let slot = &mut start[a.min(b) as usize];
            let half = (number * 3 + side as u64) << 1 | u64::from(a > b);
            halves[*slot as usize] = u64::from(a.max(b)) << 32 | half;
            *slot += 1;
        }
    }
    let mut edges = Edges { across: vec![[NONE; 3]; faces.len()], odd: Vec::new() };
    let mut from = 0;
    for (v, to) in (0_u32..).zip(&start[..corners]) {
        let to = *to as usize;
        let list = &mut halves[from..to];
        sort(list);
        from = to;
        let mut rest: &[u64] = list;
        while let Some(first) = rest.first() {
            let same = rest.iter().take_while(|half| *half >> 32 == first >> 32).count();
            let (group, after) = rest.split_at(same);
            rest = after;
            let half = |at: usize| (group[at] as u32) >> 1;
            match group {
                [_] => {}
                [a, b] if (a ^ b) & 1 == 1 => {
                    let (a, b) = (half(0), half(1));
                    edges.across[(a / 3) as usize][(a % 3) as usize] = b / 3;
                    edges.across[(b / 3) as usize][(b % 3) as usize] = a / 3;
                }
                _ => edges.odd.push(OddEdge {
                    ends: [v, (first >> 32) as u32],
                    halves: (0..same).map(half).collect(),
                }),
            }
        }
    }
    edges
}

/// A handful of entries: insertion is the quickest.
fn sort(list: &mut [u64]) {
    if list.len() > 24 {
        list.sort_unstable();
        return;
    }
    for i in 1..list.len() {
        let mut j = i;
        while j > 0 && list[j - 1] > list[j] {
            list.swap(j - 1, j);
            j -= 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbours_and_odd_edges() {
        let edges = pair(4, &[[0, 1, 2], [2, 1, 3]]);
        assert_eq!(edges.across, [[NONE, 1, NONE], [0, NONE, NONE]]);
        assert!(edges.odd.is_empty());
        let flipped = pair(4, &[[0, 1, 2], [1, 2, 3]]);
        assert_eq!(flipped.odd, [OddEdge { ends: [1, 2], halves: vec![1, 3] }]);
        let three = pair(5, &[[0, 1, 2], [1, 0, 3], [0, 1, 4]]);
        assert_eq!(three.odd[0].halves.len(), 3);
    }
}
