//! From which landmarks would tapes hold a place better?
//!
//! Takes a place, the tapes it was laid with and the landmarks of its panel; gives the third
//! landmark and the fresh pair that leave the smallest error, with what each tape would read.
//! Readings are mm over the skin.

use super::ellipse::Ellipse;
use super::field::DistanceField;
use super::mesh::{Mesh, MeshPoint};
use super::origin::Origin;
use super::trace::{Direction, trace};

/// Longer than any panel: the whole skin is asked, mm.
const WHOLE_MM: f64 = 3e4;
/// A way walked back must end this near the place, mm; else it bends round something on its way
/// and its bearing is not known.
const BACK_MM: f64 = 2.0;
/// A landmark nearer than this is no start for a tape, mm.
const NEAREST_MM: f64 = 50.0;

/// A tape that could be laid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offer<'a> {
    /// The landmark.
    pub landmark: &'a str,
    /// What the tape would read, if the place is right, mm.
    pub reading_mm: f64,
    bearing_deg: f64,
}

/// Better tapes for one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice<'a> {
    /// The third tape that helps most, and the error it leaves, mm.
    pub third: Option<(Offer<'a>, f64)>,
    /// The pair that places best by itself, and the error it leaves, mm.
    pub pair: Option<([Offer<'a>; 2], f64)>,
}

/// Looks through the landmarks; `laid` are those of the tapes already laid, `laid_deg` the bearings
/// of these tapes, and `error_mm` is the error of one tape.
#[must_use]
pub fn advice<'a>(
    mesh: &Mesh,
    passable: &[bool],
    landmarks: &[(&'a str, MeshPoint)],
    at: MeshPoint,
    (laid, laid_deg): (&[&str], &[f64]),
    error_mm: f64,
) -> Advice<'a> {
    let offers = offers(mesh, passable, landmarks, at);
    let error_of = |bearings: &[f64]| Ellipse::of_tapes(bearings, error_mm).radius_mm();
    let fresh = offers.iter().filter(|offer| !laid.contains(&offer.landmark));
    let third = fresh.map(|offer| {
        let all: Vec<f64> = laid_deg.iter().copied().chain([offer.bearing_deg]).collect();
        (*offer, error_of(&all))
    });
    let pairs = offers
        .iter()
        .enumerate()
        .flat_map(|(number, one)| offers.iter().skip(number + 1).map(move |other| [*one, *other]));
    let pair = pairs.map(|pair| (pair, error_of(&pair.map(|offer| offer.bearing_deg))));
    Advice {
        third: third.min_by(|one, other| one.1.total_cmp(&other.1)),
        pair: pair.min_by(|one, other| one.1.total_cmp(&other.1)),
    }
}

/// Every landmark with the distance and bearing of its tape at the place.
fn offers<'a>(
    mesh: &Mesh,
    passable: &[bool],
    landmarks: &[(&'a str, MeshPoint)],
    at: MeshPoint,
) -> Vec<Offer<'a>> {
    let Ok(field) = DistanceField::spread(mesh, passable, &Origin::point(at), WHOLE_MM) else {
        return Vec::new();
    };
    let here = mesh.position(&at);
    let offer = |(name, start): &(&'a str, MeshPoint)| {
        let reading_mm = field.at(start);
        if !(NEAREST_MM..WHOLE_MM).contains(&reading_mm) {
            return None;
        }
        // The tape runs the shortest way the other way round.
        let back = Direction::Along(-field.direction(start)?);
        let walked = trace(mesh, passable, *start, back, reading_mm);
        let end = mesh.position(walked.path.last()?);
        ((end - here).norm() <= BACK_MM).then_some(Offer {
            landmark: name,
            reading_mm,
            bearing_deg: walked.end_angle_deg,
        })
    };
    landmarks.iter().filter_map(offer).collect()
}
