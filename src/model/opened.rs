//! Opened-up sizes: what grinding found at the marks of a survey.

use std::fmt::Write as _;

use serde::Deserialize;

use super::given;
use super::mark::{Depth, Evidence, Tried};
use crate::quantity::{Millimetres, SquareMetres};

/// What was found at the marks of one survey after grinding.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OpenedSizes {
    /// Format of the file.
    pub format: u32,
    /// The survey whose marks these are, by its file.
    pub survey: String,
    /// What was found, mark by mark.
    pub found: Vec<FoundMark>,
    /// A note of the user's.
    #[serde(default)]
    pub note: String,
}

/// One mark after grinding.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FoundMark {
    /// The mark, by its number in the survey.
    pub mark: u32,
    /// Its length over the skin.
    #[serde(default, deserialize_with = "given")]
    pub length_mm: Option<Millimetres>,
    /// Its width, for a patch.
    #[serde(default, deserialize_with = "given")]
    pub width_mm: Option<Millimetres>,
    /// Its area, for a patch, in place of length and width; the outline keeps its proportions.
    #[serde(default, deserialize_with = "given")]
    pub area_m2: Option<SquareMetres>,
    /// How far a crack goes beyond its two recorded ends, in place of its length: the end that its
    /// direction or its trace comes from, then the one it leads to.
    #[serde(default, deserialize_with = "given")]
    pub beyond_mm: Option<(Millimetres, Millimetres)>,
    /// Its length on the back.
    #[serde(default, deserialize_with = "given")]
    pub back_length_mm: Option<Millimetres>,
    /// How deep it went; unknown leaves what the survey says.
    #[serde(default)]
    pub depth: Depth,
    /// Whether it is open to the back.
    #[serde(default)]
    pub through: Tried,
    /// Whether the lips move against each other when pressed.
    #[serde(default)]
    pub edges_move: Tried,
    /// What else was seen, besides what the survey says.
    #[serde(default)]
    pub evidence: Vec<Evidence>,
    /// When it was opened, as the user writes it.
    #[serde(default)]
    pub date: String,
    /// Who opened and measured it.
    #[serde(default)]
    pub by: String,
    /// A note of the user's, kept word for word.
    #[serde(default)]
    pub note: String,
}

impl FoundMark {
    /// What was found, by whom and when, in words.
    #[must_use]
    pub fn said(&self) -> String {
        let mut text = format!("opened up by {}, {}", self.by, self.date);
        let mut add = |what: &str, value: Option<String>| {
            if let Some(value) = value {
                let _ = write!(text, ", {what} {value}");
            }
        };
        add("length", self.length_mm.map(|length| length.to_string()));
        add("width", self.width_mm.map(|width| width.to_string()));
        add("area", self.area_m2.map(|area| area.to_string()));
        let beyond = self.beyond_mm.map(|(before, after)| format!("{before} and {after}"));
        add("beyond its ends", beyond);
        add("on the back", self.back_length_mm.map(|length| length.to_string()));
        if !self.note.is_empty() {
            let _ = write!(text, ": {}", self.note);
        }
        text
    }
}
