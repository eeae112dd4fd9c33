//! Photos: told apart by content, refused before they are decoded, copied upright and bare.
//! Every picture is made here.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::io::Cursor;
use std::process::Command;

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use plymend::diagnostic::Diagnostic;
use plymend::read::fingerprint::sha256;
use plymend::read::job::{Named, TextFolder, job};
use plymend::read::{Job, photos as read_photos};
use plymend::report::photos::{LONGEST_PX, copy, lines, of_job};

const RED: Rgb<u8> = Rgb([230, 20, 20]);
const GREEN: Rgb<u8> = Rgb([20, 200, 20]);
const BLUE: Rgb<u8> = Rgb([20, 20, 230]);
const GREY: Rgb<u8> = Rgb([128, 128, 128]);

/// A picture whose quarters differ: red, green above, blue, grey below.
fn quarters(wide: u32, high: u32) -> RgbImage {
    RgbImage::from_fn(wide, high, |x, y| match (x < wide / 2, y < high / 2) {
        (true, true) => RED,
        (false, true) => GREEN,
        (true, false) => BLUE,
        (false, false) => GREY,
    })
}

fn jpeg(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    picture.write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 95)).unwrap();
    bytes
}

fn png(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    DynamicImage::from(picture.clone()).write_to(&mut bytes, ImageFormat::Png).unwrap();
    bytes.into_inner()
}

/// An EXIF block (TIFF 6.0, big-endian): orientation, and a GPS directory with a marker text.
fn exif(orientation: u16) -> Vec<u8> {
    let mut block = b"Exif\0\0MM\0\x2a\0\0\0\x08".to_vec();
    let entry = |tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        [&tag.to_be_bytes()[..], &kind.to_be_bytes(), &count.to_be_bytes(), &value].concat()
    };
    let [high, low] = orientation.to_be_bytes();
    block.extend(2_u16.to_be_bytes());
    block.extend(entry(0x0112, 3, 1, [high, low, 0, 0]));
    // The GPS directory starts behind this one: 8 of the head, 2 + 2 x 12 + 4.
    block.extend(entry(0x8825, 4, 1, 38_u32.to_be_bytes()));
    block.extend([0; 4]);
    block.extend(1_u16.to_be_bytes());
    let marker = b"MARKER-52.1N-SERIAL-4711\0";
    block.extend(entry(0x0012, 2, u32::try_from(marker.len()).unwrap(), 56_u32.to_be_bytes()));
    block.extend([0; 4]);
    block.extend(marker);
    block
}

/// A JPEG with such a block behind its first mark.
fn with_exif(jpeg: &[u8], orientation: u16) -> Vec<u8> {
    let block = exif(orientation);
    let length = u16::try_from(block.len() + 2).unwrap();
    [&jpeg[..2], &[0xff, 0xe1], &length.to_be_bytes(), &block, &jpeg[2..]].concat()
}

fn near(one: Rgb<u8>, other: Rgb<u8>) -> bool {
    one.0.iter().zip(other.0).all(|(one, other)| one.abs_diff(other) < 24)
}

/// The middles of the quarters of a copy have the colours of the picture as it is seen.
fn stands_upright(bytes: &[u8], size: (u32, u32)) -> bool {
    let made = copy(bytes).unwrap();
    assert_eq!((made.width_px, made.height_px), size);
    let seen = image::load_from_memory_with_format(&made.jpeg, ImageFormat::Jpeg).unwrap();
    let seen = seen.into_rgb8();
    assert_eq!(seen.dimensions(), size);
    let at = |x: u32, y: u32| *seen.get_pixel(size.0 * x / 4, size.1 * y / 4);
    near(at(1, 1), RED) && near(at(3, 1), GREEN) && near(at(1, 3), BLUE) && near(at(3, 3), GREY)
}

/// TIFF 6.0 and EXIF 2.3, tag 274: which edge of the scene the stored row 0 and column 0 are.
#[test]
fn all_eight_orientations_stand_upright() {
    let (wide, high) = (96, 64);
    let scene = quarters(wide, high);
    for orientation in 1..=8_u16 {
        // Where in the scene the pixel of a stored row and column belongs.
        let place = |row: u32, column: u32| match orientation {
            1 => (column, row),
            2 => (wide - 1 - column, row),
            3 => (wide - 1 - column, high - 1 - row),
            4 => (column, high - 1 - row),
            5 => (row, column),
            6 => (wide - 1 - row, column),
            7 => (wide - 1 - row, high - 1 - column),
            _ => (row, high - 1 - column),
        };
        let (stored_wide, stored_high) = if orientation < 5 { (wide, high) } else { (high, wide) };
        let stored = RgbImage::from_fn(stored_wide, stored_high, |column, row| {
            let (x, y) = place(row, column);
            *scene.get_pixel(x, y)
        });
        let bytes = with_exif(&jpeg(&stored), orientation);
        assert!(stands_upright(&bytes, (wide, high)), "orientation {orientation}");
        // Without its block it lies as it is stored.
        if orientation > 1 {
            let made = copy(&jpeg(&stored)).unwrap();
            assert_eq!((made.width_px, made.height_px), (stored_wide, stored_high));
        }
    }
}

#[test]
fn a_copy_holds_nothing_but_the_picture() {
    let original = with_exif(&jpeg(&quarters(96, 64)), 1);
    let holds = |bytes: &[u8], what: &[u8]| bytes.windows(what.len()).any(|part| part == what);
    assert!(holds(&original, b"MARKER-52.1N-SERIAL-4711"));
    let made = copy(&original).unwrap();
    for trace in [&b"MARKER"[..], b"4711", b"Exif", b"MM\0\x2a", b"http"] {
        assert!(!holds(&made.jpeg, trace), "{trace:?}");
    }
    // No application segment but the plain JFIF head, and no comment (T.81 table B.1).
    let marks: Vec<u8> = made
        .jpeg
        .windows(2)
        .filter(|pair| pair[0] == 0xff && matches!(pair[1], 0xe0..=0xef | 0xfe))
        .map(|pair| pair[1])
        .collect();
    assert!(marks.iter().all(|mark| *mark == 0xe0) && marks.len() <= 1, "{marks:?}");
    assert_eq!(made, copy(&original).unwrap());
}

#[test]
fn a_large_photo_shrinks_and_a_small_one_does_not_grow() {
    let (wide, high) = (3200, 1000);
    let made = copy(&jpeg(&quarters(wide, high))).unwrap();
    assert_eq!((made.width_px, made.height_px), (LONGEST_PX, 500));
    assert!(stands_upright(&jpeg(&quarters(wide, high)), (1600, 500)));
    assert!(stands_upright(&png(&quarters(40, 24)), (40, 24)));
    let sliver = copy(&png(&quarters(3200, 1))).unwrap();
    assert_eq!((sliver.width_px, sliver.height_px), (1600, 1));
}

#[test]
fn what_shows_through_is_white() {
    let clear = image::RgbaImage::from_pixel(16, 16, image::Rgba([0, 0, 0, 0]));
    let mut bytes = Cursor::new(Vec::new());
    clear.write_to(&mut bytes, ImageFormat::Png).unwrap();
    let made = copy(&bytes.into_inner()).unwrap();
    let seen = image::load_from_memory(&made.jpeg).unwrap().into_rgb8();
    assert!(near(*seen.get_pixel(8, 8), Rgb([255; 3])));
}

fn survey(of_mark: &str, of_all: &str) -> String {
    format!(
        "(format: 1,\n photos: [{of_all}],\n panels: [(name: \"lid\", generic: \"lid\")],\n marks: [(id: 4, \
         panel: \"lid\", kind: gel_crack, depth: gel, edges_move: no,\n place: On(400, 300), shape: \
         Line(length_mm: 60, direction: Angle(0)),\n photos: [{of_mark}])])"
    )
}

fn with_photo(name: &str, bytes: Vec<u8>) -> (TextFolder, Result<Job, Vec<Diagnostic>>) {
    let text = survey(&format!("(file: {name:?}, what: \"close-up\")"), "");
    let mut folder = TextFolder::from([("survey.ron", text.as_str())]);
    folder.put_bytes(name, bytes);
    let read = job(&folder, "survey.ron", &Named::default());
    (folder, read)
}

fn refused(name: &str, bytes: Vec<u8>) -> Diagnostic {
    let mut faults = with_photo(name, bytes).1.expect_err("refused");
    assert_eq!(faults.len(), 1, "{faults:#?}");
    let fault = faults.remove(0);
    assert_eq!(fault.field, "marks[0].photos[0].file");
    assert_eq!(fault.place.map(|place| place.line), Some(6), "{fault}");
    assert!(fault.problem.contains(name) && !fault.accepted.is_empty());
    fault
}

#[test]
fn the_record_says_what_the_copy_will_be() {
    let bytes = with_exif(&jpeg(&quarters(2000, 1000)), 6);
    let (folder, read) = with_photo("photos/one.jpg", bytes.clone());
    let read = read.unwrap();
    let line = &lines(&read)[0];
    assert_eq!(
        (line.mark, line.file.as_str(), line.what.as_str()),
        (Some(4), "photos/one.jpg", "close-up")
    );
    assert_eq!((line.width_px, line.height_px), (800, 1600));
    assert_eq!((line.bytes, line.sha256.as_str()), (bytes.len(), sha256(&bytes).as_str()));
    assert!(read.files.iter().any(|file| file.name == line.file && file.sha256 == line.sha256));
    let shown = of_job(&folder, &read).unwrap();
    assert_eq!((shown[0].width_px, shown[0].height_px), (line.width_px, line.height_px));
    assert_eq!(shown[0].sha256, line.sha256);
    let report = plymend::estimate(&read).unwrap();
    assert_eq!(report.photos.len(), 1);
    // Exchanged after it was read: not shown under the other one's fingerprint.
    let mut other = folder.clone();
    other.put_bytes("photos/one.jpg", jpeg(&quarters(2000, 1000)));
    assert_eq!(of_job(&other, &read).unwrap_err()[0].code, "PHOTO-UNREADABLE");
}

#[test]
fn the_content_tells_the_kind() {
    assert!(with_photo("really-a-png.jpg", png(&quarters(40, 24))).1.is_ok());
    assert!(with_photo("really-a-jpeg.png", jpeg(&quarters(40, 24))).1.is_ok());
    assert_eq!(refused("notes.png", b"Notes on the lid: dull.".to_vec()).code, "PHOTO-KIND");
    assert_eq!(refused("empty.jpg", Vec::new()).code, "PHOTO-KIND");
}

#[test]
fn a_photo_that_is_cut_short_is_refused_without_decoding() {
    for whole in
        [jpeg(&quarters(96, 64)), png(&quarters(96, 64)), with_exif(&jpeg(&quarters(96, 64)), 3)]
    {
        assert!(with_photo("whole.jpg", whole.clone()).1.is_ok());
        for share in [3, 30, 60, 99] {
            let length = (whole.len() * share / 100).max(8);
            let fault = refused("short.jpg", whole[..length].to_vec());
            assert_eq!(fault.code, "PHOTO-CUT-SHORT", "{share} %");
        }
    }
}

#[test]
fn a_claimed_size_is_refused_before_it_is_believed() {
    // The size that a PNG claims: bytes 16 to 24 (IHDR).
    let mut bomb = png(&quarters(40, 24));
    bomb[16..20].copy_from_slice(&60_000_u32.to_be_bytes());
    bomb[20..24].copy_from_slice(&60_000_u32.to_be_bytes());
    let fault = refused("bomb.png", bomb.clone());
    assert_eq!(fault.code, "PHOTO-PIXELS");
    assert!(fault.problem.contains("60000 x 60000 pixels, 3600 megapixels"), "{fault}");
    assert_eq!(copy(&bomb).unwrap_err().code, "PHOTO-PIXELS");
    // In a JPEG it stands 5 bytes behind the start of the frame (T.81 B.2.2).
    let mut bomb = jpeg(&quarters(40, 24));
    let frame = bomb.windows(2).position(|pair| pair == [0xff, 0xc0]).unwrap();
    bomb[frame + 5..frame + 9].copy_from_slice(&[0xff; 4]);
    assert_eq!(refused("bomb.jpg", bomb).code, "PHOTO-PIXELS");
    // More bytes than are read.
    let mut large = jpeg(&quarters(40, 24));
    large.resize(usize::try_from(read_photos::MOST_BYTES).unwrap() + 1, 0);
    let fault = refused("large.jpg", large);
    assert_eq!(fault.code, "READ-TOO-LARGE");
    assert!(fault.accepted.contains("32 MiB"));
}

#[test]
fn damage_between_beginning_and_end_is_found_where_it_is_decoded() {
    let mut bytes = png(&quarters(96, 64));
    let middle = bytes.windows(4).position(|part| part == b"IDAT").unwrap() + 10;
    bytes[middle] ^= 0xff;
    let (folder, read) = with_photo("damaged.png", bytes);
    let fault = of_job(&folder, &read.unwrap()).unwrap_err().remove(0);
    assert_eq!((fault.code, fault.field.as_str()), ("PHOTO-UNREADABLE", "marks[0].photos[0].file"));
}

#[test]
fn any_bytes_are_copied_or_refused() {
    let wholes = [with_exif(&jpeg(&quarters(48, 32)), 8), png(&quarters(48, 32))];
    // Bytes changed one by one; what comes of it is said or shown, never a panic.
    for whole in wholes {
        for at in 0..whole.len() {
            for change in [0xff, 0x01] {
                let mut changed = whole.clone();
                changed[at] ^= change;
                let _ = copy(&changed);
            }
        }
    }
}

#[test]
fn names_and_words_are_asked_for() {
    let text = survey("(file: \"\", what: \"x\")", "(file: \"a.jpg\", what: \" \")");
    let mut folder = TextFolder::from([("survey.ron", text.as_str())]);
    folder.put_bytes("a.jpg", jpeg(&quarters(40, 24)));
    let faults = job(&folder, "survey.ron", &Named::default()).expect_err("refused");
    let told: Vec<(&str, &str)> =
        faults.iter().map(|fault| (fault.field.as_str(), fault.code)).collect();
    assert!(told.contains(&("marks[0].photos[0].file", "READ-NAME-EMPTY")), "{told:?}");
    assert!(told.contains(&("photos[0].what", "READ-NAME-EMPTY")), "{told:?}");
}

#[test]
fn a_photo_outside_of_the_folder_is_refused() {
    let around = tempfile::tempdir().unwrap();
    let folder = around.path().join("job");
    std::fs::create_dir_all(folder.join("photos")).unwrap();
    std::fs::write(around.path().join("outside.jpg"), jpeg(&quarters(40, 24))).unwrap();
    std::fs::write(folder.join("photos/inside.jpg"), jpeg(&quarters(40, 24))).unwrap();
    let file = folder.join("survey.ron");
    let check = |name: &str| {
        std::fs::write(&file, survey(&format!("(file: {name:?}, what: \"close-up\")"), ""))
            .unwrap();
        let run = Command::new(env!("CARGO_BIN_EXE_plymend")).arg("check").arg(&file).output();
        let run = run.unwrap();
        (run.status.code(), String::from_utf8_lossy(&run.stderr).into_owned())
    };
    assert_eq!(check("photos/inside.jpg").0, Some(0));
    let (code, said) = check("../outside.jpg");
    assert_eq!(code, Some(1));
    assert!(said.contains("READ-OUTSIDE") && said.contains("marks[0].photos[0].file"), "{said}");
    assert!(check("photos/none.jpg").1.contains("READ-OPEN"));
    assert!(check("photos").1.contains("READ-NOT-A-FILE"));
    #[cfg(unix)]
    {
        let link = folder.join("photos/link.jpg");
        std::os::unix::fs::symlink(around.path().join("outside.jpg"), link).unwrap();
        assert!(check("photos/link.jpg").1.contains("READ-OUTSIDE"));
    }
}

#[test]
fn the_pictures_of_the_demo_say_that_they_are_drawn() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/harbour-shuttle");
    let mut texts = TextFolder::default();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|end| end == "ron") {
            let name = path.file_name().unwrap().to_str().unwrap();
            texts.put(name, &std::fs::read_to_string(&path).unwrap());
        }
    }
    super::demo_photos::put(&mut texts);
    let demo = job(&texts, "survey-a.ron", &Named::default()).unwrap();
    let shown = of_job(&texts, &demo).unwrap();
    let marks: Vec<Option<u32>> = shown.iter().map(|photo| photo.mark).collect();
    assert_eq!(marks, [None, Some(1)]);
    for (photo, line) in shown.iter().zip(lines(&demo)) {
        assert!(photo.what.contains("drawn, not photographed"), "{}", photo.what);
        assert!(line.bytes < 40_000 && photo.jpeg.len() < 40_000);
    }
}
