//! What is bolted or bonded to a panel, and what it carries.

use serde::Deserialize;

use super::place::PanelPlace;
use super::{given, words};
use crate::quantity::Millimetres;

/// What is fixed to the panel.
#[derive(Debug, Clone, Default, Deserialize)]
pub enum Fixings {
    /// Nobody has said. Never read as none.
    #[default]
    #[serde(rename = "unknown")]
    Unknown,
    /// Said after looking at both sides.
    #[serde(rename = "none_seen")]
    NoneSeen,
    /// Listed one by one.
    Listed(Vec<Fixing>),
}

/// One fixing.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fixing {
    /// What it is called.
    pub name: String,
    /// Its middle on the grid, or in space on a scan.
    pub at: PanelPlace,
    /// What it carries.
    #[serde(default = "unknown_load")]
    pub carries: Carries,
    /// Radius of its footprint: hole, washer, plate or pad.
    #[serde(default, deserialize_with = "given")]
    pub footprint_radius_mm: Option<Millimetres>,
    /// Its state.
    #[serde(default)]
    pub state: FixingState,
}

fn unknown_load() -> Carries {
    Carries::Unknown
}

words! {
/// What a fixing carries.
Carries {
    /// Seat.
    Seat => "seat",
    /// Belt.
    Belt => "belt",
    /// Child seat.
    ChildSeat => "child seat",
    /// Steering.
    Steering => "steering",
    /// Suspension.
    Suspension => "suspension",
    /// Brake.
    Brake => "brake",
    /// Pedals.
    Pedals => "pedals",
    /// Engine or motor mount.
    MotorMount => "engine or motor mount",
    /// Battery tray.
    BatteryTray => "battery tray",
    /// Tank.
    Tank => "tank",
    /// Roll hoop.
    RollHoop => "roll hoop",
    /// Pyrotechnic device.
    PyrotechnicDevice => "pyrotechnic device",
    /// Not known: treated as the gravest.
    Unknown => "load not known",
    /// Hinge.
    Hinge => "hinge",
    /// Latch.
    Latch => "latch",
    /// Striker.
    Striker => "striker",
    /// Prop.
    Prop => "prop",
    /// Grab rail.
    GrabRail => "grab rail",
    /// Step.
    Step => "step",
    /// Towing eye.
    Towing => "towing eye",
    /// Jacking point.
    Jacking => "jacking point",
    /// Lifting point.
    Lifting => "lifting point",
    /// Body mount.
    BodyMount => "body mount",
    /// Bracket.
    Bracket => "bracket",
    /// Bumper.
    Bumper => "bumper",
    /// Mirror.
    Mirror => "mirror",
    /// Handle.
    Handle => "handle",
    /// Wiper.
    Wiper => "wiper",
    /// Aerofoil.
    Aerofoil => "aerofoil",
    /// Lamp.
    Lamp => "lamp",
    /// Trim.
    Trim => "trim",
}}

/// The rows of the distance table, gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LoadRow {
    /// People, steering, brakes, drive, energy; and what nobody has named.
    Vital,
    /// What holds a moving panel or is pulled, stepped or lifted on.
    Moving,
    /// Body mounts.
    BodyMount,
    /// Brackets and what hangs on them.
    Bracket,
    /// Lamps and trim.
    Light,
}

impl Carries {
    /// The row of the distance table it stands in.
    #[must_use]
    pub const fn row(self) -> LoadRow {
        match self {
            Self::Seat
            | Self::Belt
            | Self::ChildSeat
            | Self::Steering
            | Self::Suspension
            | Self::Brake
            | Self::Pedals
            | Self::MotorMount
            | Self::BatteryTray
            | Self::Tank
            | Self::RollHoop
            | Self::PyrotechnicDevice
            | Self::Unknown => LoadRow::Vital,
            Self::Hinge
            | Self::Latch
            | Self::Striker
            | Self::Prop
            | Self::GrabRail
            | Self::Step
            | Self::Towing
            | Self::Jacking
            | Self::Lifting => LoadRow::Moving,
            Self::BodyMount => LoadRow::BodyMount,
            Self::Bracket
            | Self::Bumper
            | Self::Mirror
            | Self::Handle
            | Self::Wiper
            | Self::Aerofoil => LoadRow::Bracket,
            Self::Lamp | Self::Trim => LoadRow::Light,
        }
    }
}

words! {
#[derive(Default)]
/// State of a fixing as seen.
FixingState {
    #[default]
    /// Nobody looked.
    NotSeen => "not seen",
    /// Sound.
    Sound => "sound",
    /// Loose.
    Loose => "loose",
    /// Cracked.
    Cracked => "cracked",
    /// Corroded, how deep nobody has said.
    Corroded => "corroded",
    /// Corroded through.
    CorrodedThrough => "corroded through",
    /// Seized.
    Seized => "seized",
    /// Torn out.
    TornOut => "torn out",
}}

impl FixingState {
    /// A fixing in this state is a structural doubt of its own.
    #[must_use]
    pub const fn has_failed(self) -> bool {
        matches!(self, Self::Loose | Self::Cracked | Self::CorrodedThrough | Self::TornOut)
    }
}
