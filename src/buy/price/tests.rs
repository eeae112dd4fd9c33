//! Prices worked by hand, and what is never counted as nothing.

use super::*;
use crate::buy::order::{Sources, Wanted, order};
use crate::model::packs::Ware;
use crate::model::prices::ProvisionalSum;
use crate::read::{built_in, ron_file};

const FILE: &str = "(format: 1, currency: \"pounds\", priced_on: \"October 2024\",
    tax_percent: 20, prices_include_tax: true, hourly_rate: 60,
    packs: [
        (ware: polyester_resin, amount: 1, price: 12.50), (ware: polyester_resin, amount: 5, price: 41),
        (ware: gel_coat, amount: 1, price: 15.99),
    ],
    disposal: [(class: liquid_resin, per_kg: 2.35), (class: cured_laminate, per_kg: 0)],
    access: [(what: \"take the lamp out and back\", price: 45), (what: \"drop the tank\")])";

fn file() -> PriceFile {
    ron_file::parse("prices.ron", FILE).unwrap().0
}

fn orders(prices: &PriceFile, ware: Ware, amounts: [f64; 3]) -> Cases<Order> {
    let packs = built_in::packs().unwrap();
    let from = Sources { packs: &packs, prices: Some(prices), shelf: &[], used_in_days: 0.0 };
    let of = |amount| order(&Wanted { ware, grade: None, amount, width_mm: None }, &from).unwrap();
    Cases { low: of(amounts[0]), likely: of(amounts[1]), high: of(amounts[2]) }
}

fn list(orders: Vec<Cases<Order>>) -> OrderList {
    OrderList { orders, excludes: Vec::new() }
}

fn bare(bought: &OrderList) -> ToPrice<'_> {
    ToPrice { bought, hours: None, access: &[], disposal: &[] }
}

fn gross(priced: &Priced) -> [i64; 3] {
    Case::ALL.map(|case| priced.totals.get(case).money.gross)
}

fn at_least(priced: &Priced) -> [bool; 3] {
    Case::ALL.map(|case| priced.totals.get(case).at_least)
}

#[test]
fn a_job_by_hand() {
    let prices = file();
    let bought = list(vec![
        // 1 + 1 kg 25.00; 5 kg 41.00; 5 + 1 kg 53.50.
        orders(&prices, Ware::PolyesterResin, [1.8, 4.1, 5.9]),
        // 15.99; 15.99; 31.98.
        orders(&prices, Ware::GelCoat, [0.4, 0.8, 1.2]),
    ]);
    let access = [AccessItem::of("take the lamp out and back", Some(45.0))];
    // 2.35 times 0.3, 0.5 and 1.111 kg: 0.705, 1.175 and 2.61085, halves up.
    let left = Cases { low: 0.3, likely: 0.5, high: 1.111 };
    let job = ToPrice {
        hours: Some(Cases { low: 5.25, likely: 8.0, high: 12.5 }),
        access: &access,
        disposal: &[(DisposalClass::LiquidResin, left)],
        ..bare(&bought)
    };
    let priced = price(&Book::built_in(), &job, &prices);
    let by_line: Vec<_> = priced.lines.iter().map(|line| line.money).collect();
    let whole =
        |low, likely, high| Cases { low: Some(low), likely: Some(likely), high: Some(high) };
    assert_eq!(
        by_line,
        [
            whole(2_500, 4_100, 5_350),
            whole(1_599, 1_599, 3_198),
            whole(31_500, 48_000, 75_000),
            whole(4_500, 4_500, 4_500),
            whole(71, 118, 261),
        ]
    );
    assert_eq!(gross(&priced), [40_170, 58_317, 88_309]);
    assert_eq!(at_least(&priced), [false, false, false]);
    // The tax in 583.17 at 20 % is 97.195, halves up.
    assert_eq!((priced.totals.likely.money.tax, priced.totals.likely.money.net), (9_720, 48_597));
    assert!(priced.not_priced.is_empty() && !priced.quote.lacks);
    assert_eq!(priced.quote.work, 58_317);
    assert_eq!(priced.priced_on, "October 2024");
}

#[test]
fn what_has_no_price_is_listed_and_never_nothing() {
    let mut prices = file();
    prices.hourly_rate = None;
    let bought = list(vec![
        orders(&prices, Ware::GelCoat, [0.4, 0.8, 1.2]),
        orders(&prices, Ware::Acetone, [0.4, 0.8, 1.2]),
    ]);
    let access = [AccessItem::of("drop the tank", None), AccessItem::of("lift the body", None)];
    let job = ToPrice {
        hours: Some(Cases { low: 1.0, likely: 2.0, high: 3.0 }),
        access: &access,
        disposal: &[(DisposalClass::Solvent, Cases { low: 0.0, likely: 0.1, high: 0.2 })],
        ..bare(&bought)
    };
    let priced = price(&Book::built_in(), &job, &prices);
    let names: Vec<_> = priced.not_priced.iter().map(|one| one.what.as_str()).collect();
    assert_eq!(names, ["acetone", "hours of work", "drop the tank", "lift the body", "solvent"]);
    assert!(priced.not_priced.iter().all(|one| !one.way_out.is_empty()));
    for line in priced.lines.iter().filter(|line| line.what != "gel or flow coat") {
        assert_eq!(line.money.high, None, "{}", line.what);
    }
    assert_eq!(gross(&priced), [1_599, 1_599, 3_198]);
    assert_eq!(at_least(&priced), [true, true, true]);
    assert!(priced.quote.lacks);
}

#[test]
fn what_is_left_out_goes_with_the_totals_and_makes_the_high_one_at_least() {
    let prices = file();
    let bought = list(vec![orders(&prices, Ware::GelCoat, [0.4, 0.8, 1.2])]);
    let excludes = [Exclusion { mark: 4, reason: "referred: hinge".to_owned() }];
    let bought = OrderList { excludes: excludes.to_vec(), ..bought };
    let job = bare(&bought);
    let priced = price(&Book::built_in(), &job, &prices);
    assert_eq!(priced.excludes, excludes);
    assert_eq!(at_least(&priced), [false, false, true]);
    assert!(priced.quote.lacks);
}

#[test]
fn a_price_of_nothing_that_somebody_has_named_is_a_price() {
    let kilograms = Cases { low: 1.0, likely: 2.0, high: 3.0 };
    let bought = list(Vec::new());
    let job = ToPrice { disposal: &[(DisposalClass::CuredLaminate, kilograms)], ..bare(&bought) };
    let priced = price(&Book::built_in(), &job, &file());
    assert_eq!(priced.lines[0].money.high, Some(0));
    assert!(priced.not_priced.is_empty());
}

#[test]
fn totals_are_the_sum_of_their_lines_and_never_fall_from_low_to_high() {
    let prices = file();
    for step in 0..200 {
        let size = f64::from(step) * 0.173;
        let bought = list(vec![
            orders(&prices, Ware::PolyesterResin, [size, size * 1.3, size * 2.1]),
            orders(&prices, Ware::GelCoat, [size * 0.1, size * 0.2, size * 0.3]),
        ]);
        let hours = Cases { low: size, likely: size * 1.5, high: size * 2.7 };
        let job = ToPrice { hours: Some(hours), ..bare(&bought) };
        let priced = price(&Book::built_in(), &job, &prices);
        for case in Case::ALL {
            let sum: i64 = priced.lines.iter().filter_map(|line| *line.money.get(case)).sum();
            assert_eq!(priced.totals.get(case).money.gross, sum);
        }
        let [low, likely, high] = gross(&priced);
        assert!(low <= likely && likely <= high, "{step}");
    }
}

#[test]
fn a_sum_for_a_mark_that_is_left_out_stands_in_no_total() {
    let mut prices = file();
    let of = |mark, sum| ProvisionalSum { mark, what: "by a specialist".to_owned(), sum };
    prices.provisional = vec![of(4, 350.0), of(5, 80.0)];
    let bought = OrderList {
        excludes: vec![Exclusion { mark: 4, reason: "referred: hinge".to_owned() }],
        ..list(vec![orders(&prices, Ware::GelCoat, [0.4, 0.8, 1.2])])
    };
    let priced = price(&Book::built_in(), &bare(&bought), &prices);
    // Mark 5 is not left out, so its sum would be paid twice.
    assert_eq!(priced.provisional.len(), 1);
    assert_eq!((priced.provisional[0].mark, priced.provisional[0].money), (4, 35_000));
    assert_eq!(gross(&priced), [1_599, 1_599, 3_198]);
    assert_eq!(priced.quote.work, 1_599);
}
