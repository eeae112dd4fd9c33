//! What did the user say, and is it whole?
//!
//! Takes the text of the user's files (RON, lengths in mm, temperatures in degrees C) and gives
//! one [`job::Job`]: survey, body, panels, shop, stock and rule book, every reference followed
//! and every value checked; or every fault with its file, line, column and field. The rooms
//! after this one may rely on what was checked here. Nothing is corrected silently: a value is
//! refused, or taken and named among the assumptions. No file is opened here; the texts come
//! through [`job::Folder`].

pub mod built_in;
pub mod codes;
pub mod drying;
pub mod fingerprint;
pub mod folder;
pub mod job;
pub mod kind;
pub mod literals;
pub mod opened;
pub mod photo_file;
pub mod photos;
pub mod positions;
pub mod ron_file;
pub mod scan_file;
pub mod text;

mod alone;
mod check_body;
mod check_consumables;
mod check_entry;
mod check_grid;
mod check_labour;
mod check_mark;
mod check_opened;
mod check_packs;
mod check_panel;
mod check_prices;
mod check_rules;
mod check_scan;
mod check_shop;
mod check_stock;
mod check_survey;
mod check_trace;
pub mod climate;
mod faults;
mod job_panel;
mod panels;
mod scan;
mod sizing;

pub use job::{Folder, Job, JobPanel, Named};
