//! The demo's photos, for tests that read it from memory.
#![allow(clippy::expect_used, reason = "what a test cannot set up has to fail it")]

use plymend::read::job::TextFolder;

/// Adds every photo of the demo.
pub(crate) fn put(folder: &mut TextFolder) {
    let photos = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/harbour-shuttle/photos");
    for entry in std::fs::read_dir(photos).expect("the demo's photos are there") {
        let path = entry.expect("listed").path();
        let name = path.file_name().and_then(|name| name.to_str()).expect("plain");
        folder.put_bytes(&format!("photos/{name}"), std::fs::read(&path).expect("bytes"));
    }
}
