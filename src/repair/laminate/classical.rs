//! Classical laminate theory: thin plies that stay bonded and plane (standard mechanics; worked
//! examples in Kaw, Mechanics of Composite Materials, 2nd ed. 2006, chapter 4).
//!
//! Any consistent units will do; with MPa and mm the stiffnesses are N/mm, N and N mm.

use nalgebra::{Matrix3, Matrix6, Vector3, Vector6};

/// One ply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ply {
    /// Thickness.
    pub thickness_mm: f64,
    /// Modulus along its fibres.
    pub along_mpa: f64,
    /// Modulus across them.
    pub across_mpa: f64,
    /// In-plane shear modulus.
    pub shear_mpa: f64,
    /// Contraction across under tension along, as a share.
    pub poisson: f64,
    /// Angle of its fibres from the laminate's own direction.
    pub angle_deg: f64,
}

impl Ply {
    /// Reduced stiffness on the ply's own axes.
    #[must_use]
    pub fn stiffness(&self) -> Matrix3<f64> {
        let minor = self.poisson * self.across_mpa / self.along_mpa;
        let rest = 1.0 - self.poisson * minor;
        let coupled = self.poisson * self.across_mpa / rest;
        Matrix3::new(
            self.along_mpa / rest,
            coupled,
            0.0,
            coupled,
            self.across_mpa / rest,
            0.0,
            0.0,
            0.0,
            self.shear_mpa,
        )
    }

    /// The same on the laminate's axes.
    #[must_use]
    pub fn turned(&self) -> Matrix3<f64> {
        let q = self.stiffness();
        let (s, c) = self.angle_deg.to_radians().sin_cos();
        let (s2, c2, sc) = (s * s, c * c, s * c);
        let (q11, q12, q22, q66) = (q.m11, q.m12, q.m22, q.m33);
        let both = q12 + 2.0 * q66;
        let b11 = q11 * c2 * c2 + q22 * s2 * s2 + 2.0 * both * s2 * c2;
        let b12 = (q11 + q22 - 4.0 * q66) * s2 * c2 + q12 * (c2 * c2 + s2 * s2);
        let b22 = q11 * s2 * s2 + q22 * c2 * c2 + 2.0 * both * s2 * c2;
        let b16 = (q11 - both) * c2 * sc - (q22 - both) * s2 * sc;
        let b26 = (q11 - both) * s2 * sc - (q22 - both) * c2 * sc;
        let b66 = (q11 + q22 - 2.0 * q12 - 2.0 * q66) * s2 * c2 + q66 * (s2 * s2 + c2 * c2);
        Matrix3::new(b11, b12, b16, b12, b22, b26, b16, b26, b66)
    }
}

/// A stack of plies about its middle plane.
#[derive(Debug, Clone, PartialEq)]
pub struct Laminate {
    /// Thickness of all plies.
    pub thickness_mm: f64,
    /// Membrane stiffness, force per width.
    pub membrane: Matrix3<f64>,
    /// Coupling of membrane and bending, force.
    pub coupling: Matrix3<f64>,
    /// Bending stiffness about the middle plane, force times length.
    pub bending: Matrix3<f64>,
}

/// How a laminate moves under load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// Strain of the middle plane: along, across, shear.
    pub strain: Vector3<f64>,
    /// Curvature, one over length.
    pub curvature: Vector3<f64>,
}

impl Laminate {
    /// Plies in order, the first at the side where z is least.
    #[must_use]
    pub fn of(plies: &[Ply]) -> Self {
        let thickness_mm: f64 = plies.iter().map(|ply| ply.thickness_mm).sum();
        let mut low = -thickness_mm / 2.0;
        let mut found = Self {
            thickness_mm,
            membrane: Matrix3::zeros(),
            coupling: Matrix3::zeros(),
            bending: Matrix3::zeros(),
        };
        for ply in plies {
            let high = low + ply.thickness_mm;
            let stiffness = ply.turned();
            found.membrane += stiffness * (high - low);
            found.coupling += stiffness * ((high * high - low * low) / 2.0);
            found.bending += stiffness * ((high.powi(3) - low.powi(3)) / 3.0);
            low = high;
        }
        found
    }

    /// Bending stiffness that a strip free to find its own neutral plane shows: D - B A⁻¹ B.
    /// Nothing without plies.
    #[must_use]
    pub fn free_bending(&self) -> Option<Matrix3<f64>> {
        let inverse = self.membrane.try_inverse()?;
        Some(self.bending - self.coupling * inverse * self.coupling)
    }

    /// Modulus along of the whole, as a membrane: one over (h a11). Nothing without plies.
    #[must_use]
    pub fn membrane_modulus(&self) -> Option<f64> {
        Some(1.0 / (self.thickness_mm * self.membrane.try_inverse()?.m11))
    }

    /// Strain and curvature under forces and moments per width. Nothing without plies.
    #[must_use]
    pub fn under(&self, force: Vector3<f64>, moment: Vector3<f64>) -> Option<Moved> {
        let mut all = Matrix6::zeros();
        all.fixed_view_mut::<3, 3>(0, 0).copy_from(&self.membrane);
        all.fixed_view_mut::<3, 3>(0, 3).copy_from(&self.coupling);
        all.fixed_view_mut::<3, 3>(3, 0).copy_from(&self.coupling);
        all.fixed_view_mut::<3, 3>(3, 3).copy_from(&self.bending);
        let mut load = Vector6::zeros();
        load.fixed_rows_mut::<3>(0).copy_from(&force);
        load.fixed_rows_mut::<3>(3).copy_from(&moment);
        let moved = all.lu().solve(&load)?;
        Some(Moved {
            strain: moved.fixed_rows::<3>(0).into_owned(),
            curvature: moved.fixed_rows::<3>(3).into_owned(),
        })
    }
}
