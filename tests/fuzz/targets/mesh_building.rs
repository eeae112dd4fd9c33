//! Bytes as corners and triangles: nothing panics, and what is accepted holds what is promised.
#![no_main]

#[path = "../../scans/prodded.rs"]
mod prodded;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let _ = prodded::mesh_building(bytes);
});
