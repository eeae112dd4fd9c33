//! Whose climate and room it is: the shop's, its hours where somebody read them, else the survey's own
//! readings.

use std::sync::Arc;

use super::air::Room;
use super::climate::PourTemperatures;
use super::course::{Course, Lags};
use super::timetable::calendar;
use crate::model::climate::ClimateLog;
use crate::model::shop::{Shop, ShopPlace, ShopWorker};
use crate::model::survey::Survey;
use crate::rules::{Book, id};

/// Climate and room of a job.
#[derive(Debug, Clone)]
pub struct Place {
    /// Where the readings come from.
    pub from: String,
    /// Temperatures from the pour to the gel; nothing when nobody gave any.
    pub pour: Option<PourTemperatures>,
    /// The same at the hottest pour, where that is another one.
    pub hot: Option<PourTemperatures>,
    /// Its hours, where they were read.
    pub course: Option<Arc<Course>>,
    /// Temperature after the gel.
    pub night_c: Option<f64>,
    /// Relative humidity.
    pub humidity_percent: Option<f64>,
    /// Where the room is.
    pub place: ShopPlace,
    /// The room; nothing outdoors.
    pub room: Option<Room>,
    /// Volume or air change of the room is assumed.
    pub room_assumed: bool,
    /// Who works.
    pub worker: ShopWorker,
    /// How many lay up together.
    pub people: u32,
}

impl Place {
    /// The same place kept at one temperature, air, panels and resin, day and night.
    #[must_use]
    pub fn warmed(&self, t_c: f64) -> Self {
        let pour = PourTemperatures { air_c: t_c, panel_c: t_c, resin_c: t_c };
        let room = self.room.map(|room| Room { air_c: t_c, ..room });
        let (hot, course) = (None, None);
        Self { pour: Some(pour), hot, course, night_c: Some(t_c), room, ..self.clone() }
    }

    /// Hottest of air, panel and resin at any pour, °C.
    #[must_use]
    pub fn hottest_c(&self) -> Option<f64> {
        let of = |pour: Option<PourTemperatures>| pour.map(|pour| pour.hottest().1);
        of(self.pour).map(|pour_c| of(self.hot).map_or(pour_c, |hot_c| pour_c.max(hot_c)))
    }
}

/// Finds climate and room: the shop's, else the survey's own readings.
#[must_use]
pub fn place(
    book: &Book,
    shop: Option<&(String, Shop)>,
    climate: Option<&(String, ClimateLog)>,
    survey: &Survey,
) -> Place {
    let figure = |rule| book.figure(rule);
    let Some((file, shop)) = shop else {
        let air_c = survey.air_c.map(|air| air.value());
        let panel_c = survey.panel_c.map(|panel| panel.value());
        return Place {
            from: if air_c.is_some() {
                "the survey's own readings, no shop file being named".to_owned()
            } else {
                "nowhere: neither a shop file nor readings in the survey".to_owned()
            },
            pour: air_c.map(|air_c| PourTemperatures {
                air_c,
                panel_c: panel_c.unwrap_or(air_c),
                resin_c: air_c,
            }),
            hot: None,
            course: None,
            night_c: air_c,
            humidity_percent: survey.humidity_percent.map(|damp| damp.value()),
            place: ShopPlace::default(),
            room: Some(Room {
                volume_m3: figure(id::AIR_ROOM),
                air_changes_h: figure(id::AIR_CHANGES),
                mixing_factor: figure(id::AIR_MIXING_STILL),
                air_c: air_c.unwrap_or(20.0),
            }),
            room_assumed: true,
            worker: ShopWorker::Owner,
            people: 1,
        };
    };
    let lags = Lags { quick_h: figure(id::PANEL_QUICK), slow_h: figure(id::PANEL_SLOW) };
    let course = climate.and_then(|(file, log)| {
        let (panel_c, resin_c) = (shop.panel_c.map(|t| t.value()), shop.resin_c.map(|t| t.value()));
        Course::of((file, log), panel_c, resin_c, lags, calendar(Some(shop)).0)
    });
    // Where hours are told, they settle the temperatures; until then the first reading stands.
    let first = course.as_ref().and_then(|course| course.samples.first());
    let air_c = first.map_or(shop.day_c.map_or(f64::NAN, |day| day.value()), |one| one.air_c);
    let outdoors = shop.place == ShopPlace::OutdoorsUnderCover;
    let volume = shop.room_m3.map_or_else(|| figure(id::AIR_ROOM), |room| room.value());
    let driven = shop.fan_m3_h.map(|fan| fan.value());
    let changes = driven.map_or_else(
        || shop.air_changes_per_h.unwrap_or_else(|| figure(id::AIR_CHANGES)),
        |fan| fan / volume,
    );
    let mixing =
        if driven.is_some() { figure(id::AIR_MIXING_DRIVEN) } else { figure(id::AIR_MIXING_STILL) };
    Place {
        from: climate
            .map_or_else(|| file.clone(), |(hours, _)| format!("{hours}, named by {file}")),
        pour: Some(PourTemperatures {
            air_c,
            panel_c: shop.panel_c.map_or(air_c, |panel| panel.value()),
            resin_c: shop.resin_c.map_or(air_c, |resin| resin.value()),
        }),
        hot: None,
        night_c: Some(shop.night_c.map_or(air_c, |night| night.value())),
        humidity_percent: first
            .map(|one| one.humidity_percent)
            .or(shop.humidity_percent.map(|damp| damp.value())),
        course: course.map(Arc::new),
        place: shop.place,
        room: (!outdoors).then_some(Room {
            volume_m3: volume,
            air_changes_h: changes,
            mixing_factor: mixing,
            air_c,
        }),
        room_assumed: !outdoors
            && (shop.room_m3.is_none() || (driven.is_none() && shop.air_changes_per_h.is_none())),
        worker: shop.worker,
        people: shop.people.max(1),
    }
}
