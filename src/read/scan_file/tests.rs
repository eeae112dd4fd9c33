//! Small files read by hand, whole and broken.

use super::*;

const TETRA: &str = "ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\n\
                     property float z\nelement face 2\nproperty list uchar int vertex_index\n\
                     end_header\n0 0 0\n1 0 0\n0 1 0\n0 0 1\n4 0 1 2 3\n3 0 2 3\n";

fn code(file: &str, bytes: &[u8]) -> (&'static str, Option<usize>, String) {
    let fault = read(file, bytes).unwrap_err();
    (fault.code, fault.place.map(|place| place.line), fault.problem)
}

#[test]
fn polygons_are_cut_from_their_first_corner() {
    let scan = read("a.ply", TETRA.as_bytes()).unwrap();
    assert_eq!(scan.faces, [[0, 1, 2], [0, 2, 3], [0, 2, 3]]);
    assert_eq!((scan.polygons, scan.format), (1, ScanFormat::TextPly));
}

#[test]
fn obj_names_parts_and_counts_back() {
    let text = "# c\no wing\nv 0 0 0\nv 1 0 0 1 1 1\nv 0 1 0\nvt 0 0\nf 1/1/1 2//1 \\\n 3/2\ng \
                sill\nv 1 1 1e1\nf -3 -2 -1\n";
    let scan = read("a.obj", text.as_bytes()).unwrap();
    assert_eq!(scan.faces, [[0, 1, 2], [1, 2, 3]]);
    let parts: Vec<(&str, usize)> =
        scan.parts.iter().map(|part| (part.name.as_str(), part.first_face)).collect();
    assert_eq!(parts, [("wing", 0), ("sill", 1)]);
    assert_eq!(scan.positions[3].map(f64::to_bits), [1.0_f64, 1.0, 10.0].map(f64::to_bits));
}

#[test]
fn shares_of_an_obj_join_without_a_seam() {
    // Lines of unlike length, corners counted back over the borders of the shares.
    let mut text = String::from("v 0 0 0\nv 1 0 0\n");
    for k in 0..500_u32 {
        text.push_str(&format!(
            "v {k} {} 0.{}\nf -3 \\\n-2 -1\n",
            k % 7,
            "1".repeat(k as usize % 9 + 1)
        ));
    }
    let scan = read("a.obj", text.as_bytes()).unwrap();
    assert_eq!(scan.faces.len(), 500);
    assert!((0..).zip(&scan.faces).all(|(k, face)| *face == [k, k + 1, k + 2]));
    text.push_str("f 1 2 x\n");
    assert_eq!(code("a.obj", text.as_bytes()).1, Some(1503));
}

#[test]
fn stl_is_told_by_its_size_and_not_by_its_first_word() {
    let mut bytes = b"solid".to_vec();
    bytes.resize(80, 0);
    bytes.extend(1_u32.to_le_bytes());
    for x in [0.0_f32, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, -0.0, 0.0, 0.0, 1.0, 0.0] {
        bytes.extend(x.to_le_bytes());
    }
    bytes.extend([0, 0]);
    let scan = read("a.stl", &bytes).unwrap();
    assert_eq!((scan.format, scan.faces.len()), (ScanFormat::BinaryStl, 1));
    bytes.pop();
    assert_eq!(code("a.stl", &bytes).0, "SCAN-VALUE", "cut short it is neither");
    bytes[0] = 0;
    assert_eq!(code("a.stl", &bytes).0, "SCAN-CUT-SHORT");
}

#[test]
fn minus_nothing_is_nothing() {
    let text = "solid a\nfacet\nvertex 0 0 -0.0\nvertex 1 0 0\nvertex 0 1 0\nendfacet\nfacet\n\
                vertex -0 0 0\nvertex 0 1 0\nvertex -1 0 0\nendfacet\nendsolid\n";
    let scan = read("a.stl", text.as_bytes()).unwrap();
    assert_eq!(scan.faces, [[0, 1, 2], [0, 2, 3]]);
}

#[test]
fn claims_are_held_against_the_bytes() {
    let huge =
        |header: &str| format!("ply\nformat binary_little_endian 1.0\n{header}\nend_header\n1234");
    let vertex = "element vertex 4000000000\nproperty float x\nproperty float y\nproperty float z";
    assert_eq!(code("a.ply", huge(vertex).as_bytes()).0, "SCAN-CUT-SHORT");
    let face = "element face 4000000000\nproperty list uchar int vertex_indices";
    assert_eq!(code("a.ply", huge(face).as_bytes()).0, "SCAN-CUT-SHORT");
    let text = huge(face).replace("binary_little_endian", "ascii");
    assert_eq!(code("a.ply", text.as_bytes()).0, "SCAN-CUT-SHORT");
    let bare = "element nothing 4000000000\nelement vertex 0\nproperty float x";
    assert_eq!(code("a.ply", huge(bare).as_bytes()).0, "SCAN-VALUE");
    // A list that claims four billion entries.
    let list = "element face 1\nproperty list uint int vertex_indices";
    let mut bytes = huge(list).into_bytes();
    bytes.truncate(bytes.len() - 4);
    bytes.extend([0xff; 4]);
    assert_eq!(code("a.ply", &bytes).0, "SCAN-CUT-SHORT");
}

#[test]
fn faults_name_line_and_value() {
    let cases: [(&str, &str, &str, Option<usize>, &str); 9] = [
        ("a.obj", "v 0 0 x\n", "SCAN-VALUE", Some(1), "\"x\""),
        ("a.obj", "v 0 0 0\nf 1 2\n", "SCAN-VALUE", Some(2), "2 corners"),
        ("a.obj", "v 0 0 0\nf 0 1 1\n", "SCAN-VALUE", Some(2), "\"0\""),
        ("a.obj", "v 0 0 0\nf 1 2 3\n", "SCAN-VALUE", None, "names corner 2, there are 1"),
        ("a.obj", "v 0 0 0\n", "SCAN-FORMAT", None, "no triangle"),
        ("a.stl", "solid a\nvertex 1 2 nan\n", "SCAN-VALUE", Some(2), "\"nan\""),
        ("a.stl", "solid a\nfacet\nvertex 1 2 3\n", "SCAN-CUT-SHORT", Some(3), "within a facet"),
        ("a.stl", "solid a\nsurprise\n", "SCAN-VALUE", Some(2), "surprise"),
        ("a.xyz", "what is this", "SCAN-FORMAT", None, "no scan"),
    ];
    for (file, text, expected, line, said) in cases {
        let (code, at, problem) = code(file, text.as_bytes());
        assert_eq!((code, at), (expected, line), "{text:?}: {problem}");
        assert!(problem.contains(said), "{problem}");
    }
    let broken = TETRA.replace("3 0 2 3", "3 0 -2 3");
    assert_eq!(code("a.ply", broken.as_bytes()).1, Some(15));
    let broken = TETRA.replace("0 0 1\n4", "0 inf 1\n4");
    assert_eq!(code("a.ply", broken.as_bytes()).1, Some(13));
}
