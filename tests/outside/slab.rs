//! Heat through the thickness, the cup, and rates of other papers: rows T4, T7-T15, T18-T22 and
//! the order of the method.

use super::table::Check;
use plymend::shop::cure::{GlassTransition, Kinetics, Resin, conversion_after};
use plymend::shop::gel_time::GelClock;
use plymend::shop::heat::adiabatic_rise_k;
use plymend::shop::integrate::time_to_reach;
use plymend::shop::pot::cup;
use plymend::shop::slab::material::Mixture;
use plymend::shop::slab::reaction::State;
use plymend::shop::slab::{Faces, Fineness, Layer, Slab, Trace};

const ENERGY: &str = "energy balance";
const TABLE: &str = "same equations, computed elsewhere";
const SERIES: &str = "series of a slab, roots and factors as in heat-transfer tables";
const GAS_J_MOL_K: f64 = 8.3145;
const HEAT_J_KG: f64 = 320.0e3;
const DAY_MIN: f64 = 1440.0;

fn row(
    (id, class, source): (&'static str, &'static str, &'static str),
    input: impl Into<String>,
    (expected, tolerance): (f64, f64),
    got: f64,
) -> Check {
    Check { id, class, source, input: input.into(), expected, tolerance, got }
}

fn within(expected: f64, share: f64) -> (f64, f64) {
    (expected, expected * share)
}

fn resin(percent: f64) -> Resin {
    Resin {
        clock: GelClock::GENERAL_PURPOSE,
        kinetics: Kinetics::GENERAL_PURPOSE,
        percent,
        stand_still_below_c: 12.0,
    }
}

/// All rows of this file.
pub(crate) fn rows() -> Vec<Check> {
    let mut rows = adiabatic();
    rows.extend(thick_on_a_cycle());
    rows.extend(conduction());
    rows.extend(slabs());
    rows.extend(cups());
    rows.extend(order());
    rows.extend(rates());
    rows.extend(constants());
    rows
}

fn slab_of(
    resin: Resin,
    heat_j_kg: f64,
    face_w_m2_k: f64,
    layer: &Layer,
    start: Option<State>,
) -> Slab<Resin> {
    let faces = Faces { below_w_m2_k: face_w_m2_k, above_w_m2_k: face_w_m2_k };
    let mut slab = Slab::new(resin, heat_j_kg, faces).expect("sound");
    match start {
        None => slab.lay(layer).expect("sound"),
        Some(state) => slab.lay_in_state(layer, state).expect("sound"),
    }
    slab
}

fn mat(thickness_mm: f64, start_c: f64, cells: usize) -> Layer {
    let mixture = Mixture::polyester(0.30).expect("sound");
    Layer { thickness_mm, mixture, start_c, cells }
}

/// With no heat lost the slab ends at its start and the rise of the final conversion.
fn adiabatic() -> Vec<Check> {
    let label = ("T9", "outside", ENERGY);
    let mut rows = Vec::new();
    for (name, resin, heat_j_kg, layer, start) in [
        ("mat at 30 % glass", resin(2.0), HEAT_J_KG, mat(6.0, 20.0, 15), None),
        ("set A", set_a(), 77.5e3, set_a_layer(25.4, 100.0, 15), Some(A_START)),
    ] {
        let fraction = layer.mixture.resin_fraction;
        let mut slab = slab_of(resin, heat_j_kg, 0.0, &layer, start);
        slab.run(&|_| 20.0, 600.0, &Fineness::USUAL, |_| true).expect("sound");
        let grown = slab.conversions().first().copied().unwrap_or(f64::NAN)
            - start.map_or(0.0, |state| state.conversion);
        let cp = layer.mixture.specific_heat_j_kg_k;
        let rise_k = adiabatic_rise_k(fraction, heat_j_kg, grown, cp).unwrap_or(f64::NAN);
        let got = slab.temperatures_c().first().copied().unwrap_or(f64::NAN);
        let input = format!("{name}, no heat lost, solver ends at, °C");
        rows.push(row(label, input, within(layer.start_c + rise_k, 0.001), got));
    }
    rows
}

const A_START: State = State { inhibitor_left: 0.0, conversion: 1.0e-3 };

/// Rate constant of set A, 1/min (Bogetti & Gillespie 1991, from memory).
fn set_a_per_min(t_c: f64) -> f64 {
    3.7e22 * (-167.4e3 / GAS_J_MOL_K / (t_c + 273.15)).exp()
}

/// Set A in this crate's form: no brake (a sharpness of 0 is a factor of a half), no dose.
fn set_a() -> Resin {
    Resin {
        clock: GelClock { reference_min: 1.0, reference_c: 100.0, ..GelClock::GENERAL_PURPOSE },
        kinetics: Kinetics {
            activation_kj_mol: 167.4,
            pace: 2.0 * set_a_per_min(100.0),
            dose_exponent: 0.0,
            brake_sharpness: 0.0,
            ..Kinetics::GENERAL_PURPOSE
        },
        percent: 2.0,
        stand_still_below_c: -50.0,
    }
}

fn set_a_layer(thickness_mm: f64, start_c: f64, cells: usize) -> Layer {
    let mixture = Mixture {
        density_kg_m3: 1890.0,
        specific_heat_j_kg_k: 1260.0,
        conductivity_w_m_k: 0.2163,
        resin_fraction: 1.0,
    };
    Layer { thickness_mm, mixture, start_c, cells }
}

/// Faces of 20 °C, to 90 in 40 min, held to 100 min, to 130 by 120 min, held.
fn cycle_c(minute: f64) -> f64 {
    let ramp = |from: f64, to: f64| ((minute - from) / (to - from)).clamp(0.0, 1.0);
    20.0 + 70.0 * ramp(0.0, 40.0) + 40.0 * ramp(100.0, 120.0)
}

fn thick_on_a_cycle() -> Vec<Check> {
    let label = ("T10", "regression", TABLE);
    let mut slab = slab_of(set_a(), 77.5e3, 1.0e7, &set_a_layer(25.4, 20.0, 41), Some(A_START));
    let (mut peak, mut at_100) = ((0.0, 0.0), f64::NAN);
    slab.run(&cycle_c, 100.0, &Fineness::even(2.0), |now| {
        if now.mid_c > peak.0 {
            peak = (now.mid_c, now.minute);
        }
        true
    })
    .expect("sound");
    if let Some(mid) = slab.conversions().get(20) {
        at_100 = *mid;
    }
    vec![
        row(label, "set A, 25.4 mm on its own cycle, mid peak, °C", (135.0, 1.5), peak.0),
        row(label, "the same, at, min", (88.0, 1.0), peak.1),
        row(label, "the same, conversion in the middle at 100 min", (1.0, 0.001), at_100),
    ]
}

/// Excess left in the middle and at the face of an inert slab that starts 100 K above the air.
fn cooled(bi: f64, fourier: f64, cells: usize, steps: u32) -> (f64, f64) {
    let layer = mat(10.0, 120.0, cells);
    let half_m = layer.thickness_mm / 2000.0;
    let mixture = &layer.mixture;
    let face = (bi * mixture.conductivity_w_m_k / half_m).min(1.0e9);
    let faces = Faces { below_w_m2_k: face, above_w_m2_k: face };
    let mut slab = Slab::new(resin(2.0), 0.0, faces).expect("sound");
    slab.lay_inert(&layer).expect("sound");
    let diffusivity =
        mixture.conductivity_w_m_k / mixture.density_kg_m3 / mixture.specific_heat_j_kg_k;
    let step_s = fourier * half_m * half_m / diffusivity / f64::from(steps);
    for _ in 0..steps {
        slab.step(step_s, 20.0);
    }
    let t_c = slab.temperatures_c();
    let mid = (t_c[(cells - 1) / 2] + t_c[cells / 2]) / 2.0;
    ((mid - 20.0) / 100.0, (slab.upper_face_c(20.0) - 20.0) / 100.0)
}

fn conduction() -> Vec<Check> {
    let mut rows = Vec::new();
    let convective = [
        ("T11", 0.1, 0.2, 0.99400, 0.95142),
        ("T11", 0.1, 1.0, 0.92239, 0.87813),
        ("T11", 0.1, 2.0, 0.83733, 0.79714),
        ("T12", 1.0, 0.2, 0.95064, 0.64339),
        ("T12", 1.0, 1.0, 0.53386, 0.34818),
        ("T12", 1.0, 2.0, 0.25467, 0.16609),
    ];
    for (id, bi, fourier, mid, face) in convective {
        let (got_mid, got_face) = cooled(bi, fourier, 61, 2000);
        let label = (id, "outside", SERIES);
        let input = |place: &str| format!("solver, Bi {bi}, Fo {fourier}, excess {place}");
        rows.push(row(label, input("in the middle"), (mid, 1e-3), got_mid));
        rows.push(row(label, input("at the face"), (face, 1e-3), got_face));
    }
    let held = ("T13", "outside", SERIES);
    for (fourier, mid) in [(0.05, 0.99687), (0.1, 0.94931), (0.2, 0.77231), (0.5, 0.37078)] {
        let (got, _) = cooled(1.0e12, fourier, 61, 2000);
        rows.push(row(held, format!("solver, held faces, Fo {fourier}, middle"), (mid, 1e-3), got));
    }
    // With no resistance inside it is the lumped solution.
    let mut layer = mat(3.0, 50.0, 15);
    (layer.mixture.density_kg_m3, layer.mixture.specific_heat_j_kg_k) = (1428.0, 1430.0);
    layer.mixture.conductivity_w_m_k = 1.0e4;
    let faces = Faces { below_w_m2_k: 8.0, above_w_m2_k: 8.0 };
    let mut slab = Slab::new(resin(2.0), 0.0, faces).expect("sound");
    slab.lay_inert(&layer).expect("sound");
    for _ in 0..1000 {
        slab.step(0.3829, 20.0);
    }
    let left_k = slab.temperatures_c()[7] - 20.0;
    let lumped = ("T15", "outside", "lumped solution, textbook");
    rows.push(row(lumped, "solver, 30 K after 382.9 s, K", within(11.04, 0.005), left_k));
    rows
}

fn laid(thickness_mm: f64, percent: f64, air_c: f64, cells: usize) -> Trace {
    slab_of(resin(percent), HEAT_J_KG, 8.0, &mat(thickness_mm, air_c, cells), None)
        .trace(&|_| air_c, DAY_MIN, &Fineness::USUAL)
        .expect("sound")
}

/// Shop, dose, thickness; mid peak °C at min, conversion 0.75 in min at the face, conversion
/// there at 24 h. The face is half a cell beyond the outermost one, so the cells are fine.
type Still = (f64, f64, f64, f64, f64, f64, f64);

const STILL: [Still; 15] = [
    (15.0, 2.0, 3.0, 21.0, 76.0, 320.0, 0.790),
    (15.0, 2.0, 6.0, 37.0, 79.0, 157.0, 0.792),
    (15.0, 2.0, 12.0, 110.0, 63.0, 60.0, 0.966),
    (20.0, 1.0, 3.0, 26.0, 90.0, 255.0, 0.811),
    (20.0, 1.0, 6.0, 38.0, 93.0, 170.0, 0.813),
    (20.0, 1.0, 12.0, 102.0, 80.0, 77.0, 0.947),
    (20.0, 2.0, 3.0, 29.3, 57.0, 153.0, 0.819),
    (20.0, 2.0, 6.0, 60.7, 57.0, 62.0, 0.839),
    (20.0, 2.0, 12.0, 130.0, 44.0, 41.0, 0.984),
    (25.0, 1.0, 3.0, 33.0, 67.0, 162.0, 0.839),
    (25.0, 1.0, 6.0, 56.0, 69.0, 86.0, 0.842),
    (25.0, 1.0, 12.0, 125.0, 56.0, 53.0, 0.976),
    (25.0, 2.0, 3.0, 40.0, 43.0, 90.0, 0.846),
    (25.0, 2.0, 6.0, 91.0, 40.0, 39.0, 0.921),
    (25.0, 2.0, 12.0, 145.0, 32.0, 30.0, 0.991),
];

fn slabs() -> Vec<Check> {
    let label = ("T19", "regression", TABLE);
    let mut rows = Vec::new();
    for (air_c, percent, mm, peak_c, peak_min, sand_min, day) in STILL {
        let trace = laid(mm, percent, air_c, 121);
        let input = |what: &str| format!("{mm} mm, {percent} % at {air_c} °C, {what}");
        let sand = trace.sandable_min.unwrap_or(f64::NAN);
        let left = trace.conversion_at_24_h.unwrap_or(f64::NAN);
        rows.push(row(label, input("peak, °C"), (peak_c, 1.0), trace.peak_c));
        rows.push(row(label, input("at, min"), (peak_min, 1.0), trace.peak_min));
        rows.push(row(label, input("conversion 0.75 at, min"), (sand_min, 1.0), sand));
        rows.push(row(label, input("conversion at 24 h"), (day, 0.002), left));
    }
    rows
}

fn cups() -> Vec<Check> {
    let label = ("T20", "regression", "computed elsewhere; outside of the cup inferred from it");
    let mut rows = Vec::new();
    for (start_c, peak_c, peak_min, gel_to_peak) in
        [(25.0, 183.0, 26.0, 16.0), (20.0, 172.0, 35.0, 22.0)]
    {
        let trace = cup(resin(2.0), HEAT_J_KG, 100.0, start_c, 120.0).expect("sound");
        let gel = trace.gel_min.unwrap_or(f64::NAN);
        let film = GelClock::GENERAL_PURPOSE.gel_min(start_c, 2.0);
        let input = |what: &str| format!("100 g cup from {start_c} °C, {what}");
        rows.push(row(label, input("peak, °C"), (peak_c, 3.0), trace.peak_c));
        rows.push(row(label, input("at, min"), (peak_min, 1.0), trace.peak_min));
        rows.push(row(label, input("gel to peak, min"), (gel_to_peak, 1.0), trace.peak_min - gel));
        let share =
            ("T20", "regression", "13.5 min in the cup over 17.6 min in the film, computed");
        if start_c < 21.0 {
            rows.push(row(share, input("gel over the film's"), (0.77, 0.01), gel / film));
        }
    }
    rows
}

/// Halving the step, then the cells, divides what is left of the error by four.
fn order() -> Vec<Check> {
    let label = ("-", "outside", "order two of midpoint, trapezoidal and finite-volume forms");
    let peak = |cells: usize, step_s: f64| {
        let mut slab = slab_of(resin(2.0), HEAT_J_KG, 8.0, &mat(6.0, 20.0, cells), None);
        let mut best = 0.0_f64;
        slab.run(&|_| 20.0, 57.0, &Fineness::even(step_s), |_| true).expect("sound");
        for t_c in slab.temperatures_c() {
            best = best.max(t_c);
        }
        best
    };
    let observed = |coarse: f64, middle: f64, fine: f64| {
        ((coarse - middle).abs() / (middle - fine).abs()).log2()
    };
    let in_time = observed(peak(20, 60.0), peak(20, 30.0), peak(20, 15.0));
    let (bi, fourier) = (1.0, 1.0);
    let mid = |cells: usize| cooled(bi, fourier, cells, 4000).1;
    let in_space = observed(mid(8), mid(16), mid(32));
    vec![
        row(label, "6 mm after 57 min, steps 60, 30, 15 s: observed order", (2.0, 0.5), in_time),
        row(label, "Bi 1, Fo 1, 8, 16, 32 cells: observed order", (2.0, 0.2), in_space),
    ]
}

fn rates() -> Vec<Check> {
    let mut rows = Vec::new();
    let set_a = ("T7", "regression", "rate constants from memory, times computed elsewhere");
    for (target, minutes) in [(0.05, 3.2), (0.5, 14.8), (0.9, 43.2)] {
        let k = set_a_per_min(100.0);
        let rate = |_, a: f64| k * a.powf(0.524) * (1.0 - a).powf(1.476);
        let got = time_to_reach(&rate, 1.0e-3, target, 1.0, 500.0).unwrap_or(f64::NAN);
        let input = format!("set A at 100 °C, conversion {target}, min");
        // Printed to a tenth of a minute.
        rows.push(row(set_a, input, (minutes, (0.02 * minutes).max(0.05)), got));
    }
    let set_b = ("T8", "regression", "rate constants from memory, times computed elsewhere");
    for (target, minutes) in [(0.5, 1.6), (0.9, 5.5)] {
        let k = |a: f64, e: f64| 60.0 * a * (-e / GAS_J_MOL_K / (130.0 + 273.15)).exp();
        let (first, grown) = (k(4.9e14, 140.0e3), k(6.2e5, 51.0e3));
        let rate = |_, a: f64| (first + grown * a.powf(1.3)) * (1.0 - a).powf(2.7);
        let got = time_to_reach(&rate, 0.0, target, 0.1, 100.0).unwrap_or(f64::NAN);
        let input = format!("set B at 130 °C, conversion {target}, min");
        rows.push(row(set_b, input, within(minutes, 0.05), got));
    }
    let guide = ("T4", "calibration", "trade guide, 15-20 min (common practice)");
    let gel_min = GelClock::GENERAL_PURPOSE.gel_min(20.0, 2.0);
    rows.push(row(guide, "2 % at 20 °C, min", (17.5, 2.5), gel_min));
    let styrene = ("T18", "calibration", "residual styrene, a supplier (common practice)");
    let later =
        |t_c: f64| conversion_after(&resin(2.0), &|_| t_c, 28.0 * DAY_MIN).unwrap_or(f64::NAN);
    rows.push(row(styrene, "conversion after 28 days at 20 °C", (0.875, 0.025), later(20.0)));
    let oven = |minute: f64| if minute < DAY_MIN { 20.0 } else { 50.0 };
    let tempered = conversion_after(&resin(2.0), &oven, DAY_MIN + 15.0 * 60.0).unwrap_or(f64::NAN);
    rows.push(row(styrene, "conversion after 15 h at 50 °C", (0.9525, 0.0225), tempered));
    let own = ("T21", "regression", TABLE);
    rows.push(row(own, "conversion after 28 days at 30 °C", (0.925, 0.005), later(30.0)));
    rows.push(row(own, "conversion after 28 days at 20 °C", (0.878, 0.005), later(20.0)));
    let post = ("-", "regression", TABLE);
    for (t_c, hours, expected) in [
        (40.0, 8.0, 0.897),
        (40.0, 16.0, 0.909),
        (50.0, 15.0, 0.944),
        (60.0, 8.0, 0.965),
        (80.0, 3.0, 0.992),
    ] {
        let oven = |minute: f64| if minute < DAY_MIN { 20.0 } else { t_c };
        let got = conversion_after(&resin(2.0), &oven, DAY_MIN + hours * 60.0).unwrap_or(f64::NAN);
        let input = format!("conversion after {hours} h at {t_c} °C, a day at 20 °C before");
        rows.push(row(post, input, (expected, 0.002), got));
    }
    rows
}

/// Polynomial in log10 T of the cryogenic tables of G-10 CR.
fn nist(coefficients: &[f64], t_k: f64) -> f64 {
    let x = t_k.log10();
    10.0_f64.powf(coefficients.iter().rev().fold(0.0, |sum, a| sum * x + a))
}

fn constants() -> Vec<Check> {
    let label = ("T14", "formula only", "NIST polynomials of G-10 CR, coefficients from memory");
    let normal = [-4.1236, 13.788, -26.068, 26.272, -14.663, 4.4954, -0.6905, 0.0397];
    let warp =
        [-2.64827, 8.80228, -24.8998, 41.1625, -39.8754, 23.1778, -7.95635, 1.48806, -0.11701];
    let heat = [-2.4083, 7.6006, -8.2982, 7.3301, -4.2386, 1.4294, -0.24396, 0.015236];
    let t_k = 293.0;
    let runaway = ("T22", "formula only", "thermal explosion theory, from memory");
    // Semenov, zero order: the largest stable rise is RT²/E over e.
    let scale_k = GAS_J_MOL_K * 293.15_f64.powi(2) / 50.0e3;
    // Frank-Kamenetskii, slab: delta = 2 x² / cosh² x at its largest.
    let critical = (1..20_000)
        .map(|part| f64::from(part) * 1.0e-4)
        .map(|x| 2.0 * x * x / x.cosh().powi(2))
        .fold(0.0, f64::max);
    let glass = GlassTransition { uncured_c: -60.0, cured_c: 95.0, lambda: 0.40 };
    let mut rows = vec![
        row(label, "conductivity normal, W/(m K)", within(0.596, 0.01), nist(&normal, t_k)),
        row(label, "conductivity warp, W/(m K)", within(0.851, 0.01), nist(&warp, t_k)),
        row(label, "specific heat, J/(kg K)", within(977.0, 0.01), nist(&heat, t_k)),
        row(runaway, "RT²/E at 293.15 K, 50 kJ/mol, K", within(14.3, 0.005), scale_k),
        row(runaway, "largest stable rise, K", within(5.26, 0.005), scale_k / std::f64::consts::E),
        row(runaway, "critical delta of a slab", within(0.878, 0.005), critical),
    ];
    let own = ("-", "regression", TABLE);
    for (t_c, expected) in [(10.0, 0.673), (20.0, 0.727), (30.0, 0.776), (60.0, 0.896)] {
        let input = format!("conversion where the brake bites at {t_c} °C");
        rows.push(row(own, input, (expected, 0.001), glass.conversion_at(t_c)));
    }
    rows
}
