//! The tabular strip: plies about a base line, as classification societies lay it out (Lloyd's
//! Register, Guidance Notes for Calculation Procedures for Composite Construction, Chapter 3
//! Section 1; published).

/// One ply of a strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// From the base line to its middle, mm.
    pub lever_mm: f64,
    /// Modulus, MPa.
    pub modulus_mpa: f64,
}

impl Row {
    /// E t, N/mm.
    #[must_use]
    pub fn stiffness(&self) -> f64 {
        self.modulus_mpa * self.thickness_mm
    }

    /// E t x, N.
    #[must_use]
    pub fn moment(&self) -> f64 {
        self.stiffness() * self.lever_mm
    }

    /// Second moment about the base line of a strip of a width in mm, mm4.
    #[must_use]
    pub fn second_moment(&self, width_mm: f64) -> f64 {
        let (t, x) = (self.thickness_mm, self.lever_mm);
        width_mm * (t * x * x + t * t * t / 12.0)
    }

    /// E I about the base line, N mm2.
    #[must_use]
    pub fn bending(&self, width_mm: f64) -> f64 {
        self.modulus_mpa * self.second_moment(width_mm)
    }
}

/// Rows of plies laid up from the base line.
#[must_use]
pub fn rows(plies: &[(f64, f64)]) -> Vec<Row> {
    let mut base_mm = 0.0;
    plies
        .iter()
        .map(|(thickness_mm, modulus_mpa)| {
            let lever_mm = base_mm + thickness_mm / 2.0;
            base_mm += thickness_mm;
            Row { thickness_mm: *thickness_mm, lever_mm, modulus_mpa: *modulus_mpa }
        })
        .collect()
}

/// Height of the neutral axis over the base line, mm.
#[must_use]
pub fn neutral_axis_mm(rows: &[Row]) -> f64 {
    let stiffness: f64 = rows.iter().map(Row::stiffness).sum();
    rows.iter().map(Row::moment).sum::<f64>() / stiffness
}

/// E I about the neutral axis of a strip of a width in mm, N mm2.
#[must_use]
pub fn bending_stiffness(rows: &[Row], width_mm: f64) -> f64 {
    let base: f64 = rows.iter().map(|row| row.bending(width_mm)).sum();
    let stiffness: f64 = rows.iter().map(Row::stiffness).sum();
    base - width_mm * neutral_axis_mm(rows).powi(2) * stiffness
}
