//! A place on a panel as its file gives it: on the panel's own grid, or in space.

use std::fmt;

use serde::de::{Error, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer};

use super::GridPlace;
use crate::quantity::Millimetres;

/// A place in space on a scan's own axes, mm.
pub type SpacePlace = (Millimetres, Millimetres, Millimetres);

/// A place on a panel: written `(u, v)`, or on a scan `Xyz(x, y, z)` or `(x, y, z)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PanelPlace {
    /// On the grid.
    Grid(Millimetres, Millimetres),
    /// In space.
    Space(SpacePlace),
}

impl PanelPlace {
    /// The grid place, where it is given as one.
    #[must_use]
    pub const fn on_grid(&self) -> Option<GridPlace> {
        match self {
            Self::Grid(u, v) => Some((*u, *v)),
            Self::Space(_) => None,
        }
    }
}

impl From<GridPlace> for PanelPlace {
    fn from((u, v): GridPlace) -> Self {
        Self::Grid(u, v)
    }
}

impl fmt::Display for PanelPlace {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Grid(u, v) => write!(out, "u {:.0} v {:.0}", u.value(), v.value()),
            Self::Space((x, y, z)) => {
                write!(out, "x {:.0} y {:.0} z {:.0}", x.value(), y.value(), z.value())
            }
        }
    }
}

struct Numbers;

impl<'de> Visitor<'de> for Numbers {
    type Value = PanelPlace;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("a place: (u, v) on the grid, or Xyz(x, y, z) in space")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<PanelPlace, A::Error> {
        let first = list.next_element()?.ok_or_else(|| Error::invalid_length(0, &self))?;
        let second = list.next_element()?.ok_or_else(|| Error::invalid_length(1, &self))?;
        Ok(match list.next_element()? {
            Some(third) => PanelPlace::Space((first, second, third)),
            None => PanelPlace::Grid(first, second),
        })
    }
}

impl<'de> Deserialize<'de> for PanelPlace {
    fn deserialize<D: Deserializer<'de>>(reader: D) -> Result<Self, D::Error> {
        reader.deserialize_tuple_struct("Xyz", 3, Numbers)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_numbers_are_on_the_grid_and_three_in_space() {
        let read = |text: &str| ron::from_str::<PanelPlace>(text);
        let mm = Millimetres;
        assert_eq!(read("(1, 2.5)").unwrap(), PanelPlace::Grid(mm(1.0), mm(2.5)));
        let space = PanelPlace::Space((mm(1.0), mm(2.0), mm(-3.0)));
        assert_eq!(read("(1, 2, -3)").unwrap(), space);
        assert_eq!(read("Xyz(1, 2, -3)").unwrap(), space);
        for wrong in ["(1)", "(1, 2, 3, 4)", "Abc(1, 2, 3)", "Xyz(1)", "[1, 2]"] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }
}
