//! Buying, from the measures of a job to money: packs, consumables, shelf and prices of the example
//! put through one after the other. Amounts are invented; money is worked by hand from the file.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test fails where its own setting up fails"
)]

use plymend::buy::access::AccessItem;
use plymend::buy::consumables::{JobSize, used_up};
use plymend::buy::order::{Order, OrderList, Sources, Stale, Wanted, order};
use plymend::buy::price::{LineGroup, Priced, ToPrice, price};
use plymend::buy::{Exclusion, waste};
use plymend::model::packs::Ware;
use plymend::model::prices::{DisposalClass, PriceFile};
use plymend::quantity::{Case, Cases};
use plymend::read::built_in;
use plymend::read::job::{TextFolder, prices_file};
use plymend::rules::Book;

const TEXT: &str = include_str!("../examples/harbour-shuttle/prices.ron");

fn example() -> PriceFile {
    let folder = TextFolder::from([("prices.ron", TEXT)]);
    prices_file(&folder, "prices.ron").map_err(|faults| faults[0].to_string()).unwrap().0
}

fn wanted(ware: Ware, grade: Option<u32>, amount: f64) -> Wanted {
    Wanted { ware, grade, amount, width_mm: None }
}

fn orders(prices: &PriceFile, of: impl Fn(f64) -> Wanted, amounts: [f64; 3]) -> Cases<Order> {
    let packs = built_in::packs().unwrap();
    let from = Sources {
        packs: &packs,
        prices: Some(prices),
        shelf: &prices.on_shelf,
        used_in_days: 10.0,
    };
    let [low, likely, high] = amounts.map(|amount| order(&of(amount), &from).unwrap());
    Cases { low, likely, high }
}

fn money(priced: &Priced, what: &str) -> [Option<i64>; 3] {
    let line = priced.lines.iter().find(|line| line.what == what).unwrap();
    Case::ALL.map(|case| *line.money.get(case))
}

#[test]
fn the_example_says_that_its_prices_are_invented() {
    let first = TEXT.lines().next().unwrap().to_lowercase();
    assert!(first.contains("invented prices, for the example only"), "{first}");
    assert_eq!(example().currency, "pounds");
}

#[test]
fn a_job_from_needs_to_money() {
    let (book, prices) = (Book::built_in(), example());
    // 3.1, 5.4 and 9.2 kg as mixed, in 7, 11 and 19 mixes and 2, 3 and 4 sessions.
    let resin = [
        waste::resin_order_kg(&book, 3.1, 7, 2),
        waste::resin_order_kg(&book, 5.4, 11, 3),
        waste::resin_order_kg(&book, 9.2, 19, 4),
    ];
    let bought = vec![
        orders(&prices, |amount| wanted(Ware::PolyesterResin, None, amount), resin),
        orders(&prices, |amount| wanted(Ware::Mat, Some(450), amount), [1.2, 2.4, 4.1]),
        orders(&prices, |amount| wanted(Ware::Catalyst, None, amount), [60.0, 105.0, 180.0]),
    ];
    let access = [AccessItem::of("lift the canopy off its posts and set it back", None)];
    let excludes: Vec<_> =
        [4, 13].map(|mark| Exclusion { mark, reason: "referred".to_owned() }).into();
    let bought = OrderList { orders: bought, excludes: excludes.clone() };
    let job = ToPrice {
        bought: &bought,
        hours: Some(Cases { low: 30.0, likely: 44.5, high: 71.25 }),
        access: &access,
        disposal: &[
            (DisposalClass::Soiled, Cases { low: 1.0, likely: 2.0, high: 4.5 }),
            (DisposalClass::Solvent, Cases { low: 0.2, likely: 0.4, high: 0.9 }),
        ],
    };
    let priced = price(&book, &job, &prices);
    // 3.47 kg: 4 x 13.40 = 53.60, one tin of 5 is 46.00. 5.97 kg: 46.00 + 13.40.
    // 10.09 kg: 46.00 + 46.00 + 13.40.
    assert_eq!(
        money(&priced, "polyester laminating resin"),
        [Some(4_600), Some(5_940), Some(10_540)]
    );
    assert_eq!(
        money(&priced, "chopped strand mat 450 g/m²"),
        [Some(1_060), Some(1_590), Some(2_650)]
    );
    // 40 ml are there, open for 120 days and good for 180: 20, 65 and 140 ml to buy.
    assert_eq!(money(&priced, "MEKP catalyst"), [Some(310), Some(480), Some(790)]);
    assert_eq!(money(&priced, "hours of work"), [Some(186_000), Some(275_900), Some(441_750)]);
    let unpriced: Vec<_> =
        priced.not_priced.iter().map(|one| (one.group, one.what.as_str())).collect();
    assert_eq!(
        unpriced,
        [
            (LineGroup::Access, "lift the canopy off its posts and set it back"),
            (LineGroup::Disposal, "solvent"),
        ]
    );
    // 59.40 + 15.90 + 4.80 + 2759.00 + 2 x 2.60.
    assert_eq!(priced.totals.likely.money.gross, 284_430);
    assert!(Case::ALL.iter().all(|case| priced.totals.get(*case).at_least));
    // 12.5 % of 2844.30 is 355.5375, to 355.54; 10 % of 3199.84 is 319.984, to 319.98.
    assert_eq!((priced.quote.contingency, priced.quote.money.gross), (35_554, 319_984));
    assert_eq!((priced.quote.stop_at, priced.quote.expires_days), (351_982, 28));
    assert!(priced.quote.lacks);
    assert_eq!(priced.excludes, excludes);
    // The shop's own sum for the hinge stands beside the totals, in none of them.
    assert_eq!((priced.provisional.len(), priced.provisional[0].money), (1, 35_000));
}

#[test]
fn old_gel_coat_on_the_shelf_is_not_counted_on() {
    let prices = example();
    let found = orders(&prices, |amount| wanted(Ware::GelCoat, None, amount), [0.2, 0.4, 0.6]);
    assert!(found.likely.taken.is_empty());
    assert_eq!(found.likely.stale, [(2, Stale::PastItsDate(45.0))]);
    assert_eq!(found.likely.mix.cost, Some(1_720));
}

#[test]
fn every_consumable_of_the_built_in_table_can_be_ordered_and_is_priced_in_the_example() {
    let (table, prices) = (built_in::consumables().unwrap(), example());
    let size = JobSize {
        ground_m2: 0.7,
        prepared_m2: 1.6,
        painted_m2: 3.1,
        masked_m: 9.0,
        covered_m2: 14.0,
        mixes: 12,
        sessions: 3,
        people: 2,
        mask_h: 24.0,
    };
    let list = used_up(&table, &size);
    assert!(list.len() > 20);
    let bought: Vec<Cases<Order>> =
        list.iter().map(|one| orders(&prices, |_| one.wanted(), [one.amount; 3])).collect();
    for one in &bought {
        assert!(
            one.high.mix.bought
                >= one.high.need - one.high.taken.iter().map(|t| t.amount).sum::<u64>()
        );
    }
    let bought = OrderList { orders: bought, excludes: Vec::new() };
    let job = ToPrice { bought: &bought, hours: None, access: &[], disposal: &[] };
    let priced = price(&Book::built_in(), &job, &prices);
    assert_eq!(priced.not_priced, []);
    assert!(!priced.totals.high.at_least && priced.totals.low.money.gross > 10_000);
}
