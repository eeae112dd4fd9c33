//! Draws against closed forms.
//!
//! A triangular variable with ends a, b and peak c has the mean (a + b + c) / 3 and the variance
//! (a² + b² + c² - ab - ac - bc) / 18 (any textbook of probability). Means and variances of sums of
//! independent variables add up; of products, E[XY] = E[X] E[Y]. Bounds are four standard errors.

use approx::assert_relative_eq;

use super::*;

const DRAWN: u32 = 40_000;

fn sure(value: f64) -> Triangle {
    Triangle { low: value, likely: value, high: value }
}

fn mean(t: &Triangle) -> f64 {
    (t.low + t.likely + t.high) / 3.0
}

fn variance(t: &Triangle) -> f64 {
    let (a, c, b) = (t.low, t.likely, t.high);
    (a * a + b * b + c * c - a * b - a * c - b * c) / 18.0
}

/// A repair whose one mat needs `m2` times its growth, and nothing for tape errors.
fn straight(growth: Triangle, m2: f64) -> RepairCurve {
    let need = |at: f64| (at, NetNeed { mats_m2: vec![m2 * at], tissue_m2: 0.0 });
    RepairCurve {
        growth,
        points: [0.0, 1.0, 5.0].map(need).to_vec(),
        per_mm: NetNeed { mats_m2: vec![0.0], tissue_m2: 0.0 },
        tape_mm: 0.0,
    }
}

/// One mat of 1 kg/m² that takes its own mass of resin; nothing is lost, all certain.
fn plain(repairs: Vec<RepairCurve>) -> DrawnJob {
    DrawnJob {
        mats: vec![LaidMat { weight_kg_m2: 1.0, resin_ratio: 1.0 }],
        tissue_resin_kg_m2: 0.35,
        repairs,
        spreads: Spreads { resin: sure(1.0), lost: sure(1.0), mat_lost: sure(0.0), together: 0.0 },
        lost_a_mix_kg: 0.0,
        lost_a_session_kg: 0.0,
        mix_kg: 0.5,
        least_mix_kg: 0.0,
        sessions: 1,
        excludes: Vec::new(),
    }
}

fn four() -> Vec<(Triangle, f64)> {
    vec![
        (Triangle { low: 1.0, likely: 1.25, high: 1.6 }, 0.8),
        (Triangle { low: 1.1, likely: 1.5, high: 2.0 }, 0.3),
        (Triangle { low: 1.3, likely: 2.0, high: 4.0 }, 0.2),
        (Triangle { low: 1.0, likely: 1.0, high: 2.5 }, 0.1),
    ]
}

fn near(found: f64, expected: f64, standard_error: f64) {
    assert!(
        (found - expected).abs() < 4.0 * standard_error,
        "found {found}, expected {expected} within 4 x {standard_error}"
    );
}

/// Standard error of a variance that is not far from normal: sqrt(2 / n), a little generous for
/// the flatter sums of triangles.
fn of_variance(variance: f64) -> f64 {
    variance * (2.0 / f64::from(DRAWN)).sqrt()
}

#[test]
fn a_sum_of_triangles_has_the_mean_and_variance_of_its_parts() {
    let repairs = four().into_iter().map(|(growth, m2)| straight(growth, m2)).collect();
    let spread = simulate(&plain(repairs), 1, DRAWN).unwrap();
    let expected: f64 = four().iter().map(|(growth, m2)| m2 * mean(growth)).sum();
    let spreads: f64 = four().iter().map(|(growth, m2)| m2 * m2 * variance(growth)).sum();
    for found in [&spread.resin_kg, &spread.mats_m2[0]] {
        near(found.distribution.mean(), expected, (spreads / f64::from(DRAWN)).sqrt());
        near(found.distribution.variance(), spreads, of_variance(spreads));
    }
    // One at a time: what goes when a part is known is its own share of the sum.
    for driver in &spread.mats_m2[0].drivers {
        let Factor::Growth(number) = driver.factor else { panic!("{driver:?}") };
        let (growth, m2) = &four()[number];
        near(driver.share, m2 * m2 * variance(growth) / spreads, 0.006);
    }
    let order: Vec<_> = spread.mats_m2[0].drivers.iter().map(|driver| driver.factor).collect();
    assert_eq!(order[..2], [Factor::Growth(2), Factor::Growth(0)]);
}

#[test]
fn one_factor_alone_has_its_own_quantiles() {
    let growth = Triangle { low: 1.1, likely: 1.5, high: 2.0 };
    let mut repair = straight(growth, 1.0);
    // A bent curve: 1 m² at 1.0, 2 m² at 1.6, 6 m² at 2.0.
    repair.points = [(1.0, 1.0), (1.6, 2.0), (2.0, 6.0)]
        .map(|(at, m2)| (at, NetNeed { mats_m2: vec![m2], tissue_m2: 0.0 }))
        .to_vec();
    let bent = |at: f64| if at < 1.6 { 1.0 + (at - 1.0) / 0.6 } else { 2.0 + (at - 1.6) * 10.0 };
    let spread = simulate(&plain(vec![repair]), 7, DRAWN).unwrap();
    for step in 1..20_u32 {
        let p = f64::from(step) / 20.0;
        // Bounds in p, turned into bounds of the need by the exact quantiles.
        let error = 4.0 * (p * (1.0 - p) / f64::from(DRAWN)).sqrt();
        let [below, above] = [p - error, p + error].map(|p| bent(growth.quantile(p)));
        let found = spread.mats_m2[0].distribution.quantile(p);
        assert!(below < found && found < above, "{p}: {below} {found} {above}");
    }
    assert!(spread.mats_m2[0].distribution.quantile(0.0) >= bent(1.1));
    assert!(spread.mats_m2[0].distribution.quantile(1.0) <= bent(2.0));
}

#[test]
fn factors_that_multiply_have_the_moments_of_a_product() {
    let growth = Triangle { low: 1.0, likely: 1.25, high: 1.6 };
    let resin = Triangle { low: 0.8, likely: 1.0, high: 1.24 };
    let mut job = plain(vec![straight(growth, 1.0)]);
    job.spreads.resin = resin;
    let spread = simulate(&job, 3, DRAWN).unwrap();
    let expected = mean(&growth) * mean(&resin);
    let square = |t: &Triangle| variance(t) + mean(t) * mean(t);
    let product = square(&growth) * square(&resin) - expected * expected;
    near(spread.resin_kg.distribution.mean(), expected, (product / f64::from(DRAWN)).sqrt());
    near(spread.resin_kg.distribution.variance(), product, of_variance(product));
    // The mat knows nothing of the resin.
    let of_mat: Vec<_> = spread.mats_m2[0].drivers.iter().map(|driver| driver.factor).collect();
    assert_eq!(of_mat, [Factor::Growth(0)]);
    assert!(spread.resin_kg.drivers.iter().any(|driver| driver.factor == Factor::ResinTaken));
}

#[test]
fn what_grows_alike_does_not_cancel_out() {
    // Three of one shape: the variance is s² (3 + 6 c), c the chance of growing alike.
    let growth = Triangle { low: 1.0, likely: 1.3, high: 2.0 };
    for together in [0.0, 0.5, 1.0] {
        let mut job = plain(vec![straight(growth, 1.0); 3]);
        job.spreads.together = together;
        let spread = simulate(&job, 11, DRAWN).unwrap();
        let expected = variance(&growth) * (3.0 + 6.0 * together);
        near(spread.mats_m2[0].distribution.variance(), expected, 1.2 * of_variance(expected));
        near(
            spread.mats_m2[0].distribution.mean(),
            3.0 * mean(&growth),
            (expected / f64::from(DRAWN)).sqrt(),
        );
    }
}

#[test]
fn a_tape_holds_95_percent_within_its_error() {
    let mut repair = straight(sure(1.0), 1.0);
    repair.tape_mm = 5.0;
    repair.per_mm.mats_m2 = vec![0.01];
    let spread = simulate(&plain(vec![repair]), 5, DRAWN).unwrap();
    let mat = &spread.mats_m2[0].distribution;
    let within = mat.share_within(1.05) - mat.share_within(0.95 - 1e-12);
    near(within, 0.95, (0.95 * 0.05 / f64::from(DRAWN)).sqrt());
    assert_eq!(spread.mats_m2[0].drivers[0].factor, Factor::Tape);
    assert!(spread.mats_m2[0].drivers[0].share > 0.999);
}

#[test]
fn what_is_certain_comes_out_as_it_went_in() {
    let mut job = plain(vec![straight(sure(1.0), 2.0)]);
    job.mats[0] = LaidMat { weight_kg_m2: 0.45, resin_ratio: 2.5 };
    job.repairs[0].points = vec![(1.0, NetNeed { mats_m2: vec![2.0], tissue_m2: 1.0 })];
    job.lost_a_mix_kg = 0.03;
    job.lost_a_session_kg = 0.08;
    job.sessions = 2;
    job.spreads.mat_lost = sure(10.0);
    let spread = simulate(&job, 1, 100).unwrap();
    // 2 m² x 0.45 x 2.5 + 0.35 = 2.6 kg in six mixes of up to 0.5 kg: + 6 x 0.03 + 2 x 0.08.
    assert_relative_eq!(spread.resin_kg.distribution.quantile(0.3), 2.94, epsilon = 1e-12);
    assert_relative_eq!(spread.mats_m2[0].distribution.quantile(0.9), 2.2, epsilon = 1e-12);
    assert!(spread.resin_kg.drivers.is_empty());
    assert_relative_eq!(spread.share_enough(2.95, &[2.2001]), 1.0);
    assert_relative_eq!(spread.share_enough(2.93, &[9.0]), 0.0);
    assert_relative_eq!(spread.share_enough(9.0, &[]), 0.0);
}

#[test]
fn enough_of_everything_at_once_is_rarer_than_enough_of_each() {
    let mut job = plain(four().into_iter().map(|(growth, m2)| straight(growth, m2)).collect());
    job.spreads = Spreads::of_book(&Book::built_in());
    let spread = simulate(&job, 2, 5_000).unwrap();
    let (resin, mat) = (&spread.resin_kg.distribution, &spread.mats_m2[0].distribution);
    let order = (resin.quantile(0.7), mat.quantile(0.7));
    let both = spread.share_enough(order.0, &[order.1]);
    assert!(both < 0.7 && both > 0.4, "{both}");
}

#[test]
fn the_answer_does_not_depend_on_the_number_of_threads() {
    let mut job = plain(four().into_iter().map(|(growth, m2)| straight(growth, m2)).collect());
    job.spreads = Spreads::of_book(&Book::built_in());
    job.excludes = vec![Exclusion { mark: 4, reason: "referred".to_owned() }];
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| simulate(&job, 99, 3_000).unwrap())
    };
    let one = on(1);
    assert_eq!(on(2), one);
    assert_eq!(on(5), one);
    assert_eq!(one.excludes, job.excludes);
    let other = simulate(&job, 100, 3_000).unwrap();
    assert_ne!(other.draws, one.draws);
}

#[test]
fn what_cannot_be_drawn_is_refused_by_name() {
    let whole = plain(vec![straight(Triangle { low: 1.0, likely: 1.3, high: 2.0 }, 1.0)]);
    let refused = |change: &dyn Fn(&mut DrawnJob)| {
        let mut job = whole.clone();
        change(&mut job);
        simulate(&job, 1, 100).unwrap_err().to_string()
    };
    assert!(simulate(&whole, 1, 99).unwrap_err().to_string().contains("100 to 100000"));
    assert!(refused(&|job| job.repairs[0].growth.high = 5.5).contains("cover 0 to 5"));
    assert!(refused(&|job| job.repairs[0].growth.high = f64::NAN).contains("growth"));
    assert!(refused(&|job| job.repairs[0].growth.likely = 0.5).contains("do not fall"));
    assert!(refused(&|job| job.repairs[0].points.clear()).contains("points"));
    assert!(refused(&|job| job.repairs[0].points.swap(0, 1)).contains("rising"));
    assert!(refused(&|job| job.repairs[0].points[1].1.mats_m2[0] = -1.0).contains("area"));
    assert!(refused(&|job| job.repairs[0].per_mm.mats_m2.clear()).contains("one a mat"));
    assert!(refused(&|job| job.spreads.together = 1.5).contains("alike"));
    assert!(refused(&|job| job.mix_kg = 0.0).contains("mix"));
    assert!(refused(&|job| job.mats[0].weight_kg_m2 = f64::INFINITY).contains("weight"));
}
