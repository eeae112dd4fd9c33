//! The decision table: what is decided about one mark, for every fixing, distance, layer, role
//! and material. People read the snapshot; a small oracle, written from the rules and not from
//! the crate, has to agree with every cell.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

#[path = "decisions/cells.rs"]
mod cells;
#[path = "together/laid.rs"]
mod laid;
#[path = "decisions/oracle.rs"]
mod oracle;
#[path = "decisions/printed.rs"]
mod printed;
#[path = "decisions/survey.rs"]
mod survey;

use cells::{Cell, Layer, MATERIALS, PLACES, ROLES, rows};
use oracle::Verdict;
use rayon::prelude::*;
use survey::{Beside, decided};

/// Every cell of the table in the order of materials, rows and roles.
fn every_cell() -> Vec<Cell> {
    let of = |material| {
        rows().into_iter().flat_map(move |(fixing, place, layer)| {
            ROLES.map(|role| Cell { material, fixing, place, layer, role })
        })
    };
    MATERIALS.into_iter().flat_map(of).collect()
}

/// What the crate decides about all of them, many panels a survey.
fn all_decided(cells: &[Cell], beside: Beside) -> Vec<String> {
    let skin = survey::skin(cells);
    let parts: Vec<Vec<String>> =
        cells.par_chunks(74).map(|part| decided(part, &skin, beside)).collect();
    parts.concat()
}

#[test]
fn the_oracle_agrees_with_every_cell_and_the_table_is_as_written() {
    let cells = every_cell();
    // Two fixing lists without a place, seven fixings at five places, four layers.
    assert_eq!(cells.len(), 7 * (2 + 7 * 5) * 4 * 5);
    let words = all_decided(&cells, Beside::Nothing);
    assert_eq!(words.len(), cells.len());
    let mut off = Vec::new();
    for (cell, word) in cells.iter().zip(&words) {
        let is = Verdict::read(word).unwrap_or_else(|| panic!("{cell:?} is decided as {word:?}"));
        let expected = oracle::verdict(cell);
        if is != expected {
            off.push(format!("{cell}: {word}, by the rules {expected:?}"));
        }
    }
    assert!(off.is_empty(), "{} of {}:\n{}", off.len(), cells.len(), off.join("\n"));
    // All verdicts of the oracle occur, so that agreeing with it says something.
    for verdict in [Verdict::Repair, Verdict::CauseFirst, Verdict::Refer] {
        assert!(cells.iter().any(|cell| oracle::verdict(cell) == verdict), "{verdict:?}");
    }
    insta::assert_snapshot!("table", printed::table(&cells, &words));
}

/// The mark lies as far from the rim as its row says: by closed form on the flat sheet, and by
/// what the crate measures over the skin.
#[test]
fn the_places_of_the_table_are_as_far_away_as_they_say() {
    for layer in Layer::ALL {
        for place in PLACES {
            let (solved_mm, high_mm) = survey::measured(place, layer);
            let far = place.from_rim_mm;
            assert!((solved_mm - far.max(0.0)).abs() < 0.5, "{place:?} {layer:?}: {solved_mm}");
            let least = (far - oracle::PLACE_MM).max(0.0);
            assert!((high_mm - least).abs() < 1.0, "{place:?} {layer:?}: {high_mm}, not {least}");
            // Well inside its band, with and without the error of its place.
            for mm in [solved_mm, high_mm] {
                assert!(mm >= place.band_mm.0 && mm <= place.band_mm.1, "{place:?}: {mm}");
            }
        }
    }
}

/// The report says what the rooms before it decided: every 31st cell, which meets every column.
#[test]
fn the_report_says_what_was_decided() {
    let some: Vec<Cell> = every_cell().into_iter().step_by(31).collect();
    assert!(some.len() > 150);
    assert_eq!(survey::reported(&some), all_decided(&some, Beside::Nothing));
}

/// A repair beside a referred mark is held, one that is only to be watched is watched, and
/// neither takes a referral away.
#[test]
fn a_referred_neighbour_holds_a_repair_and_a_watched_mark_is_watched() {
    let cells: Vec<Cell> = every_cell()
        .into_iter()
        .filter(|cell| cell.material == "hand_laid_polyester")
        .filter(|cell| matches!(cell.role, "skin" | "stressed"))
        .collect();
    for (beside, word) in [(Beside::Referred, "held"), (Beside::WatchOnly, "watch")] {
        let words = all_decided(&cells, beside);
        let mut seen = [0, 0];
        for (cell, is) in cells.iter().zip(&words) {
            if oracle::verdict(cell) == Verdict::Refer {
                seen[0] += 1;
                assert!(is.starts_with("REFER-"), "{cell:?}: {is}");
            } else {
                seen[1] += 1;
                assert_eq!(is, word, "{cell:?}");
            }
        }
        assert!(seen.iter().all(|count| *count > 100), "{seen:?}");
    }
}
