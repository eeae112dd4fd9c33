//! What is lost on the way: resin in the cups and tools, glass beside the pieces.
//!
//! Masses come in as poured, without waste, in kg; areas in m². Rules `WASTE-MIX`,
//! `WASTE-SESSION`, `WASTE-MAT-LARGE`, `WASTE-MAT-ODD` and `MAT-PIECE-LARGE`.

use crate::rules::{Book, id};

/// Resin lost, kg: what stays in every cup, and in brushes and rollers of every session.
///
/// Gel and flow coat are mixed in cups of their own, whose mixes count as well; a session in which
/// both are laid is counted once, with the laminating resin.
#[must_use]
pub fn resin_kg(book: &Book, mixes: u32, sessions: u32) -> f64 {
    let (mix_g, session_g) = (book.figure(id::WASTE_MIX), book.figure(id::WASTE_SESSION));
    (mix_g * f64::from(mixes) + session_g * f64::from(sessions)) / 1000.0
}

/// Pots that so much resin is mixed in, and what is mixed, kg: one a session at least, none above the
/// largest, and none below the smallest, whatever is needed of it.
#[must_use]
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "bounded above and below before the cast"
)]
pub fn pots(net_kg: f64, most_kg: f64, least_kg: f64, sessions: u32) -> (u32, f64) {
    let by_size = (net_kg / most_kg - 1e-9).ceil().clamp(0.0, 1.0e6) as u32;
    let pots = sessions.max(by_size);
    (pots, net_kg.max(f64::from(pots) * least_kg))
}

/// Resin to order, kg, for resin as mixed; the catalyst goes by the same figure.
#[must_use]
pub fn resin_order_kg(book: &Book, mixed_kg: f64, mixes: u32, sessions: u32) -> f64 {
    if mixed_kg > 0.0 { mixed_kg + resin_kg(book, mixes, sessions) } else { 0.0 }
}

/// Pieces of one size to be cut from a mat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pieces {
    /// Area of one, m².
    pub area_m2: f64,
    /// How many.
    pub count: u32,
}

/// Mat to order by percentage, m²: what stands in until a cut plan says how the pieces lie, and
/// is not added to one.
#[must_use]
pub fn mat_order_m2(book: &Book, pieces: &[Pieces]) -> f64 {
    let large_m2 = book.figure(id::MAT_PIECE_LARGE);
    pieces
        .iter()
        .map(|piece| {
            let rule =
                if piece.area_m2 >= large_m2 { id::WASTE_MAT_LARGE } else { id::WASTE_MAT_ODD };
            piece.area_m2 * f64::from(piece.count) * (1.0 + book.figure(rule) / 100.0)
        })
        .sum()
}

/// Metres off a roll for an area, by the roll's width; none without a width.
#[must_use]
pub fn metres(area_m2: f64, width_mm: f64) -> Option<f64> {
    (width_mm > 0.0).then(|| area_m2 / (width_mm / 1000.0))
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::rules::Change;

    #[test]
    fn thirty_grams_a_mix_and_eighty_a_session() {
        let book = Book::built_in();
        assert_relative_eq!(resin_kg(&book, 3, 2), 0.25);
        assert_relative_eq!(resin_order_kg(&book, 1.0, 3, 2), 1.25);
        assert_relative_eq!(resin_order_kg(&book, 0.0, 0, 0), 0.0);
        // Small jobs lose a larger share, which a flat percentage would not show.
        assert!(resin_kg(&book, 1, 1) / 0.1 > 1.0);
    }

    #[test]
    fn pots_by_hand() {
        // 1.2 kg in pots of 0.5: three; in four sessions: four; 50 g in two sessions: two of 100 g.
        assert_eq!(pots(1.2, 0.5, 0.1, 1), (3, 1.2));
        assert_eq!(pots(1.0, 0.5, 0.1, 4), (4, 1.0));
        assert_eq!(pots(0.05, 0.5, 0.1, 2), (2, 0.2));
    }

    #[test]
    fn a_changed_rule_changes_the_order() {
        let mut book = Book::built_in();
        for (id, value) in [(id::WASTE_MIX, 50.0), (id::WASTE_SESSION, 100.0)] {
            let change =
                Change { id: id.to_owned(), value, likely_and_high: None, why: String::new() };
            book.change(&change).unwrap();
        }
        assert_relative_eq!(resin_kg(&book, 3, 2), 0.35);
    }

    #[test]
    fn small_pieces_waste_more_of_the_mat() {
        let book = Book::built_in();
        let large = [Pieces { area_m2: 1.0, count: 2 }];
        let small = [Pieces { area_m2: 0.05, count: 40 }];
        assert_relative_eq!(mat_order_m2(&book, &large), 2.2);
        assert_relative_eq!(mat_order_m2(&book, &small), 2.6);
        assert_relative_eq!(metres(2.54, 1270.0).unwrap(), 2.0);
        assert_eq!(metres(2.54, 0.0), None);
    }
}
