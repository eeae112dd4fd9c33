//! Masses and shares behind the cautions, by hand; and the limits of documents: rows A26, A34.

use super::table::Check;
use plymend::read::job::{Named, TextFolder, job};
use plymend::safety::fact::Fact;
use plymend::safety::{Scene, facts};
use plymend::shop::air::{
    ACETONE_FLAMMABLE_PERCENT, STYRENE_FLAMMABLE_PERCENT, percent_of_flammable_limit,
};
use plymend::shop::paint_solvent::RefinishProduct;
use plymend::shop::peroxide::control_and_emergency_c;

const POCKET_GUIDE: &str = "NIOSH Pocket Guide, 10 % of the lower flammable limit (published)";
const DIRECTIVE: &str = "Directive 2004/42/EC Annex II B (published)";
const UN: &str = "UN transport rule as repeated by a producer (common practice)";
const BY_HAND: &str = "by hand: area x depth x density";

fn row(
    (id, class, source): (&'static str, &'static str, &'static str),
    input: &str,
    (expected, tolerance): (f64, f64),
    got: f64,
) -> Check {
    Check { id, class, source, input: input.to_owned(), expected, tolerance, got }
}

/// All rows of this file.
pub(crate) fn rows() -> Vec<Check> {
    let mut rows = documents();
    rows.extend(masses());
    rows
}

fn documents() -> Vec<Check> {
    let share = percent_of_flammable_limit;
    let mut rows = vec![
        row(
            ("LEL-styrene", "outside", POCKET_GUIDE),
            "styrene 900 ppm, % of the lower limit",
            (10.0, 1e-9),
            share(900.0, STYRENE_FLAMMABLE_PERCENT),
        ),
        row(
            ("LEL-acetone", "outside", POCKET_GUIDE),
            "acetone 2500 ppm, % of the lower limit",
            (10.0, 1e-9),
            share(2500.0, ACETONE_FLAMMABLE_PERCENT),
        ),
    ];
    for (sadt_c, control_c, emergency_c) in
        [(60.0, 50.0, 55.0), (30.0, 15.0, 20.0), (15.0, -5.0, 5.0)]
    {
        let (control, emergency) = control_and_emergency_c(sadt_c);
        let input = |what: &str| format!("SADT {sadt_c} C, {what} temperature, C");
        rows.push(row(("A26", "outside", UN), &input("control"), (control_c, 1e-9), control));
        rows.push(row(("A26", "outside", UN), &input("emergency"), (emergency_c, 1e-9), emergency));
    }
    for (product, g_l) in [
        (RefinishProduct::Topcoat, 420.0),
        (RefinishProduct::Primer, 540.0),
        (RefinishProduct::WashPrimer, 780.0),
        (RefinishProduct::Filler, 250.0),
        (RefinishProduct::PreCleaner, 200.0),
        (RefinishProduct::Preparatory, 850.0),
        (RefinishProduct::SpecialFinish, 840.0),
    ] {
        let input = format!("{product:?}, g/l ready to use");
        rows.push(row(
            ("A34", "outside", DIRECTIVE),
            &input,
            (g_l, 1e-9),
            product.most_solvent_g_l(),
        ));
    }
    rows
}

/// A flat sheet of 1000 x 500 x 3 mm with one gel crack of 100 mm.
fn masses() -> Vec<Check> {
    let survey = "(format: 1, topcoat: gel_finish, shop: \"shop.ron\",
        panels: [(name: \"sheet\", file: \"sheet.ron\")],
        marks: [(id: 1, panel: \"sheet\", kind: gel_crack, depth: gel, edges_move: no,
                 place: On(500, 250), shape: Line(length_mm: 100, direction: Angle(0)))])";
    let sheet = "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1000, width_mm: 500),
        material: hand_laid_polyester, roles: [skin], fixings: none_seen, back: reached,
        laminate: (thickness_mm: 3.0))";
    let shop = "(format: 1, day_c: 20, night_c: 20, place: own_building, room_m3: 30)";
    let folder =
        TextFolder::from([("survey.ron", survey), ("sheet.ron", sheet), ("shop.ron", shop)]);
    let job = job(&folder, "survey.ron", &Named::default()).expect("whole");
    let panels = plymend::skins(&job).expect("skins");
    let answer = plymend::work(&job, &panels).expect("worked out");
    let facts = facts::of(&Scene {
        job: &job,
        panels: &panels,
        findings: &answer.findings,
        plan: &answer.plan,
        materials: &answer.materials,
        shop: &answer.shop,
        energy: plymend::energy(&job),
    });
    let got = |fact: Fact| facts.figure(fact).expect("a figure");
    // 1 part glass of 2.56 to 2.5 parts resin of 1.20 g/cm3.
    let density = 3500.0 / (1.0 / 2.56 + 2.5 / 1.20);
    // The crack grows to 1.8 x 100 mm; groove 1.5 mm and gel coat 12 mm on each side of it.
    let ground_mm2 = 180.0 * 27.0 + std::f64::consts::PI * 13.5 * 13.5;
    let prepared_mm2 = 180.0 * 177.0 + std::f64::consts::PI * 88.5 * 88.5;
    let coat_kg = ground_mm2 * 1e-6 * 0.625;
    // 0.445 x 35^1.675 g/kg of gel coat; 24.055 l/mol at 20 C; 104.15 g/mol; no air lost in so
    // short a pour but (1 - e^-x)/x with x = 0.1 an hour x the pour.
    let styrene_g = coat_kg * 0.445 * 35.0_f64.powf(1.675);
    let gone = 0.1 * coat_kg / 0.10 / 60.0;
    let ppm = styrene_g * 1000.0 / 30.0 * 24.055 / 104.15 * (1.0 - gone / 2.0);
    let near = |value: f64, percent: f64| (value, value * percent / 100.0);
    vec![
        row(
            ("dust", "outside", BY_HAND),
            "gel crack 100 mm, high case, laminate, kg",
            near(ground_mm2 * 1e-6 * 0.5e-3 * density, 0.05),
            got(Fact::DustLaminateKg),
        ),
        row(
            ("dust", "outside", BY_HAND),
            "the same, old paint 0.3 mm, kg",
            near(prepared_mm2 * 1e-6 * 0.3e-3 * 1500.0, 0.05),
            got(Fact::DustPaintKg),
        ),
        row(
            ("lift", "outside", BY_HAND),
            "sheet 1000 x 500 x 3 mm and 0.5 mm of gel, kg",
            near(0.5 * 3.5e-3 * density, 0.01),
            got(Fact::BodyKg),
        ),
        row(
            ("peak", "outside", "40 CFR 63 Subpart VVVV Table 3 and ideal gas, by hand"),
            "its gel coat in a closed room of 30 m3 at 20 C, ppm",
            near(ppm, 0.05),
            got(Fact::StyrenePeakPpm),
        ),
        row(
            ("peak", "outside", POCKET_GUIDE),
            "the same, % of the lower flammable limit",
            near(ppm / 9000.0 * 100.0, 0.05),
            got(Fact::StyreneFlammablePercent),
        ),
        row(
            ("purge", "outside", "dilution equation t = V/Q' ln(C1/C2) (published)"),
            "a room of 30 m3, 0.3 changes, K 3, from 720 to 10 ppm, h",
            near((720.0_f64 / 10.0).ln() / 0.1, 1e-6),
            plymend::shop::air::Room {
                volume_m3: 30.0,
                air_changes_h: 0.3,
                mixing_factor: 3.0,
                air_c: 20.0,
            }
            .purge_min(720.0, 10.0)
            .expect("it clears")
                / 60.0,
        ),
    ]
}
