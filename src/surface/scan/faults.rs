//! What is wrong with the triangles of a scan, each fault with its place in mm.
//!
//! Dropped and listed, because neither shape nor area changes: a triangle that stands there twice
//! the same way round. Refused, because only the user can know what is meant: triangles back to
//! back (which side is the outer one?), three or more on one edge (which of them is the skin?),
//! triangles that run the wrong way round (unless the file allows turning them), and folds of more
//! than a trace. Listed only: needles without area and traces of folding, as scanners leave them;
//! they hold the mesh together and thinning smooths them away.
#![allow(clippy::indexing_slicing, reason = "numbers come from the lists they index")]

use std::collections::BTreeMap;

use nalgebra::{Point3, Vector3};
use rayon::prelude::*;

use super::edges::{Edges, NONE, pair};
use super::{area_mm2, middle, said, three};
use crate::surface::skin::SkinFault;

/// Folded triangles of more than this share of the area are no trace (choice).
const FOLDED_SHARE: f64 = 0.002;
/// Neighbours that turn by more than 120 degrees are folded over (choice).
const FOLD_COSINE: f32 = -0.5;
/// A triangle lower than this is a needle, mm.
pub(super) const NEEDLE_MM: f64 = 1e-4;
/// So many places are named.
const NAMED: usize = 5;

/// Places as a row of words.
fn places(found: &[Point3<f64>]) -> String {
    let row: Vec<String> = found.iter().take(NAMED).map(|at| said(*at)).collect();
    let more = if found.len() > NAMED {
        format!(" and {} more", found.len() - NAMED)
    } else {
        String::new()
    };
    format!("{}{more}", row.join("; "))
}

/// Drops triangles that stand there twice the same way round.
///
/// # Errors
/// Triangles that lie back to back.
pub(super) fn doubled(
    positions: &[Point3<f64>],
    faces: &mut Vec<[u32; 3]>,
    edges: &mut Edges,
    notes: &mut Vec<String>,
) -> Result<(), SkinFault> {
    let mut first_of: BTreeMap<[u32; 3], u32> = BTreeMap::new();
    let mut again: Vec<u32> = Vec::new();
    let mut back: Vec<Point3<f64>> = Vec::new();
    let mut met: Vec<u32> =
        edges.odd.iter().flat_map(|odd| odd.halves.iter().map(|half| half / 3)).collect();
    // Two triangles that have only each other are no odd edge, and lie back to back too.
    met.extend(
        (0..)
            .zip(&edges.across)
            .filter_map(|(face, [a, b, c])| (*a != NONE && a == b && b == c).then_some(face)),
    );
    met.sort_unstable();
    met.dedup();
    for face in met {
        let corners = faces[face as usize];
        let mut key = corners;
        key.sort_unstable();
        match first_of.get(&key) {
            None => {
                first_of.insert(key, face);
            }
            Some(first) => {
                let other = faces[*first as usize];
                let same_way =
                    (0..3).any(|turn| [0, 1, 2].map(|i| other[(i + turn) % 3]) == corners);
                if same_way {
                    again.push(face);
                } else {
                    back.push(middle(positions, corners));
                }
            }
        }
    }
    if !back.is_empty() {
        return Err(SkinFault::new(
            "surface.file",
            format!("{} pair(s) of triangles lie back to back: {}", back.len(), places(&back)),
            "a skin of single triangles that look outwards",
            "export it single-sided, or delete the inner layer in the scanning software",
        )
        .coded("SCAN-DOUBLED"));
    }
    if again.is_empty() {
        return Ok(());
    }
    let named: Vec<Point3<f64>> =
        again.iter().map(|face| middle(positions, faces[*face as usize])).collect();
    notes.push(format!(
        "scan: {} triangle(s) stood there twice and count once: {}",
        again.len(),
        places(&named)
    ));
    let mut at = 0;
    faces.retain(|_| {
        at += 1;
        again.binary_search(&(at - 1)).is_err()
    });
    *edges = pair(positions.len(), faces);
    Ok(())
}

/// No edge may have three triangles or more.
///
/// # Errors
/// Edges that have.
pub(super) fn shared(positions: &[Point3<f64>], edges: &Edges) -> Result<(), SkinFault> {
    let found: Vec<Point3<f64>> = edges
        .odd
        .iter()
        .filter(|odd| odd.halves.len() > 2)
        .map(|odd| {
            let [a, b] = odd.ends.map(|v| positions[v as usize]);
            nalgebra::center(&a, &b)
        })
        .collect();
    if found.is_empty() {
        return Ok(());
    }
    Err(SkinFault::new(
        "surface.file",
        format!("{} edge(s) have three triangles or more: {}", found.len(), places(&found)),
        "a skin in which two triangles meet on an edge",
        "delete ribs, brackets and doubled layers behind the skin in the scanning software",
    )
    .coded("SCAN-EDGE-SHARED"))
}

/// Turns triangles that run the wrong way round, where that is allowed.
///
/// # Errors
/// Turned triangles that may not be turned, or a band that has only one side.
pub(super) fn flipped(
    positions: &[Point3<f64>],
    faces: &mut [[u32; 3]],
    edges: &mut Edges,
    turn: bool,
    notes: &mut Vec<String>,
) -> Result<(), SkinFault> {
    if edges.odd.is_empty() {
        return Ok(());
    }
    let mut across: BTreeMap<(u32, u32), u32> = BTreeMap::new();
    for odd in &edges.odd {
        if let [a, b] = odd.halves[..] {
            across.insert((a / 3, a % 3), b / 3);
            across.insert((b / 3, b % 3), a / 3);
        }
    }
    let mut way = vec![0_i8; faces.len()];
    way[0] = 1;
    let mut open = vec![0_u32];
    while let Some(face) = open.pop() {
        let mine = way[face as usize];
        for side in 0..3 {
            let straight = edges.across[face as usize][side as usize];
            let (next, theirs) = match across.get(&(face, side)) {
                Some(next) => (*next, -mine),
                None if straight != NONE => (straight, mine),
                None => continue,
            };
            if way[next as usize] == 0 {
                way[next as usize] = theirs;
                open.push(next);
            } else if way[next as usize] != theirs {
                return Err(SkinFault::new(
                    "surface.file",
                    format!(
                        "the scan has only one side: going round a band through {} turns it over",
                        said(middle(positions, faces[next as usize]))
                    ),
                    "a skin with an outer side and a back",
                    "cut the band open in the scanning software",
                )
                .coded("SCAN-FLIPPED"));
            }
        }
    }
    let area = |sign: i8| -> f64 {
        let of = way.iter().zip(faces.iter()).filter(|(way, _)| **way == sign);
        of.map(|(_, face)| area_mm2(positions, *face)).sum()
    };
    let wrong = if area(1) < area(-1) { 1 } else { -1 };
    let found: Vec<Point3<f64>> = way
        .iter()
        .zip(faces.iter())
        .filter(|(way, _)| **way == wrong)
        .map(|(_, face)| middle(positions, *face))
        .collect();
    let told = format!(
        "{} triangle(s) run the wrong way round, {:.2} cm²: {}",
        found.len(),
        area(wrong) * 1e-2,
        places(&found)
    );
    if !turn {
        return Err(SkinFault::new(
            "surface.turn_flipped",
            told,
            "triangles that all look to one side",
            "unify the normals in the scanning software, or write `turn_flipped: true` to have \
             the smaller part turned",
        )
        .coded("SCAN-FLIPPED"));
    }
    notes.push(format!("scan: {told}; turned, as the panel file allows"));
    for (face, way) in faces.iter_mut().zip(&way) {
        if *way == wrong {
            face.swap(1, 2);
        }
    }
    *edges = pair(positions.len(), faces);
    Ok(())
}

/// Needles and folds.
///
/// # Errors
/// Folds of more than a trace.
pub(super) fn creased(
    positions: &[Point3<f64>],
    faces: &[[u32; 3]],
    edges: &Edges,
    notes: &mut Vec<String>,
) -> Result<(), SkinFault> {
    // Unit normals, and none where there is no height; single numbers are enough to tell a fold.
    let normals: Vec<Vector3<f32>> = faces
        .par_iter()
        .with_min_len(10_000)
        .map(|face| {
            let [a, b, c] = three(positions, *face);
            let (along, up, last) = (b - a, c - a, c - b);
            let twice = along.cross(&up);
            let longest = along.norm_squared().max(up.norm_squared()).max(last.norm_squared());
            let size = twice.norm();
            if size <= NEEDLE_MM * longest.sqrt() {
                Vector3::zeros()
            } else {
                (twice / size).cast()
            }
        })
        .collect();
    let needle = |number: usize| normals[number] == Vector3::zeros();
    let folded = |number: usize| {
        let mine = &normals[number];
        let [a, b, c] = edges.across[number];
        [a, b, c].iter().any(|next| {
            // The smaller one of two is the one that is folded.
            *next != NONE
                && mine.dot(&normals[*next as usize]) < FOLD_COSINE
                && (area_mm2(positions, faces[number]), number)
                    < (area_mm2(positions, faces[*next as usize]), *next as usize)
        })
    };
    let found: Vec<(usize, bool)> = (0..faces.len())
        .into_par_iter()
        .with_min_len(10_000)
        .filter_map(|number| {
            let thin = needle(number);
            (thin || folded(number)).then_some((number, thin))
        })
        .collect();
    let at = |thin: bool| -> Vec<Point3<f64>> {
        let which = found.iter().filter(|(_, needle)| *needle == thin);
        which.map(|(number, _)| middle(positions, faces[*number])).collect()
    };
    let needles = at(true);
    if !needles.is_empty() {
        notes.push(format!(
            "scan: {} triangle(s) without area, which hold their neighbours together: {}",
            needles.len(),
            places(&needles)
        ));
    }
    let folds = at(false);
    if folds.is_empty() {
        return Ok(());
    }
    let over: f64 = found
        .iter()
        .filter(|(_, thin)| !thin)
        .map(|(number, _)| area_mm2(positions, faces[*number]))
        .sum();
    let whole: f64 = faces.iter().map(|face| area_mm2(positions, *face)).sum();
    let told = format!(
        "{} triangle(s) are folded over their neighbours, {:.2} cm² or {:.3} % of the area: {}",
        folds.len(),
        over * 1e-2,
        100.0 * over / whole,
        places(&folds)
    );
    if over > FOLDED_SHARE * whole {
        return Err(SkinFault::new(
            "surface.file",
            told,
            format!("folds of at most {} % of the area", 100.0 * FOLDED_SHARE),
            "smooth the scan, or scan the places again",
        )
        .coded("SCAN-FOLDED"));
    }
    notes.push(format!("scan: {told}; kept"));
    Ok(())
}
