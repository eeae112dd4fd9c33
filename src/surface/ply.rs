//! A mesh as ASCII PLY, so that other software can measure what was measured here.
//!
//! Vertices carry x, y, z and the grid place u, v in mm. Faces carry the numbers of opening,
//! strip and region as in the panel file, -1 where there is none, and whether they are part of a
//! turned edge. Layout: the Polygon File Format of 1994 (published).

use std::fmt::Write as _;

use super::mesh::Mesh;

/// The mesh as the text of a PLY file.
#[must_use]
pub fn to_ply(mesh: &Mesh) -> String {
    let mut out = String::from("ply\nformat ascii 1.0\ncomment lengths in mm\n");
    let number = |n: Option<u16>| n.map_or(-1, i32::from);
    // Writing into a String cannot fail.
    let _ = writeln!(out, "element vertex {}", mesh.positions.len());
    for name in ["x", "y", "z", "u", "v"] {
        let _ = writeln!(out, "property double {name}");
    }
    let _ = writeln!(out, "element face {}", mesh.faces.len());
    out.push_str("property list uchar int vertex_indices\n");
    for name in ["opening", "strip", "region", "on_return"] {
        let _ = writeln!(out, "property int {name}");
    }
    out.push_str("end_header\n");
    for (p, g) in mesh.positions.iter().zip(&mesh.grid) {
        let _ = writeln!(out, "{:.6} {:.6} {:.6} {:.6} {:.6}", p.x, p.y, p.z, g.x, g.y);
    }
    for ([a, b, c], tag) in mesh.faces.iter().zip(&mesh.tags) {
        let (opening, strip, region) = (number(tag.opening), number(tag.strip), number(tag.region));
        let turned = i32::from(tag.on_return);
        let _ = writeln!(out, "3 {a} {b} {c} {opening} {strip} {region} {turned}");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::mesh::FaceTag;
    use nalgebra::{Point2, Point3};

    #[test]
    fn a_triangle_is_written_with_its_grid_and_tags() {
        let mesh = Mesh::new(
            vec![
                Point3::new(0.0, 0.0, 1.5),
                Point3::new(10.0, 0.0, 0.0),
                Point3::new(0.0, 8.0, 0.0),
            ],
            vec![Point2::new(0.0, 0.0), Point2::new(10.0, 0.0), Point2::new(0.0, 8.0)],
            vec![[0, 1, 2]],
            vec![FaceTag { region: Some(2), on_return: true, ..FaceTag::default() }],
        );
        let text = to_ply(&mesh.unwrap());
        assert!(text.contains("element vertex 3\n") && text.contains("element face 1\n"));
        assert!(text.contains("\n0.000000 0.000000 1.500000 0.000000 0.000000\n"));
        assert!(text.ends_with("\n3 0 1 2 -1 -1 2 1\n"), "{text}");
    }
}
