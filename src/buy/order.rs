//! One ware: what is on the shelf is used first, and the rest is bought in packs.
//!
//! Amounts are whole thousandths of the ware's unit. Days count from today.

use super::Exclusion;
use super::money::minor;
use super::packs::{NoMix, Offer, PackMix, best_mix, thousandths_of, thousandths_up};
use crate::model::packs::{OnShelf, PackItem, PackTable, Ware};
use crate::model::prices::PriceFile;
use crate::quantity::Cases;

/// What is needed of one ware.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// The ware.
    pub ware: Ware,
    /// Its grade: g/m² of glass, grit of an abrasive.
    pub grade: Option<u32>,
    /// How much, in the unit of the ware, waste included.
    pub amount: f64,
    /// Width of the roll it comes off, mm; else the one of the packs.
    pub width_mm: Option<f64>,
}

/// Where it can come from.
#[derive(Debug, Clone, Copy)]
pub struct Sources<'a> {
    /// Usual packs.
    pub packs: &'a PackTable,
    /// The user's prices.
    pub prices: Option<&'a PriceFile>,
    /// What is there already.
    pub shelf: &'a [OnShelf],
    /// Days until it is used.
    pub used_in_days: f64,
}

/// What is taken off the shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Taken {
    /// Its place in the list of what is there.
    pub number: usize,
    /// How much, thousandths.
    pub amount: u64,
    /// Nobody has said how old it is, and it does age: a sample is tried first.
    pub age_unknown: bool,
}

/// Why something on the shelf is left there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stale {
    /// The date on it is past on the day, by so many days.
    PastItsDate(f64),
    /// It will have been open for so many days, and keeps for so many.
    OpenTooLong(f64, f64),
}

/// What is to be bought of one ware.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// The ware.
    pub ware: Ware,
    /// Its grade.
    pub grade: Option<u32>,
    /// What is needed, thousandths of the unit.
    pub need: u64,
    /// What comes off the shelf, what runs out first going first.
    pub taken: Vec<Taken>,
    /// What stays there because it is too old, with its place in the list.
    pub stale: Vec<(usize, Stale)>,
    /// The packs.
    pub mix: PackMix,
}

impl Order {
    /// Name for a shopping list.
    #[must_use]
    pub fn name(&self) -> String {
        self.ware.named(self.grade)
    }
}

/// What is to be bought in three cases, and what the list leaves out: the two travel together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OrderList {
    /// The wares, in the order in which they were asked for.
    pub orders: Vec<Cases<Order>>,
    /// Marks that no amount here holds; while there is one, "high" reads "at least".
    pub excludes: Vec<Exclusion>,
}

/// Works out a whole list.
///
/// # Errors
/// The first ware that cannot be ordered, by name, and why.
pub fn order_all(
    wanted: &[Cases<Wanted>],
    from: &Sources<'_>,
    excludes: &[Exclusion],
) -> Result<OrderList, (String, NoMix)> {
    let of = |one: &Wanted| order(one, from).map_err(|why| (one.ware.named(one.grade), why));
    let orders: Result<Vec<_>, _> =
        wanted.iter().map(|one| Cases::try_from_fn(|case| of(one.get(case)))).collect();
    Ok(OrderList { orders: orders?, excludes: excludes.to_vec() })
}

/// Works out what to buy of one ware.
///
/// # Errors
/// No pack of the ware is known, or the amount is beyond reason for its packs.
pub fn order(wanted: &Wanted, from: &Sources<'_>) -> Result<Order, NoMix> {
    let item = from.packs.of(wanted.ware, wanted.grade);
    let need = thousandths_up(wanted.amount);
    let (taken, stale) = off_the_shelf(need, wanted, item, from);
    let there: u64 = taken.iter().map(|one| one.amount).sum();
    let rest = need.saturating_sub(there);
    let mix = best_mix(rest, &offers(wanted, item, from.prices))?;
    Ok(Order { ware: wanted.ware, grade: wanted.grade, need, taken, stale, mix })
}

/// The packs to choose from: the user's priced ones where there are any, else the usual ones.
#[must_use]
pub fn offers(wanted: &Wanted, item: Option<&PackItem>, prices: Option<&PriceFile>) -> Vec<Offer> {
    let priced: Vec<Offer> = prices
        .into_iter()
        .flat_map(|file| {
            file.of(wanted.ware, wanted.grade).map(|pack| Offer {
                amount: thousandths_of(pack.amount),
                price: u64::try_from(minor(pack.price, file.decimals)).ok(),
            })
        })
        .collect();
    if !priced.is_empty() {
        return priced;
    }
    let Some(item) = item else { return Vec::new() };
    let width_mm = wanted.width_mm.or(item.width_mm.map(|width| width.value()));
    let roll_m = wanted.grade.zip(width_mm).and_then(|(weight, width)| item.roll_m(weight, width));
    let sizes = item.sizes.iter().copied().chain(roll_m);
    sizes.map(|size| Offer { amount: thousandths_of(size), price: None }).collect()
}

fn off_the_shelf(
    need: u64,
    wanted: &Wanted,
    item: Option<&PackItem>,
    from: &Sources<'_>,
) -> (Vec<Taken>, Vec<(usize, Stale)>) {
    let opened_keeps = item.and_then(|item| item.opened_days);
    let ages = item.is_some_and(|item| item.closed_days.is_some() || item.opened_days.is_some());
    let mut stale = Vec::new();
    let mut good: Vec<(f64, usize, &OnShelf)> = Vec::new();
    let of_ware = |there: &OnShelf| there.ware == wanted.ware && there.grade == wanted.grade;
    for (number, there) in from.shelf.iter().enumerate().filter(|(_, there)| of_ware(there)) {
        let date_left = there.expires_in_days.map(|days| days - from.used_in_days);
        let open = there.opened_days.map(|days| days + from.used_in_days);
        let open_left = open.zip(opened_keeps).map(|(open, keeps)| keeps - open);
        match (date_left, open.zip(opened_keeps)) {
            (Some(left), _) if left < 0.0 => stale.push((number, Stale::PastItsDate(-left))),
            (_, Some((open, keeps))) if open > keeps => {
                stale.push((number, Stale::OpenTooLong(open, keeps)));
            }
            _ => {
                let left = date_left.unwrap_or(f64::INFINITY);
                good.push((left.min(open_left.unwrap_or(f64::INFINITY)), number, there));
            }
        }
    }
    good.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
    let mut open_need = need;
    let mut taken = Vec::new();
    for (_, number, there) in good {
        // What is there is rounded down: a gram that may be missing is not counted on.
        let whole = thousandths_down(there.amount);
        let amount = whole.min(open_need);
        if amount > 0 {
            let dated = there.expires_in_days.is_some() || there.opened_days.is_some();
            taken.push(Taken { number, amount, age_unknown: ages && !dated });
            open_need -= amount;
        }
    }
    (taken, stale)
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "bounded above and below before the cast"
)]
fn thousandths_down(amount: f64) -> u64 {
    let steps = (amount * super::packs::THOUSANDTHS + 1e-6).floor();
    if steps.is_finite() { steps.clamp(0.0, 9.0e15) as u64 } else { 0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::buy::packs::ChosenBy;
    use crate::model::prices::PackPrice;
    use crate::read::{built_in, ron_file};

    fn prices(inner: &str) -> PriceFile {
        let head = "format: 1, currency: \"pounds\", tax_percent: 0, prices_include_tax: true";
        ron_file::parse("prices.ron", &format!("({head}, {inner})")).unwrap().0
    }

    fn wanted(ware: Ware, grade: Option<u32>, amount: f64) -> Wanted {
        Wanted { ware, grade, amount, width_mm: None }
    }

    fn there(ware: Ware, amount: f64, opened: Option<f64>, expires: Option<f64>) -> OnShelf {
        OnShelf { ware, grade: None, amount, opened_days: opened, expires_in_days: expires }
    }

    fn counts(order: &Order) -> Vec<(u64, u64)> {
        order.mix.packs.iter().map(|line| (line.count, line.amount)).collect()
    }

    #[test]
    fn usual_packs_without_prices_and_priced_ones_with() {
        let packs = built_in::packs().unwrap();
        let from = Sources { packs: &packs, prices: None, shelf: &[], used_in_days: 0.0 };
        let resin = wanted(Ware::PolyesterResin, None, 6.3);
        let found = order(&resin, &from).unwrap();
        assert_eq!(counts(&found), [(1, 5_000), (1, 1_000), (1, 500)]);
        assert_eq!(found.mix.chosen_by, ChosenBy::LeastLeftOver);
        // A size that no usual pack has is taken from the user's file.
        let own = prices("packs: [(ware: polyester_resin, amount: 2.5, price: 21.00)]");
        let found = order(&resin, &Sources { prices: Some(&own), ..from }).unwrap();
        assert_eq!((counts(&found), found.mix.cost), (vec![(3, 2_500)], Some(6_300)));
        // A price for another ware changes nothing.
        let other = prices("packs: [(ware: acetone, amount: 5, price: 21.00)]");
        let found = order(&resin, &Sources { prices: Some(&other), ..from }).unwrap();
        assert_eq!(found.mix.cost, None);
    }

    #[test]
    fn glass_comes_by_the_metre_or_the_roll_at_its_width() {
        let packs = built_in::packs().unwrap();
        let from = Sources { packs: &packs, prices: None, shelf: &[], used_in_days: 0.0 };
        // 30 kg / (0.45 kg/m2 x 1.27 m) = 52.49 m, down to 52.4.
        let roll = packs.of(Ware::Mat, Some(450)).unwrap().roll_m(450, 1270.0).unwrap();
        assert!((roll - 52.4).abs() < 1e-9);
        let few = order(&wanted(Ware::Mat, Some(450), 7.3), &from).unwrap();
        assert_eq!(counts(&few), [(8, 1_000)]);
        let narrow = Wanted { width_mm: Some(635.0), ..wanted(Ware::Mat, Some(450), 104.9) };
        let found = order(&narrow, &from).unwrap();
        assert_eq!(counts(&found), [(1, 104_900)]);
        assert_eq!(found.name(), "chopped strand mat 450 g/m²");
    }

    #[test]
    fn what_is_there_is_used_first_and_what_runs_out_first_goes_first() {
        let packs = built_in::packs().unwrap();
        let resin = Ware::PolyesterResin;
        let shelf = [
            there(resin, 2.0, None, None),
            there(resin, 0.4, Some(20.0), Some(100.0)),
            there(resin, 3.0, None, Some(30.0)),
            there(Ware::GelCoat, 9.0, None, None),
        ];
        let from = Sources { packs: &packs, prices: None, shelf: &shelf, used_in_days: 0.0 };
        let found = order(&wanted(resin, None, 4.0), &from).unwrap();
        let taken: Vec<_> = found.taken.iter().map(|one| (one.number, one.amount)).collect();
        // 30 days to the date; 70 days of the 90 that an opened tin keeps; no date.
        assert_eq!(taken, [(2, 3_000), (1, 400), (0, 600)]);
        assert_eq!(
            found.taken.iter().map(|one| one.age_unknown).collect::<Vec<_>>(),
            [false, false, true]
        );
        assert!(found.mix.packs.is_empty() && found.mix.bought == 0);
        let more = order(&wanted(resin, None, 6.0), &from).unwrap();
        assert_eq!(counts(&more), [(1, 1_000)]);
        assert_eq!((more.mix.left_over, more.need), (400, 6_000));
    }

    #[test]
    fn what_is_too_old_on_the_day_is_left_and_named() {
        let packs = built_in::packs().unwrap();
        let shelf = [
            there(Ware::Catalyst, 100.0, Some(170.0), None),
            there(Ware::Catalyst, 50.0, None, Some(5.0)),
        ];
        let at = |days| Sources { packs: &packs, prices: None, shelf: &shelf, used_in_days: days };
        let wanted = wanted(Ware::Catalyst, None, 100.0);
        let now = order(&wanted, &at(0.0)).unwrap();
        assert!(now.stale.is_empty() && now.mix.packs.is_empty());
        let later = order(&wanted, &at(14.0)).unwrap();
        assert_eq!(
            later.stale,
            [(0, Stale::OpenTooLong(184.0, 180.0)), (1, Stale::PastItsDate(9.0))]
        );
        assert_eq!(counts(&later), [(1, 100_000)]);
    }

    #[test]
    fn a_list_keeps_what_it_leaves_out_and_names_what_it_cannot_order() {
        let packs = built_in::packs().unwrap();
        let from = Sources { packs: &packs, prices: None, shelf: &[], used_in_days: 0.0 };
        let three = |amount| Cases::from_fn(|_| wanted(Ware::GelCoat, None, amount));
        let left_out = [Exclusion { mark: 9, reason: "referred".to_owned() }];
        let list = order_all(&[three(0.7)], &from, &left_out).unwrap();
        assert_eq!((list.orders[0].high.need, &list.excludes[..]), (700, &left_out[..]));
        let mut without = packs.clone();
        without.items.retain(|item| item.ware != Ware::GelCoat);
        let failed = order_all(&[three(0.7)], &Sources { packs: &without, ..from }, &left_out);
        assert_eq!(failed, Err(("gel or flow coat".to_owned(), NoMix::NoPack)));
    }

    #[test]
    fn a_grade_has_its_own_price_or_that_of_all() {
        let own = prices(
            "packs: [(ware: abrasive_disc, amount: 10, price: 6), (ware: abrasive_disc, grade: 40, amount: 10, price: 9)]",
        );
        let of = |grade| own.of(Ware::AbrasiveDisc, Some(grade)).map(price).collect::<Vec<_>>();
        fn price(pack: &PackPrice) -> f64 {
            pack.price
        }
        assert_eq!((of(40), of(80)), (vec![9.0], vec![6.0]));
    }
}
