//! One ply: from its rim on the skin to the pieces it is cut in.

use std::rc::Rc;

use nalgebra::Point2;

use super::outline::{between, holds, signed_area_mm2, simpler};
use super::stretch::Stretch;
use crate::buy::nest::{Piece, Turns, outline_fault};
use crate::model::stock::{Mat, Reinforcement};
use crate::model::survey::Side;
use crate::repair::laps::{LapRule, strips};
use crate::repair::layout::PlyArea;
use crate::repair::ply_ground::{OnSkin, PlyFields};
use crate::rules::{Book, id};
use crate::surface::flatten::LaidFlat;
use crate::surface::mesh::Mesh;

/// Corners are left out that lie this near to the outline, mm, and at most this share of its size.
const OFF_MM: f64 = 0.25;
const OFF_SHARE: f64 = 0.003;
/// A line round less than this is no part of a ply, mm2.
const LEAST_MM2: f64 = 1.0;

/// A part of a ply that hangs together, laid flat.
#[derive(Debug, Clone, PartialEq)]
pub struct FlatPart {
    /// Its outline, counter-clockwise, mm.
    pub outline_mm: Vec<Point2<f64>>,
    /// Outlines of its holes, mm: cut out after it is cut.
    pub holes_mm: Vec<Vec<Point2<f64>>>,
    /// Its area without holes, mm2.
    pub area_mm2: f64,
    /// What it is off the skin by.
    pub stretch: Stretch,
    /// Strips it is cut in; 1 where it comes off the roll whole.
    pub strips: usize,
}

/// A ply laid flat.
#[derive(Debug, Clone)]
pub struct PlyPattern<'s> {
    /// The repair.
    pub repair: String,
    /// Which of its plies, from 1.
    pub ply: usize,
    /// The side it is laid on.
    pub side: Side,
    /// Its mat.
    pub mat: &'s Mat,
    /// How far beyond the removal it goes, mm.
    pub reach_mm: f64,
    /// Area on the skin, m2: masses come from this one.
    pub skin_m2: f64,
    /// Area of the flat pattern, holes left out, m2.
    pub flat_m2: f64,
    /// What lies double in the laps between strips, m2.
    pub lap_m2: f64,
    /// Its parts.
    pub parts: Vec<FlatPart>,
    /// Over all parts: least and most, mean square by area, curvature added up; the place of the
    /// worst is that of the worst part.
    pub stretch: Stretch,
    /// What to do where the pattern is off the skin by more than the rule `CUT-STRETCH` allows.
    pub notes: Vec<String>,
    /// What is cut.
    pub pieces: Vec<Piece>,
}

/// Which ply this is.
pub(super) struct Place<'a> {
    pub repair: &'a str,
    /// From 1.
    pub ply: usize,
    /// Among the plies of its side, from 0: every other one is lapped elsewhere.
    pub on_side: usize,
}

/// Draws a ply.
///
/// # Errors
/// In words, why there is no pattern.
pub(super) fn of<'s>(
    book: &Book,
    mesh: &Mesh,
    fields: &PlyFields<'_>,
    ply: &PlyArea<'s>,
    place: &Place<'_>,
) -> Result<PlyPattern<'s>, String> {
    let on_skin = fields.ply(ply).ok_or_else(|| {
        "cut where it is needed: only its share of an area is known, not its outline".to_owned()
    })?;
    let mut parts = parts(mesh, &on_skin)?;
    let sum = |of: &dyn Fn(&FlatPart) -> f64| parts.iter().map(of).sum::<f64>();
    let flat_mm2 = sum(&|part| part.area_mm2);
    let squares = sum(&|part| part.area_mm2 * part.stretch.rms_percent.powi(2));
    let curvature = sum(&|part| part.stretch.curvature);
    let worse = |one: Stretch, other: &Stretch| Stretch {
        least_percent: one.least_percent.min(other.least_percent),
        most_percent: one.most_percent.max(other.most_percent),
        ..(if other.worst_percent().abs() > one.worst_percent().abs() { *other } else { one })
    };
    let first = parts.first().map(|part| part.stretch).ok_or("it has no rim that closes")?;
    let stretch = Stretch {
        rms_percent: (squares / flat_mm2).sqrt(),
        curvature,
        ..parts.iter().fold(first, |all, part| worse(all, &part.stretch))
    };
    let (pieces, lap_mm2) = pieces(book, ply.mat, place, &mut parts)?;
    Ok(PlyPattern {
        repair: place.repair.to_owned(),
        ply: place.ply,
        side: ply.side,
        mat: ply.mat,
        reach_mm: ply.reach_mm,
        skin_m2: ply.area_mm2 * 1e-6,
        flat_m2: flat_mm2 * 1e-6,
        lap_m2: lap_mm2 * 1e-6,
        notes: notes(book, ply.area_mm2, flat_mm2, &parts),
        parts,
        stretch,
        pieces,
    })
}

fn parts(mesh: &Mesh, on_skin: &OnSkin) -> Result<Vec<FlatPart>, String> {
    Ok(laid(mesh, on_skin)?.into_iter().map(|one| one.part).collect())
}

/// A part with the sheet it lies on.
#[derive(Debug)]
pub struct LaidPart<'m> {
    /// The part.
    pub part: FlatPart,
    /// Which of the lines on the skin is its outline; it ends where it began.
    pub rim: usize,
    /// Where the skin comes to lie.
    pub sheet: Rc<LaidFlat<'m>>,
}

/// Lays a piece of skin flat and sorts its lines: one that an odd number of others hold is a hole.
///
/// # Errors
/// In words, why there is no pattern.
pub fn laid<'m>(mesh: &'m Mesh, on_skin: &OnSkin) -> Result<Vec<LaidPart<'m>>, String> {
    let mut found = Vec::new();
    let mut lost = on_skin.rim.len();
    for sheet in LaidFlat::of(mesh, &on_skin.faces).into_iter().map(Rc::new) {
        let mut lines: Vec<Vec<Point2<f64>>> = Vec::new();
        let mut rims = Vec::new();
        for (rim, line) in on_skin.rim.iter().enumerate() {
            let mut flat = sheet.line(line);
            if flat.len() != line.len() {
                continue;
            }
            lost = lost.saturating_sub(1);
            // It ends where it began; an outline does not.
            flat.pop();
            flat.dedup_by(|a, b| (*a - *b).norm() < 1e-6);
            if signed_area_mm2(&flat).abs() > LEAST_MM2 {
                lines.push(flat);
                rims.push(rim);
            }
        }
        let Some(stretch) = Stretch::of(mesh, &sheet) else { continue };
        let held = |line: &[Point2<f64>]| -> Vec<usize> {
            let Some(point) = line.first() else { return Vec::new() };
            let others = lines.iter().enumerate();
            others
                .filter(|(_, other)| !std::ptr::eq(other.as_ptr(), line.as_ptr()))
                .filter(|(_, other)| holds(other, point))
                .map(|(number, _)| number)
                .collect()
        };
        let depth: Vec<Vec<usize>> = lines.iter().map(|line| held(line)).collect();
        for (number, ((line, by), rim)) in lines.iter().zip(&depth).zip(&rims).enumerate() {
            if by.len() % 2 == 1 {
                continue;
            }
            let own = lines
                .iter()
                .zip(&depth)
                .filter(|(_, of)| of.len() == by.len() + 1 && of.contains(&number));
            let holes: Vec<_> = own.map(|(hole, _)| hole.clone()).collect();
            let holes_mm2: f64 = holes.iter().map(|hole| signed_area_mm2(hole).abs()).sum();
            let part = FlatPart {
                outline_mm: with_fewer_corners(line)?,
                holes_mm: holes
                    .iter()
                    .map(|hole| with_fewer_corners(hole))
                    .collect::<Result<_, _>>()?,
                area_mm2: signed_area_mm2(line).abs() - holes_mm2,
                stretch,
                strips: 1,
            };
            found.push(LaidPart { part, rim: *rim, sheet: Rc::clone(&sheet) });
        }
    }
    if lost > 0 { Err("part of its rim does not lie on the sheet".to_owned()) } else { Ok(found) }
}

fn with_fewer_corners(line: &[Point2<f64>]) -> Result<Vec<Point2<f64>>, String> {
    let off_mm = OFF_MM.min(OFF_SHARE * signed_area_mm2(line).abs().sqrt());
    let drawn = simpler(line, off_mm);
    let drawn = if outline_fault(&drawn).is_none() { drawn } else { simpler(line, 0.0) };
    if outline_fault(&drawn).is_some() {
        return Err("its outline touches itself on the sheet: cut it in two".to_owned());
    }
    Ok(drawn)
}

/// The pieces of all parts, none wider than the roll, and the area of their laps, mm2.
fn pieces(
    book: &Book,
    mat: &Mat,
    place: &Place<'_>,
    parts: &mut [FlatPart],
) -> Result<(Vec<Piece>, f64), String> {
    let rule = LapRule::of(book, mat);
    let is_mat = mat.kind == Reinforcement::Mat;
    let several = parts.len() > 1;
    let (mut pieces, mut lap_mm2) = (Vec::new(), 0.0);
    for (number, part) in parts.iter_mut().enumerate() {
        let mut id = format!("{} ply {}", place.repair, place.ply);
        if several {
            id += &format!(" part {}", number + 1);
        }
        let piece = |id: String, outline_mm: Vec<Point2<f64>>| Piece {
            id,
            outline_mm,
            copies: 1,
            material: mat.name.clone(),
            turns: if is_mat { Turns::Any } else { Turns::QuarterTurns },
            may_be_turned_over: is_mat,
        };
        let Some(cut) = strips(&part.outline_mm, mat.kind, place.on_side, &rule) else {
            pieces.push(piece(id, part.outline_mm.clone()));
            continue;
        };
        let outlines: Vec<Vec<Point2<f64>>> = cut
            .spans_mm
            .iter()
            .flat_map(|span| between(&part.outline_mm, &cut.across, *span))
            .filter(|outline| signed_area_mm2(outline).abs() > LEAST_MM2)
            .collect();
        if outlines.iter().any(|outline| outline_fault(outline).is_some()) {
            return Err("a strip of it touches itself on the sheet: cut it in two".to_owned());
        }
        let all: f64 = outlines.iter().map(|outline| signed_area_mm2(outline).abs()).sum();
        lap_mm2 += all - signed_area_mm2(&part.outline_mm).abs();
        part.strips = outlines.len();
        let strip = |(number, outline)| piece(format!("{id} strip {}", number + 1), outline);
        pieces.extend(outlines.into_iter().enumerate().map(strip));
    }
    Ok((pieces, lap_mm2))
}

/// Where a dart or a split is needed, and which way.
fn notes(book: &Book, skin_mm2: f64, flat_mm2: f64, parts: &[FlatPart]) -> Vec<String> {
    let (limit, lap_mm) = (book.figure(id::CUT_STRETCH), book.figure(id::LAP));
    let mut notes = Vec::new();
    for (number, part) in parts.iter().enumerate() {
        let of = part.stretch;
        let worst = of.worst_percent();
        if worst.abs() <= limit {
            continue;
        }
        let which = if parts.len() > 1 { format!("part {}: ", number + 1) } else { String::new() };
        let (longer, cure) = if worst > 0.0 {
            ("longer", format!("take it up in a dart, or split it and lap it by {lap_mm:.0} mm"))
        } else {
            ("shorter", format!("split it and lap in more mat, {lap_mm:.0} mm on each side"))
        };
        notes.push(format!(
            "{which}the pattern is {:.1} % {longer} than the skin (limit {limit} %, CUT-STRETCH), \
             worst at x {:.0} y {:.0} mm along {:.0} degrees: {cure}, the cut square to that \
             direction, from the nearest rim to there; mat drapes, woven cloth less so",
            worst.abs(),
            of.worst_at_mm.x,
            of.worst_at_mm.y,
            of.worst_towards_deg,
        ));
    }
    let off = 100.0 * (flat_mm2 / skin_mm2 - 1.0);
    if off.abs() > limit {
        let what = if off > 0.0 { "larger" } else { "smaller" };
        notes.push(format!(
            "the pattern is {:.1} % {what} than the ply on the skin (limit {limit} %, CUT-STRETCH): \
             try it dry, and dart or split it with a lap of {lap_mm:.0} mm",
            off.abs()
        ));
    }
    notes
}
