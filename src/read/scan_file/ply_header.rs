//! The header of a PLY file: which elements follow, in which order, of which properties.

use super::cursor::{Lines, Words};
use super::number::integer;
use super::{OUT_EXPORT, ScanFormat, fault, shown};
use crate::diagnostic::Diagnostic;

/// More header lines than this are no header (choice).
const MOST_LINES: usize = 1000;

/// A kind of number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    I8,
    U8,
    I16,
    U16,
    I32,
    U32,
    F32,
    F64,
}

impl Kind {
    fn of(word: &[u8]) -> Option<Self> {
        Some(match word {
            b"char" | b"int8" => Self::I8,
            b"uchar" | b"uint8" => Self::U8,
            b"short" | b"int16" => Self::I16,
            b"ushort" | b"uint16" => Self::U16,
            b"int" | b"int32" => Self::I32,
            b"uint" | b"uint32" => Self::U32,
            b"float" | b"float32" => Self::F32,
            b"double" | b"float64" => Self::F64,
            _ => return None,
        })
    }

    /// Bytes of one in the binary forms.
    pub(super) const fn size(self) -> usize {
        match self {
            Self::I8 | Self::U8 => 1,
            Self::I16 | Self::U16 => 2,
            Self::I32 | Self::U32 | Self::F32 => 4,
            Self::F64 => 8,
        }
    }

    /// Whether it counts in whole numbers.
    pub(super) const fn is_whole(self) -> bool {
        !matches!(self, Self::F32 | Self::F64)
    }
}

/// A property of an element.
#[derive(Debug, Clone)]
pub(super) struct Property {
    pub(super) name: String,
    /// The count's kind, where it is a list.
    pub(super) count: Option<Kind>,
    pub(super) kind: Kind,
}

/// A list of things of one sort.
#[derive(Debug, Clone)]
pub(super) struct Element {
    pub(super) name: String,
    pub(super) count: usize,
    pub(super) properties: Vec<Property>,
}

impl Element {
    /// Bytes of one in the binary forms: the least that it can have.
    pub(super) fn least_bytes(&self) -> usize {
        self.properties.iter().map(|one| one.count.unwrap_or(one.kind).size()).sum()
    }

    /// Whether all are of one size.
    pub(super) fn is_fixed(&self) -> bool {
        self.properties.iter().all(|one| one.count.is_none())
    }
}

/// What the header says.
#[derive(Debug)]
pub(super) struct Header {
    pub(super) format: ScanFormat,
    pub(super) elements: Vec<Element>,
    /// Lines of the header.
    pub(super) lines: usize,
    /// Bytes of the header.
    pub(super) bytes: usize,
}

/// Reads the header.
///
/// # Errors
/// The line that cannot be read, or its missing end.
pub(super) fn header(file: &str, bytes: &[u8]) -> Result<Header, Diagnostic> {
    let mut format = None;
    let mut elements: Vec<Element> = Vec::new();
    let mut lines = Lines::new(bytes);
    let mut read = 0;
    while let Some(line) = lines.line().filter(|_| lines.number <= MOST_LINES) {
        read += line.len() + 1;
        let at = Some(lines.number);
        let wrong = |accepted: &str| {
            let problem = format!("found \"{}\" in the header", shown(line.trim_ascii()));
            fault(file, at, "SCAN-VALUE", problem, accepted, OUT_EXPORT)
        };
        let words: Vec<&[u8]> = Words(line).collect();
        match words.as_slice() {
            [b"format", word, b"1.0"] => {
                format = Some(match *word {
                    b"ascii" => ScanFormat::TextPly,
                    b"binary_little_endian" => ScanFormat::LittleEndianPly,
                    b"binary_big_endian" => ScanFormat::BigEndianPly,
                    _ => return Err(wrong("ascii, binary_little_endian or binary_big_endian")),
                });
            }
            [b"element", name, count] => {
                let count = integer(count).and_then(|count| usize::try_from(count).ok());
                let count = count.ok_or_else(|| wrong("element NAME COUNT"))?;
                let name = String::from_utf8_lossy(name).into_owned();
                elements.push(Element { name, count, properties: Vec::new() });
            }
            [b"property", rest @ ..] => {
                let accepted = "property TYPE NAME or property list TYPE TYPE NAME, after an \
                                element";
                let property = match rest {
                    [b"list", count, kind, name] => {
                        let count = Kind::of(count).filter(|kind| kind.is_whole());
                        count.zip(Kind::of(kind)).map(|(count, kind)| (Some(count), kind, *name))
                    }
                    [kind, name] => Kind::of(kind).map(|kind| (None, kind, *name)),
                    _ => None,
                };
                let (Some((count, kind, name)), Some(element)) = (property, elements.last_mut())
                else {
                    return Err(wrong(accepted));
                };
                let name = String::from_utf8_lossy(name).into_owned();
                element.properties.push(Property { name, count, kind });
            }
            [b"end_header"] => {
                let format = format.ok_or_else(|| wrong("a line `format` before the end"))?;
                if let Some(bare) = elements.iter().find(|one| one.properties.is_empty()) {
                    let problem = format!("element {} has no property", bare.name);
                    let accepted = "properties after each element";
                    return Err(fault(file, at, "SCAN-VALUE", problem, accepted, OUT_EXPORT));
                }
                return Ok(Header { format, elements, lines: lines.number, bytes: read });
            }
            [] | [b"ply" | b"comment" | b"obj_info", ..] => {}
            _ => return Err(wrong("format, element, property, comment or end_header")),
        }
    }
    let problem = "the header has no end";
    let accepted = "a line `end_header` within the first 1000 lines";
    Err(fault(file, None, "SCAN-CUT-SHORT", problem, accepted, OUT_EXPORT))
}
