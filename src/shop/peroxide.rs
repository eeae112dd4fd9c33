//! How warm may peroxide get? Control and emergency temperature from the temperature at which a
//! package decomposes by itself (SADT), °C.

/// Control and emergency temperature of an organic peroxide, °C, from its SADT (common practice:
/// UN transport rule as repeated by producers: 20 and 10 °C below up to 20 °C, 15 and 10 °C below
/// up to 35 °C, 10 and 5 °C below above that).
#[must_use]
pub fn control_and_emergency_c(sadt_c: f64) -> (f64, f64) {
    if sadt_c <= 20.0 {
        (sadt_c - 20.0, sadt_c - 10.0)
    } else if sadt_c <= 35.0 {
        (sadt_c - 15.0, sadt_c - 10.0)
    } else {
        (sadt_c - 10.0, sadt_c - 5.0)
    }
}
