//! Draws the two pictures of the demo. They are drawings, not photos: the demo is invented.
//!
//! `cargo run --example demo_photos`

use std::error::Error;
use std::fs;
use std::path::Path;

use image::codecs::jpeg::JpegEncoder;
use image::{Rgb, RgbImage};

/// A sheet to draw on: darkness by pixel over a slanting light.
struct Sheet {
    wide: u32,
    high: u32,
    strokes: Vec<([f64; 2], [f64; 2], f64, f64)>,
}

impl Sheet {
    /// A straight stroke of a width, px, and a darkness of 0 to 1.
    fn stroke(&mut self, from: [f64; 2], to: [f64; 2], width_px: f64, dark: f64) {
        self.strokes.push((from, to, width_px, dark));
    }

    /// A closed row of strokes.
    fn closed(&mut self, places: &[[f64; 2]], width_px: f64, dark: f64) {
        for (from, to) in places.iter().zip(places.iter().cycle().skip(1)) {
            self.stroke(*from, *to, width_px, dark);
        }
    }

    fn picture(&self) -> RgbImage {
        RgbImage::from_fn(self.wide, self.high, |x, y| {
            let (x, y) = (f64::from(x) + 0.5, f64::from(y) + 0.5);
            let slant = (x / f64::from(self.wide) + y / f64::from(self.high)) / 2.0;
            let mut light = 205.0 - 70.0 * slant;
            for (from, to, width_px, dark) in &self.strokes {
                let cover = (width_px / 2.0 + 0.7 - apart([x, y], *from, *to)).clamp(0.0, 1.0);
                light -= light * dark * cover;
            }
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "held to a byte"
            )]
            let byte = light.clamp(0.0, 255.0) as u8;
            Rgb([byte; 3])
        })
    }
}

/// From a place to a straight stroke, px.
fn apart(at: [f64; 2], from: [f64; 2], to: [f64; 2]) -> f64 {
    let way = [to[0] - from[0], to[1] - from[1]];
    let square = (way[0] * way[0] + way[1] * way[1]).max(1e-12);
    let share = ((at[0] - from[0]) * way[0] + (at[1] - from[1]) * way[1]) / square;
    let share = share.clamp(0.0, 1.0);
    (at[0] - from[0] - share * way[0]).hypot(at[1] - from[1] - share * way[1])
}

/// Numbers from -1 to 1 that look unordered; the same every time.
struct Shaken(u32);

impl Shaken {
    fn next(&mut self) -> f64 {
        // The constants of Numerical Recipes' quick generator.
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(self.0 >> 8) / f64::from(1_u32 << 23) - 1.0
    }
}

fn on_circle(middle: [f64; 2], radius_px: f64, angle: f64) -> [f64; 2] {
    [middle[0] + radius_px * angle.cos(), middle[1] + radius_px * angle.sin()]
}

/// Crazing round an old knock: rays that wander, and rings that break off.
fn crazing() -> Sheet {
    let mut sheet = Sheet { wide: 480, high: 360, strokes: Vec::new() };
    let mut shaken = Shaken(20);
    let middle = [250.0, 175.0];
    for ray in 0..13 {
        let angle = f64::from(ray) * std::f64::consts::TAU / 13.0 + 0.2 * shaken.next();
        let mut before = on_circle(middle, 8.0, angle);
        for step in 1..=(6 + ray % 4) {
            let radius = 8.0 + 17.0 * f64::from(step);
            let next = on_circle(middle, radius, angle + 0.07 * shaken.next());
            sheet.stroke(before, next, 1.6, 0.55);
            before = next;
        }
    }
    for ring in 1..5 {
        for piece in 0..22 {
            if shaken.next() > 0.25 {
                continue;
            }
            let radius = 26.0 * f64::from(ring) + 4.0 * shaken.next();
            let angle = f64::from(piece) * std::f64::consts::TAU / 22.0;
            let (from, to) =
                (on_circle(middle, radius, angle), on_circle(middle, radius, angle + 0.27));
            sheet.stroke(from, to, 1.2, 0.45);
        }
    }
    // A scale of 100 mm at the foot: two pixels are one millimetre.
    sheet.stroke([40.0, 330.0], [240.0, 330.0], 3.0, 0.8);
    for end in [40.0, 140.0, 240.0] {
        sheet.stroke([end, 322.0], [end, 338.0], 2.0, 0.8);
    }
    sheet
}

/// The shuttle from its nearside, in plain lines.
fn vehicle() -> Sheet {
    let mut sheet = Sheet { wide: 480, high: 300, strokes: Vec::new() };
    let body = [
        [55.0, 215.0],
        [50.0, 170.0],
        [95.0, 150.0],
        [150.0, 145.0],
        [185.0, 85.0],
        [395.0, 80.0],
        [425.0, 150.0],
        [430.0, 215.0],
    ];
    sheet.closed(&body, 3.0, 0.75);
    sheet.closed(&[[196.0, 92.0], [290.0, 89.0], [290.0, 145.0], [166.0, 147.0]], 1.5, 0.6);
    sheet.closed(&[[300.0, 89.0], [386.0, 87.0], [408.0, 145.0], [300.0, 145.0]], 1.5, 0.6);
    sheet.stroke([60.0, 190.0], [428.0, 190.0], 1.2, 0.5);
    for middle in [[125.0, 215.0], [365.0, 215.0]] {
        for (radius, width) in [(34.0, 5.0), (16.0, 2.0)] {
            let rim: Vec<[f64; 2]> = (0..40)
                .map(|step| {
                    on_circle(middle, radius, f64::from(step) * std::f64::consts::TAU / 40.0)
                })
                .collect();
            sheet.closed(&rim, width, 0.8);
        }
    }
    sheet.stroke([20.0, 251.0], [460.0, 251.0], 1.5, 0.5);
    sheet
}

fn main() -> Result<(), Box<dyn Error>> {
    let folder = Path::new("examples/harbour-shuttle/photos");
    fs::create_dir_all(folder)?;
    for (name, sheet) in [("mark-1.jpg", crazing()), ("vehicle.jpg", vehicle())] {
        let mut bytes = Vec::new();
        sheet.picture().write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 75))?;
        fs::write(folder.join(name), bytes)?;
    }
    Ok(())
}
