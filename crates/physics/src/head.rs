//! How a head meters the ink, and what is known of each kind of head but the slot die ([`SlotDie`]).
//!
//! A slot die is pre-metered: the pump sets the wet thickness. Every other head sets it by its own geometry, and a pump
//! merely has to feed enough.

use crate::line::{SlotDie, Span};
use crate::quantity::{CellVolume, Fraction, Length, LineCount};

/// The head of a line. One head stands on a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Head {
    /// Pre-metered slot die.
    SlotDie(SlotDie),
    /// Knife, comma bar or blade over a roll.
    Knife(Knife),
    /// Wire-wound bar.
    WireBar(WireBar),
    /// Gravure unit.
    Gravure(Gravure),
    /// Flexo unit.
    Flexo(Flexo),
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
    /// Gravure unit.
    Gravure,
    /// Flexo unit.
    Flexo,
}

impl Head {
    /// Which kind of head it is.
    pub const fn kind(&self) -> HeadKind {
        match self {
            Self::SlotDie(_) => HeadKind::SlotDie,
            Self::Knife(_) => HeadKind::Knife,
            Self::WireBar(_) => HeadKind::WireBar,
            Self::Gravure(_) => HeadKind::Gravure,
            Self::Flexo(_) => HeadKind::Flexo,
        }
    }

    /// Coated width, whichever head it is.
    pub const fn coated_width(&self) -> Option<Length> {
        match self {
            Self::SlotDie(die) => die.coated_width,
            Self::Knife(knife) => knife.coated_width,
            Self::WireBar(bar) => bar.coated_width,
            Self::Gravure(unit) => unit.coated_width,
            Self::Flexo(unit) => unit.coated_width,
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
    pub const ALL: [Self; 5] = [
        Self::SlotDie,
        Self::Knife,
        Self::WireBar,
        Self::Gravure,
        Self::Flexo,
    ];

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::SlotDie => "slot_die",
            Self::Knife => "knife",
            Self::WireBar => "wire_bar",
            Self::Gravure => "gravure",
            Self::Flexo => "flexo",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::SlotDie => "Slot die",
            Self::Knife => "Knife",
            Self::WireBar => "Wire-wound bar",
            Self::Gravure => "Gravure",
            Self::Flexo => "Flexo",
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

/// An engraved roll: that of a gravure unit, or the anilox of a flexo unit.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EngravedRoll {
    /// Volume of the cells of the roll that is mounted; a run may state another ([`crate::Setting::cell_volume`]).
    pub cell_volume: Option<CellVolume>,
    /// Depth of the cells over their volume per area.
    pub cell_depth_ratio: Option<f64>,
    /// Lines of cells.
    pub cell_lines: Option<LineCount>,
    /// Way of the roll's surface from doctor blade to nip.
    pub doctor_to_nip: Option<Length>,
    /// Diameter.
    pub diameter: Option<Length>,
    /// Gap at which the roll stands from the web or the next roll, where they do not touch.
    pub gap: Option<Length>,
}

/// How the engraved roll of a gravure unit meets the web.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GravureArrangement {
    /// The roll turns with a web that nothing presses onto it.
    Kiss,
    /// A second roll presses the web onto the roll.
    NipPressed,
    /// The roll turns against a web that nothing presses onto it.
    ReverseKiss,
}

impl GravureArrangement {
    /// Every arrangement.
    pub const ALL: [Self; 3] = [Self::Kiss, Self::NipPressed, Self::ReverseKiss];

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Kiss => "kiss",
            Self::NipPressed => "nip_pressed",
            Self::ReverseKiss => "reverse_kiss",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Kiss => "Forward kiss, web not pressed",
            Self::NipPressed => "Forward, web pressed by a roll",
            Self::ReverseKiss => "Reverse kiss",
        }
    }
}

/// A gravure unit. Cells, pickout and the speed of the roll set the film.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Gravure {
    /// Coated width.
    pub coated_width: Option<Length>,
    /// How the roll meets the web.
    pub arrangement: Option<GravureArrangement>,
    /// The engraved roll.
    pub roll: EngravedRoll,
    /// Share of the cell volume that reaches the web, if it was measured.
    pub pickout: Option<Fraction>,
    /// Exponent with which that share falls with the capillary number; needs [`Self::pickout_reference`].
    pub pickout_exponent: Option<f64>,
    /// Capillary number at which the share was measured; needs [`Self::pickout_exponent`].
    pub pickout_reference: Option<f64>,
    /// Capillary number above which the cells of this roll are no longer filled, if it was measured.
    pub filling_capillary_number: Option<f64>,
}

/// What takes the surplus off an anilox.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AniloxMetering {
    /// Doctor blades of an ink chamber.
    Chambered,
    /// A rubber roll that runs in the ink pan.
    RubberRoll,
}

impl AniloxMetering {
    /// Both ways.
    pub const ALL: [Self; 2] = [Self::Chambered, Self::RubberRoll];

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Chambered => "chambered",
            Self::RubberRoll => "rubber_roll",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Chambered => "Chambered blade",
            Self::RubberRoll => "Rubber roll",
        }
    }
}

/// A flexo unit. The cells of the anilox set the film.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Flexo {
    /// Coated width.
    pub coated_width: Option<Length>,
    /// What takes the surplus off the anilox.
    pub metering: Option<AniloxMetering>,
    /// The anilox; its gap and diameter are those of the nip with the rubber roll.
    pub anilox: EngravedRoll,
    /// Share of the cell volume that goes to the plate.
    pub to_plate: Option<Fraction>,
    /// Share of the plate's film that goes to the foil.
    pub to_foil: Option<Fraction>,
    /// Share of the area that prints.
    pub printed_share: Option<Fraction>,
    /// Lines of the plate's screen.
    pub plate_lines: Option<LineCount>,
}
