//! What a picture's bytes say before any of it is decoded: which kind of file it is, its size in
//! pixels, which way up it is, and whether it is whole.

use image::metadata::Orientation;

/// Most pixels of a photo: 100 megapixels (choice: twice what cameras of the trade give; the
/// picture takes three bytes a pixel while it is decoded).
pub const MOST_PIXELS: u64 = 100_000_000;

/// Kinds of pictures that are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PictureKind {
    /// ITU-T T.81.
    Jpeg,
    /// W3C Portable Network Graphics.
    Png,
}

/// A picture as its bytes describe it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Picture {
    /// The kind, told by the content and not by the name.
    pub kind: PictureKind,
    /// Width as stored, pixels.
    pub width_px: u32,
    /// Height as stored, pixels.
    pub height_px: u32,
    /// How it has to be turned to stand upright, by its EXIF block.
    pub orientation: Orientation,
}

/// Why a picture is refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// The code of the fault.
    pub code: &'static str,
    /// What is wrong.
    pub problem: String,
    /// What would be accepted.
    pub accepted: String,
    /// What to do.
    pub way_out: String,
}

const PNG_SIGNATURE: &[u8] = b"\x89PNG\r\n\x1a\n";
const ACCEPTED: &str = "a JPEG or PNG picture";

impl Refused {
    pub(super) fn new(
        code: &'static str,
        problem: impl Into<String>,
        accepted: &str,
        way_out: &str,
    ) -> Self {
        let (accepted, way_out) = (accepted.to_owned(), way_out.to_owned());
        Self { code, problem: problem.into(), accepted, way_out }
    }
}

fn cut_short() -> Refused {
    Refused::new(
        "PHOTO-CUT-SHORT",
        "the picture ends before its end mark",
        "a whole JPEG or PNG picture",
        "copy it from the camera again",
    )
}

/// The fault of a picture whose content cannot be decoded.
#[must_use]
pub fn unreadable(problem: impl Into<String>) -> Refused {
    Refused::new(
        "PHOTO-UNREADABLE",
        problem,
        ACCEPTED,
        "open it in a picture viewer; copy it from the camera again, or save it anew",
    )
}

/// Looks at a picture without decoding it; takes time in proportion to its bytes and no memory.
///
/// # Errors
/// Neither JPEG nor PNG, cut short, more than [`MOST_PIXELS`], or no size at all.
pub fn look(bytes: &[u8]) -> Result<Picture, Refused> {
    let picture = if bytes.starts_with(PNG_SIGNATURE) {
        png(bytes)?
    } else if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        jpeg(bytes)?
    } else {
        return Err(Refused::new(
            "PHOTO-KIND",
            "the content is neither a JPEG nor a PNG picture, whatever the name says",
            ACCEPTED,
            "save it as JPEG or PNG from the program that shows it",
        ));
    };
    let pixels = u64::from(picture.width_px) * u64::from(picture.height_px);
    if pixels == 0 {
        return Err(unreadable("the picture says that it is 0 pixels wide or high"));
    }
    if pixels > MOST_PIXELS {
        return Err(Refused::new(
            "PHOTO-PIXELS",
            format!(
                "the picture says that it is {} x {} pixels, {} megapixels; it was not decoded",
                picture.width_px,
                picture.height_px,
                pixels.div_ceil(1_000_000)
            ),
            "at most 100 megapixels",
            "name a smaller copy of it, and keep the original",
        ));
    }
    Ok(picture)
}

/// One chunk of a PNG file.
struct Chunk<'b> {
    name: &'b [u8],
    data: &'b [u8],
    /// With its length and its checksum.
    whole: &'b [u8],
}

/// The chunks of a PNG file up to the one that ends it; none where the file is cut short.
fn chunks(bytes: &[u8]) -> Option<Vec<Chunk<'_>>> {
    let mut found = Vec::new();
    let mut rest = bytes.get(PNG_SIGNATURE.len()..)?;
    loop {
        let length = usize::try_from(u32::from_be_bytes(rest.first_chunk().copied()?)).ok()?;
        let end = length.checked_add(12)?;
        let (whole, after) = (rest.get(..end)?, rest.get(end..)?);
        let chunk = Chunk { name: whole.get(4..8)?, data: whole.get(8..8 + length)?, whole };
        let last = chunk.name == b"IEND";
        found.push(chunk);
        if last {
            return Some(found);
        }
        rest = after;
    }
}

fn png(bytes: &[u8]) -> Result<Picture, Refused> {
    let chunks = chunks(bytes).ok_or_else(cut_short)?;
    let head = chunks.first().filter(|chunk| chunk.name == b"IHDR").map(|chunk| chunk.data);
    let size = head.and_then(|head| {
        let width = u32::from_be_bytes(head.first_chunk().copied()?);
        Some((width, u32::from_be_bytes(head.get(4..)?.first_chunk().copied()?)))
    });
    let (width_px, height_px) =
        size.ok_or_else(|| unreadable("the picture does not start with its size"))?;
    let exif = chunks.iter().find(|chunk| chunk.name == b"eXIf").map(|chunk| chunk.data);
    Ok(Picture { kind: PictureKind::Png, width_px, height_px, orientation: upright(exif) })
}

/// A PNG file without the chunks that a decoder can do without: texts, profiles, dates.
#[must_use]
pub fn png_without_extras(bytes: &[u8]) -> Vec<u8> {
    let mut bare = PNG_SIGNATURE.to_vec();
    for chunk in chunks(bytes).unwrap_or_default() {
        // A chunk that has to be understood starts with a capital letter; transparency is the one
        // other that changes what is seen.
        if chunk.name.first().is_some_and(u8::is_ascii_uppercase) || chunk.name == b"tRNS" {
            bare.extend_from_slice(chunk.whole);
        }
    }
    bare
}

/// The next mark at or behind a place of a JPEG file; the place moves behind it.
fn next_mark(bytes: &[u8], at: &mut usize) -> Option<u8> {
    let mut before = 0;
    for (number, byte) in bytes.iter().enumerate().skip(*at) {
        // A byte 0 says that the FF before it is picture data; more FF are filling.
        if before == 0xff && *byte != 0 && *byte != 0xff {
            *at = number + 1;
            return Some(*byte);
        }
        before = *byte;
    }
    None
}

fn jpeg(bytes: &[u8]) -> Result<Picture, Refused> {
    let mut size = None;
    let mut exif = None;
    let mut at = 2;
    loop {
        let mark = next_mark(bytes, &mut at).ok_or_else(cut_short)?;
        match mark {
            // The end of the picture; what a camera hangs on behind it is not looked at.
            0xd9 => break,
            // Marks that stand alone.
            0x01 | 0xd0..=0xd8 => continue,
            _ => {}
        }
        let length = bytes.get(at..).and_then(<[u8]>::first_chunk).copied().map(u16::from_be_bytes);
        let end = at + usize::from(length.ok_or_else(cut_short)?).max(2);
        let data = bytes.get(at + 2..end).ok_or_else(cut_short)?;
        at = end;
        match mark {
            // Start of frame, of every process (T.81 table B.1).
            0xc0..=0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf if size.is_none() => {
                let pair = |from: usize| {
                    let two = data.get(from..).and_then(<[u8]>::first_chunk).copied();
                    two.map(|two| u32::from(u16::from_be_bytes(two)))
                };
                size = pair(3).zip(pair(1));
            }
            0xe1 if exif.is_none() => exif = data.strip_prefix(b"Exif\0\0"),
            _ => {}
        }
    }
    let (width_px, height_px) =
        size.ok_or_else(|| unreadable("the picture does not say how large it is"))?;
    Ok(Picture { kind: PictureKind::Jpeg, width_px, height_px, orientation: upright(exif) })
}

/// How a picture has to be turned, by its EXIF block; upright where it does not say.
fn upright(exif: Option<&[u8]>) -> Orientation {
    exif.and_then(Orientation::from_exif_chunk).unwrap_or(Orientation::NoTransforms)
}

impl Picture {
    /// It is turned by a quarter, so that width and height change places.
    #[must_use]
    pub const fn lies_on_its_side(&self) -> bool {
        matches!(
            self.orientation,
            Orientation::Rotate90
                | Orientation::Rotate270
                | Orientation::Rotate90FlipH
                | Orientation::Rotate270FlipH
        )
    }

    /// Width and height of its copy before it is turned upright: the longest side at most `most_px`
    /// pixels, never larger than the original.
    #[must_use]
    pub fn fitted(&self, most_px: u32) -> (u32, u32) {
        let longest = u64::from(self.width_px.max(self.height_px)).max(1);
        let most = u64::from(most_px).min(longest);
        let side = |px: u32| {
            let scaled = (u64::from(px) * most + longest / 2) / longest;
            u32::try_from(scaled).unwrap_or(most_px).max(1)
        };
        (side(self.width_px), side(self.height_px))
    }

    /// Width and height of its copy, upright.
    #[must_use]
    pub fn copy_size(&self, most_px: u32) -> (u32, u32) {
        let (wide, high) = self.fitted(most_px);
        if self.lies_on_its_side() { (high, wide) } else { (wide, high) }
    }
}
