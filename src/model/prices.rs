//! What things cost, as the user has found it out.

use serde::Deserialize;

use super::given;
use super::packs::{OnShelf, Ware};
use super::words;
use crate::quantity::{Case, Percent};

/// A price file. All money in it is in whole units of the currency, with decimals.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PriceFile {
    /// Format of the file.
    pub format: u32,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// The currency, as it is printed.
    pub currency: String,
    /// Decimals that money has.
    #[serde(default = "two")]
    pub decimals: u32,
    /// When the prices were looked up, as the user writes it.
    #[serde(default)]
    pub priced_on: String,
    /// Tax on what is sold.
    pub tax_percent: Percent,
    /// Whether the money in this file holds the tax already.
    pub prices_include_tax: bool,
    /// Prices of packs.
    #[serde(default)]
    pub packs: Vec<PackPrice>,
    /// Price of an hour of work.
    #[serde(default, deserialize_with = "given")]
    pub hourly_rate: Option<f64>,
    /// Prices of getting rid of waste.
    #[serde(default)]
    pub disposal: Vec<DisposalPrice>,
    /// Prices of getting at the work.
    #[serde(default)]
    pub access: Vec<AccessPrice>,
    /// Allowance for one seized fixing on a panel that is worked on.
    #[serde(default, deserialize_with = "given")]
    pub seized: Option<SeizedPrice>,
    /// New mouldings, to compare with repairing.
    #[serde(default)]
    pub replacements: Vec<Replacement>,
    /// Sums for marks that the estimate leaves out.
    #[serde(default)]
    pub provisional: Vec<ProvisionalSum>,
    /// How a quote is made.
    #[serde(default)]
    pub quote: QuoteRule,
    /// What is there already.
    #[serde(default)]
    pub on_shelf: Vec<OnShelf>,
    /// A note of the user's.
    #[serde(default)]
    pub note: String,
}

fn two() -> u32 {
    2
}

/// Price of one pack.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackPrice {
    /// The ware.
    pub ware: Ware,
    /// Its grade, as in the packs.
    #[serde(default, deserialize_with = "given")]
    pub grade: Option<u32>,
    /// How much is in the pack, in the unit of the ware.
    pub amount: f64,
    /// What the pack costs.
    pub price: f64,
}

words! {
/// What waste is handed over as.
DisposalClass {
    /// Dust, offcuts, trimmings that have set.
    CuredLaminate => "set laminate, offcuts and dust",
    /// Resin, gel coat or filler that has not set.
    LiquidResin => "resin that has not set",
    /// Peroxide left over.
    Peroxide => "catalyst left over",
    /// Acetone, thinner, degreaser.
    Solvent => "solvent",
    /// Paint that has not set.
    Paint => "paint that has not set",
    /// Rags, gloves, brushes, cups, filters.
    Soiled => "soiled rags, gloves, tools and filters",
    /// Old paint, filler or underseal that may hold lead, chromate or asbestos.
    Tested => "dust of old paint, filler or underseal",
    /// Tins and bottles of resin, solvent, paint, not cleaned.
    EmptyTins => "empty tins and bottles",
}}

words! {
#[derive(Default)]
/// How a panel is held on.
Joined {
    #[default]
    /// Nobody has said.
    Unknown => "nobody has said whether it is bolted or bonded",
    /// By bolts or screws.
    Bolted => "bolted",
    /// By adhesive or laminate.
    Bonded => "bonded",
}}

/// Price of handing over one kilogram.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DisposalPrice {
    /// What it is handed over as.
    pub class: DisposalClass,
    /// What a kilogram costs; 0 where it is said to cost nothing.
    pub per_kg: f64,
}

/// Price of one piece of work to get at the damage.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AccessPrice {
    /// The work, in the words by which it is asked for.
    pub what: String,
    /// What it costs; left out while nobody knows.
    #[serde(default, deserialize_with = "given")]
    pub price: Option<f64>,
    /// Hours of a trade that it takes, at the price of an hour and on top of its price.
    #[serde(default, deserialize_with = "given")]
    pub hours: Option<f64>,
    /// The panel it is for: then it counts only where that panel is worked on.
    #[serde(default, deserialize_with = "given")]
    pub panel: Option<String>,
}

/// An allowance for one fixing that will not undo.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeizedPrice {
    /// Money.
    #[serde(default, deserialize_with = "given")]
    pub price: Option<f64>,
    /// Hours of a trade, on top.
    #[serde(default, deserialize_with = "given")]
    pub hours: Option<f64>,
}

/// A new moulding for a panel.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Replacement {
    /// The panel, by its name.
    pub panel: String,
    /// What the moulding costs; left out while nobody knows.
    #[serde(default, deserialize_with = "given")]
    pub price: Option<f64>,
    /// Hours of a trade to fit it, without paint; left out while nobody knows.
    #[serde(default, deserialize_with = "given")]
    pub fit_hours: Option<f64>,
    /// How the panel is held on.
    #[serde(default)]
    pub joined: Joined,
}

/// A shop's own sum for a mark that is referred or held; it stands in no total.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProvisionalSum {
    /// The mark.
    pub mark: u32,
    /// What it is for.
    pub what: String,
    /// The sum.
    pub sum: f64,
}

/// How a quote is made from three figures.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct QuoteRule {
    /// The figure that is quoted.
    #[serde(default = "likely")]
    pub figure: Case,
    /// What is put on top for what nobody can see.
    #[serde(default, deserialize_with = "given")]
    pub contingency_percent: Option<Percent>,
    /// Beyond how much more the shop stops and calls.
    #[serde(default, deserialize_with = "given")]
    pub stop_and_call_percent: Option<Percent>,
    /// Days until the quote runs out.
    #[serde(default, deserialize_with = "given")]
    pub expires_days: Option<u32>,
}

fn likely() -> Case {
    Case::Likely
}

impl Default for QuoteRule {
    fn default() -> Self {
        Self {
            figure: Case::Likely,
            contingency_percent: None,
            stop_and_call_percent: None,
            expires_days: None,
        }
    }
}

impl PriceFile {
    /// Prices of a ware in that grade, or, where there are none, of that ware in any.
    pub fn of(&self, ware: Ware, grade: Option<u32>) -> impl Iterator<Item = &PackPrice> {
        let exact = self.packs.iter().any(|pack| pack.ware == ware && pack.grade == grade);
        let wanted = if exact { grade } else { None };
        self.packs.iter().filter(move |pack| pack.ware == ware && pack.grade == wanted)
    }
}
