//! What is on the shelf: mats, resins, coats.

use serde::Deserialize;

use super::{given, words};
use crate::quantity::{GramsPerSquareMetre, KilogramsPerSquareMetre, Millimetres, Percent};
use crate::source::Evidence;

/// A shelf.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// Format of the file.
    pub format: u32,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// Glass mats.
    pub mats: Vec<Mat>,
    /// Surface tissue.
    pub tissue: Tissue,
    /// Laminating resins.
    pub resins: Vec<Resin>,
    /// Gel and flow coat.
    pub gel_coat: GelCoat,
    /// Paints.
    pub paints: Vec<Paint>,
}

/// A glass mat.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mat {
    /// Name in outputs.
    pub name: String,
    /// What it is: mat, or woven.
    #[serde(default)]
    pub kind: Reinforcement,
    /// Weight.
    pub weight_g_m2: GramsPerSquareMetre,
    /// Mass share of glass in the laid ply.
    pub glass_content: f64,
    /// Width of the roll.
    #[serde(default, deserialize_with = "given")]
    pub roll_width_mm: Option<Millimetres>,
    /// Binder goes with epoxy.
    #[serde(default)]
    pub epoxy_compatible: bool,
    /// How the figures are known.
    pub evidence: Evidence,
    /// Where they come from.
    pub source: String,
}

words! {
#[derive(Default)]
/// What a reinforcement is made of.
Reinforcement {
    #[default]
    /// Chopped strand mat.
    Mat => "mat",
    /// Woven roving or cloth, laid with its threads along and across.
    Woven => "woven",
}}

/// Surface tissue.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tissue {
    /// Name in outputs.
    pub name: String,
    /// Weight.
    pub weight_g_m2: GramsPerSquareMetre,
    /// Resin it takes.
    pub resin_kg_m2: KilogramsPerSquareMetre,
    /// How far it stands proud.
    pub proud_mm: Millimetres,
    /// How the figures are known.
    pub evidence: Evidence,
    /// Where they come from.
    pub source: String,
}

words! {
/// Family of a resin.
ResinFamily {
    /// Polyester.
    Polyester => "polyester",
    /// Vinyl ester.
    VinylEster => "vinyl ester",
    /// Epoxy.
    Epoxy => "epoxy",
}}

words! {
#[derive(Default)]
/// Whether a resin holds its accelerator as bought.
Accelerator {
    #[default]
    /// Nobody has said: treated as apart.
    Unknown => "nobody has said whether it is accelerated",
    /// In the resin as bought.
    BuiltIn => "accelerated as bought",
    /// Sold apart, stirred in by the user.
    Apart => "accelerator sold apart",
    /// It takes none.
    None => "takes no accelerator",
}}

/// A laminating resin.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Resin {
    /// Name in outputs.
    pub name: String,
    /// Family.
    pub family: ResinFamily,
    /// Density of the cured resin, g/cm3.
    pub density_g_cm3: f64,
    /// Styrene by mass; 0 for epoxy.
    pub styrene_percent: Percent,
    /// Hardener by mass of resin; for polyester the dose comes from the shop.
    pub hardener_percent: Percent,
    /// Whether its accelerator is in it as bought.
    #[serde(default)]
    pub accelerator: Accelerator,
    /// Gel time of a thin film, min, at the temperature and dose below.
    pub gel_time_min: f64,
    /// Temperature of that gel time.
    pub gel_time_at_c: f64,
    /// Catalyst of that gel time.
    pub gel_time_percent: f64,
    /// How the figures are known.
    pub evidence: Evidence,
    /// Where they come from.
    pub source: String,
}

/// Gel and flow coat.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GelCoat {
    /// Name in outputs.
    pub name: String,
    /// Mass for the thickness below.
    pub coverage_kg_m2: KilogramsPerSquareMetre,
    /// That thickness.
    pub thickness_mm: Millimetres,
    /// Styrene by mass.
    pub styrene_percent: Percent,
    /// How the figures are known.
    pub evidence: Evidence,
    /// Where they come from.
    pub source: String,
}

words! {
/// What a paint is for.
PaintUse {
    /// Primer.
    Primer => "primer",
    /// Finish, brushed or rolled one-pack.
    BrushFinish => "one-pack finish",
    /// Finish, sprayed two-pack.
    SprayFinish => "two-pack finish",
}}

/// A paint.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Paint {
    /// Name in outputs.
    pub name: String,
    /// What it is for.
    pub used_as: PaintUse,
    /// Solids by volume.
    pub solids_percent: Percent,
    /// Dry film in all coats together, micrometres.
    pub dry_film_um: f64,
    /// Share lost in applying it.
    pub loss_percent: Percent,
    /// How the figures are known.
    pub evidence: Evidence,
    /// Where they come from.
    pub source: String,
}
