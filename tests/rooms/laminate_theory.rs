//! Laminates against published tables and worked examples; the source stands beside each.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test fails where its own setting up fails"
)]

use approx::assert_relative_eq;
use nalgebra::{Matrix3, Vector3};
use plymend::repair::laminate::properties::{
    self, Reinforcement::Mat, Reinforcement::Woven, laid_ply,
};
use plymend::repair::laminate::strip::{Row, bending_stiffness, neutral_axis_mm, rows};
use plymend::repair::laminate::{Laminate, Ply};
use plymend::repair::plies::{resin_ratio, thickness_mm};

/// Lloyd's Register, Guidance Notes for Calculation Procedures for Composite Construction, Table
/// 3.1.1, rows 1 to 6 (published), strip of 10 mm; the printed thicknesses are fed.
#[test]
fn rows_of_the_published_strip_table_come_out_digit_for_digit() {
    // t, x, E; E t, E t x, I about the base, E I about the base.
    let table = [
        ([1.250, 10.149, 7200.0], [9000.0, 91_341.0, 1289.2, 9_281_917.0]),
        ([1.250, 8.899, 7200.0], [9000.0, 80_091.0, 991.5, 7_139_017.0]),
        ([1.250, 7.649, 7200.0], [9000.0, 68_841.0, 733.0, 5_277_367.0]),
        ([1.250, 6.399, 7200.0], [9000.0, 57_591.0, 513.5, 3_696_967.0]),
        ([0.734, 5.407, 14_000.0], [10_276.0, 55_562.0, 214.9, 3_008_869.0]),
        ([1.250, 4.415, 6950.0], [8688.0, 38_355.0, 245.3, 1_704_699.0]),
    ];
    for ([thickness_mm, lever_mm, modulus_mpa], [et, etx, second, bending]) in table {
        let row = Row { thickness_mm, lever_mm, modulus_mpa };
        assert_relative_eq!(row.stiffness(), et, max_relative = 1e-4);
        assert_relative_eq!(row.moment(), etx, max_relative = 1e-4);
        assert_relative_eq!(row.second_moment(10.0), second, max_relative = 1e-4);
        assert_relative_eq!(row.bending(10.0), bending, max_relative = 1e-4);
    }
    // Levers step by half of both neighbours' thicknesses, down from the top at 10.774 mm (computed
    // from the same table).
    let from_top = [1.250, 1.250, 1.250, 1.250, 0.734, 1.250];
    let laid = rows(&from_top.map(|t| (t, 1.0)));
    for (row, (values, _)) in laid.iter().zip(table) {
        assert_relative_eq!(10.774 - row.lever_mm, values[1], epsilon = 1e-3);
    }
}

/// The same table (published values), and its thicknesses by formula.
#[test]
fn moduli_and_thicknesses_of_the_published_example() {
    assert_relative_eq!(properties::tensile_modulus_mpa(Mat, 0.33), 6950.0, epsilon = 1e-9);
    assert_relative_eq!(properties::compressive_modulus_mpa(0.33), 7200.0, epsilon = 1e-9);
    assert_relative_eq!(properties::compressive_modulus_mpa(0.50), 14_000.0, epsilon = 1e-9);
    assert_relative_eq!(thickness_mm(0.6, 0.33, 1.2), 1.250, epsilon = 1e-3);
    assert_relative_eq!(thickness_mm(0.6, 0.50, 1.2), 0.734, epsilon = 1e-3);
}

/// A design worksheet that cites BS 4994:1987, pages 10 and 20 (common practice): unit strength and
/// modulus, thickness per kg/m2 2.24 for mat and 1.25 for woven glass.
#[test]
fn the_unit_property_sheet_comes_out() {
    let (mat_mm, woven_mm) = (2.24, 1.25);
    assert_relative_eq!(properties::unit_strength(Mat) / mat_mm, 89.29, epsilon = 0.01);
    assert_relative_eq!(properties::unit_strength(Woven) / woven_mm, 200.0, epsilon = 0.01);
    assert_relative_eq!(properties::unit_modulus(Mat) / mat_mm, 6250.0, epsilon = 1.0);
    assert_relative_eq!(properties::unit_modulus(Woven) / woven_mm, 12_800.0, epsilon = 1.0);
    assert_relative_eq!(resin_ratio(0.33), 2.03, epsilon = 0.005);
    assert_relative_eq!(resin_ratio(0.45), 1.22, epsilon = 0.005);
    let factor = 3.0 * 1.5 * 1.3 * 1.0 * 1.27 * 1.5;
    assert_relative_eq!(factor, 11.144, epsilon = 1e-3);
    let allowed = |of| properties::unit_strength(of) / factor;
    assert_relative_eq!(allowed(Mat), 17.95, epsilon = 0.01);
    assert_relative_eq!(allowed(Woven), 22.43, epsilon = 0.01);
    let strain = |of| 100.0 * allowed(of) / properties::unit_modulus(of);
    assert_relative_eq!(strain(Mat), 0.128, epsilon = 5e-4);
    assert_relative_eq!(strain(Woven), 0.140, epsilon = 5e-4);
    let at_mats_strain =
        properties::unit_modulus(Woven) * allowed(Mat) / properties::unit_modulus(Mat);
    assert_relative_eq!(at_mats_strain, 20.51, epsilon = 0.01);
    assert_relative_eq!(properties::unit_modulus(Mat) * 0.002, 28.0, epsilon = 0.01);
    assert_relative_eq!(properties::unit_modulus(Woven) * 0.002, 32.0, epsilon = 0.01);
}

/// Carbon 4.24 g at 1.78, epoxy 2.05 g at 1.10; resin by fibre at a density ratio of 1.6 (common
/// practice).
#[test]
fn volume_shares_of_fibre() {
    let share = properties::fibre_volume_share((4.24, 1.78), (2.05, 1.10));
    assert_relative_eq!(share, 0.56, epsilon = 0.005);
    assert_relative_eq!(properties::resin_for_fibre(0.30, 1.6), 1.46, epsilon = 0.01);
    assert_relative_eq!(properties::resin_for_fibre(0.50, 1.6), 0.63, epsilon = 0.01);
}

fn ply(thickness: f64, moduli: [f64; 3], poisson: f64, angle_deg: f64) -> Ply {
    let [along_mpa, across_mpa, shear_mpa] = moduli;
    Ply { thickness_mm: thickness, along_mpa, across_mpa, shear_mpa, poisson, angle_deg }
}

const CARBON: [f64; 3] = [181e9, 10.3e9, 7.17e9];

fn holds(found: &Matrix3<f64>, wanted: [f64; 6]) {
    let [w11, w12, w16, w22, w26, w66] = wanted;
    for ((row, column), value) in
        [((0, 0), w11), ((0, 1), w12), ((0, 2), w16), ((1, 1), w22), ((1, 2), w26), ((2, 2), w66)]
    {
        assert_relative_eq!(found[(row, column)], value, max_relative = 5e-4);
    }
}

/// Kaw, Mechanics of Composite Materials, 2nd ed. 2006, Examples 4.2 and 4.3 (from memory, and
/// computed by hand): [0/30/-45], 5 mm each, in Pa and m.
#[test]
fn the_textbook_laminate_comes_out_to_its_printed_digits() {
    let laminate = Laminate::of(&[0.0, 30.0, -45.0].map(|angle| ply(0.005, CARBON, 0.28, angle)));
    holds(&laminate.membrane, [1.739e9, 3.884e8, 5.663e7, 4.533e8, -1.141e8, 4.525e8]);
    holds(&laminate.coupling, [-3.129e6, 9.855e5, -1.072e6, 1.158e6, -1.072e6, 9.855e5]);
    holds(&laminate.bending, [3.343e4, 6.461e3, -5.240e3, 9.320e3, -5.596e3, 7.663e3]);
    let moved = laminate.under(Vector3::new(1000.0, 1000.0, 0.0), Vector3::zeros()).unwrap();
    for (found, wanted) in moved.strain.iter().zip([3.123e-7, 3.492e-6, -7.598e-7]) {
        assert_relative_eq!(*found, wanted, max_relative = 5e-4);
    }
    for (found, wanted) in moved.curvature.iter().zip([2.971e-5, -3.285e-4, 4.101e-4]) {
        assert_relative_eq!(*found, wanted, max_relative = 5e-4);
    }
}

/// A 16-ply stack of a solid-mechanics textbook (inputs published, p 363; results computed by hand;
/// the moduli at 45 degrees agree with widely printed ones for carbon and epoxy).
#[test]
fn symmetric_stacks_of_sixteen_plies() {
    let stack = |one: f64, other: f64| {
        let quarter = [one, other].repeat(4);
        let mirrored = quarter.iter().rev().copied().collect::<Vec<_>>();
        let angles = [quarter, mirrored].concat();
        let plies: Vec<Ply> =
            angles.into_iter().map(|angle| ply(0.125e-3, CARBON, 0.28, angle)).collect();
        Laminate::of(&plies)
    };
    let h = 2e-3;
    let cross = stack(0.0, 90.0);
    let share = |of: &Laminate, i: usize, j: usize| of.membrane[(i, j)] / h / 1e9;
    assert_relative_eq!(share(&cross, 0, 0), 96.08, max_relative = 5e-4);
    assert_relative_eq!(share(&cross, 1, 1), 96.08, max_relative = 5e-4);
    assert_relative_eq!(share(&cross, 0, 1), 2.897, max_relative = 5e-4);
    assert_relative_eq!(share(&cross, 2, 2), 7.17, max_relative = 5e-4);
    assert_relative_eq!(cross.membrane_modulus().unwrap() / 1e9, 95.99, max_relative = 5e-4);
    assert_relative_eq!(cross.bending[(0, 0)], 74.77, max_relative = 5e-4);
    assert_relative_eq!(cross.bending[(1, 1)], 53.34, max_relative = 5e-4);
    assert_relative_eq!(cross.bending[(0, 1)], 1.931, max_relative = 5e-4);
    assert_relative_eq!(cross.bending[(2, 2)], 4.780, max_relative = 5e-4);
    assert!(cross.coupling.norm() < 1e-6);
    let angled = stack(45.0, -45.0);
    assert_relative_eq!(share(&angled, 0, 0), 56.66, max_relative = 5e-4);
    assert_relative_eq!(share(&angled, 0, 1), 42.32, max_relative = 5e-4);
    assert_relative_eq!(share(&angled, 2, 2), 46.59, max_relative = 5e-4);
    assert_relative_eq!(angled.membrane_modulus().unwrap() / 1e9, 25.05, max_relative = 5e-4);
}

/// University lay-up examples (inputs published; results computed by hand), psi, in and lb.
#[test]
fn glass_laminates_of_a_teaching_set() {
    let glass = [6.30e6, 1.29e6, 0.66e6];
    let laminate = Laminate::of(&[90.0, 0.0, 90.0].map(|angle| ply(0.010, glass, 0.27, angle)));
    for (found, wanted) in [
        (laminate.membrane[(0, 0)], 9.0146e4),
        (laminate.membrane[(1, 1)], 1.4101e5),
        (laminate.membrane[(0, 1)], 1.0607e4),
        (laminate.membrane[(2, 2)], 1.980e4),
        (laminate.bending[(0, 0)], 3.370),
        (laminate.bending[(1, 1)], 13.966),
        (laminate.bending[(0, 1)], 0.7956),
        (laminate.bending[(2, 2)], 1.485),
    ] {
        assert_relative_eq!(found, wanted, max_relative = 5e-4);
    }
    let load = Vector3::new(1000.0, 1000.0, 0.0);
    let moved = laminate.under(load, Vector3::zeros()).unwrap();
    assert_relative_eq!(moved.strain[0], 1.0350e-2, max_relative = 5e-4);
    assert_relative_eq!(moved.strain[1], 6.313e-3, max_relative = 5e-4);
    let woven = Laminate::of(&[ply(0.010, [4.31e6, 4.31e6, 0.77e6], 0.17, 0.0); 3]);
    assert_relative_eq!(woven.membrane[(0, 0)], 1.3315e5, max_relative = 5e-4);
    assert_relative_eq!(woven.membrane[(0, 1)], 2.2635e4, max_relative = 5e-4);
    assert_relative_eq!(woven.membrane[(2, 2)], 2.310e4, max_relative = 5e-4);
    let moved = woven.under(load, Vector3::zeros()).unwrap();
    assert_relative_eq!(moved.strain[0], 6.419e-3, max_relative = 5e-4);
}

/// A body stack (computed by hand from the thickness equation and the tensile moduli of set B): mat
/// 450 twice, woven 600, mat 450, from the base.
#[test]
fn a_body_stack_by_strip_and_by_laminate_theory() {
    let stack = [(Mat, 0.45, 0.30), (Mat, 0.45, 0.30), (Woven, 0.6, 0.50), (Mat, 0.45, 0.30)];
    let plies: Vec<Ply> =
        stack.iter().map(|(of, weight, share)| laid_ply(*of, *weight, *share, 1.2)).collect();
    let pairs: Vec<(f64, f64)> =
        plies.iter().map(|ply| (ply.thickness_mm, ply.along_mpa)).collect();
    let laid = rows(&pairs);
    let h: f64 = pairs.iter().map(|(t, _)| t).sum();
    assert_relative_eq!(h, 3.8867, max_relative = 1e-4);
    let stiffness: f64 = laid.iter().map(Row::stiffness).sum();
    assert_relative_eq!(stiffness, 31_139.0, max_relative = 1e-4);
    assert_relative_eq!(neutral_axis_mm(&laid), 2.0425, max_relative = 1e-4);
    let bending = bending_stiffness(&laid, 1.0);
    assert_relative_eq!(bending, 33_384.0, max_relative = 1e-4);
    assert_relative_eq!(stiffness / h, 8012.0, max_relative = 1e-4);
    assert_relative_eq!(12.0 * bending / h.powi(3), 6823.0, max_relative = 1e-4);
    // Without contraction across, laminate theory is the strip.
    let flat: Vec<Ply> = plies.iter().map(|ply| Ply { poisson: 0.0, ..*ply }).collect();
    let laminate = Laminate::of(&flat);
    assert_relative_eq!(laminate.membrane[(0, 0)], stiffness, max_relative = 1e-9);
    assert_relative_eq!(laminate.free_bending().unwrap()[(0, 0)], bending, max_relative = 1e-9);
}

/// Mat alone and mat with woven glass of the same thickness: only the stiffness tells them apart.
#[test]
fn woven_glass_gives_another_stiffness_at_the_same_thickness() {
    let mat = laid_ply(Mat, 0.9, 1.0 / 3.5, 1.2);
    let woven = laid_ply(Woven, 0.6, 0.50, 1.2);
    let rest = laid_ply(Mat, 0.9 * (1.0 - woven.thickness_mm / mat.thickness_mm), 1.0 / 3.5, 1.2);
    let (plain, mixed) = (Laminate::of(&[mat]), Laminate::of(&[rest, woven]));
    assert_relative_eq!(plain.thickness_mm, mixed.thickness_mm, max_relative = 1e-9);
    let ratio = mixed.membrane[(0, 0)] / plain.membrane[(0, 0)];
    assert!(ratio > 1.35, "beyond what a match to the parent allows: {ratio}");
}
