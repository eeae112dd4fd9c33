//! What the table goes over.

/// What is known of the fixings of the panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Fixing {
    /// In words.
    pub(crate) name: &'static str,
    /// As the panel file writes it: what it carries and its state; none without a list.
    pub(crate) listed: Option<(&'static str, &'static str)>,
    /// As the panel file writes it without a list.
    pub(crate) unlisted: &'static str,
}

const fn listed(name: &'static str, carries: &'static str, state: &'static str) -> Fixing {
    Fixing { name, listed: Some((carries, state)), unlisted: "" }
}

/// The fixings: no list, one of each row of the load table, two that have failed.
pub(crate) const FIXINGS: [Fixing; 9] = [
    Fixing { name: "none seen", listed: None, unlisted: "none_seen" },
    Fixing { name: "list unknown", listed: None, unlisted: "unknown" },
    listed("belt", "belt", "sound"),
    listed("hinge", "hinge", "sound"),
    listed("body mount", "body_mount", "sound"),
    listed("bracket", "bracket", "sound"),
    listed("lamp", "lamp", "sound"),
    listed("loose hinge", "hinge", "loose"),
    listed("torn-out bracket", "bracket", "torn_out"),
];

/// How far the nearest edge of the mark, grown as in the high case, lies from the fixing's rim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Distance {
    /// In words.
    pub(crate) name: &'static str,
    /// From the rim, mm; below zero the mark lies over the rim.
    pub(crate) from_rim_mm: f64,
    /// The band it stands for, mm.
    pub(crate) band_mm: (f64, f64),
}

/// Between the limits of the rules (75, 150, 300 mm), with room for the error of the place.
pub(crate) const PLACES: [Distance; 5] = [
    Distance { name: "touching", from_rim_mm: -8.0, band_mm: (0.0, 0.0) },
    Distance { name: "inside 75", from_rim_mm: 40.0, band_mm: (1.0, 75.0) },
    Distance { name: "75 to 150", from_rim_mm: 115.0, band_mm: (75.0, 150.0) },
    Distance { name: "150 to 300", from_rim_mm: 220.0, band_mm: (150.0, 300.0) },
    Distance { name: "beyond 300", from_rim_mm: 350.0, band_mm: (300.0, f64::INFINITY) },
];

/// How deep the mark goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Layer {
    Paint,
    Gel,
    Laminate,
    Through,
}

impl Layer {
    pub(crate) const ALL: [Self; 4] = [Self::Paint, Self::Gel, Self::Laminate, Self::Through];

    /// In words.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Paint => "paint",
            Self::Gel => "gel coat",
            Self::Laminate => "laminate",
            Self::Through => "through",
        }
    }

    /// The mark as a survey writes it.
    pub(crate) const fn mark(self) -> &'static str {
        match self {
            Self::Paint => "kind: blisters, layer: paint, depth: paint",
            Self::Gel => "kind: crazing, depth: gel",
            Self::Laminate => "kind: star, depth: half",
            Self::Through => "kind: hole",
        }
    }
}

/// What the panel does.
pub(crate) const ROLES: [&str; 5] = ["skin", "opens", "holds_people", "stressed", "unknown"];

/// What the moulding is made of.
pub(crate) const MATERIALS: [&str; 7] = [
    "unknown",
    "hand_laid_polyester",
    "compression_moulded",
    "epoxy",
    "carbon_or_aramid",
    "thermoplastic",
    "cored",
];

/// One cell.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cell {
    pub(crate) material: &'static str,
    pub(crate) fixing: Fixing,
    /// None where no fixing has a place.
    pub(crate) place: Option<Distance>,
    pub(crate) layer: Layer,
    pub(crate) role: &'static str,
}

impl std::fmt::Display for Cell {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let place = self.place.map_or("any", |place| place.name);
        let Self { material, fixing, layer, role, .. } = self;
        write!(f, "{material}, {} {place}, {}, {role}", fixing.name, layer.name())
    }
}

/// The rows of a block.
pub(crate) fn rows() -> Vec<(Fixing, Option<Distance>, Layer)> {
    let mut rows = Vec::new();
    for fixing in FIXINGS {
        let places: Vec<Option<Distance>> = match fixing.listed {
            Some(_) => PLACES.into_iter().map(Some).collect(),
            None => vec![None],
        };
        for place in places {
            rows.extend(Layer::ALL.map(|layer| (fixing, place, layer)));
        }
    }
    rows
}
