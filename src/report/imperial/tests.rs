use proptest::prelude::*;

use super::units::*;
use super::*;

fn plain(words: &str) -> String {
    imperial(words, &Verbatim::default())
}

/// Each factor of SP 811 against what the units are by definition: the inch 25.4 mm and the pound
/// 0.453 592 37 kg exactly (international yard and pound, 1959), the foot 12 inches, the ounce 1/16
/// pound, the US gallon 231 cubic inches and its fluid ounce 1/128 of it.
#[test]
fn factors_are_those_that_the_definitions_give() {
    let foot_m = 12.0 * 0.0254_f64;
    let pound_kg = 0.453_592_37;
    let gallon_l = 231.0 * 0.254_f64.powi(3);
    let by_definition = [
        (INCH_MM, 25.4),
        (FOOT_M, foot_m),
        (SQUARE_FOOT_M2, foot_m.powi(2)),
        (CUBIC_FOOT_M3, foot_m.powi(3)),
        (CUBIC_FOOT_A_MINUTE_M3_H, foot_m.powi(3) * 60.0),
        (OUNCE_G, pound_kg / 16.0 * 1000.0),
        (POUND_KG, pound_kg),
        (OUNCE_A_SQUARE_FOOT_G_M2, pound_kg / 16.0 * 1000.0 / foot_m.powi(2)),
        (POUND_A_SQUARE_FOOT_KG_M2, pound_kg / foot_m.powi(2)),
        (FLUID_OUNCE_ML, gallon_l / 128.0 * 1000.0),
        (GALLON_L, gallon_l),
    ];
    for (printed, exact) in by_definition {
        // Seven digits are printed.
        assert!((printed / exact - 1.0).abs() < 5e-7, "{printed} {exact}");
    }
}

/// Fixed points of the two scales of temperature: water freezes at 0 C = 32 F and boils at 100 C =
/// 212 F, and they meet at -40.
#[test]
fn temperatures_meet_the_fixed_points() {
    assert_eq!(plain("0 °C, 100 °C, -40 °C"), "32 °F (0 °C), 212 °F (100 °C), -40 °F (-40 °C)");
    assert_eq!(plain("18 to 25 C"), "64 to 77 °F (18 to 25 C)");
    assert_eq!(plain("air 11.5 °C"), "air 52.7 °F (11.5 °C)");
}

#[test]
fn figures_and_rows_share_their_unit() {
    let told = [
        ("150 mm", "5.9 in (150 mm)"),
        ("2 mm", "0.079 in (2 mm)"),
        ("12.5 mm beyond", "0.49 in (12.5 mm) beyond"),
        ("210 x 160 mm", "8.3 x 6.3 in (210 x 160 mm)"),
        ("255 to 460 mm", "10.0 to 18.1 in (255 to 460 mm)"),
        ("0.17 / 0.19 / 0.21 m;", "0.56 / 0.62 / 0.69 ft (0.17 / 0.19 / 0.21 m);"),
        (
            "0.25 / 0.26 / at least 0.31 l",
            "8.5 / 8.8 / at least 10 US fl oz (0.25 / 0.26 / at least 0.31 l)",
        ),
        (
            "3.3 / 3.3 / at least 5.0 l",
            "0.87 / 0.87 / at least 1.3 US gal (3.3 / 3.3 / at least 5.0 l)",
        ),
        (
            "219 g with 4.4 g = 3.8 ml",
            "7.7 oz (219 g) with 0.16 oz (4.4 g) = 0.13 US fl oz (3.8 ml)",
        ),
        ("10.06 m², all", "108 ft² (10.06 m²), all"),
        ("10 m²", "110 ft² (10 m²)"),
        ("150 kg", "330 lb (150 kg)"),
        ("(12.25 m³)", "(433 ft³ (12.25 m³))"),
        ("54 m³/h of air", "32 ft³/min (54 m³/h) of air"),
        ("1.85 kg.", "4.1 lb (1.85 kg)."),
        ("0.625 kg/m2", "0.128 lb/ft² (0.625 kg/m2)"),
        ("± 8 mm", "± 0.31 in (8 mm)"),
        ("+0.5 / -0.25 kg", "+1.1 / -0.55 lb (+0.5 / -0.25 kg)"),
        ("buy 2 x 5 kg, leaves 1 kg", "buy 2 x 11 lb (5 kg), leaves 2.2 lb (1 kg)"),
        ("0 mm", "0 in (0 mm)"),
        ("0.11 m² wet, 34 blisters per dm²", "1.2 ft² (0.11 m²) wet, 34 blisters per dm²"),
    ];
    for (metric, wanted) in told {
        assert_eq!(plain(metric), wanted);
    }
}

/// Trade names of mats, common practice: by the factor 305.1517 g/m2 the ounce a square foot they
/// are 0.98, 1.47 and 1.97.
#[test]
fn mats_go_by_their_trade_names() {
    assert_eq!(
        plain("chopped strand mat 450, powder"),
        "chopped strand mat 1.5 oz/ft² (450 g/m²), powder"
    );
    assert_eq!(plain("a 300 g/m² mat"), "a 1 oz/ft² (300 g/m²) mat");
    assert_eq!(plain("mat 600 g/m2"), "mat 2 oz/ft² (600 g/m2)");
    assert_eq!(plain("225 g/m²"), "0.74 oz/ft² (225 g/m²)");
    assert_eq!(plain("mat 451, format 300"), "mat 451, format 300");
}

#[test]
fn what_is_no_quantity_stays() {
    for words in [
        "mixed at 100:2 by mass, 2 % of it, 1:50",
        "resin 2.5 : 1 and 42 % styrene",
        "350 ppm, 0.3 per hour, 1.2 kW, 50 kJ/mol, 0.10 kg/min, 1150 kg/m³, 85 mg/m³",
        "12 h to 3 days, 25 minutes",
        "u 250 v 430, mark 5, R2 stage 1, 80 grit, 29 CFR 1910.106",
        "4.50 pounds each, 12 pieces, 20 x 30 pieces",
        "AIR-BLOCK-2 mm-paper, x5 mm",
        "15 K above its Tg",
        "surface at least 3 C above the dew point, within 3 °C of it, ± 2 °C, +5 °C",
        "2.4 m of crack per m²",
    ] {
        assert_eq!(plain(words), words);
    }
}

/// What may belong together or not is not torn apart: a bare figure beside a told one would be read
/// in the wrong unit.
#[test]
fn where_it_is_not_certain_all_stays_metric() {
    for words in
        ["between 15 and 30 °C", "5 or 10 mm", "5, 10 mm", "1 200 mm", "1,200 kg", "1.3 x 2 m"]
    {
        assert_eq!(plain(words), words);
    }
}

#[test]
fn words_of_the_user_stay() {
    let verbatim = Verbatim::from(vec![
        "drops 6 mm when opened".to_owned(),
        "5 mm".to_owned(),
        "a kerb".to_owned(),
        "  at 20 °C  ".to_owned(),
    ]);
    // Only what would be changed has to be looked for.
    assert_eq!(verbatim.0.len(), 3);
    let told = imperial("gate drops 6 mm when opened, 6 mm off; 5 mm, 15 mm; at 20 °C", &verbatim);
    assert_eq!(
        told,
        "gate drops 6 mm when opened, 0.24 in (6 mm) off; 5 mm, 0.59 in (15 mm); at 20 °C"
    );
    let quoted = "was \"140 mm\", now \"a 6 kg lid\": 5 kg; open \" 7 mm";
    assert_eq!(
        plain(quoted),
        "was \"140 mm\", now \"a 6 kg lid\": 11 lb (5 kg); open \" 0.28 in (7 mm)"
    );
}

/// A figure of a row as text, its value, and half a step of its last place.
fn read_back(text: &str) -> (f64, f64) {
    let decimals = text.split_once('.').map_or(0, |(_, behind)| behind.len());
    (text.parse().unwrap(), 0.5 * 0.1_f64.powi(i32::try_from(decimals).unwrap()))
}

proptest! {
    /// Every customary figure gives back the metric one beside it within the rounding of the two, and
    /// is no finer than it beyond two digits.
    #[test]
    fn figures_convert_back(
        values in proptest::collection::vec(0_u32..200_000, 1..4),
        decimals in 0_usize..4,
        join in prop::sample::select(vec![" / ", " to ", " / at least "]),
        unit in prop::sample::select(vec!["mm", "m", "m²", "m³", "m³/h", "g", "kg", "kg/m²", "ml", "l", "°C", "C"]),
    ) {
        let figures: Vec<String> = values
            .iter()
            .map(|value| format!("{:.decimals$}", f64::from(*value) * 0.1_f64.powi(i32::try_from(decimals).unwrap())))
            .collect();
        let metric = format!("{} {unit}", figures.join(join));
        let whole = plain(&format!("about {metric}, so"));
        let told = whole.strip_prefix("about ").unwrap().strip_suffix(&format!(" ({metric}), so")).unwrap();
        let largest = figures.iter().map(|one| read_back(one).0).fold(0.0, f64::max);
        let of = units::of(unit, largest).unwrap();
        let told: Vec<&str> = told.strip_suffix(of.unit).unwrap().trim_end().split(join).collect();
        prop_assert_eq!(told.len(), figures.len());
        for (told, metric) in told.iter().zip(&figures) {
            let ((told_value, half_step), (value, metric_half)) = (read_back(told), read_back(metric));
            let exact = value / of.metric_per_unit + of.offset;
            let metric_step = 2.0 * metric_half / of.metric_per_unit;
            // Whole figures may be rounded to tens: no coarser than ten metric steps or two digits.
            let rounded = if told.contains('.') { 0.0 } else { (5.0 * metric_step).min(0.05 * exact.abs()) };
            let allowed = half_step.max(rounded) * (1.0 + 1e-9) + 1e-12;
            prop_assert!((told_value - exact).abs() <= allowed, "{told} {metric}");
            let zeros = if told.contains('.') { 0 } else { told.len() - told.trim_end_matches('0').len() };
            let half_step = half_step * 10_f64.powi(i32::try_from(zeros).unwrap());
            let digits = told.chars().filter(char::is_ascii_digit).collect::<String>();
            let digits = digits.trim_start_matches('0').trim_end_matches('0').len();
            let no_finer = half_step * of.metric_per_unit >= metric_half * (1.0 - 1e-9);
            let temperature = of.offset > 0.0 && half_step >= metric_half;
            prop_assert!(no_finer || digits <= 2 || temperature, "{told} {metric}");
        }
    }

    /// Nothing but figures is ever added or lost, and no text stops it.
    #[test]
    fn any_text_is_told(words in "[0-9 .,:/x+\"a-z°Cmkgl²-]{0,60}", own in "[0-9 mkg]{0,8}") {
        let verbatim = Verbatim::from(vec![own]);
        let told = imperial(&words, &verbatim);
        prop_assert!(told.len() >= words.len());
        prop_assert!(told == words || told.contains(" ("));
    }
}
