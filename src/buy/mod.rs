//! What has to be bought, what does it cost, and how sure is it to be enough?
//!
//! Takes amounts (kg, m², m, l, pieces) in three cases with what they leave out, packs, prices and
//! what is on the shelf; gives packs, lines of money and how the need is spread. Referred and held
//! marks come in as exclusions only, and go out again with every total. Pure arithmetic: the seed
//! of the drawn part is an input.

pub mod access;
pub mod consumables;
pub mod cutting;
pub mod disposal;
pub mod enough;
pub mod extra;
pub mod full_size;
pub mod job;
pub mod money;
pub mod needs;
pub mod nest;
pub mod order;
pub mod packs;
pub mod price;
pub mod quote;
pub mod random;
pub mod replace;
pub mod shared;
pub mod simulate;
pub mod spread;
pub mod verdict;
pub mod waste;

/// A mark that an order, a price or a spread leaves out.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Exclusion {
    /// The mark.
    pub mark: u32,
    /// Why it is left out.
    pub reason: String,
}
