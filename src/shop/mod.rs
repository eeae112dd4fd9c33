//! The shop: can the work be done here, when, in what pots and sittings?
//!
//! Pure arithmetic on plain numbers and small records; nothing here reads a file. Thresholds
//! come in as records filled by the caller from the rule book; physical constants and published
//! factors are named constants with their source. Temperatures are degrees Celsius, times
//! minutes after the pour unless a name says otherwise.

pub mod air;
pub mod catalyst;
pub mod climate;
pub mod conflicts;
pub mod course;
pub mod cure;
pub mod drying;
pub mod emission;
pub mod families;
pub mod forecast;
pub mod gate;
pub mod gel_time;
pub mod heat;
pub mod integrate;
pub mod labour;
pub mod laid_on;
pub mod limits;
pub mod mixing;
pub mod night;
pub mod paint_solvent;
pub mod peroxide;
pub mod place;
pub mod plan;
pub mod post_cure;
pub mod pot;
pub mod session;
pub(crate) mod sittings;
pub mod slab;
pub mod stages;
pub mod staging;
pub mod steps;
pub mod timetable;
pub mod warming;
pub mod what_if;
