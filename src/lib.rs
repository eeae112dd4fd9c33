//! plymend
pub mod diagnostic;
pub mod model;
pub mod quantity;
pub mod rules;
pub mod source;
pub mod read;
