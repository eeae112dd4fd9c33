//! What triangles does a scan file hold?
//!
//! Takes the bytes of an STL (binary or ASCII), PLY (ASCII, either byte order) or OBJ file; gives
//! corners and triangles in the file's own unit, in the order of the file, or the first fault with
//! its line (text) or its face and byte (binary). Sizes that a header claims are held against the
//! bytes that are there before anything is set aside for them, so a short file cannot ask for a
//! large memory. What the triangles make together is looked at in the next room.
//!
//! Layouts: STL as in the stereolithography interface of 1989, PLY as in the Polygon File Format
//! of 1994, OBJ as in its published appendix B1 of 1995 (published; from memory).

mod corners;
mod cursor;
mod number;
mod obj;
mod ply;
mod ply_header;
mod stl;

use crate::diagnostic::{Diagnostic, TextPlace};

/// More triangles than this are refused (choice: what 1 GiB of binary STL holds).
pub const MOST_TRIANGLES: usize = 22_000_000;

/// How a scan was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScanFormat {
    /// STL, binary.
    BinaryStl,
    /// STL, text.
    TextStl,
    /// PLY, text.
    TextPly,
    /// PLY, binary, low byte first.
    LittleEndianPly,
    /// PLY, binary, high byte first.
    BigEndianPly,
    /// OBJ.
    Obj,
}

impl ScanFormat {
    /// The words that are printed for it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::BinaryStl => "binary STL",
            Self::TextStl => "ASCII STL",
            Self::TextPly => "ASCII PLY",
            Self::LittleEndianPly => "binary PLY, low byte first",
            Self::BigEndianPly => "binary PLY, high byte first",
            Self::Obj => "OBJ",
        }
    }
}

/// A named part of a scan: its faces run from `first_face` to the next part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScanPart {
    /// Name of the group, object or solid; empty where it has none.
    pub name: String,
    /// Its first face.
    pub first_face: usize,
}

/// The triangles of a scan file.
#[derive(Debug, Clone, PartialEq)]
pub struct ScanFile {
    /// How it was written.
    pub format: ScanFormat,
    /// Corners in the file's own unit. STL names no corners, so equal ones have become one there.
    pub positions: Vec<[f64; 3]>,
    /// Triangles as numbers of corners, in the order of the file.
    pub faces: Vec<[u32; 3]>,
    /// Named parts in order; the first one starts at face 0.
    pub parts: Vec<ScanPart>,
    /// Faces of more than three corners that were cut into triangles from their first corner.
    pub polygons: usize,
}

impl ScanFile {
    const fn new(format: ScanFormat) -> Self {
        Self { format, positions: Vec::new(), faces: Vec::new(), parts: Vec::new(), polygons: 0 }
    }

    /// Starts a named part, in place of one that has no face yet.
    fn part(&mut self, name: &str) {
        let first_face = self.faces.len();
        if self.parts.last().is_some_and(|last| last.first_face == first_face) {
            self.parts.pop();
        }
        self.parts.push(ScanPart { name: name.to_owned(), first_face });
    }

    /// Adds a face, cut into triangles from its first corner; gives false when there are too many.
    fn polygon(&mut self, corners: &[u32]) -> bool {
        if let [first, rest @ ..] = corners {
            self.polygons += usize::from(rest.len() > 2);
            let fan = rest.iter().zip(rest.iter().skip(1)).map(|(b, c)| [*first, *b, *c]);
            self.faces.extend(fan);
        }
        self.faces.len() <= MOST_TRIANGLES
    }

    /// Every face names corners that are there, and every corner is a place.
    fn whole(self, file: &str) -> Result<Self, Diagnostic> {
        let count = self.positions.len();
        if self.faces.is_empty() {
            let problem = format!("the scan holds {count} corners and no triangle");
            return Err(fault(file, None, "SCAN-FORMAT", problem, MESH, OUT_EXPORT));
        }
        let bad = self.positions.iter().position(|place| !place.iter().all(|x| x.is_finite()));
        if let Some(corner) = bad {
            let problem = format!("corner {} has a coordinate that is no number", corner + 1);
            return Err(fault(file, None, "SCAN-VALUE", problem, "plain numbers", OUT_EXPORT));
        }
        let past = |face: &[u32; 3]| face.iter().any(|corner| *corner as usize >= count);
        if let Some((number, face)) = self.faces.iter().enumerate().find(|(_, face)| past(face)) {
            let corner = face.iter().copied().max().unwrap_or_default();
            let problem =
                format!("triangle {} names corner {}, there are {count}", number + 1, corner);
            let accepted = "numbers of corners that are in the file";
            return Err(fault(file, None, "SCAN-VALUE", problem, accepted, OUT_EXPORT));
        }
        Ok(self)
    }
}

const MESH: &str = "a triangle mesh as STL, PLY or OBJ, at most 22 million triangles";
const OUT_EXPORT: &str =
    "export it again from the scanning software, as a mesh in binary STL or PLY";

fn fault(
    file: &str,
    line: Option<usize>,
    code: &'static str,
    problem: impl Into<String>,
    accepted: &str,
    way_out: &str,
) -> Diagnostic {
    Diagnostic {
        file: file.to_owned(),
        place: line.map(|line| TextPlace { line, column: 1 }),
        field: String::new(),
        code,
        problem: problem.into(),
        accepted: accepted.to_owned(),
        way_out: way_out.to_owned(),
        excerpt: None,
    }
}

fn too_many(file: &str, line: Option<usize>) -> Diagnostic {
    let problem = format!("the scan has more than {MOST_TRIANGLES} triangles");
    let out = "cut it down to the panel, or thin it in the scanning software";
    fault(file, line, "SCAN-TOO-MANY", problem, MESH, out)
}

/// Bytes shown in a message: at most 40, and letters only where they are letters.
fn shown(bytes: &[u8]) -> String {
    let cut = bytes.get(..40).unwrap_or(bytes);
    cut.escape_ascii().to_string()
}

/// Reads a scan. What it is is told by its first bytes and its size, then by its name.
///
/// # Errors
/// The first thing that keeps it from being a triangle mesh.
pub fn read(file: &str, bytes: &[u8]) -> Result<ScanFile, Diagnostic> {
    let named = |ending: &str| {
        file.rsplit_once('.').is_some_and(|(_, last)| last.eq_ignore_ascii_case(ending))
    };
    let is_ply = bytes
        .strip_prefix(b"ply")
        .is_some_and(|rest| rest.first().is_some_and(|next| matches!(next, b'\n' | b'\r')));
    let starts_solid = bytes.trim_ascii_start().get(..5).is_some_and(|word| word == b"solid");
    let scan = if is_ply {
        ply::read(file, bytes)
    } else if stl::size_fits(bytes) {
        // Many programs start binary files with the word `solid` too, so the size decides.
        stl::binary(file, bytes)
    } else if named("obj") {
        obj::read(file, bytes)
    } else if starts_solid {
        stl::text(file, bytes)
    } else if named("stl") {
        Err(stl::not_whole(file, bytes))
    } else {
        let start = shown(bytes.get(..16).unwrap_or(bytes));
        let problem = format!("{} bytes that start with \"{start}\" are no scan", bytes.len());
        Err(fault(file, None, "SCAN-FORMAT", problem, MESH, OUT_EXPORT))
    }?;
    scan.whole(file)
}

#[cfg(test)]
mod tests;
