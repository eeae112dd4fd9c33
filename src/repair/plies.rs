//! Which mats make up a depth of glass, and how far out each of them goes.

use crate::model::stock::{Mat, Resin, Stock};
use crate::rules::{Book, id};

/// Density of glass fibre, g/cm3.
///
/// Source: implied by Lloyd's Register, Guidance Notes for Calculation Procedures for Composite
/// Construction, Table 3.1.1 (published).
pub const GLASS_DENSITY_G_CM3: f64 = 2.56;

/// Thickness of a laid ply, mm, from its weight in kg/m2, the mass share of glass and the density
/// of the resin in g/cm3: t = w (1/rho_g + (1 - psi) / (psi rho_r)).
#[must_use]
pub fn thickness_mm(weight_kg_m2: f64, glass_content: f64, resin_density_g_cm3: f64) -> f64 {
    weight_kg_m2
        * (1.0 / GLASS_DENSITY_G_CM3
            + (1.0 - glass_content) / (glass_content * resin_density_g_cm3))
}

/// Resin to glass by mass at a glass content.
#[must_use]
pub fn resin_ratio(glass_content: f64) -> f64 {
    (1.0 - glass_content) / glass_content
}

/// The mats and the resin that suit one moulding.
#[derive(Debug, Clone)]
pub struct Shelf<'s> {
    /// Mats by weight, lightest first.
    pub mats: Vec<&'s Mat>,
    /// The laminating resin.
    pub resin: &'s Resin,
}

impl<'s> Shelf<'s> {
    /// What of the stock suits a moulding that takes epoxy, or one that takes polyester.
    ///
    /// # Errors
    /// In words, when the stock has no mat or resin of the kind.
    pub fn pick(stock: &'s Stock, epoxy: bool) -> Result<Self, String> {
        use crate::model::stock::ResinFamily;
        let family = if epoxy { ResinFamily::Epoxy } else { ResinFamily::Polyester };
        let resin = stock
            .resins
            .iter()
            .find(|resin| resin.family == family)
            .ok_or_else(|| format!("the stock has no {} resin", family.words()))?;
        let mut mats: Vec<&Mat> =
            stock.mats.iter().filter(|mat| mat.epoxy_compatible == epoxy).collect();
        mats.sort_by(|one, other| one.weight_g_m2.value().total_cmp(&other.weight_g_m2.value()));
        if mats.is_empty() {
            let what = if epoxy { "mat that goes with epoxy" } else { "ordinary mat" };
            return Err(format!("the stock has no {what}"));
        }
        Ok(Self { mats, resin })
    }

    /// Thickness of a laid ply of one of its mats, mm.
    #[must_use]
    pub fn ply_mm(&self, mat: &Mat) -> f64 {
        thickness_mm(
            mat.weight_g_m2.in_kilograms().value(),
            mat.glass_content,
            self.resin.density_g_cm3,
        )
    }

    /// The mat nearest to a weight, the lighter of two equals.
    #[must_use]
    pub fn nearest(&self, weight_g_m2: f64) -> Option<&'s Mat> {
        let miss = |mat: &&&Mat| (mat.weight_g_m2.value() - weight_g_m2).abs();
        self.mats.iter().min_by(|one, other| miss(one).total_cmp(&miss(other))).copied()
    }
}

/// One ply of a lay-up.
#[derive(Debug, Clone, Copy)]
pub struct LaidPly<'s> {
    /// Its mat.
    pub mat: &'s Mat,
    /// Its thickness, mm.
    pub thickness_mm: f64,
    /// How far it goes beyond the edge of the removal, mm.
    pub reach_mm: f64,
}

/// The ply set for a depth of glass, from the floor up.
///
/// Fewest plies whose thickness together is within the book's band of the depth, else the set
/// that is least over; among equals nearest to the depth, then the lighter heaviest, then the
/// lighter second heaviest mat.
#[must_use]
pub fn ply_set<'s>(shelf: &Shelf<'s>, depth_mm: f64, book: &Book) -> Vec<&'s Mat> {
    let least_mm = depth_mm * (1.0 - book.figure(id::PLY_UNDER) / 100.0);
    let most_mm = depth_mm * (1.0 + book.figure(id::PLY_OVER) / 100.0);
    let lightest_most = book.figure(id::PLY_ORDER);
    let thinnest_mm = shelf.mats.iter().map(|mat| shelf.ply_mm(mat)).fold(f64::INFINITY, f64::min);
    // One more than the thinnest mats need: past that every set is over by a whole mat.
    let most_plies = ((depth_mm / thinnest_mm).ceil() + 1.0).clamp(1.0, 40.0) as usize;
    let mut best: Option<(Vec<&'s Mat>, Rank)> = None;
    let mut set = Vec::new();
    every_set(&shelf.mats, most_plies, &mut set, &mut |set: &[&'s Mat]| {
        let lightest = set.last().map_or(f64::INFINITY, |mat| mat.weight_g_m2.value());
        let total_mm: f64 = set.iter().map(|mat| shelf.ply_mm(mat)).sum();
        // A set that is thick enough only gets worse with another ply, unless a lighter one is
        // still wanted next to the gel coat.
        let deeper = total_mm < most_mm.max(depth_mm) || lightest > lightest_most;
        let within = (least_mm..=most_mm).contains(&total_mm);
        if lightest > lightest_most || (!within && total_mm < depth_mm) {
            return deeper;
        }
        let rank = Rank::of(set, within, total_mm, depth_mm);
        if best.as_ref().is_none_or(|(_, known)| rank.before(known)) {
            best = Some((set.to_vec(), rank));
        }
        deeper
    });
    best.map(|(set, _)| set).unwrap_or_default()
}

/// The published backing set for a skin, weights in g/m2 (US Army TM 5-3820-256-24-5 p 616 fig 27):
/// plies of 458 and 610 g/m2 for skins of 2.5 to 4.3 mm, the next row up where a skin lies between
/// two; the last row for anything thicker, which the table does not cover.
#[must_use]
pub fn army_set(skin_mm: f64) -> Vec<f64> {
    const TABLE: [(f64, usize, usize); 6] =
        [(2.5, 3, 0), (2.8, 3, 0), (3.0, 2, 1), (3.3, 1, 2), (3.6, 0, 3), (4.3, 2, 2)];
    let row = TABLE.iter().find(|(mm, ..)| skin_mm <= mm + 0.05).or(TABLE.last());
    row.map_or_else(Vec::new, |(_, light, heavy)| {
        [vec![610.0; *heavy], vec![458.0; *light]].concat()
    })
}

/// How a set stands against others; compared key by key.
#[derive(Debug, Clone, Copy)]
struct Rank {
    keys: [f64; 6],
}

impl Rank {
    fn of(set: &[&Mat], within: bool, total_mm: f64, depth_mm: f64) -> Self {
        let weight = |number: usize| set.get(number).map_or(0.0, |mat| mat.weight_g_m2.value());
        let count = set.len() as f64;
        let off = (total_mm - depth_mm).abs();
        let keys = if within {
            [0.0, count, off, weight(0), weight(1), 0.0]
        } else {
            [1.0, off, count, weight(0), weight(1), 0.0]
        };
        Self { keys }
    }

    fn before(&self, other: &Self) -> bool {
        for (mine, theirs) in self.keys.iter().zip(&other.keys) {
            if (mine - theirs).abs() > 1e-9 {
                return mine < theirs;
            }
        }
        false
    }
}

/// Every multiset of mats up to a size, each heaviest first; `visit` says whether to add more.
fn every_set<'s>(
    mats: &[&'s Mat],
    left: usize,
    set: &mut Vec<&'s Mat>,
    visit: &mut dyn FnMut(&[&'s Mat]) -> bool,
) {
    if left == 0 {
        return;
    }
    for (number, mat) in mats.iter().enumerate().rev() {
        set.push(mat);
        if visit(set) {
            every_set(mats.get(..=number).unwrap_or_default(), left - 1, set, visit);
        }
        set.pop();
    }
}

/// Lays a ply set out: heaviest on the floor, each ply reaching taper times the thickness below
/// and including it, at least a step beyond the one below (the first beyond the removal), the
/// last at least taper times the depth.
#[must_use]
pub fn lay_out<'s>(
    shelf: &Shelf<'s>,
    set: &[&'s Mat],
    depth_mm: f64,
    taper: f64,
    book: &Book,
) -> Vec<LaidPly<'s>> {
    let step_mm = book.figure(id::PLY_STEP);
    let (mut thick_mm, mut reach_mm) = (0.0, 0.0);
    let count = set.len();
    set.iter()
        .enumerate()
        .map(|(number, mat)| {
            let thickness_mm = shelf.ply_mm(mat);
            thick_mm += thickness_mm;
            reach_mm = f64::max(taper * thick_mm, reach_mm + step_mm);
            if number + 1 == count {
                reach_mm = f64::max(reach_mm, taper * depth_mm);
            }
            LaidPly { mat, thickness_mm, reach_mm }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::built_in;

    fn stock() -> Stock {
        ron::from_str(built_in::STOCK).unwrap()
    }

    fn weights(depth_mm: f64) -> Vec<f64> {
        let stock = stock();
        let shelf = Shelf::pick(&stock, false).unwrap();
        ply_set(&shelf, depth_mm, &Book::built_in())
            .iter()
            .map(|mat| mat.weight_g_m2.value())
            .collect()
    }

    #[test]
    fn sets_for_usual_thicknesses() {
        // Worked by hand: 300 gives 0.742 mm and 450 gives 1.113 mm at 2.5 to 1.
        assert_eq!(weights(1.1), [450.0]);
        assert_eq!(weights(1.5), [300.0, 300.0]);
        assert_eq!(weights(2.2), [450.0, 450.0]);
        assert_eq!(weights(3.0), [450.0, 450.0, 300.0]);
        assert_eq!(weights(3.2), [450.0, 450.0, 450.0]);
        assert_eq!(weights(4.0), [450.0, 450.0, 450.0, 300.0]);
    }

    #[test]
    fn a_depth_no_set_meets_takes_the_least_over() {
        // 0.9 mm: one 300 is 18 % under, one 450 is 24 % over.
        assert_eq!(weights(0.9), [450.0]);
    }

    #[test]
    fn reaches_follow_the_taper_and_never_step_less_than_a_ply() {
        let stock = stock();
        let shelf = Shelf::pick(&stock, false).unwrap();
        let book = Book::built_in();
        let set = ply_set(&shelf, 3.0, &book);
        let laid = lay_out(&shelf, &set, 3.0, 12.0, &book);
        let reaches: Vec<f64> = laid.iter().map(|ply| ply.reach_mm).collect();
        // 12 x 1.1133, 12 x 2.2266, then one step beyond because 12 x 0.742 is less.
        approx::assert_relative_eq!(reaches[0], 13.359, epsilon = 1e-3);
        approx::assert_relative_eq!(reaches[1], 26.719, epsilon = 1e-3);
        approx::assert_relative_eq!(reaches[2], 39.219, epsilon = 1e-3);
    }
}
