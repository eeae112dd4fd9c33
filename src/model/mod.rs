//! The trade's nouns, as the user's files hold them.
//!
//! Every record here is plain data with its unit in the field name. The `read` room fills and
//! checks them; the rooms after it may rely on what it checked.

pub mod body;
pub mod climate;
pub mod consumables;
pub mod drying;
pub mod fixing;
pub mod form;
pub mod hazard;
pub mod labour;
pub mod mark;
pub mod moment;
pub mod opened;
pub mod packs;
pub mod panel;
pub mod place;
pub mod prices;
pub mod reading_grid;
pub mod scan;
pub mod shape;
pub mod shop;
pub mod stock;
pub mod survey;

use serde::{Deserialize, Deserializer};

/// Lets an optional field be written as its bare value, without a wrapper around it.
pub(crate) fn given<'de, D, T>(reader: D) -> Result<Option<T>, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
{
    T::deserialize(reader).map(Some)
}

/// Two grid coordinates of a panel, mm: along (u) and up or across (v).
pub type GridPlace = (crate::quantity::Millimetres, crate::quantity::Millimetres);

/// The file format this program reads.
pub const FORMAT: u32 = 1;

macro_rules! words {
    ($(#[$meta:meta])* $name:ident { $($(#[$doc:meta])* $variant:ident => $word:literal),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize)]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($(#[$doc])* $variant),+ }

        impl $name {
            /// The words that are printed for it.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
        }
    };
}
pub(crate) use words;
