//! How a head meters the ink, and what is known of each kind of head but the slot die ([`SlotDie`]).
//!
//! A slot die is pre-metered: the pump sets the wet thickness. Every other head sets it by its own geometry, and a pump
//! merely has to feed enough.

use crate::line::{SlotDie, Span};
use crate::quantity::Length;

/// The head of a line. One head stands on a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Head {
    /// Pre-metered slot die.
    SlotDie(SlotDie),
    /// Knife, comma bar or blade over a roll.
    Knife(Knife),
    /// Wire-wound bar.
    WireBar(WireBar),
}

/// The kinds of head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HeadKind {
    /// Pre-metered slot die.
    SlotDie,
    /// Knife, comma bar or blade over a roll.
    Knife,
    /// Wire-wound bar.
    WireBar,
}

impl Head {
    /// Which kind of head it is.
    pub const fn kind(&self) -> HeadKind {
        match self {
            Self::SlotDie(_) => HeadKind::SlotDie,
            Self::Knife(_) => HeadKind::Knife,
            Self::WireBar(_) => HeadKind::WireBar,
        }
    }

    /// Coated width, whichever head it is.
    pub const fn coated_width(&self) -> Option<Length> {
        match self {
            Self::SlotDie(die) => die.coated_width,
            Self::Knife(knife) => knife.coated_width,
            Self::WireBar(bar) => bar.coated_width,
        }
    }
}

impl Default for Head {
    /// A slot die of which nothing is stated.
    fn default() -> Self {
        Self::SlotDie(SlotDie::default())
    }
}

impl HeadKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::SlotDie, Self::Knife, Self::WireBar];

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::SlotDie => "slot_die",
            Self::Knife => "knife",
            Self::WireBar => "wire_bar",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::SlotDie => "Slot die",
            Self::Knife => "Knife",
            Self::WireBar => "Wire-wound bar",
        }
    }
}

/// How a knife closes on the web, which decides the film over the gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum KnifeShape {
    /// A flat land parallel to the web: half the gap, and what the bank adds.
    FlatLand,
    /// A straight wedge that narrows towards its exit.
    Wedge,
    /// A round knife, a comma bar or a roll under a full bank.
    Round,
}

impl KnifeShape {
    /// Every shape.
    pub const ALL: [Self; 3] = [Self::FlatLand, Self::Wedge, Self::Round];

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::FlatLand => "flat_land",
            Self::Wedge => "wedge",
            Self::Round => "round",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::FlatLand => "Flat land",
            Self::Wedge => "Wedge",
            Self::Round => "Round knife, comma bar or roll",
        }
    }
}

/// A knife, comma bar or blade over a roll. The gap sets the film.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Knife {
    /// Coated width.
    pub coated_width: Option<Length>,
    /// Shape of the knife.
    pub shape: Option<KnifeShape>,
    /// Wet thickness over gap, if it was measured; outranks the shape.
    pub film_over_gap: Option<f64>,
    /// Inlet gap of a wedge as a multiple of its exit gap.
    pub inlet_gap_ratio: Option<f64>,
    /// Length of the land along the web.
    pub land_length: Option<Length>,
    /// Height of the bank of ink before the knife.
    pub bank_height: Option<Length>,
    /// Diameter of a round knife or roll.
    pub roll_diameter: Option<Length>,
    /// How much the gap swings with a turn of the backing roller, between its ends.
    pub run_out: Option<Length>,
    /// Span of the gap.
    pub gap_span: Option<Span<Length>>,
    /// How far the gap may be off, for the gap-tolerance record.
    pub gap_tolerance: Option<Length>,
}

/// A wire-wound bar. The wire sets the film.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WireBar {
    /// Coated width.
    pub coated_width: Option<Length>,
    /// Wire diameter of the bar that is mounted; a run may state another ([`crate::Setting::wire_diameter`]).
    pub wire_diameter: Option<Length>,
    /// Wet thickness over wire diameter, if it was measured.
    pub film_over_wire: Option<f64>,
}
