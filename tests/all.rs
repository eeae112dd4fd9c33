//! Every test that looks at the product from outside, as one program: it is built and linked once.
#![allow(
    clippy::duplicate_mod,
    reason = "what several tests share is a file that each of them names"
)]

mod architecture;
mod bad_input;
mod buying;
mod cautions;
mod command_line;
mod cure_command;
mod cutting;
mod decisions;
mod field_reference;
mod flattening;
mod methods;
mod nest;
mod opened_up;
mod outside;
mod panel_files;
mod patterns;
mod random_surveys;
mod readme;
#[path = "rooms/main.rs"]
mod rooms;
mod scans;
mod schema;
mod skin_pictures;
mod surveys;
mod traps;
