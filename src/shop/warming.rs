//! What it takes to warm a shop that is too cold to lay resin in: how long before, and what power.
//!
//! Heat through walls and roof is U A ΔT with U between an insulated room and a single skin, A that
//! of a cube of the room's volume: a bound to plan a heater by, not a survey of the building. Heat
//! of the air that comes in is 1.2 kg/m³ x 1.005 kJ/(kg K) x flow x ΔT (textbook). The panel lags.

use super::course::Lags;
use super::course::brought_in::{Span, until};
use super::plan::{AirAnswer, Place};
use crate::rules::{Book, id};

/// Density x specific heat of air, kJ/(m³ K): 1.2 kg/m³ x 1.005 kJ/(kg K) (textbook).
pub const AIR_KJ_M3_K: f64 = 1.2 * 1.005;

/// Warming worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warming {
    /// What air, panel and resin have to come to, °C.
    pub to_c: f64,
    /// The air while it warms, °C: nothing ever gets quite as warm as the air round it.
    pub air_c: f64,
    /// Outdoors, °C.
    pub outdoors_c: f64,
    /// How long before the pour, h: a bare skin, a whole vehicle.
    pub before_h: Span,
    /// Through walls and roof, kW: an insulated room, a single skin. None outdoors.
    pub walls_kw: Option<Span>,
    /// For the air that comes in as the room stands, kW.
    pub air_kw: Option<f64>,
    /// For the fresh air that keeps the room out of the stop, kW.
    pub stop_air_kw: Option<f64>,
    /// For the fresh air of the strictest 8-hour limit, kW.
    pub fresh_air_kw: Option<f64>,
}

/// Warming for a pour. None where nobody gave temperatures, or where it is warm enough.
#[must_use]
pub fn of_place(
    book: &Book,
    place: &Place,
    air: Option<&AirAnswer>,
    outdoors_c: f64,
) -> Option<Warming> {
    let pour = place.pour?;
    let to_c = book.figure(id::LAYUP_COLD_WARN);
    let (_, coldest_c) = pour.coldest();
    if coldest_c.is_nan() || coldest_c >= to_c {
        return None;
    }
    let air_c = to_c + book.figure(id::WARM_OVER);
    let lags = Lags { quick_h: book.figure(id::PANEL_QUICK), slow_h: book.figure(id::PANEL_SLOW) };
    let before_h = until(coldest_c, air_c, to_c, &lags)?;
    let by_k = (air_c - outdoors_c).max(0.0);
    let carried = |flow_m3_h: f64| flow_m3_h / 3600.0 * AIR_KJ_M3_K * by_k;
    let walls = |room: &super::air::Room| {
        let area_m2 = 6.0 * room.volume_m3.powf(2.0 / 3.0);
        [id::WALL_LOSS_LEAST, id::WALL_LOSS_MOST]
            .map(|rule| book.figure(rule) * area_m2 * by_k / 1000.0)
    };
    let shift = crate::shop::limits::Over::EightHours;
    let fresh = air.and_then(|air| {
        let shifts = air.limits.iter().filter(|(limit, ..)| limit.over == shift);
        shifts.map(|(_, flow, _)| *flow).max_by(f64::total_cmp)
    });
    let inside = place.room.as_ref();
    Some(Warming {
        to_c,
        air_c,
        outdoors_c,
        before_h,
        walls_kw: inside.map(walls),
        air_kw: inside.map(|room| carried(room.volume_m3 * room.air_changes_h)),
        stop_air_kw: inside.and(air).and_then(|air| air.stop_air_m3_h).map(carried),
        fresh_air_kw: inside.and(fresh).map(carried),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 27 m3 is a cube of 3 m, 54 m2; 20 °C over 10 °C outdoors.
    #[test]
    fn a_cube_of_three_metres_by_hand() {
        let book = Book::built_in();
        let survey = "(format: 1, air_c: 10, humidity_percent: 60)";
        let (survey, _) = crate::read::ron_file::parse("survey.ron", survey).unwrap();
        let mut place = crate::shop::plan::place(&book, None, None, &survey);
        place.room = place.room.map(|room| crate::shop::air::Room {
            volume_m3: 27.0,
            air_changes_h: 2.0,
            ..room
        });
        let found = of_place(&book, &place, None, 10.0).unwrap();
        let [least, most] = found.walls_kw.unwrap();
        assert!((least - 0.5 * 54.0 * 10.0 / 1000.0).abs() < 1e-12, "{least}");
        assert!((most - 5.0 * 54.0 * 10.0 / 1000.0).abs() < 1e-12, "{most}");
        // 54 m3/h x 1.2 kg/m3 x 1.005 kJ/kgK x 10 K / 3600 s/h = 0.18 kW.
        assert!((found.air_kw.unwrap() - 0.18090).abs() < 1e-5);
        // From 10 to 18 °C in air of 20 °C: ln(10/2) lags.
        assert!((found.before_h[1] - 6.0 * 5.0_f64.ln()).abs() < 1e-12);
        assert_eq!(found.stop_air_kw, None);
        assert_eq!(of_place(&book, &place.warmed(18.0), None, 10.0), None, "warm enough");
    }
}
