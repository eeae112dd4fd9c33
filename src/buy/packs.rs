//! The best mix of pack sizes for an amount.
//!
//! Amounts are whole thousandths of a ware's unit (g for kg, mm for m), money is whole minor units
//! of the currency (pence, cents), so the answer is exact. The method is the textbook one for the
//! unbounded covering knapsack (Martello and Toth, *Knapsack Problems*, 1990, chapter 3; from
//! memory): for every total that packs can make, the least cost and then the fewest packs.

/// Thousandths in one unit of a ware.
pub const THOUSANDTHS: f64 = 1000.0;

/// Most steps of the common measure of all sizes that are looked at (choice: 2 million take some
/// 50 MB and a few hundredths of a second).
const MOST_STEPS: u64 = 2_000_000;

/// Packs of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Offer {
    /// What a pack holds, thousandths of the unit.
    pub amount: u64,
    /// What it costs, minor units; none where nobody knows.
    pub price: Option<u64>,
}

/// So many packs of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PackLine {
    /// What a pack holds, thousandths of the unit.
    pub amount: u64,
    /// What one costs, minor units.
    pub price: Option<u64>,
    /// How many.
    pub count: u64,
}

/// By what a mix was chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChosenBy {
    /// The least money, then the fewest packs, then the least left over.
    Cheapest,
    /// The least left over, then the fewest packs, because no price is known.
    LeastLeftOver,
}

/// A mix of packs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PackMix {
    /// The packs, the largest first; empty where nothing is needed.
    pub packs: Vec<PackLine>,
    /// What they hold, thousandths of the unit.
    pub bought: u64,
    /// What is over, thousandths of the unit.
    pub left_over: u64,
    /// What they cost, minor units; none where no price is known.
    pub cost: Option<u64>,
    /// By what it was chosen.
    pub chosen_by: ChosenBy,
}

/// Why no mix could be found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoMix {
    /// There is no pack with anything in it.
    NoPack,
    /// The amount is too large for packs of so small a common measure.
    TooMuch,
}

impl std::fmt::Display for NoMix {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(match self {
            Self::NoPack => "no pack size is known; accepted: one size or more, above 0",
            Self::TooMuch => {
                "the amount is too large for such small packs; accepted: larger packs, or pack \
                 sizes in rounder figures"
            }
        })
    }
}

impl std::error::Error for NoMix {}

/// An amount in thousandths of its unit, rounded up: never less than is needed.
///
/// What is not a number, or below nothing, counts as nothing here; it is refused where it is read.
#[must_use]
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "bounded above and below before the cast"
)]
pub fn thousandths_up(amount: f64) -> u64 {
    // A millionth of a step is rounding of the arithmetic before, and no need.
    let steps = (amount * THOUSANDTHS - 1e-6).ceil();
    if steps.is_finite() { steps.clamp(0.0, 9.0e15) as u64 } else { 0 }
}

/// An amount in thousandths of its unit, to the nearest, as pack sizes are written.
#[must_use]
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "bounded above and below before the cast"
)]
pub fn thousandths_of(amount: f64) -> u64 {
    let steps = (amount * THOUSANDTHS).round();
    if steps.is_finite() { steps.clamp(0.0, 9.0e15) as u64 } else { 0 }
}

/// The best mix: with prices the cheapest of the priced packs, then the fewest packs, then the
/// least left over; without any price the least left over, then the fewest packs.
///
/// `need` in thousandths of the unit. As soon as one pack has a price those without are left aside.
///
/// # Errors
/// No pack, or a need beyond two million steps of the sizes' common measure.
pub fn best_mix(need: u64, offers: &[Offer]) -> Result<PackMix, NoMix> {
    let priced = offers.iter().any(|offer| offer.amount > 0 && offer.price.is_some());
    let mut usable: Vec<Offer> = offers
        .iter()
        .filter(|offer| offer.amount > 0 && (!priced || offer.price.is_some()))
        .copied()
        .collect();
    // The largest first, and of equal ones the cheaper: the answer is free of the file's order.
    usable.sort_by_key(|offer| (std::cmp::Reverse(offer.amount), offer.price));
    usable.dedup_by_key(|offer| offer.amount);
    let chosen_by = if priced { ChosenBy::Cheapest } else { ChosenBy::LeastLeftOver };
    let (Some(largest), measure) = (
        usable.first().copied(),
        usable.iter().fold(0, |so_far, next| common(so_far, next.amount)),
    ) else {
        return Err(NoMix::NoPack);
    };
    if need == 0 {
        let cost = priced.then_some(0);
        return Ok(PackMix { packs: Vec::new(), bought: 0, left_over: 0, cost, chosen_by });
    }
    let least = need.div_ceil(measure);
    // A best mix ends less than its smallest pack beyond the need, else that pack could go.
    let most = least + largest.amount / measure;
    if most > MOST_STEPS {
        return Err(NoMix::TooMuch);
    }
    let sizes: Vec<Size> = usable
        .iter()
        .map(|offer| Size {
            steps: usize::try_from(offer.amount / measure).unwrap_or(usize::MAX),
            price: offer.price.unwrap_or(0),
        })
        .collect();
    let (least, most) = (to_steps(least), to_steps(most));
    let made = totals(&sizes, most);
    let best = (least..=most)
        .filter_map(|total| made.get(total).copied().flatten().map(|way| (total, way)))
        .min_by_key(|(total, way)| match chosen_by {
            ChosenBy::Cheapest => (way.cost, way.packs, *total),
            ChosenBy::LeastLeftOver => (0, to_steps_u64(*total), to_steps(way.packs)),
        });
    let Some((total, _)) = best else { return Err(NoMix::NoPack) };
    Ok(mix_of(need, total, &usable, &sizes, &made, chosen_by))
}

fn mix_of(
    need: u64,
    total: usize,
    usable: &[Offer],
    sizes: &[Size],
    made: &[Option<Way>],
    chosen_by: ChosenBy,
) -> PackMix {
    let mut packs: Vec<PackLine> = usable
        .iter()
        .map(|offer| PackLine { amount: offer.amount, price: offer.price, count: 0 })
        .collect();
    let mut at = total;
    while let Some(way) = made.get(at).copied().flatten().filter(|_| at > 0) {
        if let Some(line) = packs.get_mut(way.last) {
            line.count += 1;
        }
        at = at.saturating_sub(sizes.get(way.last).map_or(at, |size| size.steps));
    }
    packs.retain(|line| line.count > 0);
    let bought: u64 = packs.iter().map(|line| line.amount * line.count).sum();
    let cost = packs.iter().map(|line| line.price.map(|price| price * line.count)).sum();
    PackMix { packs, bought, left_over: bought.saturating_sub(need), cost, chosen_by }
}

/// A pack size in steps of the common measure.
struct Size {
    steps: usize,
    price: u64,
}

/// The best way to make a total exactly.
#[derive(Clone, Copy)]
struct Way {
    cost: u64,
    packs: u64,
    /// The pack added last.
    last: usize,
}

/// For every total up to `most` steps the cheapest way to make it, then the one of fewest packs.
fn totals(sizes: &[Size], most: usize) -> Vec<Option<Way>> {
    let mut made: Vec<Option<Way>> = Vec::with_capacity(most + 1);
    made.push(Some(Way { cost: 0, packs: 0, last: 0 }));
    for total in 1..=most {
        let mut best: Option<Way> = None;
        for (last, size) in sizes.iter().enumerate() {
            let before = total.checked_sub(size.steps).and_then(|at| made.get(at).copied());
            if let Some(Some(before)) = before {
                let way = Way { cost: before.cost + size.price, packs: before.packs + 1, last };
                if best.is_none_or(|best| (way.cost, way.packs) < (best.cost, best.packs)) {
                    best = Some(way);
                }
            }
        }
        made.push(best);
    }
    made
}

/// Greatest common measure.
fn common(one: u64, other: u64) -> u64 {
    if other == 0 { one } else { common(other, one % other) }
}

fn to_steps(steps: u64) -> usize {
    usize::try_from(steps).unwrap_or(usize::MAX)
}

fn to_steps_u64(steps: usize) -> u64 {
    u64::try_from(steps).unwrap_or(u64::MAX)
}

#[cfg(test)]
mod tests;
