//! Outlines laid over each other: where do they meet, and in which pieces do they run?
//!
//! Grid mm. Places a hair apart become one, so that outlines drawn along each other share them.
#![allow(
    clippy::indexing_slicing,
    reason = "numbers come from the tables they index, made in this file"
)]

use nalgebra::Point2;

use super::ring;

/// Places nearer than this become one vertex, mm.
const WELD_MM: f64 = 0.02;

/// A straight piece from place to place.
pub(crate) type Piece = (Point2<f64>, Point2<f64>);

/// Edges and lone places, welded and cut where they meet.
#[derive(Default)]
pub(crate) struct Web {
    pub(crate) places: Vec<Point2<f64>>,
    edges: Vec<(usize, usize, bool)>,
}

impl Web {
    /// The number of a place, the known one where one stands there already.
    pub(crate) fn place(&mut self, at: Point2<f64>) -> usize {
        if let Some(known) = self.places.iter().position(|p| (p - at).norm() < WELD_MM) {
            return known;
        }
        self.places.push(at);
        self.places.len() - 1
    }

    /// Adds an edge; `outer` ones bound the face.
    pub(crate) fn edge(&mut self, a: Point2<f64>, b: Point2<f64>, outer: bool) {
        let (a, b) = (self.place(a), self.place(b));
        if a != b {
            self.edges.push((a, b, outer));
        }
    }

    fn ends(&self, edge: usize) -> (Point2<f64>, Point2<f64>) {
        (self.places[self.edges[edge].0], self.places[self.edges[edge].1])
    }

    /// Adds every crossing to the places, then strings each edge through the places on it.
    pub(crate) fn strung(&mut self) -> Vec<(Vec<usize>, bool)> {
        for i in 0..self.edges.len() {
            for j in i + 1..self.edges.len() {
                let (first, second) = (self.ends(i), self.ends(j));
                if boxes_apart(first, second) {
                    continue;
                }
                if let Some(at) = ring::meeting(first, second) {
                    self.place(at);
                }
            }
        }
        (0..self.edges.len())
            .map(|edge| {
                let (a, b) = self.ends(edge);
                let along = b - a;
                let length = along.norm();
                let mut on: Vec<(f64, usize)> = Vec::new();
                for (number, place) in self.places.iter().enumerate() {
                    let t = (place - a).dot(&along) / length;
                    let off = (place - a).perp(&along).abs() / length;
                    let is_end = number == self.edges[edge].0 || number == self.edges[edge].1;
                    if !is_end && off < WELD_MM && t > 0.0 && t < length {
                        on.push((t, number));
                    }
                }
                on.sort_by(|a, b| a.0.total_cmp(&b.0));
                let (first, last, outer) = self.edges[edge];
                let mut chain = vec![first];
                chain.extend(on.iter().map(|(_, number)| *number));
                chain.push(last);
                (chain, outer)
            })
            .collect()
    }
}

fn boxes_apart(a: Piece, b: Piece) -> bool {
    let apart = |a0: f64, a1: f64, b0: f64, b1: f64| {
        a0.max(a1) + WELD_MM < b0.min(b1) || b0.max(b1) + WELD_MM < a0.min(a1)
    };
    apart(a.0.x, a.1.x, b.0.x, b.1.x) || apart(a.0.y, a.1.y, b.0.y, b.1.y)
}
