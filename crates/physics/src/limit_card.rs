//! The words for every limit: what it is called, what the film looks like when it is broken, what helps, where the
//! equation comes from and how far it was tested. One row a limit; nothing else in the crate holds such text.
//!
//! Marks of origin: a publication by author and year; "derived" for what follows from first principles under the stated
//! assumptions; "common practice" for what has no source; "quoted from memory, unverified" for a constant that was not
//! seen in its source.

use crate::limit::{Dimension, LimitId, Sense, Severity, Station};

mod curing;
mod drying;
mod film_forming;
mod lamination;
mod machine;
mod metered_heads;
mod pump_and_slot;
mod ranges;
mod safety;
mod web;
mod wetting;

/// One row of the table.
#[derive(Clone, Copy)]
struct LimitCard {
    id: LimitId,
    key: &'static str,
    label: &'static str,
    station: Station,
    severity: Severity,
    sense: Sense,
    dimension: Dimension,
    description: &'static str,
    defect: &'static str,
    remedy: &'static str,
    source: &'static str,
    validity: &'static str,
}

const SPAN_DEFECT: &str = "The machine cannot be set to this value.";
const SPAN_SOURCE: &str = "Span of the machine as stated.";
const SPAN_VALIDITY: &str = "As good as the stated span.";

/// The tables of all subjects.
const TABLES: &[&[LimitCard]] = &[
    film_forming::CARDS,
    metered_heads::CARDS,
    machine::CARDS,
    wetting::CARDS,
    drying::CARDS,
    lamination::CARDS,
    curing::CARDS,
    ranges::CARDS,
    pump_and_slot::CARDS,
    web::CARDS,
    safety::CARDS,
];

static CARDS: [LimitCard; LimitId::COUNT] = by_limit(TABLES);

/// Puts every row at the place of its limit. Does not compile if a limit has no row of its own.
const fn by_limit(tables: &[&[LimitCard]]) -> [LimitCard; LimitId::COUNT] {
    let mut cards = [tables[0][0]; LimitId::COUNT];
    let mut n_rows = 0;
    let mut table = 0;
    while table < tables.len() {
        let mut row = 0;
        while row < tables[table].len() {
            let card = tables[table][row];
            cards[card.id as usize] = card;
            n_rows += 1;
            row += 1;
        }
        table += 1;
    }
    assert!(n_rows == LimitId::COUNT);
    let mut place = 0;
    while place < cards.len() {
        assert!(cards[place].id as usize == place);
        place += 1;
    }
    cards
}

impl LimitId {
    /// Every limit, in the order of evaluation.
    pub const ALL: [Self; 107] = [
        Self::LowFlow,
        Self::BeadHold,
        Self::Flood,
        Self::LipWetting,
        Self::GapFill,
        Self::AirEntrainment,
        Self::WettingFailure,
        Self::Recirculation,
        Self::FeedSlot,
        Self::Particle,
        Self::GapTolerance,
        Self::KnifeTarget,
        Self::BarTarget,
        Self::GravureTarget,
        Self::FlexoTarget,
        Self::KnifeHead,
        Self::BankStarved,
        Self::BarFlood,
        Self::FeedStarved,
        Self::Runout,
        Self::GravureCa,
        Self::CellFilled,
        Self::CellDryIn,
        Self::AniloxDryIn,
        Self::PlateScreen,
        Self::Squeeze,
        Self::Ribbing,
        Self::RibLevelling,
        Self::BarLevelling,
        Self::PatternLevelling,
        Self::FrozenMarks,
        Self::SpeedSpan,
        Self::GapSpan,
        Self::PumpRange,
        Self::SyringeVolume,
        Self::FoilLength,
        Self::PumpForce,
        Self::PumpPulsation,
        Self::PumpLag,
        Self::StartupLength,
        Self::CrossWeb,
        Self::ThermalGap,
        Self::HeadAtStop,
        Self::PlasmaSpan,
        Self::SurfaceEnergyMin,
        Self::SurfaceEnergyRule,
        Self::WettingAngle,
        Self::PlasmaOver,
        Self::PlasmaHeat,
        Self::RollerSpan,
        Self::InfraredSpan,
        Self::GasTemperatureSpan,
        Self::DryAtExit,
        Self::ResidualSolvent,
        Self::Blister,
        Self::FoilMax,
        Self::FoilTg,
        Self::FoilShrink,
        Self::Skin,
        Self::Blushing,
        Self::Marangoni,
        Self::Crack,
        Self::GasShear,
        Self::JetBlow,
        Self::EdgeRetreat,
        Self::HeaterPower,
        Self::Condensation,
        Self::NipLoadSpan,
        Self::LaminationSpan,
        Self::LamTemp,
        Self::LamPressure,
        Self::LamDwell,
        Self::LamTack,
        Self::LamCurl,
        Self::UvSpan,
        Self::UvDose,
        Self::UvPeak,
        Self::UvHeat,
        Self::UvOxygen,
        Self::TensionSpan,
        Self::TensionMax,
        Self::TensionMin,
        Self::Slack,
        Self::Wrinkle,
        Self::Traction,
        Self::LelDryer,
        Self::LelLoss,
        Self::Spill,
        Self::Breathing,
        Self::StaticSpark,
        Self::OxygenRoom,
        Self::HotTouch,
        Self::Ozone,
        Self::InfraredStop,
        Self::UvExposure,
        Self::UvBlock,
        Self::Pressure,
        Self::Nip,
        Self::CapillaryRange,
        Self::GapReynolds,
        Self::RheologyRange,
        Self::Extrapolation,
        Self::KnifeRange,
        Self::BarRange,
        Self::GravureRange,
        Self::FlexoRange,
        Self::Biot,
    ];

    const fn card(self) -> &'static LimitCard {
        &CARDS[self as usize]
    }

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        self.card().key
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        self.card().label
    }

    /// Station of the line that the limit belongs to.
    pub const fn station(self) -> Station {
        self.card().station
    }

    /// How much it weighs when broken.
    pub const fn severity(self) -> Severity {
        self.card().severity
    }

    /// Side of the bound that holds. For a span of a knob a record may say the other side, if that one is nearer.
    pub const fn sense(self) -> Sense {
        self.card().sense
    }

    /// Dimension of value and bound.
    pub const fn dimension(self) -> Dimension {
        self.card().dimension
    }

    /// What is compared with what.
    pub const fn description(self) -> &'static str {
        self.card().description
    }

    /// What the film looks like when the limit is broken.
    pub const fn defect(self) -> &'static str {
        self.card().defect
    }

    /// What helps, in one sentence.
    pub const fn remedy(self) -> &'static str {
        self.card().remedy
    }

    /// Publication, or how the limit came about.
    pub const fn source(self) -> &'static str {
        self.card().source
    }

    /// Range in which the source tested it, and what to expect outside.
    pub const fn validity(self) -> &'static str {
        self.card().validity
    }

    /// The limit of that key.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|id| id.key() == key)
    }

    /// True for the spans of the machine's knobs, which are exact and cannot be calibrated.
    pub const fn is_machine_span(self) -> bool {
        matches!(
            self,
            Self::SpeedSpan
                | Self::GapSpan
                | Self::PumpRange
                | Self::PlasmaSpan
                | Self::RollerSpan
                | Self::InfraredSpan
                | Self::UvSpan
                | Self::GasTemperatureSpan
                | Self::TensionSpan
                | Self::NipLoadSpan
                | Self::LaminationSpan
        )
    }

    /// True for the limits without which a head cannot be judged at all; those of other heads are not on a line's list.
    pub const fn is_core(self) -> bool {
        matches!(
            self,
            Self::LowFlow | Self::BeadHold | Self::Flood | Self::WettingFailure
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_limit_has_its_own_card() {
        for (index, id) in LimitId::ALL.into_iter().enumerate() {
            assert_eq!(id as usize, index);
            assert_eq!(id.card().id, id);
            assert_eq!(LimitId::from_key(id.key()), Some(id));
        }
    }
}
