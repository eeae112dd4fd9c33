//! Copies of photos for a report: upright, small, and with nothing in them but the picture.
//!
//! Where and with which camera a photo was taken stands in the original and stays there: the copy
//! is encoded anew from its pixels. The original is never written to.

use std::io::Cursor;

use image::codecs::jpeg::{JpegDecoder, JpegEncoder};
use image::codecs::png::PngDecoder;
use image::{DynamicImage, ImageDecoder, ImageError, Limits, Rgb, RgbImage, imageops};

use super::model::PhotoLine;
use crate::diagnostic::Diagnostic;
use crate::read::photo_file::{self, MOST_PIXELS, PictureKind, Refused, unreadable};
use crate::read::{Folder, Job};

/// Longest side of a copy, pixels (choice: a page wide at 190 dots per inch).
pub const LONGEST_PX: u32 = 1600;
/// Quality of a copy on the encoder's scale of 1 to 100 (choice: cracks stay sharp).
const QUALITY: u8 = 80;
/// Most bytes that a decoder may set aside: eight a pixel, as a 16-bit PNG with transparency has.
const MOST_BYTES: u64 = MOST_PIXELS * 8;

/// A photo as a report shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// The mark it shows; none where it belongs to the whole survey.
    pub mark: Option<u32>,
    /// The original's file, as the survey writes it.
    pub file: String,
    /// What it shows, in the survey's words.
    pub what: String,
    /// SHA-256 of the original, hexadecimal.
    pub sha256: String,
    /// Width of the copy, pixels.
    pub width_px: u32,
    /// Height of the copy, pixels.
    pub height_px: u32,
    /// The copy, a JPEG file.
    pub jpeg: Vec<u8>,
}

/// A copy of a picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Copy {
    /// Its width, pixels.
    pub width_px: u32,
    /// Its height, pixels.
    pub height_px: u32,
    /// Its bytes, a JPEG file.
    pub jpeg: Vec<u8>,
}

/// Copies of all photos of a job, in the order of [`Job::photos`]; the only place that decodes
/// them. One is decoded at a time, because each may take hundreds of megabytes.
///
/// # Errors
/// Every photo that cannot be read again or decoded.
pub fn of_job(folder: &dyn Folder, job: &Job) -> Result<Vec<Photo>, Vec<Diagnostic>> {
    let mut faults = Vec::new();
    let mut photos = Vec::new();
    for photo in &job.photos {
        let copied = job
            .photo_bytes(folder, photo)
            .and_then(|bytes| copy(&bytes).map_err(|why| job.photo_fault(photo, why)));
        match copied {
            Ok(Copy { width_px, height_px, jpeg }) => photos.push(Photo {
                mark: photo.mark,
                file: photo.file.clone(),
                what: photo.what.clone(),
                sha256: photo.sha256.clone(),
                width_px,
                height_px,
                jpeg,
            }),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(photos) } else { Err(faults) }
}

/// The photos in the record, without decoding any.
#[must_use]
pub fn lines(job: &Job) -> Vec<PhotoLine> {
    job.photos
        .iter()
        .map(|photo| {
            let (width_px, height_px) = photo.picture.copy_size(LONGEST_PX);
            PhotoLine {
                mark: photo.mark,
                file: photo.file.clone(),
                what: photo.what.clone(),
                width_px,
                height_px,
                sha256: photo.sha256.clone(),
                bytes: photo.bytes,
            }
        })
        .collect()
}

/// A copy of a JPEG or PNG picture: upright, its longest side at most [`LONGEST_PX`], never larger
/// than the original, encoded anew from the pixels alone. The same bytes give the same copy.
///
/// # Errors
/// As [`photo_file::look`], and what cannot be decoded.
pub fn copy(bytes: &[u8]) -> Result<Copy, Refused> {
    let picture = photo_file::look(bytes)?;
    let failed = |error: ImageError| unreadable(format!("the picture cannot be decoded: {error}"));
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MOST_BYTES);
    let decoded = match picture.kind {
        PictureKind::Jpeg => {
            let mut decoder = JpegDecoder::new(Cursor::new(bytes)).map_err(failed)?;
            decoder.set_limits(limits).map_err(failed)?;
            DynamicImage::from_decoder(decoder)
        }
        PictureKind::Png => {
            // Texts and profiles may unpack to any size, and nothing of them is wanted.
            let bare = photo_file::png_without_extras(bytes);
            PngDecoder::with_limits(Cursor::new(bare), limits).and_then(DynamicImage::from_decoder)
        }
    };
    let decoded = decoded.map_err(failed)?;
    if (decoded.width(), decoded.height()) != (picture.width_px, picture.height_px) {
        return Err(unreadable("the picture says two different sizes"));
    }
    let (wide, high) = picture.fitted(LONGEST_PX);
    let opaque = on_white(decoded);
    let small = if (wide, high) == opaque.dimensions() {
        opaque
    } else {
        imageops::thumbnail(&opaque, wide, high)
    };
    let mut upright = DynamicImage::from(small);
    upright.apply_orientation(picture.orientation);
    let mut jpeg = Vec::new();
    upright
        .write_with_encoder(JpegEncoder::new_with_quality(&mut jpeg, QUALITY))
        .map_err(failed)?;
    Ok(Copy { width_px: upright.width(), height_px: upright.height(), jpeg })
}

/// A JPEG has no transparency: what shows through is white, as the page is.
fn on_white(decoded: DynamicImage) -> RgbImage {
    if !decoded.color().has_alpha() {
        return decoded.into_rgb8();
    }
    let seen = decoded.into_rgba8();
    let mut opaque = RgbImage::new(seen.width(), seen.height());
    for (under, pixel) in opaque.pixels_mut().zip(seen.pixels()) {
        let [red, green, blue, cover] = pixel.0;
        *under = Rgb([red, green, blue].map(|part| over_white(part, cover)));
    }
    opaque
}

fn over_white(part: u8, cover: u8) -> u8 {
    let mixed = u32::from(part) * u32::from(cover) + 255 * (255 - u32::from(cover));
    u8::try_from((mixed + 127) / 255).unwrap_or(u8::MAX)
}
