//! The pictures in the documentation are those the example draws.

#![allow(clippy::expect_used, reason = "a test may stop at what it did not expect")]

#[path = "../examples/skin_pictures/pictures.rs"]
mod pictures;

#[test]
fn the_pictures_in_the_tree_are_those_the_example_draws() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/skin_pictures");
    let drawn = pictures::pictures().expect("the example draws");
    assert_eq!(drawn.len(), 3);
    for (name, picture) in drawn {
        let kept = std::fs::read_to_string(folder.join(name)).expect("the picture is there");
        assert!(
            kept == picture,
            "{name} is not what the example draws: run `cargo run --example skin_pictures`"
        );
        // A blank line would end the picture in a page of text.
        assert!(!picture.contains("\n\n"));
    }
}
