use super::*;
use approx::assert_relative_eq;

const CLOCK: GelClock = GelClock::GENERAL_PURPOSE;
const TRADE: MixLimits = MixLimits {
    largest_g: 500.0,
    smallest_g: 100.0,
    use_by_share: 0.8,
    gel_band: 0.30,
    wetting_out_kg_min_person: 0.10,
};
const OWNER: MixLimits = MixLimits { largest_g: 250.0, ..TRADE };

fn plan(resin_g: f64, pot_c: f64, limits: &MixLimits) -> MixPlan {
    split(&MixJob { resin_g, percent: 2.0, pot_c, people: 1 }, &CLOCK, limits).unwrap()
}

#[test]
fn mixes_add_up_and_respect_both_bounds() {
    for resin_g in [1.0, 99.9, 100.0, 250.0, 250.1, 499.0, 500.0, 500.1, 1500.0, 3210.0] {
        for limits in [TRADE, OWNER] {
            for pot_c in [15.0, 20.0, 25.0, 30.0] {
                let plan = plan(resin_g, pot_c, &limits);
                assert!(!plan.gate.is_shut());
                let needed: f64 = plan.mixes.iter().map(|mix| mix.needed_g).sum();
                assert_relative_eq!(needed, resin_g, max_relative = 1e-9);
                for mix in &plan.mixes {
                    assert!(mix.resin_g >= 100.0 && mix.resin_g <= limits.largest_g + 1e-6);
                    assert!(mix.wetting_out_min <= mix.use_by_min + 1e-9, "{resin_g} {pot_c}");
                    assert_relative_eq!(mix.catalyst_g, mix.resin_g * 0.02);
                    assert_relative_eq!(mix.catalyst_ml, mix.catalyst_g / 1.15);
                }
            }
        }
    }
}

#[test]
fn less_than_the_smallest_is_mixed_as_the_smallest() {
    let plan = plan(40.0, 20.0, &TRADE);
    assert_eq!(plan.mixes.len(), 1);
    assert_relative_eq!(plan.mixes[0].resin_g, 100.0);
    assert_relative_eq!(plan.mixes[0].needed_g, 40.0);
}

#[test]
fn heat_makes_pots_smaller_and_says_so() {
    let cool = plan(1500.0, 18.0, &TRADE);
    assert_eq!((cool.mixes.len(), cool.gate), (3, Gate::Open));
    let hot = plan(1500.0, 30.0, &TRADE);
    assert!(hot.mixes.len() > 3 && matches!(hot.gate, Gate::Warned { .. }));
}

#[test]
fn too_slow_for_the_smallest_pot_is_a_stop() {
    let slow = MixLimits { wetting_out_kg_min_person: 0.01, ..TRADE };
    let stop = plan(300.0, 28.0, &slow);
    assert!(stop.gate.is_shut() && stop.mixes.is_empty());
    // A little that can be wetted out in time is no stop, although more is mixed.
    let little = plan(20.0, 28.0, &slow);
    assert_eq!((little.mixes.len(), little.gate), (1, Gate::Open));
}

#[test]
fn a_pot_without_loss_gels_before_a_cup_with_loss() {
    // The computed 100 g cup at 20 °C: 13.5 min against 17.6 for a film.
    assert!(pot_share(&CLOCK, 20.0).unwrap() < 13.5 / 17.6);
    for t_c in [15.0, 20.0, 30.0] {
        let share = pot_share(&CLOCK, t_c).unwrap();
        assert!(share > 0.6 && share < 0.8, "{t_c}: {share}");
    }
}

#[test]
fn use_by_is_what_was_settled() {
    let film_min = CLOCK.gel_min(20.0, 2.0);
    let expected_min = 0.8 * 0.7 * film_min * pot_share(&CLOCK, 20.0).unwrap();
    let got_min = use_by_min(2.0, 20.0, &CLOCK, &TRADE).unwrap();
    assert_relative_eq!(got_min, expected_min, max_relative = 1e-12);
    assert!(use_by_min(2.0, 25.0, &CLOCK, &TRADE).unwrap() < expected_min);
}

#[test]
fn nobody_and_nothing_are_told_apart() {
    let nobody = MixJob { resin_g: 100.0, percent: 2.0, pot_c: 20.0, people: 0 };
    assert!(split(&nobody, &CLOCK, &TRADE).is_err());
    assert!(plan(0.0, 20.0, &TRADE).mixes.is_empty());
    let no_dose = MixJob { percent: 0.0, people: 1, ..nobody };
    assert!(split(&no_dose, &CLOCK, &TRADE).is_err());
}
