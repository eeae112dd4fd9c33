//! STL: a list of triangles, each with the places of its corners.
//!
//! Binary: 80 bytes of anything, the number of triangles, then 50 bytes each: a normal, three
//! corners and two bytes. The normals are not read; which way a face looks is told by the order
//! of its corners. Text: `facet ... vertex x y z ... endfacet` within `solid name`.

use rayon::prelude::*;

use super::corners::Corners;
use super::cursor::{Lines, Words};
use super::number::decimal;
use super::{MOST_TRIANGLES, OUT_EXPORT, ScanFile, ScanFormat, fault, shown, too_many};
use crate::diagnostic::Diagnostic;

const HEAD: usize = 84;
const EACH: usize = 50;
/// The file is read in so many shares side by side.
const SHARES: usize = 4;

fn claimed(bytes: &[u8]) -> Option<usize> {
    let count = bytes.get(80..HEAD)?.first_chunk::<4>()?;
    Some(u32::from_le_bytes(*count) as usize)
}

/// Whether the size is that of a binary file with the triangles it claims.
pub(super) fn size_fits(bytes: &[u8]) -> bool {
    claimed(bytes)
        .is_some_and(|count| count as u64 * EACH as u64 + HEAD as u64 == bytes.len() as u64)
}

/// The fault of a binary file whose size is not what it claims.
pub(super) fn not_whole(file: &str, bytes: &[u8]) -> Diagnostic {
    let problem = match claimed(bytes) {
        Some(count) => format!(
            "the file is no text and claims {count} triangles, which take {} bytes; it has {}",
            count as u64 * EACH as u64 + HEAD as u64,
            bytes.len()
        ),
        None => format!("{} bytes are too few for a binary STL", bytes.len()),
    };
    let accepted = "84 bytes and 50 for each triangle, or text that starts with `solid`";
    fault(file, None, "SCAN-CUT-SHORT", problem, accepted, OUT_EXPORT)
}

/// Reads the binary form; the size has been found to fit.
pub(super) fn binary(file: &str, bytes: &[u8]) -> Result<ScanFile, Diagnostic> {
    let body = bytes.get(HEAD..).unwrap_or_default();
    let count = body.len() / EACH;
    if count > MOST_TRIANGLES {
        return Err(too_many(file, None));
    }
    let mut scan = ScanFile::new(ScanFormat::BinaryStl);
    // A closed mesh has half as many corners as triangles, an open one a few more.
    let shares: Vec<&[u8]> = body.chunks(EACH * count.div_ceil(SHARES).max(1)).collect();
    let first_of = |share: usize| share * count.div_ceil(SHARES);
    let read: Vec<Result<Share, usize>> = shares.par_iter().map(|share| part(share)).collect();
    let mut corners = Corners::for_about(count / 2 + count / 16 + 16);
    scan.faces.reserve_exact(count);
    for (share, part) in read.into_iter().enumerate() {
        let (faces, places) = part.map_err(|number| {
            let number = first_of(share) + number;
            let problem = format!(
                "triangle {} (byte {}) has a coordinate that is no number",
                number + 1,
                HEAD + EACH * number + 13
            );
            fault(file, None, "SCAN-VALUE", problem, "plain numbers", OUT_EXPORT)
        })?;
        // In the order of the file, so that the numbers are those of reading it in one go.
        let known: Vec<u32> = places.into_iter().map(|place| corners.number(place)).collect();
        for [a, b, c] in faces {
            let number = |v: u32| known.get(v as usize).copied().unwrap_or(u32::MAX);
            scan.faces.push([number(a), number(b), number(c)]);
        }
    }
    scan.positions = corners.places;
    Ok(scan)
}

/// Triangles of a share of the file, and their corners.
type Share = (Vec<[u32; 3]>, Vec<[f64; 3]>);

/// Reads a share; the number of the triangle that holds no number where there is one.
fn part(bytes: &[u8]) -> Result<Share, usize> {
    let count = bytes.len() / EACH;
    let mut corners = Corners::for_about(count / 2 + count / 16 + 16);
    let mut faces = Vec::with_capacity(count);
    for (number, record) in bytes.chunks_exact(EACH).enumerate() {
        let Some(places) = record.get(12..48).and_then(|places| places.first_chunk::<36>()) else {
            continue;
        };
        let [a, b, c] = [place(places, 0), place(places, 12), place(places, 24)];
        if !a.iter().chain(&b).chain(&c).all(|x| x.is_finite()) {
            return Err(number);
        }
        faces.push([corners.number(a), corners.number(b), corners.number(c)]);
    }
    Ok((faces, corners.places))
}

#[inline]
fn place(bytes: &[u8; 36], from: usize) -> [f64; 3] {
    let one = |at: usize| {
        let four = bytes.get(at..).and_then(|rest| rest.first_chunk::<4>());
        f64::from(f32::from_le_bytes(four.copied().unwrap_or_default()))
    };
    [one(from), one(from + 4), one(from + 8)]
}

/// Reads the text form.
pub(super) fn text(file: &str, bytes: &[u8]) -> Result<ScanFile, Diagnostic> {
    let mut scan = ScanFile::new(ScanFormat::TextStl);
    let mut corners = Corners::for_about(bytes.len() / 500);
    let mut face: Vec<u32> = Vec::with_capacity(3);
    let mut lines = Lines::new(bytes);
    while let Some(line) = lines.filled() {
        let mut words = Words(line);
        let first = words.next().unwrap_or_default();
        let at = Some(lines.number);
        let value = |problem: String, accepted: &str| {
            Err(fault(file, at, "SCAN-VALUE", problem, accepted, OUT_EXPORT))
        };
        match first.to_ascii_lowercase().as_slice() {
            b"solid" => {
                let name = line.trim_ascii().get(5..).unwrap_or_default().trim_ascii();
                scan.part(&String::from_utf8_lossy(name));
            }
            b"vertex" => {
                let mut place = [0.0; 3];
                for x in &mut place {
                    let word = words.next().unwrap_or_default();
                    let Some(number) = decimal(word) else {
                        let problem = format!("found \"{}\" for a coordinate", shown(word));
                        return value(problem, "vertex x y z, three plain numbers");
                    };
                    *x = number;
                }
                face.push(corners.number(place));
            }
            b"endfacet" => {
                if face.len() != 3 {
                    let problem = format!("a facet with {} corners", face.len());
                    return value(problem, "three corners a facet");
                }
                if !scan.polygon(&face) {
                    return Err(too_many(file, at));
                }
                face.clear();
            }
            b"facet" | b"outer" | b"endloop" | b"endsolid" => {}
            _ => {
                let problem = format!("found \"{}\"", shown(line.trim_ascii()));
                let accepted = "solid, facet, outer loop, vertex, endloop, endfacet or endsolid";
                return value(problem, accepted);
            }
        }
    }
    if !face.is_empty() {
        let problem = "the file ends within a facet".to_owned();
        let at = Some(lines.number);
        return Err(fault(file, at, "SCAN-CUT-SHORT", problem, "whole facets", OUT_EXPORT));
    }
    scan.positions = corners.places;
    Ok(scan)
}
