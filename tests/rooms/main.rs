//! What each room answers, and the whole house on small jobs: one program, so that it is built once.

mod amendments;
#[path = "../outside/surface.rs"]
mod build;
mod causes;
mod changes;
mod condition;
mod demo;
#[path = "../together/photos.rs"]
mod demo_photos;
mod draws;
mod drying;
mod full_size;
mod inputs;
mod laminate_theory;
#[expect(dead_code, reason = "only the table of checks reads them")]
#[path = "../outside/table.rs"]
mod table;

mod loft;
mod maps;
mod money;
mod must_say;
mod order;
mod pages;
mod parent_match;
mod photos;
mod practice;
mod properties;
mod rates;
mod reading_grids;
mod seams;
mod shop_hours;
mod stages;
mod surface;
mod surface_laws;
mod ten_lines;
mod timetable;
mod units;
