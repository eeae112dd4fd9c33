//! How is it said? One record, then its forms: text, JSON, geometry for other software.
//!
//! No figure is worked out here; figures are rounded here and nowhere else.

mod assumed;
pub mod basis;
pub mod build;
mod findings;
pub mod geometry;
pub mod json;
pub mod lines;
pub mod lines_classes;
mod lines_climate;
mod lines_condition;
pub mod lines_cure;
mod lines_drying;
mod lines_grids;
pub mod lines_hours;
mod lines_method;
pub mod lines_opened;
mod lines_safety;
mod lines_session;
mod lines_shop;
pub mod lines_timetable;
pub mod model;
mod record_classes;
mod record_climate;
mod record_condition;
pub mod record_cure;
mod record_drying;
mod record_grids;
mod record_hours;
mod record_match;
mod record_method;
mod record_opened;
mod record_safety;
mod record_shop;
mod record_timetable;
mod record_work;
pub mod text;
mod text_climate;
mod text_condition;
pub mod text_cure;
mod text_drying;
mod text_grids;
mod text_hours;
mod text_marks;
mod text_match;
mod text_method;
mod text_opened;
mod text_safety;
mod text_session;
mod text_shop;
mod text_timetable;
mod text_work;

pub use model::Report;
