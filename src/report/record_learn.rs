//! The record of what opened-up jobs teach about growth.

use serde::Serialize;

use crate::quantity::Cases;

/// Name of the record.
pub const LEARN_SCHEMA: &str = "plymend.learn";
/// Its version.
pub const LEARN_VERSION: u32 = 1;

/// What opened-up jobs teach.
#[derive(Debug, Clone, Serialize)]
pub struct LearntTable {
    /// [`LEARN_SCHEMA`].
    pub schema: &'static str,
    /// [`LEARN_VERSION`].
    pub schema_version: u32,
    /// Surveys that were read.
    pub surveys: usize,
    /// Of those with opened-up sizes.
    pub jobs: usize,
    /// Marks opened.
    pub marks: usize,
    /// How the factors are estimated.
    pub estimator: String,
    /// How many marks the book counts as.
    pub book_worth: f64,
    /// Rules of growth.
    pub rules: Vec<LearntRule>,
    /// Files that could not be used.
    pub bad_files: Vec<String>,
}

/// A rule of growth with what was learnt.
#[derive(Debug, Clone, Serialize)]
pub struct LearntRule {
    /// The rule.
    pub rule: String,
    /// What it settles.
    pub title: String,
    /// Marks opened.
    pub marks: usize,
    /// Jobs they are from.
    pub jobs: usize,
    /// The book's factors.
    pub before: Cases<f64>,
    /// Factors for one more mark.
    pub after: Cases<f64>,
    /// Lower end of where the likely factor lies.
    pub likely_low: f64,
    /// Upper end of where the likely factor lies.
    pub likely_high: f64,
    /// Geometric mean of the marks alone.
    pub alone: f64,
    /// Lower end of its interval at 95 %; nothing from one mark.
    pub alone_low: Option<f64>,
    /// Upper end of its interval at 95 %; nothing from one mark.
    pub alone_high: Option<f64>,
    /// Why it is not among the changes; empty where it is.
    pub left_out: String,
}
