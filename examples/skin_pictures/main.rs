//! Pictures of what the room `surface` does, on the generic wing: reaches round a crack, the same
//! laid flat, and a place by two tapes. `cargo run --example skin_pictures` writes them beside
//! this file, where the documentation of `plymend::surface` takes them from.

use std::error::Error;
use std::path::Path;

#[path = "pictures.rs"]
mod pictures;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/skin_pictures");
    for (name, picture) in pictures::pictures()? {
        std::fs::write(folder.join(name), picture)?;
    }
    Ok(())
}
