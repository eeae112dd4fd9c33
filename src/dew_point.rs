//! When does water condense on the panel? Dew point and humidity at a surface.
//!
//! Takes air temperature (°C) and relative humidity (%), gives dew point (°C), vapour pressure
//! (hPa) or relative humidity (%). The Magnus form over water, valid from -45 to 60 °C.
//! Below 0 °C this is the dew point over water, not the frost point over ice.
//! Source: WMO-No. 8, Guide to Instruments and Methods of Observation, Annex 4.B (published).

use crate::wording::{Fault, above_zero, plain, within};

/// Saturation pressure over water at 0 °C, hPa. WMO-No. 8 Annex 4.B (published).
pub const MAGNUS_PRESSURE_HPA: f64 = 6.112;
/// Magnus slope over water. WMO-No. 8 Annex 4.B (published).
pub const MAGNUS_SLOPE: f64 = 17.62;
/// Magnus offset over water, °C. WMO-No. 8 Annex 4.B (published).
pub const MAGNUS_OFFSET_C: f64 = 243.12;
/// Coldest temperature the form is stated for, °C. WMO-No. 8 Annex 4.B (published).
pub const COLDEST_C: f64 = -45.0;
/// Hottest temperature the form is stated for, °C. WMO-No. 8 Annex 4.B (published).
pub const HOTTEST_C: f64 = 60.0;
/// Standard atmosphere, hPa (published: ISO 2533).
pub const STANDARD_PRESSURE_HPA: f64 = 1013.25;

fn exponent(t_c: f64) -> f64 {
    MAGNUS_SLOPE * t_c / (MAGNUS_OFFSET_C + t_c)
}

fn temperature(what: &'static str, t_c: f64) -> Result<f64, Fault> {
    within(what, t_c, "°C", COLDEST_C, HOTTEST_C)
}

/// Checks a relative humidity: above 0 and at most 100 %.
///
/// # Errors
/// Zero or less has no dew point; above 100 % is a reading fault. Both are refused, as is NaN.
pub fn checked_rh_percent(rh_percent: f64) -> Result<f64, Fault> {
    if rh_percent > 0.0 && rh_percent <= 100.0 {
        Ok(rh_percent)
    } else {
        Err(Fault::new(
            "relative humidity",
            rh_percent,
            "%",
            "above 0 and at most 100 %; read the meter again",
        ))
    }
}

/// Saturation vapour pressure over water, hPa.
///
/// # Errors
/// Temperatures outside -45 to 60 °C.
pub fn saturation_pressure_hpa(t_c: f64) -> Result<f64, Fault> {
    Ok(MAGNUS_PRESSURE_HPA * exponent(temperature("temperature", t_c)?).exp())
}

/// Dew point of air, °C.
///
/// # Errors
/// Humidity of 0 % or less or above 100 %, air outside -45 to 60 °C.
pub fn dew_point_c(air_c: f64, rh_percent: f64) -> Result<f64, Fault> {
    let air_c = temperature("air temperature", air_c)?;
    let gamma = (checked_rh_percent(rh_percent)? / 100.0).ln() + exponent(air_c);
    Ok(MAGNUS_OFFSET_C * gamma / (MAGNUS_SLOPE - gamma))
}

/// Dew point that belongs to a vapour pressure, °C.
///
/// # Errors
/// A vapour pressure that is not above zero.
pub fn dew_point_of_pressure_c(vapour_hpa: f64) -> Result<f64, Fault> {
    let gamma = (above_zero("vapour pressure", vapour_hpa, "hPa")? / MAGNUS_PRESSURE_HPA).ln();
    Ok(MAGNUS_OFFSET_C * gamma / (MAGNUS_SLOPE - gamma))
}

/// Relative humidity of the same air against a surface of another temperature, %.
/// A result above 100 means that water condenses there.
///
/// # Errors
/// As [`dew_point_c`], and a surface outside -45 to 60 °C.
pub fn rh_at_surface_percent(air_c: f64, rh_percent: f64, surface_c: f64) -> Result<f64, Fault> {
    let rh_percent = checked_rh_percent(rh_percent)?;
    let air_hpa = saturation_pressure_hpa(air_c)?;
    Ok(rh_percent * air_hpa / saturation_pressure_hpa(surface_c)?)
}

/// Largest relative humidity of the air that keeps the surface `margin_k` above the dew point,
/// %; never more than 100.
///
/// # Errors
/// Temperatures outside -45 to 60 °C, the surface less the margin included.
pub fn largest_rh_percent(air_c: f64, surface_c: f64, margin_k: f64) -> Result<f64, Fault> {
    let lowest_hpa = saturation_pressure_hpa(surface_c - margin_k)?;
    Ok((100.0 * lowest_hpa / saturation_pressure_hpa(air_c)?).min(100.0))
}

/// Constant of the ventilated psychrometer, 1/K.
/// State meteorological network note on psychrometer reduction (published).
pub const PSYCHROMETER_PER_K: f64 = 0.00066;
/// Wet-bulb correction of [`PSYCHROMETER_PER_K`], 1/°C (published: same).
pub const PSYCHROMETER_WET_PER_C: f64 = 0.00115;

/// Vapour pressure of air from a dry and a wet bulb, hPa.
///
/// Uses the saturation form that belongs to the psychrometer constant (6.108, 17.27, 237.3), not
/// Magnus above (published: state meteorological network note).
///
/// # Errors
/// A wet bulb above the dry bulb, readings outside -45 to 60 °C, or readings so far apart that no
/// vapour would be left.
pub fn vapour_pressure_from_wet_bulb_hpa(
    dry_c: f64,
    wet_c: f64,
    pressure_hpa: f64,
) -> Result<f64, Fault> {
    let dry_c = temperature("dry-bulb temperature", dry_c)?;
    let wet_c = temperature("wet-bulb temperature", wet_c)?;
    let pressure_hpa = above_zero("air pressure", pressure_hpa, "hPa")?;
    if wet_c > dry_c {
        let accepted = format!("at most the dry bulb, {} °C; swap the readings?", plain(dry_c, 1));
        return Err(Fault::new("wet-bulb temperature", wet_c, "°C", accepted));
    }
    let at_wet_hpa = 6.108 * (17.27 * wet_c / (237.3 + wet_c)).exp();
    let drop_hpa = PSYCHROMETER_PER_K
        * (1.0 + PSYCHROMETER_WET_PER_C * wet_c)
        * (dry_c - wet_c)
        * pressure_hpa;
    let vapour_hpa = at_wet_hpa - drop_hpa;
    if vapour_hpa > 0.0 {
        Ok(vapour_hpa)
    } else {
        Err(Fault::new(
            "wet-bulb temperature",
            wet_c,
            "°C",
            "a reading nearer the dry bulb; wet the sleeve and read again",
        ))
    }
}

/// Relative humidity from a dry and a wet bulb, %, at most 100.
///
/// # Errors
/// As [`vapour_pressure_from_wet_bulb_hpa`].
pub fn rh_from_wet_bulb_percent(dry_c: f64, wet_c: f64, pressure_hpa: f64) -> Result<f64, Fault> {
    let vapour_hpa = vapour_pressure_from_wet_bulb_hpa(dry_c, wet_c, pressure_hpa)?;
    Ok((100.0 * vapour_hpa / saturation_pressure_hpa(dry_c)?).min(100.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn saturated_air_is_at_its_dew_point() {
        for t_c in [-10.0, 0.0, 12.5, 35.0] {
            assert_abs_diff_eq!(dew_point_c(t_c, 100.0).unwrap(), t_c, epsilon = 1e-10);
        }
    }

    #[test]
    fn impossible_humidity_is_refused_in_words() {
        for rh in [0.0, -1.0, 100.01, f64::NAN] {
            let text = dew_point_c(20.0, rh).unwrap_err().to_string();
            assert!(text.contains("relative humidity") && text.contains("at most 100 %"), "{text}");
        }
        assert!(dew_point_c(20.0, 0.01).is_ok());
    }

    #[test]
    fn surface_humidity_and_largest_humidity_undo_each_other() {
        let rh = largest_rh_percent(20.0, 15.0, 3.0).unwrap();
        assert_abs_diff_eq!(dew_point_c(20.0, rh).unwrap(), 12.0, epsilon = 1e-9);
        let at_surface = rh_at_surface_percent(20.0, rh, 12.0).unwrap();
        assert_abs_diff_eq!(at_surface, 100.0, epsilon = 1e-9);
    }

    #[test]
    fn a_warm_surface_does_not_ask_for_more_than_full_humidity() {
        assert_abs_diff_eq!(largest_rh_percent(15.0, 30.0, 3.0).unwrap(), 100.0);
    }

    #[test]
    fn swapped_bulbs_are_refused() {
        assert!(rh_from_wet_bulb_percent(17.0, 21.0, STANDARD_PRESSURE_HPA).is_err());
        assert!(rh_from_wet_bulb_percent(40.0, 5.0, STANDARD_PRESSURE_HPA).is_err());
    }
}
