//! Equal corners become one: STL writes every triangle with places of its own.
//!
//! Open addressing over the bits of the three coordinates, with -0.0 taken as +0.0.
#![allow(clippy::indexing_slicing, reason = "slots are masked to the table's length")]

/// No corner stands in a slot.
const FREE: u32 = u32::MAX;

/// Corners by their place.
pub(super) struct Corners {
    slots: Vec<u32>,
    pub(super) places: Vec<[f64; 3]>,
}

#[inline]
fn hash([x, y, z]: &[f64; 3]) -> usize {
    let (x, y, z) = (x.to_bits(), y.to_bits(), z.to_bits());
    let mixed = (x ^ y.rotate_left(21) ^ z.rotate_left(42)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let again = (mixed ^ (mixed >> 29) ^ y.wrapping_add(z.rotate_left(17)))
        .wrapping_mul(0xbf58_476d_1ce4_e5b9);
    (again >> 24) as usize
}

impl Corners {
    /// A table for about so many corners.
    pub(super) fn for_about(count: usize) -> Self {
        let slots = (count * 2).max(64).next_power_of_two();
        Self { slots: vec![FREE; slots], places: Vec::with_capacity(count) }
    }

    /// The number of the corner at a place.
    #[inline]
    pub(super) fn number(&mut self, [x, y, z]: [f64; 3]) -> u32 {
        // Adding nothing turns -0.0 into +0.0.
        let place = [x + 0.0, y + 0.0, z + 0.0];
        let mask = self.slots.len() - 1;
        let mut slot = hash(&place) & mask;
        loop {
            let found = self.slots[slot];
            if found == FREE {
                break;
            }
            // Neither NaN nor -0.0 is in the table, so equal numbers are equal bits.
            #[allow(clippy::float_cmp, reason = "corners of one place are written alike")]
            if self.places[found as usize] == place {
                return found;
            }
            slot = (slot + 1) & mask;
        }
        let fresh = self.places.len() as u32;
        self.slots[slot] = fresh;
        self.places.push(place);
        if self.places.len() * 2 > self.slots.len() {
            self.grow();
        }
        fresh
    }

    fn grow(&mut self) {
        let mask = self.slots.len() * 2 - 1;
        let mut slots = vec![FREE; mask + 1];
        for (number, place) in (0..).zip(&self.places) {
            let mut slot = hash(place) & mask;
            while slots[slot] != FREE {
                slot = (slot + 1) & mask;
            }
            slots[slot] = number;
        }
        self.slots = slots;
    }
}
