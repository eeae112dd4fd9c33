//! How a panel is seen: from where one would stand, or laid flat. Either way a view is one function
//! from points of the skin to the sheet, and everything is drawn through it.

use nalgebra::{Matrix2, Point2, Vector2, Vector3};

use super::content::is_face;
use super::ground::at_least;
use super::laid;
use crate::surface::flatten::LaidFlat;
use crate::surface::mesh::{FaceId, Mesh, MeshPoint};
use crate::surface::placed::PlacedPanel;

/// A face turned farther from the eye than this, as a cosine, is not drawn.
const TURNED_AWAY: f64 = 0.03;
/// Steps of slope that greys may stand for, degrees.
const STEPS_DEG: [f64; 7] = [1.0, 2.0, 3.0, 5.0, 10.0, 15.0, 20.0];
/// Greys from turned up to turned down: light, so that every line stays readable on them.
const GREYS: [&str; 6] = ["#f6f6f6", "#ededed", "#e4e4e4", "#dbdbdb", "#d2d2d2", "#c9c9c9"];

/// From points of the skin to places in mm, x to the right and y up; none where nothing is drawn.
pub(super) type Place<'m> = Box<dyn Fn(&MeshPoint) -> Option<Point2<f64>> + 'm>;

/// A panel as it is seen.
pub(super) struct View<'m> {
    pub(super) place: Place<'m>,
    /// Shades of grey from the lightest on, each painted over the one before.
    pub(super) shades: Vec<(&'static str, Vec<Vec<MeshPoint>>)>,
    /// Areas on it are those on the skin as nearly as is said.
    pub(super) is_flat: bool,
    /// How true it is.
    pub(super) says: Vec<String>,
}

/// The frame in which one stands before a panel: to the right, up, towards the eye.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stand {
    pub(super) right: Vector3<f64>,
    pub(super) up: Vector3<f64>,
    pub(super) towards: Vector3<f64>,
}

/// Where one would stand to look at a panel: on the mean normal of its face, v upwards.
pub(super) fn stand(on: &PlacedPanel<'_>) -> Option<Stand> {
    let mesh = &on.mesh;
    let (mut towards, mut up) = (Vector3::zeros(), Vector3::zeros());
    for (face, _) in (0_u32..).zip(&mesh.faces).filter(|(face, _)| is_face(on, *face)) {
        let [a, b, c] = [0, 1, 2].map(|corner| mesh.on_edge(face, corner, 0.0));
        let [p, q, r] = [a, b, c].map(|at| mesh.position(&at));
        towards += (q - p).cross(&(r - p));
        let [f, g, h] = [a, b, c].map(|at| mesh.grid(&at));
        let on_grid = Matrix2::from_columns(&[g - f, h - f]).try_inverse();
        if let Some(back) = on_grid {
            let shares = back * Vector2::new(0.0, 1.0);
            up += ((q - p) * shares.x + (r - p) * shares.y) * mesh.face_area_mm2(face);
        }
    }
    let towards = towards.try_normalize(1e-9)?;
    let up = (up - towards * up.dot(&towards)).try_normalize(1e-9)?;
    Some(Stand { right: up.cross(&towards), up, towards })
}

fn normal(mesh: &Mesh, face: FaceId) -> Vector3<f64> {
    let [p, q, r] = [0, 1, 2].map(|corner| mesh.position(&mesh.on_edge(face, corner, 0.0)));
    (q - p).cross(&(r - p))
}

/// The panel as one sees it who stands before it.
pub(super) fn stood<'m>(on: &'m PlacedPanel<'_>) -> Option<View<'m>> {
    let mesh = &on.mesh;
    let stand = stand(on)?;
    let seen: Vec<bool> = (0_u32..)
        .zip(&mesh.faces)
        .map(|(face, _)| {
            let normal = normal(mesh, face);
            is_face(on, face) && normal.dot(&stand.towards) > TURNED_AWAY * normal.norm()
        })
        .collect();
    let area = |keep: &dyn Fn(FaceId) -> bool| -> f64 {
        (0_u32..)
            .zip(&mesh.faces)
            .filter(|(face, _)| is_face(on, *face) && keep(*face))
            .map(|(face, _)| mesh.face_area_mm2(face))
            .sum()
    };
    let shows = |face: FaceId| seen.get(face as usize).copied().unwrap_or(false);
    let share = area(&shows) / area(&|_| true).max(1e-9);
    let mut says = Vec::new();
    if share < 0.9995 {
        says.push(format!(
            "{:.1} % of the face is turned away from the eye and left out, with what is on it.",
            (100.0 * (1.0 - share)).max(0.1)
        ));
    }
    if mesh.tags.iter().any(|tag| tag.on_return) {
        says.push("The turned edge is left out.".to_owned());
    }
    let (step_deg, shades) = shaded(on, &stand, &shows);
    if let Some(step_deg) = step_deg {
        says.push(format!(
            "Each step of grey is {step_deg:.0} degrees of slope, darker where the skin turns down and to the right."
        ));
    }
    let place = move |at: &MeshPoint| {
        seen.get(at.face as usize).copied().unwrap_or(false).then(|| {
            let place = mesh.position(at).coords;
            Point2::new(place.dot(&stand.right), place.dot(&stand.up))
        })
    };
    Some(View { place: Box::new(place), shades, is_flat: false, says })
}

type Shades = Vec<(&'static str, Vec<Vec<MeshPoint>>)>;

/// Parts of the face by how far they turn down and to the right.
fn shaded(
    on: &PlacedPanel<'_>,
    stand: &Stand,
    shows: &dyn Fn(FaceId) -> bool,
) -> (Option<f64>, Shades) {
    let mesh = &on.mesh;
    let keep = |face: FaceId| is_face(on, face) && shows(face);
    let mut normals = vec![Vector3::zeros(); mesh.positions.len()];
    for (face, corners) in (0_u32..).zip(&mesh.faces).filter(|(face, _)| keep(*face)) {
        let normal = normal(mesh, face);
        for corner in corners {
            if let Some(sum) = normals.get_mut(*corner as usize) {
                *sum += normal;
            }
        }
    }
    let way = (stand.right - stand.up) * std::f64::consts::FRAC_1_SQRT_2;
    let tilt_deg = |vertex: u32| {
        let normal = normals.get(vertex as usize).and_then(|sum| sum.try_normalize(1e-9));
        normal.map_or(0.0, |normal| normal.dot(&way).clamp(-1.0, 1.0).asin().to_degrees())
    };
    let kept = (0_u32..).zip(&mesh.faces).filter(|(face, _)| keep(*face));
    let all = kept.flat_map(|(_, corners)| corners.iter().map(|vertex| tilt_deg(*vertex)));
    let (low, high) = all
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| (low.min(one), high.max(one)));
    if high - low < 1.0 {
        return (None, Vec::new());
    }
    let most = GREYS.len() as f64;
    let step = STEPS_DEG.into_iter().find(|step| (high - low) / step <= most);
    let step = step.unwrap_or((high - low) / most);
    let first = (low / step).floor() * step;
    let levels = GREYS.iter().zip(0_u32..).map(|(grey, number)| {
        (*grey, if number == 0 { f64::NEG_INFINITY } else { first + step * f64::from(number) })
    });
    let shades = levels
        .take_while(|(_, level)| *level < high)
        .map(|(grey, level)| (grey, at_least(mesh, &keep, &tilt_deg, level.max(-1e3))))
        .collect();
    (Some(step), shades)
}

/// The panel laid flat; `turned` says that something lies on its turned edges.
pub(super) fn flat<'m>(
    on: &'m PlacedPanel<'_>,
    sheet: Option<&'m (LaidFlat<'m>, &'m Mesh)>,
    turned: bool,
) -> View<'m> {
    let mesh = &on.mesh;
    let mut says = Vec::new();
    let place = move |at: &MeshPoint| match sheet {
        // A mirrored panel comes with v downwards: half a turn brings it up.
        Some((sheet, lattice)) => laid::place(sheet, lattice, mesh.grid(at))
            .map(|at| Point2::from(at.coords * mesh.chart_sense())),
        None => {
            let grid = mesh.grid(at);
            Some(Point2::new(mesh.chart_sense() * grid.x, grid.y))
        }
    };
    if let Some(off) = laid::off(on, false, &place) {
        says.push(format!(
            "On this sheet areas are off by at most {:.1} % anywhere.",
            (off * 1000.0).ceil() / 10.0
        ));
    }
    let has_edge = mesh.tags.iter().any(|tag| tag.on_return);
    if let (true, Some(off)) = (turned, laid::off(on, true, &place)) {
        says.push(format!(
            "The turned edge is drawn straight on from the face; at its corners areas on it are off by up to {:.0} %.",
            (100.0 * off).ceil()
        ));
    } else if has_edge {
        says.push("The turned edge is not drawn; nothing is on it.".to_owned());
    }
    let open = |face: FaceId| on.open.get(face as usize).copied().unwrap_or(false);
    let drawn: Vec<bool> = (0_u32..)
        .zip(&mesh.faces)
        .map(|(face, _)| is_face(on, face) || turned && open(face))
        .collect();
    let place = move |at: &MeshPoint| {
        drawn.get(at.face as usize).copied().unwrap_or(false).then(|| place(at)).flatten()
    };
    View { place: Box::new(place), shades: Vec::new(), is_flat: true, says }
}

/// Share of the face that is turned farther than so many degrees from the eye.
pub(super) fn turned_share(on: &PlacedPanel<'_>, deg: f64) -> f64 {
    let Some(stand) = stand(on) else { return 1.0 };
    let (mut whole, mut turned) = (0.0, 0.0);
    for (face, _) in (0_u32..).zip(&on.mesh.faces).filter(|(face, _)| is_face(on, *face)) {
        let area = on.mesh.face_area_mm2(face);
        whole += area;
        if normal(&on.mesh, face).angle(&stand.towards).to_degrees() > deg {
            turned += area;
        }
    }
    turned / f64::max(whole, 1e-9)
}

/// The largest angle between the face and the sheet as one stands before it, degrees.
pub(super) fn steepest_deg(on: &PlacedPanel<'_>) -> f64 {
    let Some(stand) = stand(on) else { return 0.0 };
    let faces = (0_u32..).zip(&on.mesh.faces).filter(|(face, _)| is_face(on, *face));
    faces
        .map(|(face, _)| normal(&on.mesh, face).angle(&stand.towards).to_degrees())
        .fold(0.0, f64::max)
}
