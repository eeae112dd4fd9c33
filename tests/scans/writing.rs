//! Closed shapes as triangles, and every scan format written in the plainest way.
#![allow(dead_code, reason = "tests and example programs each use a part")]
#![allow(clippy::indexing_slicing, reason = "corner numbers are made with the corners")]

/// Triangles in mm.
#[derive(Debug, Clone)]
pub(crate) struct Shape {
    /// Corners.
    pub(crate) positions: Vec<[f64; 3]>,
    /// Triangles.
    pub(crate) faces: Vec<[u32; 3]>,
}

/// A net of `columns` x `rows` fields over `at(s, t)`, s and t from 0 to 1; fields that `keep`
/// refuses are left out. Inner corners are moved about by `jitter` of a field and diagonals run
/// either way, as in a scan.
pub(crate) fn net(
    columns: usize,
    rows: usize,
    jitter: f64,
    at: impl Fn(f64, f64) -> [f64; 3],
    keep: impl Fn(usize, usize) -> bool,
) -> Shape {
    let mut seed = 7_u64;
    let mut chance = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from((seed >> 33) as u32) / f64::from(1_u32 << 31)
    };
    let mut positions = Vec::new();
    for j in 0..=rows {
        for i in 0..=columns {
            let inner = |k: usize, n: usize| k > 0 && k < n;
            let (dx, dy) = (chance() - 0.5, chance() - 0.5);
            let dx = if inner(i, columns) && inner(j, rows) { jitter * dx } else { 0.0 };
            let dy = if inner(i, columns) && inner(j, rows) { jitter * dy } else { 0.0 };
            positions.push(at((i as f64 + dx) / columns as f64, (j as f64 + dy) / rows as f64));
        }
    }
    let mut faces = Vec::new();
    for j in 0..rows {
        for i in 0..columns {
            let p = (j * (columns + 1) + i) as u32;
            let (q, r) = (p + 1, p + columns as u32 + 1);
            let s = r + 1;
            let either = chance() < 0.5;
            if keep(i, j) {
                let two = if either { [[p, q, s], [p, s, r]] } else { [[p, q, r], [q, s, r]] };
                faces.extend(two);
            }
        }
    }
    Shape { positions, faces }
}

/// A cylinder about an axis along x: `length` along, `arc` round, crown outward (+z).
pub(crate) fn cylinder(radius: f64, length: f64, arc: f64, columns: usize, rows: usize) -> Shape {
    let at = |s: f64, t: f64| {
        let angle = arc / radius * (t - 0.5);
        [s * length, radius * angle.sin() + 0.5 * arc, radius * (angle.cos() - 1.0)]
    };
    net(columns, rows, 0.3, at, |_, _| true)
}

/// A cap of a sphere out to `reach` over the skin from its pole, in rings.
pub(crate) fn cap(radius: f64, reach: f64, rings: usize) -> Shape {
    let mut positions = vec![[0.0, 0.0, radius]];
    let mut faces = Vec::new();
    let count = 6 * rings;
    for ring in 1..=rings {
        let polar = reach / radius * ring as f64 / rings as f64;
        for k in 0..count {
            let turn = std::f64::consts::TAU * k as f64 / count as f64;
            let out = radius * polar.sin();
            positions.push([out * turn.cos(), out * turn.sin(), radius * polar.cos()]);
        }
        let here = (1 + (ring - 1) * count) as u32;
        for k in 0..count as u32 {
            let next = (k + 1) % count as u32;
            if ring == 1 {
                faces.push([0, here + k, here + next]);
            } else {
                let before = here - count as u32;
                faces.push([before + k, here + k, here + next]);
                faces.push([before + k, here + next, before + next]);
            }
        }
    }
    Shape { positions, faces }
}

impl Shape {
    /// Area of the triangles.
    pub(crate) fn area(&self) -> f64 {
        self.faces.iter().map(|face| self.face_area(*face)).sum()
    }

    /// Area of one.
    pub(crate) fn face_area(&self, face: [u32; 3]) -> f64 {
        let [a, b, c] = face.map(|v| self.positions[v as usize]);
        let (p, q) = ([0, 1, 2].map(|i| b[i] - a[i]), [0, 1, 2].map(|i| c[i] - a[i]));
        let n = [p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]];
        0.5 * (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt()
    }

    /// The same with every corner as 32-bit floats hold it.
    pub(crate) fn single(mut self) -> Self {
        for x in self.positions.iter_mut().flatten() {
            *x = f64::from(*x as f32);
        }
        self
    }

    /// In another unit.
    pub(crate) fn scaled(mut self, factor: f64) -> Self {
        self.positions.iter_mut().flatten().for_each(|x| *x *= factor);
        self
    }
}

/// Binary STL; the head starts with the word `solid`, as some programs write it.
pub(crate) fn binary_stl(shape: &Shape) -> Vec<u8> {
    let mut out = b"solid in a binary file".to_vec();
    out.resize(80, b' ');
    out.extend((shape.faces.len() as u32).to_le_bytes());
    for face in &shape.faces {
        out.extend([0_u8; 12]);
        for x in face.iter().flat_map(|v| shape.positions[*v as usize]) {
            out.extend((x as f32).to_le_bytes());
        }
        out.extend([0_u8; 2]);
    }
    out
}

/// ASCII STL.
pub(crate) fn text_stl(shape: &Shape, name: &str) -> Vec<u8> {
    let mut out = format!("solid {name}\n");
    for face in &shape.faces {
        out.push_str("  facet normal 0 0 0\n    outer loop\n");
        for v in face {
            let [x, y, z] = shape.positions[*v as usize];
            out.push_str(&format!("      vertex {x:e} {y:e} {z:e}\n"));
        }
        out.push_str("    endloop\n  endfacet\n");
    }
    out.push_str(&format!("endsolid {name}\n"));
    out.into_bytes()
}

/// How a PLY is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Ply {
    /// Text.
    Text,
    /// Low byte first.
    Little,
    /// High byte first.
    Big,
}

/// PLY with an element and properties that a reader has to pass over.
pub(crate) fn ply(shape: &Shape, form: Ply) -> Vec<u8> {
    let word = match form {
        Ply::Text => "ascii",
        Ply::Little => "binary_little_endian",
        Ply::Big => "binary_big_endian",
    };
    let mut out = format!(
        "ply\nformat {word} 1.0\ncomment written by a test\nelement camera 2\nproperty float view\n\
         property list uchar short tags\nelement vertex {}\nproperty uchar red\nproperty double \
         x\nproperty double y\nproperty double z\nproperty float quality\nelement face {}\n\
         property float cost\nproperty list uchar int vertex_indices\nproperty uchar \
         flags\nend_header\n",
        shape.positions.len(),
        shape.faces.len()
    )
    .into_bytes();
    if form == Ply::Text {
        let mut text = String::from("0.5 2 1 2\n0.25 0\n");
        for [x, y, z] in &shape.positions {
            text.push_str(&format!("255 {x} {y} {z} 1\n"));
        }
        for [a, b, c] in &shape.faces {
            text.push_str(&format!("0.5 3 {a} {b} {c} 1\n"));
        }
        out.extend(text.bytes());
        return out;
    }
    let mut put = |bytes: &[u8]| {
        if form == Ply::Big { out.extend(bytes.iter().rev()) } else { out.extend(bytes) }
    };
    put(&0.5_f32.to_le_bytes());
    put(&[2]);
    put(&1_i16.to_le_bytes());
    put(&2_i16.to_le_bytes());
    put(&0.25_f32.to_le_bytes());
    put(&[0]);
    for place in &shape.positions {
        put(&[255]);
        place.iter().for_each(|x| put(&x.to_le_bytes()));
        put(&1_f32.to_le_bytes());
    }
    for face in &shape.faces {
        put(&0.5_f32.to_le_bytes());
        put(&[3]);
        face.iter().for_each(|v| put(&v.to_le_bytes()));
        put(&[1]);
    }
    out
}

/// PLY with nothing but single coordinates and triangles, as scanners write it.
pub(crate) fn plain_ply(shape: &Shape) -> Vec<u8> {
    let mut out = format!(
        "ply\nformat binary_little_endian 1.0\nelement vertex {}\nproperty float x\nproperty float \
         y\nproperty float z\nelement face {}\nproperty list uchar int vertex_indices\nend_header\n",
        shape.positions.len(),
        shape.faces.len()
    )
    .into_bytes();
    for x in shape.positions.iter().flatten() {
        out.extend((*x as f32).to_le_bytes());
    }
    for face in &shape.faces {
        out.push(3);
        face.iter().for_each(|v| out.extend(v.to_le_bytes()));
    }
    out
}

/// OBJ; every second face counts its corners back from the last one.
pub(crate) fn obj(shape: &Shape, name: &str) -> Vec<u8> {
    let mut out = format!("# written by a test\no {name}\n");
    for [x, y, z] in &shape.positions {
        out.push_str(&format!("v {x} {y} {z}\n"));
    }
    out.push_str("vn 0 0 1\ns off\n");
    let count = shape.positions.len() as i64;
    for (number, [a, b, c]) in shape.faces.iter().enumerate() {
        if number % 2 == 0 {
            out.push_str(&format!("f {}//1 {}//1 {}//1\n", a + 1, b + 1, c + 1));
        } else {
            let back = |v: &u32| i64::from(*v) - count;
            out.push_str(&format!("f {} {} {}\n", back(a), back(b), back(c)));
        }
    }
    out.into_bytes()
}
