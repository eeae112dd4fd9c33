//! Mixes of packs against every mix there is.

use proptest::prelude::*;

use super::*;

fn plain(amounts: &[u64]) -> Vec<Offer> {
    amounts.iter().map(|amount| Offer { amount: *amount, price: None }).collect()
}

fn priced(offers: &[(u64, u64)]) -> Vec<Offer> {
    offers.iter().map(|(amount, price)| Offer { amount: *amount, price: Some(*price) }).collect()
}

fn counts(mix: &PackMix) -> Vec<(u64, u64)> {
    mix.packs.iter().map(|line| (line.count, line.amount)).collect()
}

/// (cost, packs, left over) of every mix that covers the need, found by counting through all of
/// them: no pack more of any size than would cover the need alone.
fn every_mix(need: u64, offers: &[Offer]) -> Vec<(u64, u64, u64)> {
    let Some((first, rest)) = offers.split_first() else {
        return if need == 0 { vec![(0, 0, 0)] } else { Vec::new() };
    };
    let mut found = Vec::new();
    for count in 0..=need.div_ceil(first.amount) {
        let holds = count * first.amount;
        let cost = count * first.price.unwrap_or(0);
        if holds >= need {
            found.push((cost, count, holds - need));
        } else {
            for (more_cost, more_packs, over) in every_mix(need - holds, rest) {
                found.push((cost + more_cost, count + more_packs, over));
            }
        }
    }
    found
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn the_cheapest_mix_is_the_cheapest_of_all(
        need in 0_u64..60,
        offers in prop::collection::btree_map(1_u64..25, 1_u64..40, 1..4),
    ) {
        let offers: Vec<(u64, u64)> = offers.into_iter().collect();
        let offers = priced(&offers);
        let mix = best_mix(need, &offers).unwrap();
        let best = every_mix(need, &offers).into_iter().min().unwrap();
        let packs: u64 = mix.packs.iter().map(|line| line.count).sum();
        prop_assert_eq!((mix.cost.unwrap(), packs, mix.left_over), best);
        prop_assert_eq!(mix.bought, need + mix.left_over);
        let mut other_order = offers.clone();
        other_order.reverse();
        prop_assert_eq!(best_mix(need, &other_order).unwrap(), mix);
    }

    #[test]
    fn without_prices_the_least_is_left_over(
        need in 0_u64..60,
        amounts in prop::collection::btree_set(1_u64..25, 1..4),
    ) {
        let offers = plain(&amounts.into_iter().collect::<Vec<_>>());
        let mix = best_mix(need, &offers).unwrap();
        let best = every_mix(need, &offers)
            .into_iter()
            .map(|(_, packs, over)| (over, packs))
            .min()
            .unwrap();
        let packs: u64 = mix.packs.iter().map(|line| line.count).sum();
        prop_assert_eq!((mix.left_over, packs), best);
        prop_assert_eq!(mix.cost, None);
    }

    #[test]
    fn more_needed_never_costs_less(
        need in 0_u64..200,
        more in 0_u64..50,
        offers in prop::collection::btree_map(1_u64..25, 1_u64..40, 1..5),
    ) {
        let offers = priced(&offers.into_iter().collect::<Vec<_>>());
        let (one, two) = (best_mix(need, &offers).unwrap(), best_mix(need + more, &offers).unwrap());
        prop_assert!(one.cost <= two.cost);
    }
}

#[test]
fn resin_by_hand() {
    // Usual tins, g: 500, 1000, 5000, 20000. Of 6.3 kg the least left over is 0.2 kg, in three tins.
    let tins = plain(&[500, 1_000, 5_000, 20_000]);
    let mix = best_mix(6_300, &tins).unwrap();
    assert_eq!(counts(&mix), [(1, 5_000), (1, 1_000), (1, 500)]);
    assert_eq!((mix.left_over, mix.chosen_by), (200, ChosenBy::LeastLeftOver));
    // Priced so that the large tin is cheaper than 5 + 1 + 0.5 kg, the money decides.
    let tins = priced(&[(500, 900), (1_000, 1_400), (5_000, 4_500), (20_000, 6_500)]);
    let mix = best_mix(6_300, &tins).unwrap();
    assert_eq!(counts(&mix), [(1, 20_000)]);
    assert_eq!((mix.cost, mix.left_over), (Some(6_500), 13_700));
}

#[test]
fn equal_money_is_settled_by_fewer_packs() {
    let mix = best_mix(10, &priced(&[(5, 50), (10, 100)])).unwrap();
    assert_eq!(counts(&mix), [(1, 10)]);
    let mix = best_mix(10, &plain(&[5, 10])).unwrap();
    assert_eq!(counts(&mix), [(1, 10)]);
}

#[test]
fn one_known_price_puts_unpriced_packs_aside() {
    let offers = [Offer { amount: 10, price: None }, Offer { amount: 4, price: Some(7) }];
    let mix = best_mix(10, &offers).unwrap();
    assert_eq!(counts(&mix), [(3, 4)]);
    assert_eq!(mix.cost, Some(21));
}

#[test]
fn a_need_is_rounded_up_and_never_down() {
    assert_eq!(thousandths_up(1.0), 1_000);
    assert_eq!(thousandths_up(1.000_01), 1_001);
    // 0.1 + 0.2 is no more than 0.3 with its rounding.
    assert_eq!(thousandths_up(0.1 + 0.2), 300);
    assert_eq!(thousandths_up(f64::NAN), 0);
    assert_eq!(thousandths_up(-3.0), 0);
}

#[test]
fn what_cannot_be_mixed_is_said() {
    assert_eq!(best_mix(10, &[]), Err(NoMix::NoPack));
    assert_eq!(best_mix(10, &plain(&[0])), Err(NoMix::NoPack));
    assert_eq!(best_mix(9_000_000_000, &plain(&[1, 7])), Err(NoMix::TooMuch));
    // Round sizes have a large common measure, so tonnes are no trouble.
    assert_eq!(best_mix(9_000_000_000, &plain(&[500_000, 5_000_000])).unwrap().left_over, 0);
}
