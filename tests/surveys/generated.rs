//! Small surveys by the number, each from its own seed: panels, marks and conditions differ, some have
//! sizes found after grinding.

use std::fmt::Write;

/// SplitMix64 (Steele, Lea and Flood 2014).
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, most: u64) -> u64 {
        self.next() % most
    }
}

/// Generic mouldings with their kinds of fixings, and a place that is on each.
const PANELS: [&str; 4] = ["lid", "wing", "sill", "flat-sheet"];

/// The survey of a number, as text.
pub(crate) fn survey(number: u64) -> String {
    let mut draw = Draw(number.wrapping_mul(7919) + 1);
    let panel = PANELS[draw.below(4) as usize];
    let (length, width) = (800 + 10 * draw.below(60), 400 + 10 * draw.below(20));
    let mut marks = String::new();
    for id in 1..=1 + draw.below(3) {
        let (u, v) = (200 + draw.below(400), 120 + draw.below(160));
        let size = 20 + draw.below(60);
        let shape = format!("Line(length_mm: {size}, direction: Angle({}))", draw.below(180));
        let patch = format!("Patch(length_mm: {size}, width_mm: {}, angle_deg: 0)", 15 + size / 2);
        let (kind, shape) = match draw.below(4) {
            0 => ("gel_crack", shape),
            1 => ("through_crack", shape),
            2 => ("crazing", patch),
            _ => ("hole", patch),
        };
        write!(
            marks,
            "(id: {id}, panel: \"it\", kind: {kind}, edges_move: no, place: On({u}, {v}), shape: {shape}),"
        )
        .expect("a string takes it");
    }
    let fixings = if draw.below(3) == 0 { "" } else { ", fixings: none_seen" };
    format!(
        "(format: 1, client: \"client {}\", on: \"2025-0{}-1{}\", panels: [(name: \"it\", generic: \"{panel}\", size: (length_mm: {length}, width_mm: {width}), roles: [skin], material: hand_laid_polyester, back: reached{fixings})], marks: [{marks}])",
        draw.below(9),
        1 + draw.below(9),
        draw.below(10)
    )
}
