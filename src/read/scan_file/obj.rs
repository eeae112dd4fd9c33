//! OBJ: corners, then faces that name them by number.
//!
//! `v x y z`, `f a b c ...` with numbers counted from 1, or back from the last corner when they
//! are negative; `g` and `o` start a named part. Texture and normal numbers after a slash, lines,
//! curves and materials are passed over. The text is read in shares side by side, and the shares
//! are put together in order.

use rayon::prelude::*;

use super::cursor::{Lines, Words};
use super::number::{decimal, integer};
use super::{MOST_TRIANGLES, OUT_EXPORT, ScanFile, ScanFormat, ScanPart, fault, shown, too_many};
use crate::diagnostic::Diagnostic;

/// The text is read in so many shares.
const SHARES: usize = 8;
/// Corners counted back lie this far above the others until the corners before them are known.
const COUNTED_BACK: i64 = 1 << 40;

/// A share of the text.
#[derive(Default)]
struct Share {
    positions: Vec<[f64; 3]>,
    faces: Vec<[i64; 3]>,
    parts: Vec<ScanPart>,
    polygons: usize,
    lines: usize,
    /// What stopped it: the line within the share, what was found and what is accepted.
    stopped: Option<(usize, String, &'static str)>,
}

/// Reads an OBJ file.
pub(super) fn read(file: &str, bytes: &[u8]) -> Result<ScanFile, Diagnostic> {
    let shares: Vec<Share> = split(bytes).into_par_iter().map(share).collect();
    let mut scan = ScanFile::new(ScanFormat::Obj);
    let mut lines = 0;
    for one in shares {
        if let Some((line, problem, accepted)) = one.stopped {
            let at = Some(lines + line);
            return Err(fault(file, at, "SCAN-VALUE", problem, accepted, OUT_EXPORT));
        }
        if scan.faces.len() + one.faces.len() > MOST_TRIANGLES {
            return Err(too_many(file, None));
        }
        let before = scan.positions.len() as i64;
        let first_face = scan.faces.len();
        for part in one.parts {
            let first_face = first_face + part.first_face;
            if scan.parts.last().is_some_and(|last| last.first_face == first_face) {
                scan.parts.pop();
            }
            scan.parts.push(ScanPart { first_face, ..part });
        }
        // A number that no corner has is found when the whole file is looked at.
        let number = |v: i64| {
            let v = if v > COUNTED_BACK / 2 { v - COUNTED_BACK + before } else { v };
            u32::try_from(v).unwrap_or(u32::MAX)
        };
        scan.faces.extend(one.faces.iter().map(|[a, b, c]| [number(*a), number(*b), number(*c)]));
        scan.positions.extend(one.positions);
        scan.polygons += one.polygons;
        lines += one.lines;
    }
    Ok(scan)
}

/// Cuts the text at ends of lines that do not go on.
fn split(bytes: &[u8]) -> Vec<&[u8]> {
    let each = bytes.len() / SHARES + 1;
    let mut shares = Vec::new();
    let mut rest = bytes;
    while rest.len() > each {
        let mut end = each;
        let ends = |end: usize| {
            let line = rest.get(..end).unwrap_or_default();
            rest.get(end) == Some(&b'\n') && !line.trim_ascii_end().ends_with(b"\\")
        };
        while end < rest.len() && !ends(end) {
            end += 1;
        }
        let Some((share, after)) = rest.split_at_checked((end + 1).min(rest.len())) else { break };
        shares.push(share);
        rest = after;
    }
    shares.push(rest);
    shares
}

fn share(bytes: &[u8]) -> Share {
    let mut done = Share::default();
    let mut face: Vec<i64> = Vec::new();
    let mut joined: Vec<u8> = Vec::new();
    let mut lines = Lines::new(bytes);
    while let Some(mut line) = lines.line() {
        let at = lines.number;
        if line.trim_ascii_end().ends_with(b"\\") {
            joined.clear();
            joined.extend_from_slice(line.trim_ascii_end());
            while joined.last() == Some(&b'\\') {
                joined.pop();
                joined.push(b' ');
                joined.extend_from_slice(lines.line().unwrap_or_default().trim_ascii_end());
            }
            line = &joined;
        }
        let mut words = Words(line);
        let read = match words.next() {
            Some(b"v") => place(&mut words).map(|place| done.positions.push(place)),
            Some(b"f") => {
                face.clear();
                let count = done.positions.len() as i64;
                let corners = words.try_for_each(|word| {
                    face.push(corner(word, count)?);
                    Ok(())
                });
                corners.and_then(|()| fan(&face, &mut done))
            }
            Some(b"g" | b"o") => {
                let name = String::from_utf8_lossy(words.0.trim_ascii()).into_owned();
                done.parts.push(ScanPart { name, first_face: done.faces.len() });
                Ok(())
            }
            _ => Ok(()),
        };
        if let Err((problem, accepted)) = read {
            done.stopped = Some((at, problem, accepted));
            return done;
        }
        if done.faces.len() > MOST_TRIANGLES {
            return done;
        }
    }
    done.lines = lines.number;
    done
}

/// What was found, and what is accepted.
type Wrong = (String, &'static str);

fn fan(face: &[i64], done: &mut Share) -> Result<(), Wrong> {
    let [first, rest @ ..] = face else {
        return Err(("a face without corners".to_owned(), "three numbers of corners or more"));
    };
    if rest.len() < 2 {
        let problem = format!("a face with {} corners", face.len());
        return Err((problem, "f a b c, three numbers of corners or more"));
    }
    done.polygons += usize::from(rest.len() > 2);
    done.faces.extend(rest.iter().zip(rest.iter().skip(1)).map(|(b, c)| [*first, *b, *c]));
    Ok(())
}

fn place(words: &mut Words<'_>) -> Result<[f64; 3], Wrong> {
    let mut place = [0.0; 3];
    for x in &mut place {
        let word = words.next().unwrap_or_default();
        *x = decimal(word).ok_or_else(|| {
            let problem = format!("found \"{}\" for a coordinate", shown(word));
            (problem, "v x y z, three plain numbers")
        })?;
    }
    Ok(place)
}

/// The corner that a word such as `12`, `-1` or `12/7/3` names, counted from 0.
fn corner(word: &[u8], count: i64) -> Result<i64, Wrong> {
    let end = word.iter().position(|byte| *byte == b'/').unwrap_or(word.len());
    let number = integer(word.get(..end).unwrap_or_default());
    match number {
        Some(number @ 1..=0xffff_ffff) => Ok(number - 1),
        Some(back @ -0xffff_ffff..=-1) => Ok(COUNTED_BACK + count + back),
        _ => {
            let problem = format!("found \"{}\" for a corner", shown(word));
            Err((problem, "numbers counted from 1, or negative ones counted back from the last"))
        }
    }
}
