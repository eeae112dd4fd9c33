//! PLY: a header that says what follows, then the elements.
//!
//! Of the elements `vertex` (x, y, z) and `face` (vertex_indices or vertex_index) are read; all
//! other elements and properties are passed over.
#![allow(clippy::indexing_slicing, reason = "property numbers come from the list they index")]

use super::cursor::{Lines, Words};
use super::number::{decimal, integer};
use super::ply_header::{Element, Header, Kind, header};
use super::{OUT_EXPORT, ScanFile, ScanFormat, fault, shown, too_many};
use crate::diagnostic::Diagnostic;

/// Which properties matter.
enum Wanted {
    /// Numbers of x, y and z.
    Places([usize; 3]),
    /// Number of the list of corners.
    Corners(usize),
    /// Nothing of it.
    Passed,
}

fn wanted(file: &str, element: &Element) -> Result<Wanted, Diagnostic> {
    let named = |name: &str| element.properties.iter().position(|one| one.name == name);
    let lacks = |what: &str| {
        let problem = format!("element {} has no {what}", element.name);
        let accepted = "vertices with x, y and z, faces with a list vertex_indices";
        fault(file, None, "SCAN-FORMAT", problem, accepted, OUT_EXPORT)
    };
    match element.name.as_str() {
        "vertex" => {
            let mut places = [0; 3];
            for (place, name) in places.iter_mut().zip(["x", "y", "z"]) {
                *place = named(name)
                    .filter(|at| element.properties[*at].count.is_none())
                    .ok_or_else(|| lacks(name))?;
            }
            Ok(Wanted::Places(places))
        }
        "face" => {
            let list = named("vertex_indices").or_else(|| named("vertex_index"));
            let whole = |at: &usize| {
                let property = &element.properties[*at];
                property.count.is_some() && property.kind.is_whole()
            };
            list.filter(whole).map(Wanted::Corners).ok_or_else(|| lacks("list of corners"))
        }
        _ => Ok(Wanted::Passed),
    }
}

/// Reads a PLY file.
pub(super) fn read(file: &str, bytes: &[u8]) -> Result<ScanFile, Diagnostic> {
    let head = header(file, bytes)?;
    let mut scan = ScanFile::new(head.format);
    let body = bytes.get(head.bytes..).unwrap_or_default();
    if head.format == ScanFormat::TextPly {
        text(file, body, &head, &mut scan)?;
    } else {
        let big = head.format == ScanFormat::BigEndianPly;
        let mut raw = Raw { file, whole: bytes.len(), rest: body, big };
        for element in &head.elements {
            raw.element(element, &mut scan)?;
        }
    }
    Ok(scan)
}

/// A claim of more elements than the bytes can hold.
fn short(file: &str, element: &Element, left: usize) -> Diagnostic {
    let problem = format!(
        "the header claims {} of element {}, the {left} bytes that are left hold fewer",
        element.count, element.name
    );
    fault(file, None, "SCAN-CUT-SHORT", problem, "a whole file", OUT_EXPORT)
}

/// What is left of a binary body.
struct Raw<'b> {
    file: &'b str,
    whole: usize,
    rest: &'b [u8],
    big: bool,
}

impl<'b> Raw<'b> {
    fn element(&mut self, element: &Element, scan: &mut ScanFile) -> Result<(), Diagnostic> {
        let least = element.least_bytes();
        if element.count > self.rest.len() / least {
            return Err(short(self.file, element, self.rest.len()));
        }
        match wanted(self.file, element)? {
            Wanted::Passed if element.is_fixed() => {
                self.take(least * element.count)?;
            }
            Wanted::Passed => {
                for _ in 0..element.count {
                    self.pass(element, 0, element.properties.len())?;
                }
            }
            Wanted::Places(places) if element.is_fixed() => {
                let size = |upto: usize| -> usize {
                    element.properties[..upto].iter().map(|one| one.kind.size()).sum()
                };
                let spots = places.map(|at| (size(at), element.properties[at].kind));
                let all = self.take(least * element.count)?;
                scan.positions.reserve_exact(element.count);
                let big = self.big;
                let [x, y, z] = spots;
                for record in all.chunks_exact(least) {
                    let one = |(start, kind): (usize, Kind)| {
                        number(record.get(start..).unwrap_or_default(), kind, big)
                    };
                    scan.positions.push([one(x), one(y), one(z)]);
                }
            }
            Wanted::Places(places) => {
                for _ in 0..element.count {
                    let mut place = [0.0; 3];
                    for (at, property) in element.properties.iter().enumerate() {
                        if property.count.is_some() {
                            self.pass(element, at, at + 1)?;
                        } else {
                            let bytes = self.take(property.kind.size())?;
                            let value = number(bytes, property.kind, self.big);
                            for (x, _) in
                                place.iter_mut().zip(places).filter(|(_, spot)| *spot == at)
                            {
                                *x = value;
                            }
                        }
                    }
                    scan.positions.push(place);
                }
            }
            Wanted::Corners(list) => self.faces(element, list, scan)?,
        }
        Ok(())
    }

    fn faces(
        &mut self,
        element: &Element,
        list: usize,
        scan: &mut ScanFile,
    ) -> Result<(), Diagnostic> {
        let kind = element.properties[list].kind;
        scan.faces.reserve_exact(element.count.min(super::MOST_TRIANGLES));
        let property = &element.properties[list];
        let plain = element.properties.len() == 1
            && property.count.is_some_and(|count| count.size() == 1)
            && matches!(kind, Kind::I32 | Kind::U32)
            && element.count <= super::MOST_TRIANGLES;
        let mut face: Vec<u32> = Vec::new();
        for one in 0..element.count {
            // The usual way of writing triangles, in one step.
            if plain
                && let Some(([3, rest @ ..], after)) = self.rest.split_first_chunk::<13>()
                && let ([a, b, c], []) = rest.as_chunks::<4>()
            {
                let order = |raw: [u8; 4]| {
                    if self.big { u32::from_be_bytes(raw) } else { u32::from_le_bytes(raw) }
                };
                let face = [order(*a), order(*b), order(*c)];
                if face.iter().all(|v| *v <= i32::MAX as u32) {
                    scan.faces.push(face);
                    self.rest = after;
                    continue;
                }
            }
            self.pass(element, 0, list)?;
            let start = self.whole - self.rest.len();
            let count = self.count(element, list)?;
            let bytes = self.take(count.saturating_mul(kind.size()))?;
            face.clear();
            for item in bytes.chunks_exact(kind.size()) {
                face.push(corner(item, kind, self.big));
            }
            if face.len() < 3 || face.contains(&u32::MAX) {
                let problem = format!(
                    "face {} (byte {}) has {} corners, or one of a negative number",
                    one + 1,
                    start + 1,
                    face.len()
                );
                let accepted = "three corners or more, counted from 0";
                return Err(fault(self.file, None, "SCAN-VALUE", problem, accepted, OUT_EXPORT));
            }
            if !scan.polygon(&face) {
                return Err(too_many(self.file, None));
            }
            self.pass(element, list + 1, element.properties.len())?;
        }
        Ok(())
    }

    /// Goes past some properties of one element.
    fn pass(&mut self, element: &Element, from: usize, to: usize) -> Result<(), Diagnostic> {
        for at in from..to {
            let property = &element.properties[at];
            let many = if property.count.is_some() { self.count(element, at)? } else { 1 };
            self.take(many.saturating_mul(property.kind.size()))?;
        }
        Ok(())
    }

    fn count(&mut self, element: &Element, at: usize) -> Result<usize, Diagnostic> {
        let kind = element.properties[at].count.unwrap_or(Kind::U8);
        let start = self.whole - self.rest.len();
        let bytes = self.take(kind.size())?;
        let count = number(bytes, kind, self.big);
        if count < 0.0 {
            let problem =
                format!("byte {}: a list of {} has {count} entries", start + 1, element.name);
            return Err(fault(self.file, None, "SCAN-VALUE", problem, "0 or more", OUT_EXPORT));
        }
        Ok(count as usize)
    }

    fn take(&mut self, count: usize) -> Result<&'b [u8], Diagnostic> {
        let Some((taken, rest)) = self.rest.split_at_checked(count) else {
            let problem = format!(
                "byte {}: {count} bytes are needed, {} are left",
                self.whole - self.rest.len() + 1,
                self.rest.len()
            );
            let accepted = "a whole file";
            return Err(fault(self.file, None, "SCAN-CUT-SHORT", problem, accepted, OUT_EXPORT));
        };
        self.rest = rest;
        Ok(taken)
    }
}

/// The number that some bytes start with.
#[inline]
fn number(bytes: &[u8], kind: Kind, big: bool) -> f64 {
    macro_rules! read {
        ($sort:ty, $size:literal) => {{
            let raw = bytes.first_chunk::<$size>().copied().unwrap_or_default();
            if big {
                <$sort>::from_be_bytes(raw).into()
            } else {
                <$sort>::from_le_bytes(raw).into()
            }
        }};
    }
    match kind {
        Kind::I8 => read!(i8, 1),
        Kind::U8 => read!(u8, 1),
        Kind::I16 => read!(i16, 2),
        Kind::U16 => read!(u16, 2),
        Kind::I32 => read!(i32, 4),
        Kind::U32 => read!(u32, 4),
        Kind::F32 => read!(f32, 4),
        Kind::F64 => read!(f64, 8),
    }
}

/// The number of a corner; the greatest number of all stands for one that is none.
#[inline]
fn corner(bytes: &[u8], kind: Kind, big: bool) -> u32 {
    let raw = bytes.first_chunk::<4>().copied().unwrap_or_default();
    match kind {
        Kind::U32 if big => u32::from_be_bytes(raw),
        Kind::U32 => u32::from_le_bytes(raw),
        Kind::I32 if big => u32::try_from(i32::from_be_bytes(raw)).unwrap_or(u32::MAX),
        Kind::I32 => u32::try_from(i32::from_le_bytes(raw)).unwrap_or(u32::MAX),
        _ => {
            let value = number(bytes, kind, big);
            if value < 0.0 { u32::MAX } else { value as u32 }
        }
    }
}

/// Reads the text body: one element a line.
fn text(file: &str, body: &[u8], head: &Header, scan: &mut ScanFile) -> Result<(), Diagnostic> {
    let mut lines = Lines::after(body, head.lines);
    let mut left = body.len();
    let mut face: Vec<u32> = Vec::new();
    for element in &head.elements {
        // A digit and a space are the least that a value takes.
        if element.count > (left + 1) / (2 * element.properties.len()) {
            return Err(short(file, element, left));
        }
        let wanted = wanted(file, element)?;
        for _ in 0..element.count {
            let Some(line) = lines.filled() else {
                return Err(short(file, element, 0));
            };
            left = left.saturating_sub(line.len() + 1);
            let at = Some(lines.number);
            let wrong = |word: &[u8], accepted: &str| {
                let problem = format!("found \"{}\" for a value of {}", shown(word), element.name);
                fault(file, at, "SCAN-VALUE", problem, accepted, OUT_EXPORT)
            };
            let mut words = Words(line);
            let mut place = [0.0; 3];
            face.clear();
            for (number, property) in element.properties.iter().enumerate() {
                let first = words.next().unwrap_or_default();
                if property.count.is_none() {
                    if let Wanted::Places(spots) = &wanted
                        && let Some(axis) = spots.iter().position(|spot| *spot == number)
                    {
                        place[axis] =
                            decimal(first).ok_or_else(|| wrong(first, "a plain number"))?;
                    }
                    continue;
                }
                let count = integer(first).and_then(|count| usize::try_from(count).ok());
                let count = count.ok_or_else(|| wrong(first, "the length of a list"))?;
                let is_face = matches!(&wanted, Wanted::Corners(list) if *list == number);
                for _ in 0..count {
                    let Some(word) = words.next() else {
                        return Err(wrong(b"", "as many entries as the list says"));
                    };
                    if is_face {
                        let corner = integer(word).and_then(|corner| u32::try_from(corner).ok());
                        face.push(corner.ok_or_else(|| wrong(word, "a corner, counted from 0"))?);
                    }
                }
            }
            match &wanted {
                Wanted::Places(_) => scan.positions.push(place),
                Wanted::Corners(_) if face.len() < 3 => {
                    return Err(wrong(line.trim_ascii(), "three corners a face or more"));
                }
                Wanted::Corners(_) if !scan.polygon(&face) => return Err(too_many(file, at)),
                _ => {}
            }
        }
    }
    Ok(())
}
