//! Units as types: one base unit a quantity, the unit spelt out in every file and field name.
//!
//! A quantity accepts any number when it is read from a file, NaN included: whether the number
//! makes sense there is decided in the `read` room, where the field and its line are known.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Mul, Sub};

use serde::{Deserialize, Serialize};

macro_rules! quantity {
    ($(#[$meta:meta])* $name:ident, $unit:literal) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl $name {
            /// The unit as it is printed.
            pub const UNIT: &'static str = $unit;

            /// The bare number in the base unit.
            #[must_use]
            pub const fn value(self) -> f64 {
                self.0
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                Self(items.map(|item| item.0).sum())
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                match out.precision() {
                    Some(digits) => write!(out, "{:.*} {}", digits, self.0, $unit),
                    None => write!(out, "{} {}", self.0, $unit),
                }
            }
        }
    };
}

quantity!(/// Length over the skin or in space, mm.
    Millimetres, "mm");
quantity!(/// Angle, degrees.
    Degrees, "degrees");
quantity!(/// Area on the skin, m2.
    SquareMetres, "m²");
quantity!(/// Mass, kg.
    Kilograms, "kg");
quantity!(/// Small mass, g.
    Grams, "g");
quantity!(/// Small volume, ml.
    Millilitres, "ml");
quantity!(/// Volume, litres.
    Litres, "l");
quantity!(/// Mass over area, g/m2.
    GramsPerSquareMetre, "g/m²");
quantity!(/// Mass over area, kg/m2.
    KilogramsPerSquareMetre, "kg/m²");
quantity!(/// Temperature, degrees C.
    Celsius, "°C");
quantity!(/// Share of a hundred, %.
    Percent, "%");
quantity!(/// Time, min.
    Minutes, "min");
quantity!(/// Time, h.
    Hours, "h");
quantity!(/// Volume of a room, m3.
    CubicMetres, "m³");
quantity!(/// Flow of air, m3/h.
    CubicMetresPerHour, "m³/h");

impl GramsPerSquareMetre {
    /// The same weight in kg/m2.
    #[must_use]
    pub fn in_kilograms(self) -> KilogramsPerSquareMetre {
        KilogramsPerSquareMetre(self.0 / 1000.0)
    }
}

impl Kilograms {
    /// The same mass in g.
    #[must_use]
    pub fn in_grams(self) -> Grams {
        Grams(self.0 * 1000.0)
    }
}

impl Minutes {
    /// The time in the unit a person plans by, rounded up.
    #[must_use]
    pub fn in_words(self) -> String {
        let minutes = self.0;
        if !minutes.is_finite() {
            return "a time nobody can say".to_owned();
        }
        if minutes <= 1.0 {
            "1 minute".to_owned()
        } else if minutes < 120.0 {
            format!("{:.0} minutes", minutes.ceil())
        } else if minutes < 48.0 * 60.0 {
            format!("{:.0} hours", (minutes / 60.0).ceil())
        } else {
            format!("{:.0} days", (minutes / 1440.0).ceil())
        }
    }
}

impl Mul<SquareMetres> for KilogramsPerSquareMetre {
    type Output = Kilograms;
    fn mul(self, area: SquareMetres) -> Kilograms {
        Kilograms(self.0 * area.0)
    }
}

impl Mul<SquareMetres> for GramsPerSquareMetre {
    type Output = Kilograms;
    fn mul(self, area: SquareMetres) -> Kilograms {
        self.in_kilograms() * area
    }
}

/// Square millimetres, the unit areas are measured in, as m2.
#[must_use]
pub fn square_metres(area_mm2: f64) -> SquareMetres {
    SquareMetres(area_mm2 * 1e-6)
}

/// A figure in its three cases.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Cases<T> {
    /// What is certain to be needed: nothing hidden.
    pub low: T,
    /// What is usual for such a mark.
    pub likely: T,
    /// What a bad but ordinary outcome needs.
    pub high: T,
}

/// Which of the three cases.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Case {
    /// Nothing hidden.
    Low,
    /// The usual.
    Likely,
    /// A bad but ordinary outcome.
    High,
}

impl Case {
    /// All three, in order.
    pub const ALL: [Case; 3] = [Case::Low, Case::Likely, Case::High];

    /// The word that is printed.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Case::Low => "low",
            Case::Likely => "likely",
            Case::High => "high",
        }
    }
}

impl<T> Cases<T> {
    /// Makes the three figures, in order.
    pub fn from_fn(mut make: impl FnMut(Case) -> T) -> Self {
        Self { low: make(Case::Low), likely: make(Case::Likely), high: make(Case::High) }
    }

    /// Makes the three figures, in order, stopping at the first failure.
    ///
    /// # Errors
    /// The first error that `make` gives.
    pub fn try_from_fn<E>(mut make: impl FnMut(Case) -> Result<T, E>) -> Result<Self, E> {
        Ok(Self { low: make(Case::Low)?, likely: make(Case::Likely)?, high: make(Case::High)? })
    }

    /// The figure of one case.
    pub const fn get(&self, case: Case) -> &T {
        match case {
            Case::Low => &self.low,
            Case::Likely => &self.likely,
            Case::High => &self.high,
        }
    }

    /// The figure of one case, to change it.
    pub const fn get_mut(&mut self, case: Case) -> &mut T {
        match case {
            Case::Low => &mut self.low,
            Case::Likely => &mut self.likely,
            Case::High => &mut self.high,
        }
    }

    /// Every figure put through `change`.
    pub fn map<U>(&self, mut change: impl FnMut(&T) -> U) -> Cases<U> {
        Cases { low: change(&self.low), likely: change(&self.likely), high: change(&self.high) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areal_weight_times_area_is_a_mass() {
        let mass = GramsPerSquareMetre(450.0) * SquareMetres(2.0);
        approx::assert_relative_eq!(mass.value(), 0.9);
        approx::assert_relative_eq!(mass.in_grams().value(), 900.0);
    }

    #[test]
    fn printing_names_the_unit() {
        assert_eq!(format!("{:.1}", Millimetres(12.345)), "12.3 mm");
        assert_eq!(Celsius(18.0).to_string(), "18 °C");
    }
}
