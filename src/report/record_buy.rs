//! What to buy, and what it costs, in the record.

use serde::Serialize;

use super::record_work::Exclusion;
use crate::quantity::Cases;

/// What to buy.
#[derive(Debug, Clone, Serialize)]
pub struct OrderLines {
    /// Bought now.
    pub lines: Vec<WareLine>,
    /// How the glass for now is cut; nothing where nobody asked, and mat goes by percentage.
    pub cut_plan: Option<Vec<CutLine>>,
    /// Whether the packs for now are likely to be enough; nothing without polyester resin in them.
    pub enough: Option<EnoughLine>,
    /// Bought only after something.
    pub buy_only_after: Vec<BuyAfterLine>,
    /// Nothing for this shop to buy.
    pub not_here: Vec<NotHereLine>,
    /// Within reach before anything is opened; not bought.
    pub at_hand: Vec<NotHereLine>,
    /// Waste of the whole job to hand over.
    pub waste: Vec<WasteLine>,
    /// What no list holds.
    pub excludes: Vec<Exclusion>,
}

/// Waste of one class.
#[derive(Debug, Clone, Serialize)]
pub struct WasteLine {
    /// The class.
    pub class: String,
    /// How much.
    pub mass_kg: Cases<f64>,
    /// What it comes from.
    pub from: Vec<String>,
    /// What to do with it and what never.
    pub caution: String,
}

/// Repairing a panel against replacing it; money with tax in the units of the currency.
#[derive(Debug, Clone, Serialize)]
pub struct ComparedLine {
    /// The panel.
    pub panel: String,
    /// How it is held on.
    pub joined: String,
    /// Repairing it; nothing where something has no price.
    pub repairing: Cases<Option<f64>>,
    /// A new one, fitted and painted; nothing where something has no price.
    pub replacing: Cases<Option<f64>>,
    /// Hours are in both.
    pub with_hours: bool,
    /// What has no price.
    pub missing: Vec<String>,
    /// Marks that neither holds and that may decide it.
    pub leaves_out: Vec<u32>,
    /// The verdict.
    pub verdict: String,
}

/// One mat on its roll.
#[derive(Debug, Clone, Serialize)]
pub struct CutLine {
    /// The mat.
    pub mat: String,
    /// Its roll.
    pub roll_width_mm: f64,
    /// Pieces of the likely case.
    pub pieces: usize,
    /// Their area, laps twice.
    pub pieces_m2: f64,
    /// Off the roll.
    pub length_m: Cases<f64>,
    /// No plan of the likely case can be shorter.
    pub least_m: f64,
    /// Plies of it that could not be drawn: the mat then goes by percentage.
    pub not_cut: Vec<String>,
    /// What is over within that length and worth keeping, likely case, largest first.
    pub offcuts: Vec<OffcutLine>,
}

/// A piece of mat that is over: an upright rectangle of the roll.
#[derive(Debug, Clone, Serialize)]
pub struct OffcutLine {
    /// Along the roll.
    pub along_mm: f64,
    /// Across the roll.
    pub across_mm: f64,
    /// Begins so far from the end that was cut at.
    pub from_end_mm: f64,
    /// Begins so far from the edge of the roll.
    pub from_edge_mm: f64,
}

/// Whether packs are likely to be enough, by draws over growth, tape, resin taken and waste.
#[derive(Debug, Clone, Serialize)]
pub struct EnoughLine {
    /// The seed of the draws.
    pub seed: u64,
    /// How many.
    pub draws: u32,
    /// Packs for the likely need.
    pub likely: String,
    /// Packs for the high need.
    pub high: String,
    /// What the spread of the resin comes from, the largest first.
    pub drivers: Vec<String>,
}

/// A list for later.
#[derive(Debug, Clone, Serialize)]
pub struct BuyAfterLine {
    /// What has to come first.
    pub after: String,
    /// The repairs.
    pub repairs: Vec<String>,
    /// The wares.
    pub lines: Vec<WareLine>,
    /// How its glass is cut; nothing where nobody asked.
    pub cut_plan: Option<Vec<CutLine>>,
}

/// Something that is not bought, with the reason.
#[derive(Debug, Clone, Serialize)]
pub struct NotHereLine {
    /// What.
    pub what: String,
    /// Why.
    pub why: String,
}

/// One ware.
#[derive(Debug, Clone, Serialize)]
pub struct WareLine {
    /// What it is.
    pub what: String,
    /// The unit of the amounts.
    pub unit: String,
    /// Needed, waste included.
    pub need: Cases<f64>,
    /// Of the likely need, there already.
    pub from_shelf: f64,
    /// Some of that is of unknown age: a sample is tried first.
    pub try_first: bool,
    /// There, and too old to count on.
    pub too_old: Vec<String>,
    /// Packs for the likely need; none in a list for later.
    pub packs: Vec<PackCount>,
    /// What is over then.
    pub left_over: f64,
    /// Packs that would do for the high need.
    pub packs_high: Vec<PackCount>,
    /// How long an opened pack keeps; nothing where it does not age.
    pub opened_keeps_days: Option<f64>,
}

/// So many packs of a size.
#[derive(Debug, Clone, Serialize)]
pub struct PackCount {
    /// How many.
    pub count: u64,
    /// What one holds, in the unit of the ware.
    pub amount: f64,
}

/// What it costs; money in the units of the currency.
#[derive(Debug, Clone, Serialize)]
pub struct PriceLines {
    /// The price file.
    pub file: String,
    /// The currency.
    pub currency: String,
    /// Decimals of its money.
    pub decimals: u32,
    /// When the prices were looked up; empty where the file does not say.
    pub priced_on: String,
    /// The lines.
    pub lines: Vec<MoneyLine>,
    /// All of them that have a price.
    pub totals: Cases<TotalLine>,
    /// Panels repaired against replaced; only in a quote.
    pub compared: Vec<ComparedLine>,
    /// Work and mouldings in the file for panels that nobody works on: in no total.
    pub not_counted: Vec<String>,
    /// What has no price: in no total.
    pub not_priced: Vec<NotHereLine>,
    /// What no total holds.
    pub excludes: Vec<Exclusion>,
    /// Sums of the shop's own for such marks, in no total.
    pub provisional: Vec<ProvisionalLine>,
    /// What would be quoted.
    pub quote: QuoteLine,
}

/// A line of money.
#[derive(Debug, Clone, Serialize)]
pub struct MoneyLine {
    /// materials, labour, access or disposal.
    pub group: &'static str,
    /// What it is.
    pub what: String,
    /// Money, as the file counts tax; nothing where some of it has no price.
    pub money: Cases<Option<f64>>,
}

/// A total.
#[derive(Debug, Clone, Serialize)]
pub struct TotalLine {
    /// Without tax.
    pub net: f64,
    /// The tax.
    pub tax: f64,
    /// With tax.
    pub gross: f64,
    /// Something is missing from it.
    pub at_least: bool,
}

/// A sum of the shop's own.
#[derive(Debug, Clone, Serialize)]
pub struct ProvisionalLine {
    /// The mark.
    pub mark: u32,
    /// What the shop says it is for.
    pub what: String,
    /// The sum.
    pub money: f64,
}

/// A quote.
#[derive(Debug, Clone, Serialize)]
pub struct QuoteLine {
    /// The case it starts from.
    pub figure: &'static str,
    /// Work and materials.
    pub work: f64,
    /// On top for what nobody can see.
    pub contingency: f64,
    /// Both, with tax.
    pub gross: f64,
    /// The shop stops and calls before the job costs more than this, tax included.
    pub stop_at: f64,
    /// Days until it runs out.
    pub expires_days: u32,
    /// Something is not priced or left out: it is no fixed price.
    pub lacks: bool,
}
