//! Metric units and what they are told in, with the factor of each.
//!
//! Factors: NIST Special Publication 811 (2008), appendix B.8, which gives the metric value of one
//! customary unit; those in bold there are exact and marked so here.

/// How a metric unit is told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Told {
    /// The customary unit.
    pub(super) unit: &'static str,
    /// Metric units that one customary unit is.
    pub(super) metric_per_unit: f64,
    /// The customary figure at 0 of the metric scale.
    pub(super) offset: f64,
}

const fn told(unit: &'static str, metric_per_unit: f64) -> Told {
    Told { unit, metric_per_unit, offset: 0.0 }
}

/// inch (in) = 2.54 E-02 m, exact.
pub(super) const INCH_MM: f64 = 25.4;
/// foot (ft) = 3.048 E-01 m, exact.
pub(super) const FOOT_M: f64 = 0.3048;
/// square foot (ft2) = 9.290 304 E-02 m2, exact.
pub(super) const SQUARE_FOOT_M2: f64 = 0.092_903_04;
/// cubic foot (ft3) = 2.831 685 E-02 m3.
pub(super) const CUBIC_FOOT_M3: f64 = 0.028_316_85;
/// cubic foot per minute (ft3/min) = 4.719 474 E-04 m3/s.
pub(super) const CUBIC_FOOT_A_MINUTE_M3_H: f64 = 4.719_474e-4 * 3600.0;
/// ounce, avoirdupois (oz) = 2.834 952 E+01 g.
pub(super) const OUNCE_G: f64 = 28.349_52;
/// pound, avoirdupois (lb) = 4.535 924 E-01 kg.
pub(super) const POUND_KG: f64 = 0.453_592_4;
/// ounce (avoirdupois) per square foot (oz/ft2) = 3.051 517 E-01 kg/m2.
pub(super) const OUNCE_A_SQUARE_FOOT_G_M2: f64 = 305.151_7;
/// pound per square foot (lb/ft2) = 4.882 428 E+00 kg/m2.
pub(super) const POUND_A_SQUARE_FOOT_KG_M2: f64 = 4.882_428;
/// fluid ounce, US (fl oz) = 2.957 353 E+01 mL.
pub(super) const FLUID_OUNCE_ML: f64 = 29.573_53;
/// gallon, US (gal) = 3.785 412 E+00 L.
pub(super) const GALLON_L: f64 = 3.785_412;
/// degree Fahrenheit: t/C = (t/F - 32)/1.8, exact; so one is 1/1.8 of a degree Celsius.
pub(super) const FAHRENHEIT_C: f64 = 1.0 / 1.8;
/// The same formula: 0 C is 32 F.
pub(super) const FREEZING_F: f64 = 32.0;

/// Mats by weight and what they are called by the ounce a square foot (common practice of the
/// trade; by the factor above they are 0.98, 1.47 and 1.97).
const MATS: [(f64, f64); 3] = [(300.0, 1.0), (450.0, 1.5), (600.0, 2.0)];

/// The name of a mat by the ounce a square foot.
pub(super) fn mat_ounces(weight_g_m2: f64) -> Option<f64> {
    MATS.iter().find(|(known, _)| (known - weight_g_m2).abs() < 1e-9).map(|(_, ounces)| *ounces)
}

/// What a metric unit is told in; the largest figure of a row decides between small and large
/// ones. None where it stays as it is.
pub(super) fn of(unit: &str, largest: f64) -> Option<Told> {
    Some(match unit {
        "mm" => told("in", INCH_MM),
        "m" => told("ft", FOOT_M),
        "m²" | "m2" => told("ft²", SQUARE_FOOT_M2),
        "m³" | "m3" => told("ft³", CUBIC_FOOT_M3),
        "m³/h" | "m3/h" => told("ft³/min", CUBIC_FOOT_A_MINUTE_M3_H),
        "g" => told("oz", OUNCE_G),
        "kg" => told("lb", POUND_KG),
        "g/m²" | "g/m2" => told("oz/ft²", OUNCE_A_SQUARE_FOOT_G_M2),
        "kg/m²" | "kg/m2" => told("lb/ft²", POUND_A_SQUARE_FOOT_KG_M2),
        "ml" => told("US fl oz", FLUID_OUNCE_ML),
        "l" | "litre" | "litres" if largest < GALLON_L => told("US fl oz", FLUID_OUNCE_ML / 1000.0),
        "l" | "litre" | "litres" => told("US gal", GALLON_L),
        "C" | "°C" => Told { unit: "°F", metric_per_unit: FAHRENHEIT_C, offset: FREEZING_F },
        _ => return None,
    })
}

/// A metric figure with this many decimals in a customary unit, never finer than the metric one
/// except to two significant digits. A temperature is as fine as it was read.
pub(super) fn converted(figure: f64, decimals: usize, told: &Told) -> String {
    if figure.abs() <= 0.0 && told.offset <= 0.0 {
        return "0".to_owned();
    }
    let value = figure / told.metric_per_unit + told.offset;
    let places = places(value, decimals, told);
    let shown = usize::try_from(places).unwrap_or_default();
    // Fewer places than none round to tens and hundreds.
    let coarse = 10_f64.powi((-places).max(0));
    let text = format!("{:.shown$}", (value / coarse).round_ties_even() * coarse);
    let text = if places > 0 { format!("{value:.shown$}") } else { text };
    // No minus zero.
    match text.strip_prefix('-') {
        Some(bare) if bare.chars().all(|sign| sign == '0' || sign == '.') => bare.to_owned(),
        _ => text,
    }
}

/// Decimals that a converted figure is told with; below 0 tens are.
fn places(value: f64, decimals: usize, told: &Told) -> i32 {
    let last_place = i32::try_from(decimals).unwrap_or(i32::MAX);
    if told.offset > 0.0 {
        return last_place;
    }
    // The customary step is the smallest power of ten that is not finer than the metric step.
    let no_finer = (f64::from(last_place) + told.metric_per_unit.log10()).floor();
    let two_digits = if value.abs() > 0.0 { 1.0 - value.abs().log10().floor() } else { no_finer };
    #[allow(clippy::cast_possible_truncation, reason = "a handful of digits")]
    let places = no_finer.max(two_digits).clamp(-9.0, 9.0) as i32;
    places
}
