//! One repair laid out: areas of removal, ground, prepared surface, every ply and every coat,
//! measured on the skin; marks that share ground are measured once, aligned from the outside in.

use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

use super::backing::Backing;
use super::laps::{self, LapRule, Laps};
use super::parent_match::ParentMatch;
use super::work::{MarkWork, Method, Part};
use crate::damage::depth::Reaches;
use crate::model::stock::Mat;
use crate::model::survey::Side;
use crate::quantity::Case;
use crate::rules::{Book, id};
use crate::surface::field::DistanceField;
use crate::surface::level::{self, Level};
use crate::surface::mesh::{Mesh, MeshPoint};

/// One ply of a repair.
#[derive(Debug, Clone)]
pub struct PlyArea<'s> {
    /// The side it is laid on.
    pub side: Side,
    /// Its mat.
    pub mat: &'s Mat,
    /// How far beyond the removal it goes, the farthest of the marks it serves; mm.
    pub reach_mm: f64,
    /// Its area on the skin, mm2.
    pub area_mm2: f64,
    /// Its laps, where it is wider than the roll.
    pub laps: Option<Laps>,
    /// What it is the union of; empty where only its share of an area is known.
    pub grounds: Vec<PlyGround>,
}

/// Everything on the skin within a distance of a mark of the repair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlyGround {
    /// Which of the repair's marks, as a place in its list of findings.
    pub mark: usize,
    /// Distance from the mark's origin over the skin, mm.
    pub out_mm: f64,
}

/// Areas of one repair in one case, mm2.
#[derive(Debug, Clone)]
pub struct Areas<'s> {
    /// How it is done: the heaviest method of its marks.
    pub method: Method,
    /// Where the parent is taken down to repair depth.
    pub removal_mm2: f64,
    /// Removal to the outermost coat.
    pub ground_mm2: f64,
    /// Ground and the keyed border round it.
    pub prepared_mm2: f64,
    /// Prepared surface on the back.
    pub prepared_back_mm2: f64,
    /// Prepared outer surface by region of the panel.
    pub prepared_by_region: BTreeMap<Option<u16>, f64>,
    /// Plies, from the floor up; then the backing.
    pub plies: Vec<PlyArea<'s>>,
    /// How it matches its parent, of its marks the one worst off.
    pub parent_match: Option<ParentMatch>,
    /// Surface tissue.
    pub tissue_mm2: f64,
    /// Gel or flow coat.
    pub coat_mm2: f64,
    /// The greatest depth taken down, mm of glass; 0 in gel.
    pub deepest_mm: f64,
    /// Ground of which a former, not the air, sees the gel coat: none in this form of the work.
    pub removal_outline: Vec<Vec<MeshPoint>>,
    /// What is taken down, by side; none where only paint is.
    pub worked: Vec<Worked>,
}

/// What removal and ground of one side are the unions of.
#[derive(Debug, Clone, PartialEq)]
pub struct Worked {
    /// The side.
    pub side: Side,
    /// The removal.
    pub removal: Vec<PlyGround>,
    /// The removal and what is tapered or, behind, keyed round it.
    pub ground: Vec<PlyGround>,
}

/// A convex shape as wide as the roll every way has at least this share of its square: an equilateral
/// triangle, the least of its width (Pál's theorem; textbook). Less leaves room for shapes bent
/// inwards.
const LEAST_SHARE: f64 = 0.1;

struct Member<'a, 'p, 's> {
    mark: usize,
    part: &'a Part<'s>,
    reach: &'a Arc<DistanceField<'p>>,
}

/// Grounds measured so far: plies, coats and cases often ask for the same reach again.
#[derive(Debug, Default)]
pub struct Measured<'f, 'p> {
    known: Vec<(Grounds<'f, 'p>, Rc<Level>)>,
}

/// Fields with how far out each goes, mm.
type Grounds<'f, 'p> = Vec<(&'f DistanceField<'p>, f64)>;

impl<'f, 'p> Measured<'f, 'p> {
    fn union(&mut self, mut grounds: Grounds<'f, 'p>) -> Rc<Level> {
        let same = |one: &(&DistanceField<'_>, f64), other: &(&DistanceField<'_>, f64)| {
            std::ptr::eq(one.0, other.0) && one.1.total_cmp(&other.1).is_eq()
        };
        // Of two reaches of one field the smaller adds nothing.
        let all = grounds.clone();
        let wider = |(field, out): &(&DistanceField<'_>, f64)| {
            all.iter().any(|(other, more)| std::ptr::eq(*other, *field) && more > out)
        };
        grounds.retain(|ground| !wider(ground));
        grounds.dedup_by(|one, other| same(one, other));
        let is_known = |known: &Grounds<'_, '_>| {
            known.len() == grounds.len() && known.iter().zip(&grounds).all(|(a, b)| same(a, b))
        };
        if let Some((_, level)) = self.known.iter().find(|(known, _)| is_known(known)) {
            return Rc::clone(level);
        }
        let level = Rc::new(level::union(&grounds));
        self.known.push((grounds, Rc::clone(&level)));
        level
    }
}

/// Lays out the works of one repair in one case.
#[must_use]
pub fn areas<'f, 'p, 's>(
    book: &Book,
    side: Side,
    works: &[&'f MarkWork<'p, 's>],
    case: Case,
    measured: &mut Measured<'f, 'p>,
) -> Areas<'s> {
    let members: Vec<Member<'f, 'p, 's>> = works
        .iter()
        .enumerate()
        .flat_map(|(mark, work)| {
            let reach = work.reach.get(case);
            work.cases.get(case).parts.iter().map(move |part| Member { mark, part, reach })
        })
        .collect();
    let grounds = |out: &dyn Fn(&Part<'s>) -> Option<f64>| -> Grounds<'f, 'p> {
        let beyond = |member: &Member<'f, 'p, 's>| {
            out(member.part).map(|beyond| (&**member.reach, member.part.removal_mm + beyond))
        };
        members.iter().filter_map(beyond).collect()
    };
    let mut union = |out: &dyn Fn(&Part<'s>) -> Option<f64>| measured.union(grounds(out));
    let below_paint = |part: &Part<'s>| part.depth != Reaches::Paint;
    let removal = union(&|part| below_paint(part).then_some(0.0));
    let ground = union(&|part| below_paint(part).then(|| part.outermost_mm()));
    let border_mm = match side {
        Side::Outer => book.figure(id::PREPARED),
        Side::Back => book.figure(id::BACKING_PREPARED),
    };
    let prepared = union(&|part| Some(part.outermost_mm() + border_mm));
    let mut plies = Vec::new();
    let most = members.iter().map(|member| member.part.plies.len()).max().unwrap_or(0);
    // Aligned from the outside in: last glass with last glass.
    for from_outside in (0..most).rev() {
        let of = |part: &Part<'s>| {
            let number = part.plies.len().checked_sub(from_outside + 1)?;
            part.plies.get(number).copied()
        };
        let out = |part: &Part<'s>| of(part).map(|ply| ply.reach_mm);
        let level = union(&out);
        let laid: Vec<_> = members.iter().filter_map(|member| of(member.part)).collect();
        let heaviest = laid.iter().max_by(|one, other| {
            one.mat.weight_g_m2.value().total_cmp(&other.mat.weight_g_m2.value())
        });
        let reach_mm = laid.iter().map(|ply| ply.reach_mm).fold(0.0, f64::max);
        if let Some(ply) = heaviest {
            let laps = lapped(book, ply.mat, plies.len(), &grounds(&out), &level);
            let area_mm2 = level.area_mm2;
            let ground = |member: &Member<'f, 'p, 's>| {
                let out_mm = member.part.removal_mm + out(member.part)?;
                Some(PlyGround { mark: member.mark, out_mm })
            };
            let grounds = members.iter().filter_map(ground).collect();
            plies.push(PlyArea { side, mat: ply.mat, reach_mm, area_mm2, laps, grounds });
        }
    }
    let tissue = union(&|part| part.tissue_mm);
    let coat = union(&|part| part.coat_mm);
    for work in works {
        let of = work.cases.get(case);
        if let (Some((mat, share)), Some(part)) = (of.mat_on_share, of.parts.first()) {
            let own = measured.union(vec![(&**work.reach.get(case), part.removal_mm)]).area_mm2;
            let area_mm2 = own * share;
            let grounds = Vec::new();
            plies.push(PlyArea { side, mat, reach_mm: 0.0, area_mm2, laps: None, grounds });
        }
    }
    let backing = backing(book, works, case, measured);
    plies.extend(backing.plies);
    let taken_down = |beyond: &dyn Fn(&Part<'s>) -> f64| -> Vec<PlyGround> {
        let below = members.iter().filter(|member| below_paint(member.part));
        let out_mm = |member: &Member<'f, 'p, 's>| member.part.removal_mm + beyond(member.part);
        below.map(|member| PlyGround { mark: member.mark, out_mm: out_mm(member) }).collect()
    };
    let front = Worked {
        side,
        removal: taken_down(&|_| 0.0),
        ground: taken_down(&|part| part.outermost_mm()),
    };
    let worked =
        [front, backing.worked].into_iter().filter(|one| !one.removal.is_empty()).collect();
    Areas {
        method: works
            .iter()
            .map(|work| work.cases.get(case).method)
            .max()
            .unwrap_or(Method::PaintOnly),
        removal_mm2: removal.area_mm2,
        ground_mm2: ground.area_mm2,
        prepared_mm2: prepared.area_mm2,
        prepared_back_mm2: backing.prepared_mm2,
        prepared_by_region: if side == Side::Outer {
            prepared.area_by_region_mm2.clone()
        } else {
            BTreeMap::new()
        },
        plies,
        parent_match: parent_match(works, case),
        tissue_mm2: tissue.area_mm2,
        coat_mm2: coat.area_mm2,
        deepest_mm: members.iter().map(|member| member.part.depth.glass_mm()).fold(0.0, f64::max),
        removal_outline: removal.outline.clone(),
        worked,
    }
}

/// The laps of a ply over some grounds, where the roll is narrower than it.
fn lapped(
    book: &Book,
    mat: &Mat,
    number: usize,
    grounds: &Grounds<'_, '_>,
    level: &Level,
) -> Option<Laps> {
    let rule = LapRule::of(book, mat);
    // Whatever is no larger than a strip of the roll as long as it is wide is not wider than it.
    if level.area_mm2 < rule.roll_mm * rule.roll_mm * LEAST_SHARE {
        return None;
    }
    let (first, _) = grounds.first()?;
    let mesh = first.mesh();
    let rim = level.outline.iter().flatten().map(|point| mesh.grid(point));
    // Where the ply ends at an edge of the panel there is no rim: its corners are vertices.
    let held = grounds.iter().flat_map(|(field, out_mm)| {
        let faces = field.faces_within(*out_mm);
        faces.into_iter().flat_map(move |face| {
            let corners = mesh.faces.get(face as usize).into_iter().flatten();
            corners
                .zip(field.corners(face))
                .filter(move |(_, distance)| *distance <= *out_mm)
                .filter_map(move |(vertex, _)| mesh.grid.get(*vertex as usize).copied())
        })
    });
    laps::of(&rim.chain(held).collect::<Vec<_>>(), mat.kind, number, &rule)
}

/// Of the marks of a repair the match worst off: outside most limits, then farthest from 1.
fn parent_match(works: &[&MarkWork<'_, '_>], case: Case) -> Option<ParentMatch> {
    let off = |found: &ParentMatch| {
        let ratios = [found.membrane, found.thickness];
        ratios.into_iter().map(|ratio| ratio.ln().abs()).fold(0.0, f64::max)
    };
    works.iter().filter_map(|work| work.cases.get(case).parent_match.clone()).max_by(
        |one, other| {
            one.outside.len().cmp(&other.outside.len()).then(off(one).total_cmp(&off(other)))
        },
    )
}

struct BackingAreas<'s> {
    plies: Vec<PlyArea<'s>>,
    prepared_mm2: f64,
    worked: Worked,
}

/// Plies behind, next to the skin first; those of several marks are aligned from the skin.
fn backing<'f, 'p, 's>(
    book: &Book,
    works: &[&'f MarkWork<'p, 's>],
    case: Case,
    measured: &mut Measured<'f, 'p>,
) -> BackingAreas<'s> {
    let backed: Vec<_> = works
        .iter()
        .enumerate()
        .filter_map(|(mark, work)| {
            Some((&work.cases.get(case).backing, work.back.get(case).as_ref()?, mark))
        })
        .collect();
    let most = backed.iter().map(|(of, ..)| of.len()).max().unwrap_or(0);
    let behind = |beyond_mm: &dyn Fn(&Backing<'_>) -> f64| -> Vec<PlyGround> {
        let each = backed.iter().flat_map(|(of, _, mark)| of.iter().map(move |of| (of, *mark)));
        each.map(|(of, mark)| PlyGround { mark, out_mm: of.removal_mm + beyond_mm(of) }).collect()
    };
    let keyed_mm = book.figure(id::BACKING_PREPARED);
    let worked = Worked {
        side: Side::Back,
        removal: behind(&|_| 0.0),
        ground: behind(&|of| of.reach_mm + keyed_mm),
    };
    let mut found = BackingAreas { plies: Vec::new(), prepared_mm2: 0.0, worked };
    for number in 0..most {
        let here: Vec<_> = backed
            .iter()
            .filter_map(|(of, reach, mark)| Some((*of.get(number)?, *reach, *mark)))
            .collect();
        let grounds: Grounds<'f, 'p> =
            here.iter().map(|(of, reach, _)| (&***reach, of.removal_mm + of.reach_mm)).collect();
        let heaviest = here.iter().map(|(of, ..)| *of).max_by(|one, other| {
            one.mat.weight_g_m2.value().total_cmp(&other.mat.weight_g_m2.value())
        });
        let Some(of) = heaviest else { continue };
        let level = measured.union(grounds.clone());
        found.plies.push(PlyArea {
            side: Side::Back,
            mat: of.mat,
            reach_mm: here.iter().map(|(of, ..)| of.reach_mm).fold(0.0, f64::max),
            area_mm2: level.area_mm2,
            laps: lapped(book, of.mat, number, &grounds, &level),
            grounds: here
                .iter()
                .map(|(of, _, mark)| PlyGround { mark: *mark, out_mm: of.removal_mm + of.reach_mm })
                .collect(),
        });
    }
    let beyond_mm = book.figure(id::BACKING_PREPARED);
    let prepared: Grounds<'f, 'p> = backed
        .iter()
        .flat_map(|(of, reach, _)| {
            of.iter().map(move |of| (&***reach, of.removal_mm + of.reach_mm + beyond_mm))
        })
        .collect();
    if !prepared.is_empty() {
        found.prepared_mm2 = measured.union(prepared).area_mm2;
    }
    found
}

/// The removal of one repair as its export gives it.
#[derive(Debug, Clone)]
pub enum RemovalShape {
    /// A line over the skin and how far to each side the parent goes, mm.
    Line {
        /// Places along it.
        points: Vec<[f64; 3]>,
        /// Half width.
        half_width_mm: f64,
    },
    /// The outline of an area and how far beyond it the removal goes, mm.
    Area {
        /// Places round it.
        points: Vec<[f64; 3]>,
        /// Growth beyond the outline.
        outward_mm: f64,
    },
}

/// A path over the mesh in space, mm.
#[must_use]
pub fn in_space(mesh: &Mesh, path: &[MeshPoint]) -> Vec<[f64; 3]> {
    path.iter()
        .map(|point| {
            let place = mesh.position(point);
            [place.x, place.y, place.z]
        })
        .collect()
}
