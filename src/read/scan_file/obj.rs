//! OBJ: corners, then faces that name them by number.
//!
//! `v x y z`, `f a b c ...` with numbers counted from 1, or back from the last corner when they
//! are negative; `g` and `o` start a named part. Texture and normal numbers after a slash, lines,
//! curves and materials are passed over.

use super::cursor::{Lines, Words};
use super::number::{decimal, integer};
use super::{OUT_EXPORT, ScanFile, ScanFormat, fault, shown, too_many};
use crate::diagnostic::Diagnostic;

/// Reads an OBJ file.
pub(super) fn read(file: &str, bytes: &[u8]) -> Result<ScanFile, Diagnostic> {
    let mut scan = ScanFile::new(ScanFormat::Obj);
    let mut face: Vec<u32> = Vec::new();
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
        match words.next() {
            Some(b"v") => scan.positions.push(place(file, at, &mut words)?),
            Some(b"f") => {
                face.clear();
                for word in words {
                    face.push(corner(file, at, word, scan.positions.len())?);
                }
                if face.len() < 3 {
                    let problem = format!("a face with {} corners", face.len());
                    let accepted = "f a b c, three numbers of corners or more";
                    return Err(fault(file, Some(at), "SCAN-VALUE", problem, accepted, OUT_EXPORT));
                }
                if !scan.polygon(&face) {
                    return Err(too_many(file, Some(at)));
                }
            }
            Some(b"g" | b"o") => scan.part(&String::from_utf8_lossy(words.0.trim_ascii())),
            _ => {}
        }
    }
    Ok(scan)
}

fn place(file: &str, at: usize, words: &mut Words<'_>) -> Result<[f64; 3], Diagnostic> {
    let mut place = [0.0; 3];
    for x in &mut place {
        let word = words.next().unwrap_or_default();
        *x = decimal(word).ok_or_else(|| {
            let problem = format!("found \"{}\" for a coordinate", shown(word));
            let accepted = "v x y z, three plain numbers";
            fault(file, Some(at), "SCAN-VALUE", problem, accepted, OUT_EXPORT)
        })?;
    }
    Ok(place)
}

/// The corner that a word such as `12`, `-1` or `12/7/3` names, counted from 0.
fn corner(file: &str, at: usize, word: &[u8], count: usize) -> Result<u32, Diagnostic> {
    let number = word.split(|byte| *byte == b'/').next().unwrap_or_default();
    let found = integer(number).and_then(|number| match number {
        1.. => Some(number - 1),
        0 => None,
        back => Some(i64::try_from(count).ok()? + back),
    });
    found.and_then(|number| u32::try_from(number).ok()).ok_or_else(|| {
        let problem = format!("found \"{}\" for a corner; {count} stand before it", shown(word));
        let accepted = "numbers counted from 1, or negative ones counted back from the last corner";
        fault(file, Some(at), "SCAN-VALUE", problem, accepted, OUT_EXPORT)
    })
}
