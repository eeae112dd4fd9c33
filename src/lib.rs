//! plymend
pub mod diagnostic;
pub mod model;
pub mod quantity;
pub mod read;
pub mod report;
pub mod rules;
pub mod source;
pub use report::estimate;
