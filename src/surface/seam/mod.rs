//! Which panels are moulded in one, and how does the skin of each go on over its neighbours?
//!
//! Takes the seams of the body file and the panels by themselves; gives the panels with meshes
//! that go on over everything they hang together with. Each panel keeps its own grid, faces and
//! places. Lengths are mm. Seams must not lead round in a ring.

mod carry;
mod edge;
mod glue;

use std::collections::BTreeMap;

use nalgebra::Point3;

pub use self::carry::{carry, carry_point};
use self::edge::{NoStretch, Skin, Stretch, match_up};
pub use self::glue::Piece;
use self::glue::{Link, Part, glue};
use super::mesh::{Mesh, MeshPoint};
use super::placed::{OverSeam, PlacedFixing, PlacedPanel, point, sides};
use crate::diagnostic::Diagnostic;
use crate::model::body::{SeamEdge, SeamPlace};
use crate::model::panel::Material;
use crate::read::job::Job;

/// A place of a seam this far off its panel's edge is not on it (choice: a landmark's error), mm.
const OFF_EDGE_MM: f64 = 5.0;
/// Two edges of a seam may differ by the larger of these (choice: two tapes): mm and a share.
const LENGTHS_DIFFER: (f64, f64) = (5.0, 0.01);
/// Two seams on one edge may overlap by this, mm.
const OVERLAP_MM: f64 = 1.0;

/// One seam found on both skins.
struct Found {
    number: usize,
    of: [usize; 2],
    along: [Stretch; 2],
}

/// Joins the skins of panels that the body file says are moulded in one.
///
/// # Errors
/// Every seam that does not fit its panels.
pub fn join<'j>(
    job: &'j Job,
    mut panels: Vec<PlacedPanel<'j>>,
) -> Result<Vec<PlacedPanel<'j>>, Vec<Diagnostic>> {
    let seams = job.body.as_ref().map_or(&[][..], |body| &body.seams);
    if seams.is_empty() {
        return Ok(panels);
    }
    let mut skins: BTreeMap<usize, Skin> = BTreeMap::new();
    let mut faults = Vec::new();
    let mut found: Vec<Found> = Vec::new();
    let mut group: Vec<usize> = (0..panels.len()).collect();
    for number in 0..seams.len() {
        match find(job, &panels, &mut skins, number) {
            Err(fault) => faults.push(fault),
            Ok(seam) => {
                let [a, b] = seam.of.map(|panel| group.get(panel).copied().unwrap_or(panel));
                if let Some(fault) = overlap(job, &panels, &skins, &found, &seam) {
                    faults.push(fault);
                } else if a == b {
                    faults.push(ring(job, &panels, &seam));
                } else {
                    group.iter_mut().filter(|of| **of == a.max(b)).for_each(|of| *of = a.min(b));
                    found.push(seam);
                }
            }
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let order: Vec<usize> = skins.keys().copied().collect();
    let part_of = |panel: usize| order.iter().position(|known| *known == panel).unwrap_or(0);
    let mut skins: Vec<Skin> = skins.into_values().collect();
    // All ends first: the end of one seam may be a vertex of the next one's edge.
    for seam in &found {
        for (panel, along) in seam.of.iter().zip(&seam.along) {
            if let Some(skin) = skins.get_mut(part_of(*panel)) {
                skin.vertex_along(along, 0.0);
                skin.vertex_along(along, 1.0);
            }
        }
    }
    let mut links = Vec::new();
    for seam in &found {
        let [one, other] = seam.of.map(part_of);
        let pairs = match_up(&mut skins, (one, &seam.along[0]), (other, &seam.along[1]));
        links.push(Link { one, other, pairs });
    }
    let shape = |panel: usize, why: &dyn std::fmt::Display| {
        let of = found.iter().find(|seam| seam.of.contains(&panel));
        let field = format!("seams[{}]", of.map_or(0, |seam| seam.number));
        vec![job.fault(
            &job.body_file,
            &field,
            "SEAM-SHAPE",
            format!("the skins cannot be laid against each other: {why}"),
            "two edges of about the same shape on their panels' grids",
            "look at the places along the seam; give the seam in shorter stretches",
        )]
    };
    for (panel, skin) in order.iter().zip(&skins) {
        let mesh = skin.finish().map_err(|why| shape(*panel, &why))?;
        if let Some(placed) = panels.get_mut(*panel) {
            cut_anew(placed, mesh);
        }
    }
    let joined: Vec<(Mesh, Vec<Piece>)> = {
        let parts: Vec<Part<'_>> = order
            .iter()
            .filter_map(|panel| Some((*panel, panels.get(*panel)?)))
            .map(|(panel, placed)| Part {
                panel,
                mesh: &placed.mesh,
                regions: placed.of.panel.regions.len(),
            })
            .collect();
        (0..parts.len())
            .map(|root| {
                glue(&parts, &links, root)
                    .map_err(|why| shape(parts.get(root).map_or(0, |part| part.panel), &why))
            })
            .collect::<Result<_, _>>()?
    };
    let alone = panels.clone();
    for (panel, (mesh, pieces)) in order.iter().zip(joined) {
        if let Some(placed) = panels.get_mut(*panel) {
            let host = group.get(*panel).copied().filter(|host| host != panel);
            go_over(placed, &alone, mesh, pieces, host);
        }
    }
    Ok(panels)
}

/// Puts a mesh with more vertices on its rim in the place of a panel's own.
fn cut_anew(placed: &mut PlacedPanel<'_>, mesh: Mesh) {
    let moved = |at: &MeshPoint| mesh.nearest(placed.mesh.grid(at)).0;
    let landmarks = placed.landmarks.iter().map(|(name, at)| (*name, moved(at))).collect();
    let fixings = placed
        .fixings
        .iter()
        .map(|fixing| PlacedFixing { at: moved(&fixing.at), ..*fixing })
        .collect();
    (placed.landmarks, placed.fixings) = (landmarks, fixings);
    [placed.filled, placed.open, placed.back] = sides(&mesh);
    placed.mesh = mesh;
}

fn go_over<'j>(
    placed: &mut PlacedPanel<'j>,
    alone: &[PlacedPanel<'j>],
    mesh: Mesh,
    pieces: Vec<Piece>,
    host: Option<usize>,
) {
    placed.alone = Some(Box::new(placed.clone()));
    placed.host = host;
    [placed.filled, placed.open, placed.back] = sides(&mesh);
    placed.mesh = mesh;
    placed.over = pieces
        .into_iter()
        .skip(1)
        .filter_map(|piece| {
            let of = alone.get(piece.panel)?;
            let there = |at: MeshPoint| MeshPoint { face: at.face + piece.first_face, ..at };
            let fixings = of
                .fixings
                .iter()
                .map(|fixing| PlacedFixing { at: there(fixing.at), ..*fixing })
                .collect();
            Some(OverSeam { of: of.of, piece, fixings })
        })
        .collect();
}

/// Finds a seam on both its skins and checks that they fit.
fn find(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    skins: &mut BTreeMap<usize, Skin>,
    number: usize,
) -> Result<Found, Diagnostic> {
    let seam = job.body.as_ref().and_then(|body| body.seams.get(number));
    let fault = |field: &str, code, problem: String, accepted: &str, way_out: &str| {
        job.fault(
            &job.body_file,
            &format!("seams[{number}]{field}"),
            code,
            problem,
            accepted,
            way_out,
        )
    };
    let missing = || fault("", "SEAM-EDGE", "no such seam".to_owned(), "", "");
    let seam = seam.ok_or_else(missing)?;
    let mut of = [0; 2];
    let mut along = [Stretch { rim: 0, from_mm: 0.0, run_mm: 0.0 }; 2];
    for ((word, edge), (of, along)) in [("one", &seam.one), ("other", &seam.other)]
        .into_iter()
        .zip(of.iter_mut().zip(along.iter_mut()))
    {
        let panel = panels.iter().position(|panel| panel.of.name == edge.panel);
        let panel = panel.ok_or_else(missing)?;
        let placed = panels.get(panel).ok_or_else(missing)?;
        let at = format!(".{word}.along");
        let turned = |(face, _): (u32, usize)| {
            placed.mesh.tags.get(face as usize).is_some_and(|tag| tag.on_return)
        };
        if placed.mesh.boundary_edges().any(turned) {
            return Err(fault(
                &at,
                "SEAM-EDGE",
                format!("{:?} has a turned edge all round", edge.panel),
                "a panel without a turned edge",
                "leave out `edge_return_mm`, and give what is turned as a panel of its own",
            ));
        }
        if let std::collections::btree_map::Entry::Vacant(free) = skins.entry(panel) {
            let skin = Skin::new(&placed.mesh).ok_or_else(|| {
                fault(
                    &at,
                    "SEAM-EDGE",
                    format!("the edge of {:?} meets itself in a corner", edge.panel),
                    "an edge with one way round",
                    "correct the outline of the panel",
                )
            })?;
            free.insert(skin);
        }
        let skin = skins.get(&panel).ok_or_else(missing)?;
        *of = panel;
        *along = stretch(placed, skin, edge).map_err(|why| {
            let (place, problem) = match why {
                NoStretch::Off { place, miss_mm } => {
                    (place, format!("is {miss_mm:.0} mm off the edge of {:?}", edge.panel))
                }
                NoStretch::Apart { place } => {
                    (place, "is on another edge than the place before".to_owned())
                }
                NoStretch::EitherWay { place } => {
                    (place, "is about as far from the place before both ways round".to_owned())
                }
                NoStretch::BackAndForth { place } => {
                    (place, "leads back along the edge, or nowhere".to_owned())
                }
            };
            fault(
                &format!("{at}[{place}]"),
                "SEAM-EDGE",
                format!("the place {problem}"),
                &format!("places in order, each within {OFF_EDGE_MM} mm of the panel's edge"),
                "read the place off the edge again, or give one more place between",
            )
        })?;
    }
    let [one_mm, other_mm] = along.map(|stretch| stretch.run_mm.abs());
    let most_mm = LENGTHS_DIFFER.0.max(LENGTHS_DIFFER.1 * one_mm.max(other_mm));
    if (one_mm - other_mm).abs() > most_mm {
        return Err(fault(
            "",
            "SEAM-LENGTH",
            format!(
                "the edge of {:?} is {one_mm:.0} mm long and that of {:?} {other_mm:.0} mm",
                seam.one.panel, seam.other.panel
            ),
            &format!("two lengths within {most_mm:.0} mm of each other"),
            "look at the ends of the seam on both panels, and at the panels' sizes",
        ));
    }
    let [one, other] = along;
    if one.run_mm * other.run_mm > 0.0 {
        return Err(fault(
            "",
            "SEAM-SHAPE",
            format!(
                "the edges of {:?} and {:?} run the same way round: one skin would lie turned over on the other",
                seam.one.panel, seam.other.panel
            ),
            "both edges from the same end of the seam, seen from the outer side",
            "give the places of one of the two edges in the other order",
        ));
    }
    let material = |panel: usize| panels.get(panel).map(|placed| placed.of.panel.material);
    if let [Some(one), Some(other)] = of.map(material)
        && one != other
        && one != Material::Unknown
        && other != Material::Unknown
    {
        return Err(fault(
            "",
            "SEAM-MATERIAL",
            format!(
                "{:?} is {} and {:?} is {}",
                seam.one.panel,
                one.words(),
                seam.other.panel,
                other.words()
            ),
            "one material on both sides of what is moulded in one",
            "correct the material, or take the seam out where the panels are bonded",
        ));
    }
    Ok(Found { number, of, along })
}

fn stretch(placed: &PlacedPanel<'_>, skin: &Skin, edge: &SeamEdge) -> Result<Stretch, NoStretch> {
    let mut places = Vec::new();
    for (place, written) in edge.along.iter().enumerate() {
        let mesh = &placed.mesh;
        let at = match written {
            SeamPlace::On(u, v) => {
                let (at, miss_mm) = mesh.nearest(point((*u, *v)));
                if miss_mm > OFF_EDGE_MM {
                    return Err(NoStretch::Off { place, miss_mm });
                }
                mesh.position(&at)
            }
            SeamPlace::Xyz(x, y, z) => {
                let z = if placed.of.mirrored { -z.value() } else { z.value() };
                Point3::new(x.value(), y.value(), z)
            }
            SeamPlace::Landmark(name) => match placed.named_point(name) {
                Some(at) => mesh.position(&at),
                None => return Err(NoStretch::Off { place, miss_mm: f64::INFINITY }),
            },
        };
        places.push(at);
    }
    skin.stretch(&places, OFF_EDGE_MM)
}

fn overlap(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    skins: &BTreeMap<usize, Skin>,
    known: &[Found],
    seam: &Found,
) -> Option<Diagnostic> {
    for (panel, along) in seam.of.iter().zip(&seam.along) {
        let rim_mm = skins.get(panel)?.rims.get(along.rim)?.length_mm;
        let (start, run) = along.forward(rim_mm);
        for other in known {
            for (of, theirs) in other.of.iter().zip(&other.along) {
                let (from, length) = theirs.forward(rim_mm);
                let after = (from - start).rem_euclid(rim_mm);
                let shared = (run - after).max(after + length - rim_mm);
                if of == panel && theirs.rim == along.rim && shared > OVERLAP_MM {
                    let name = panels.get(*panel).map_or("", |placed| placed.of.name.as_str());
                    return Some(job.fault(
                        &job.body_file,
                        &format!("seams[{}]", seam.number),
                        "SEAM-OVERLAP",
                        format!(
                            "{:.0} mm of the edge of {name:?} are in seam {} as well",
                            shared.min(run).min(length),
                            other.number + 1
                        ),
                        "seams that share no stretch of an edge",
                        "end one seam where the other one starts",
                    ));
                }
            }
        }
    }
    None
}

fn ring(job: &Job, panels: &[PlacedPanel<'_>], seam: &Found) -> Diagnostic {
    let [one, other] =
        seam.of.map(|panel| panels.get(panel).map_or("", |placed| placed.of.name.as_str()));
    job.fault(
        &job.body_file,
        &format!("seams[{}]", seam.number),
        "SEAM-RING",
        format!("{one:?} and {other:?} are already joined by other seams"),
        "seams that lead from panel to panel without closing a ring",
        "take out the seam of the ring that is farthest from any mark; nothing goes on over it then",
    )
}
