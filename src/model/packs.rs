//! What is bought, in which packs it is sold, and how long an opened pack keeps.

use serde::Deserialize;

use super::{given, words};
use crate::quantity::{Kilograms, Millimetres};
use crate::source::Evidence;

/// Pack sizes of everything that is bought.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackTable {
    /// Format of the file.
    pub format: u32,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// One entry a ware, or a ware and its grade.
    pub items: Vec<PackItem>,
}

/// The packs of one ware.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackItem {
    /// The ware.
    pub ware: Ware,
    /// Weight of a mat or cloth in g/m2, grit of an abrasive; left out, all that are not listed.
    #[serde(default, deserialize_with = "given")]
    pub grade: Option<u32>,
    /// Amounts a pack holds, in the unit of the ware.
    pub sizes: Vec<f64>,
    /// Width of what comes off a roll.
    #[serde(default, deserialize_with = "given")]
    pub width_mm: Option<Millimetres>,
    /// Weight of a full roll of glass, where it is sold by the roll too.
    #[serde(default, deserialize_with = "given")]
    pub roll_kg: Option<Kilograms>,
    /// How long it keeps closed, days; left out where it does not age.
    #[serde(default, deserialize_with = "given")]
    pub closed_days: Option<f64>,
    /// How long it keeps opened, days; left out where it does not age.
    #[serde(default, deserialize_with = "given")]
    pub opened_days: Option<f64>,
    /// How the figures are known.
    pub evidence: Evidence,
    /// Where they come from.
    pub source: String,
}

/// Something that is there already and need not be bought.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OnShelf {
    /// The ware.
    pub ware: Ware,
    /// Its grade, as in the packs.
    #[serde(default, deserialize_with = "given")]
    pub grade: Option<u32>,
    /// How much of it, in the unit of the ware.
    pub amount: f64,
    /// Days since it was opened; left out, closed or nobody knows.
    #[serde(default, deserialize_with = "given")]
    pub opened_days: Option<f64>,
    /// Days until the date on the pack; less than nothing when it is past.
    #[serde(default, deserialize_with = "given")]
    pub expires_in_days: Option<f64>,
}

words! {
/// What is bought.
Ware {
    /// Polyester laminating resin.
    PolyesterResin => "polyester laminating resin",
    /// Epoxy laminating resin.
    EpoxyResin => "epoxy laminating resin",
    /// Its hardener.
    EpoxyHardener => "hardener for epoxy",
    /// Gel or flow coat.
    GelCoat => "gel or flow coat",
    /// Catalyst for polyester.
    Catalyst => "MEKP catalyst",
    /// Chopped strand mat.
    Mat => "chopped strand mat",
    /// Chopped strand mat that goes with epoxy.
    EpoxyMat => "chopped strand mat bound for epoxy",
    /// Woven roving or cloth.
    Woven => "woven roving or cloth",
    /// Surface tissue.
    Tissue => "surface tissue",
    /// Polyester filler, its hardener in the pack.
    Filler => "polyester filler with its hardener",
    /// Acetone for tools.
    Acetone => "acetone",
    /// Degreaser for panels.
    Degreaser => "panel degreaser",
    /// Primer, as the stock has it.
    Primer => "primer",
    /// One-pack finish.
    BrushFinish => "one-pack finish",
    /// Two-pack finish, hardener apart.
    SprayFinish => "two-pack finish",
    /// Gloves.
    Gloves => "nitrile gloves",
    /// Brushes.
    Brush => "laminating brush",
    /// Roller sleeves.
    RollerSleeve => "roller sleeve for resin",
    /// Rollers that press air out.
    AirRoller => "ribbed roller for air",
    /// Mixing cups.
    Cup => "mixing cup",
    /// Stirring sticks.
    Stirrer => "stirring stick",
    /// Masking tape.
    MaskingTape => "masking tape",
    /// Masking film.
    MaskingFilm => "masking film",
    /// Abrasive discs.
    AbrasiveDisc => "abrasive disc, 150 mm",
    /// Abrasive sheets for the block.
    AbrasiveSheet => "abrasive sheet",
    /// Filters for vapour and dust.
    CombinedFilter => "filters A2P3",
    /// Half masks.
    HalfMask => "half mask for filters",
    /// Goggles.
    Goggles => "goggles",
    /// Coveralls.
    Coverall => "coverall",
    /// Wiping cloths.
    Cloth => "lint-free cloth",
}}

words! {
/// The unit a ware is counted in.
PackUnit {
    /// Kilograms.
    Kilogram => "kg",
    /// Litres.
    Litre => "l",
    /// Millilitres.
    Millilitre => "ml",
    /// Metres off the roll.
    Metre => "m",
    /// Square metres.
    SquareMetre => "m²",
    /// Pieces.
    Piece => "pieces",
    /// Pairs.
    Pair => "pairs",
}}

/// What the grade of a ware counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grade {
    /// Weight of a mat or cloth, g/m2.
    Weight,
    /// Grit of an abrasive.
    Grit,
}

impl Ware {
    /// Every ware.
    pub const ALL: [Self; 30] = [
        Self::PolyesterResin,
        Self::EpoxyResin,
        Self::EpoxyHardener,
        Self::GelCoat,
        Self::Catalyst,
        Self::Mat,
        Self::EpoxyMat,
        Self::Woven,
        Self::Tissue,
        Self::Filler,
        Self::Acetone,
        Self::Degreaser,
        Self::Primer,
        Self::BrushFinish,
        Self::SprayFinish,
        Self::Gloves,
        Self::Brush,
        Self::RollerSleeve,
        Self::AirRoller,
        Self::Cup,
        Self::Stirrer,
        Self::MaskingTape,
        Self::MaskingFilm,
        Self::AbrasiveDisc,
        Self::AbrasiveSheet,
        Self::CombinedFilter,
        Self::HalfMask,
        Self::Goggles,
        Self::Coverall,
        Self::Cloth,
    ];

    /// The unit it is counted in, everywhere.
    #[must_use]
    pub const fn unit(self) -> PackUnit {
        match self {
            Self::PolyesterResin
            | Self::EpoxyResin
            | Self::EpoxyHardener
            | Self::GelCoat
            | Self::Filler => PackUnit::Kilogram,
            Self::Catalyst => PackUnit::Millilitre,
            Self::Mat | Self::EpoxyMat | Self::Woven | Self::Tissue | Self::MaskingTape => {
                PackUnit::Metre
            }
            Self::Acetone
            | Self::Degreaser
            | Self::Primer
            | Self::BrushFinish
            | Self::SprayFinish => PackUnit::Litre,
            Self::MaskingFilm => PackUnit::SquareMetre,
            Self::Gloves | Self::CombinedFilter => PackUnit::Pair,
            Self::Brush
            | Self::RollerSleeve
            | Self::AirRoller
            | Self::Cup
            | Self::Stirrer
            | Self::AbrasiveDisc
            | Self::AbrasiveSheet
            | Self::HalfMask
            | Self::Goggles
            | Self::Coverall
            | Self::Cloth => PackUnit::Piece,
        }
    }

    /// What its grade counts; none where it has no grades.
    #[must_use]
    pub const fn grade(self) -> Option<Grade> {
        match self {
            Self::Mat | Self::EpoxyMat | Self::Woven | Self::Tissue => Some(Grade::Weight),
            Self::AbrasiveDisc | Self::AbrasiveSheet => Some(Grade::Grit),
            _ => None,
        }
    }

    /// Whether it is sold off a roll of glass, by length at a width.
    #[must_use]
    pub const fn is_rolled_glass(self) -> bool {
        matches!(self, Self::Mat | Self::EpoxyMat | Self::Woven | Self::Tissue)
    }

    /// Name with its grade, as it stands on a shopping list.
    #[must_use]
    pub fn named(self, grade: Option<u32>) -> String {
        match (self.grade(), grade) {
            (Some(Grade::Weight), Some(weight)) => format!("{} {weight} g/m²", self.words()),
            (Some(Grade::Grit), Some(grit)) => format!("{}, grit {grit}", self.words()),
            _ => self.words().to_owned(),
        }
    }
}

impl PackUnit {
    /// Whether only whole ones of it are used.
    #[must_use]
    pub const fn is_counted(self) -> bool {
        matches!(self, Self::Piece | Self::Pair)
    }
}

impl PackItem {
    /// Metres on a full roll at a width, for a weight in g/m2: down to 0.1 m.
    #[must_use]
    pub fn roll_m(&self, weight_g_m2: u32, width_mm: f64) -> Option<f64> {
        let kilograms_a_metre = f64::from(weight_g_m2) / 1000.0 * width_mm / 1000.0;
        let roll = self.roll_kg?.value();
        let metres = (roll / kilograms_a_metre * 10.0).floor() / 10.0;
        (kilograms_a_metre > 0.0 && metres > 0.0).then_some(metres)
    }
}

impl PackTable {
    /// Packs of a ware and grade: the entry of that grade, else the one for all others.
    #[must_use]
    pub fn of(&self, ware: Ware, grade: Option<u32>) -> Option<&PackItem> {
        let of_ware = || self.items.iter().filter(|item| item.ware == ware);
        of_ware()
            .find(|item| item.grade == grade)
            .or_else(|| of_ware().find(|item| item.grade.is_none()))
    }
}
