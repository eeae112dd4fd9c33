//! The demo with four of its marks opened up.

use std::fs;
use std::path::PathBuf;

use plymend::read::job::{Named, TextFolder, job};

use super::{closed, told};

#[test]
fn the_demo_tells_what_opening_up_changed() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/harbour-shuttle");
    let mut texts = TextFolder::default();
    for entry in fs::read_dir(&folder).expect("the demo is there") {
        let path = entry.expect("listed").path();
        if path.extension().is_some_and(|end| end == "ron") {
            let name = path.file_name().and_then(|name| name.to_str()).expect("plain").to_owned();
            texts.put(&name, &fs::read_to_string(&path).expect("text"));
        }
    }
    super::demo_photos::put(&mut texts);
    // The survey itself names no such file: the demo stays as it was found.
    let plain = job(&texts, "survey-a.ron", &Named::default()).expect("whole");
    assert!(plain.opened.is_none());
    let named = Named { opened: Some("opened.ron".to_owned()), ..Named::default() };
    let job = job(&texts, "survey-a.ron", &named).expect("whole");
    let (before, after) = (told(&closed(&job)), told(&job));
    let opened = after.opened.as_ref().expect("opened");
    let marks: Vec<u32> = opened.marks.iter().map(|one| one.mark).collect();
    assert_eq!(marks, [1, 5, 8, 17]);
    let learnt: Vec<_> = opened.growth.iter().map(|one| (&*one.rule, one.marks.len())).collect();
    assert_eq!(learnt, [("GROW-CRAZE", 2), ("GROW-GEL-CRACK", 1), ("GROW-THROUGH", 1)]);
    for (was, now) in before.findings.iter().zip(&after.findings) {
        assert_eq!(was.action, now.action, "mark {}", was.mark);
        let Some(length) = &now.grown_length_mm else { continue };
        if marks.contains(&now.mark) {
            let all = [length.low, length.likely, length.high];
            assert!(all.iter().all(|one| (one - all[0]).abs() < 1e-9), "mark {}", now.mark);
        }
    }
    // Mark 5 ran on by 12 and 34 mm.
    let of = |report: &plymend::report::Report| report.findings[4].length_mm.expect("a line");
    approx::assert_relative_eq!(of(&after) - of(&before), 46.0, epsilon = 1e-5);
    for rule in ["OPENED-SIZE", "OPENED-REFERRAL", "GROWTH-LEARNT", "GROWTH-PRIOR-WORTH"] {
        assert!(after.rules.iter().any(|one| one.id == rule), "{rule}");
    }
}
