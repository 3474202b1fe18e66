//! Which knob sets the wet thickness of a head, and where it must stand for a wanted one.

use thiserror::Error;

use crate::assess::Prepared;
use crate::assumed::Input;
use crate::head::HeadKind;
use crate::input_error::{InputError, positive};
use crate::line::Setting;
use crate::prepared::{GravureValues, Knobs, MethodValues, Values};
use crate::quantity::{CellVolume, Length, VolumeFlow};

/// A knob by which a head sets the wet thickness.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MeteringKnob {
    /// Flow of the pump.
    Flow,
    /// Gap of the knife.
    Gap,
    /// Wire diameter of the bar.
    WireDiameter,
    /// Volume of the cells of the engraved roll.
    CellVolume,
    /// Speed of the engraved roll over that of the web.
    SpeedRatio,
}

/// Why a knob cannot be set for a wet thickness.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum MeteringError {
    /// A value that cannot be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// Something else must be known first.
    #[error("{} must be known first", .missing.label())]
    Missing {
        /// What is missing.
        missing: Input,
    },
    /// No place of the knob gives the film.
    #[error("{}: no value gives this wet thickness", .knob.label())]
    OutOfReach {
        /// The knob.
        knob: MeteringKnob,
    },
    /// The head has no such knob.
    #[error("{} does not set the film of this head: {}", .knob.label(), .head.label())]
    NotOfHead {
        /// The knob.
        knob: MeteringKnob,
        /// The head.
        head: HeadKind,
    },
}

impl MeteringKnob {
    /// Every knob.
    pub const ALL: [Self; 5] = [
        Self::Flow,
        Self::Gap,
        Self::WireDiameter,
        Self::CellVolume,
        Self::SpeedRatio,
    ];

    /// The input of a [`Setting`] that the knob is.
    pub const fn input(self) -> Input {
        match self {
            Self::Flow => Input::Flow,
            Self::Gap => Input::Gap,
            Self::WireDiameter => Input::WireDiameter,
            Self::CellVolume => Input::CellVolume,
            Self::SpeedRatio => Input::SpeedRatio,
        }
    }

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        self.input().key()
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        self.input().label()
    }
}

impl HeadKind {
    /// Knobs that set the wet thickness of the head, the usual one first.
    pub const fn metering_knobs(self) -> &'static [MeteringKnob] {
        match self {
            Self::SlotDie => &[MeteringKnob::Flow],
            Self::Knife => &[MeteringKnob::Gap],
            Self::WireBar => &[MeteringKnob::WireDiameter],
            Self::Gravure => &[MeteringKnob::CellVolume, MeteringKnob::SpeedRatio],
            Self::Flexo => &[MeteringKnob::CellVolume],
        }
    }
}

impl Prepared {
    /// The setting with one knob moved to where the head lays down a wet thickness; all other knobs stay.
    ///
    /// # Errors
    /// [`MeteringError`] says which input cannot be used or is missing, or that the head has no such knob.
    pub fn with_wet_thickness(
        &self,
        setting: &Setting,
        wet_thickness: Length,
        knob: MeteringKnob,
    ) -> Result<Setting, MeteringError> {
        positive(Input::WantedWetThickness, Some(wet_thickness.m()))?;
        let knobs = self.knobs(setting)?;
        let place = self
            .values()
            .place_for_wet_thickness(&knobs, wet_thickness.m(), knob)
            .map_err(|fault| match fault {
                KnobFault::Missing(missing) => MeteringError::Missing { missing },
                KnobFault::NotOfHead => MeteringError::NotOfHead {
                    knob,
                    head: self.line().head.kind(),
                },
                KnobFault::OutOfReach => MeteringError::OutOfReach { knob },
            })?;
        Ok(match knob {
            MeteringKnob::Flow => Setting {
                flow: Some(VolumeFlow::from_m3_per_s(place)),
                ..*setting
            },
            MeteringKnob::Gap => Setting {
                gap: Some(Length::from_m(place + knobs.head.gap_growth)),
                ..*setting
            },
            MeteringKnob::WireDiameter => Setting {
                wire_diameter: Some(Length::from_m(place)),
                ..*setting
            },
            MeteringKnob::CellVolume => Setting {
                cell_volume: Some(CellVolume::from_m3_per_m2(place)),
                ..*setting
            },
            MeteringKnob::SpeedRatio => Setting {
                speed_ratio: Some(place),
                ..*setting
            },
        })
    }
}

/// Why a knob has no place for a wet thickness.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum KnobFault {
    Missing(Input),
    NotOfHead,
    OutOfReach,
}

impl From<Input> for KnobFault {
    fn from(missing: Input) -> Self {
        Self::Missing(missing)
    }
}

impl Values {
    /// Where a knob must stand for a wet thickness \[m\], in SI.
    fn place_for_wet_thickness(
        &self,
        knobs: &Knobs,
        wet: f64,
        knob: MeteringKnob,
    ) -> Result<f64, KnobFault> {
        match (&self.head.method, knob) {
            (MethodValues::SlotDie(_), MeteringKnob::Flow) => {
                let width = self.head.width.ok_or(Input::CoatedWidth)?;
                Ok(wet * width * knobs.speed.ok_or(Input::Speed)?)
            }
            (MethodValues::Knife(knife), MeteringKnob::Gap) => {
                if knife.is_set_by_gap() {
                    Ok(knife.gap_of_film(wet))
                } else {
                    Ok(knife.gap_for_wet_thickness(wet, &self.spread_ink(knobs)?))
                }
            }
            (MethodValues::WireBar(bar), MeteringKnob::WireDiameter) => {
                Ok(bar.wire_for_wet_thickness(wet))
            }
            (MethodValues::Gravure(unit), MeteringKnob::CellVolume) => {
                self.cells_for_film(unit, knobs, wet / unit.speed_ratio(knobs))
            }
            (MethodValues::Flexo(unit), MeteringKnob::CellVolume) => {
                Ok(unit.volume_for_wet_thickness(wet))
            }
            (MethodValues::Gravure(unit), MeteringKnob::SpeedRatio) => {
                let volume = unit.roll.volume(knobs)?;
                Ok(wet / self.gravure_film(unit, knobs, volume)?)
            }
            (
                MethodValues::SlotDie(_)
                | MethodValues::Knife(_)
                | MethodValues::WireBar(_)
                | MethodValues::Gravure(_)
                | MethodValues::Flexo(_),
                _,
            ) => Err(KnobFault::NotOfHead),
        }
    }

    /// Cell volume [m³/m²] of a gravure roll as fast as the web for a film \[m\].
    fn cells_for_film(
        &self,
        unit: &GravureValues,
        knobs: &Knobs,
        film: f64,
    ) -> Result<f64, KnobFault> {
        if !unit.has_falling_pickout() {
            return Ok(film / unit.film_of_cells(1.0));
        }
        let ink = self.spread_ink(knobs)?;
        GravureValues::volume_for_film(film, |volume| {
            unit.film_of_ink(volume, &ink, self.ink.sigma)
        })
        .ok_or(KnobFault::OutOfReach)
    }

    /// The knobs with the head's usual one moved to where it lays down a wet thickness \[m\]; `None` if an input is
    /// missing.
    pub(crate) fn knobs_for_wet_thickness(
        &self,
        knobs: &Knobs,
        kind: HeadKind,
        wet: f64,
    ) -> Option<Knobs> {
        let knob = *kind.metering_knobs().first()?;
        let place = Some(self.place_for_wet_thickness(knobs, wet, knob).ok()?);
        let mut knobs = *knobs;
        match knob {
            MeteringKnob::Flow => knobs.flow = place,
            MeteringKnob::Gap => {
                knobs.head.gap = place;
                knobs.head.set_gap = place.map(|hot| hot + knobs.head.gap_growth);
            }
            MeteringKnob::WireDiameter => knobs.head.wire = place,
            MeteringKnob::CellVolume => knobs.head.cell_volume = place,
            MeteringKnob::SpeedRatio => knobs.head.speed_ratio = place,
        }
        Some(knobs)
    }
}
