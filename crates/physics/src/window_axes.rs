//! The two axes over which the window of a head is drawn, and where along them a limit turns.
//!
//! A slot die is drawn over speed and wet thickness in its gap, any other head over speed and what sets its film. The
//! closed-form limits alone: `dry_at_exit` and `blister` need the march and are not drawn here.

use arrayvec::ArrayVec;

use crate::assess::Prepared;
use crate::head::HeadKind;
use crate::limit::{Dimension, LimitId, LimitRecord};
use crate::line::Setting;
use crate::metering_knob::{MeteringError, MeteringKnob};
use crate::prepared::MethodValues;
use crate::quantity::{CellVolume, Length, Speed};
use crate::window::{BORDER_HALVINGS, GRID_POINTS, logarithmic_grid};

/// Speeds of a laboratory web [m/s], 0.1 to 20 m/min (common practice).
const SPEEDS: (f64, f64) = (0.1 / 60.0, 20.0 / 60.0);
/// Wet thicknesses of a slot die, in coating gaps: down to where hardly any bead holds, up to where it floods.
const WET_IN_GAPS: (f64, f64) = (0.01, 1.2);
/// Coating gap that stands in where none is set \[m\] (common practice).
const USUAL_GAP: f64 = 150e-6;
/// Gaps of a knife \[m\] (common practice).
const GAPS: (f64, f64) = (10e-6, 1e-3);
/// Wires of bars \[m\], nos. 2 to 80 (common practice).
const WIRES: (f64, f64) = (50e-6, 2e-3);
/// Cells of engraved rolls [m³/m²] (common practice).
const CELLS: (f64, f64) = (1e-6, 60e-6);

/// What an axis of a window moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WindowKnob {
    /// Speed of the web.
    Speed,
    /// Wet thickness of a slot die, by its flow.
    WetThickness,
    /// Gap of a knife.
    Gap,
    /// Wire diameter of a bar.
    WireDiameter,
    /// Volume of the cells of an engraved roll.
    CellVolume,
}

/// An axis of a window, in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindowAxis {
    /// What it moves.
    pub knob: WindowKnob,
    /// Least value drawn.
    pub least: f64,
    /// Greatest value drawn.
    pub greatest: f64,
}

impl WindowKnob {
    /// Dimension of the values.
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Speed => Dimension::Speed,
            Self::WetThickness | Self::Gap | Self::WireDiameter => Dimension::Length,
            Self::CellVolume => Dimension::CellVolume,
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Speed => "Web speed",
            Self::WetThickness => "Wet thickness",
            Self::Gap => "Gap",
            Self::WireDiameter => "Wire diameter",
            Self::CellVolume => "Cell volume",
        }
    }
}

impl HeadKind {
    /// What the axes of the head's window move: across and up.
    pub const fn window_knobs(self) -> [WindowKnob; 2] {
        let up = match self {
            Self::SlotDie => WindowKnob::WetThickness,
            Self::Knife => WindowKnob::Gap,
            Self::WireBar => WindowKnob::WireDiameter,
            Self::Gravure | Self::Flexo => WindowKnob::CellVolume,
        };
        [WindowKnob::Speed, up]
    }
}

impl Prepared {
    /// The axes of the window about a setting: the spans of the machine where they are stated, else what laboratories use;
    /// widened to take in the setting itself.
    pub fn window_axes(&self, setting: &Setting) -> [WindowAxis; 2] {
        let place = |knob| self.window_place(setting, knob);
        self.line().head.kind().window_knobs().map(|knob| {
            let (least, greatest) = self.window_reach(setting, knob);
            let at = place(knob).filter(|at| *at > 0.0 && at.is_finite());
            WindowAxis {
                knob,
                least: at.map_or(least, |at| least.min(at)),
                greatest: at.map_or(greatest, |at| greatest.max(at)),
            }
        })
    }

    /// Where a setting stands on an axis; `None` if it does not say.
    pub fn window_place(&self, setting: &Setting, knob: WindowKnob) -> Option<f64> {
        match knob {
            WindowKnob::Speed => setting.speed.map(Speed::m_per_s),
            WindowKnob::WetThickness => self.wet_thickness(setting).ok()?.map(Length::m),
            WindowKnob::Gap => setting.gap.map(Length::m),
            WindowKnob::WireDiameter => {
                let MethodValues::WireBar(bar) = &self.values().head.method else {
                    return None;
                };
                bar.wire(&self.knobs(setting).ok()?).ok()
            }
            WindowKnob::CellVolume => {
                let roll = match &self.values().head.method {
                    MethodValues::Gravure(unit) => &unit.roll,
                    MethodValues::Flexo(unit) => &unit.anilox,
                    MethodValues::SlotDie(_)
                    | MethodValues::Knife(_)
                    | MethodValues::WireBar(_) => return None,
                };
                roll.volume(&self.knobs(setting).ok()?).ok()
            }
        }
    }

    fn window_reach(&self, setting: &Setting, knob: WindowKnob) -> (f64, f64) {
        let head = &self.values().head;
        let stated = |span: Option<(f64, f64)>| span.filter(|(least, _)| *least > 0.0);
        match knob {
            WindowKnob::Speed => {
                let (slowest, fastest) = head.speed_span.unwrap_or(SPEEDS);
                (slowest.max(0.01 * fastest), fastest)
            }
            WindowKnob::WetThickness => {
                let gap = setting.gap.map_or(USUAL_GAP, Length::m);
                (WET_IN_GAPS.0 * gap, WET_IN_GAPS.1 * gap)
            }
            WindowKnob::Gap => match &head.method {
                MethodValues::Knife(knife) => stated(knife.gap_span).unwrap_or(GAPS),
                MethodValues::SlotDie(_)
                | MethodValues::WireBar(_)
                | MethodValues::Gravure(_)
                | MethodValues::Flexo(_) => GAPS,
            },
            WindowKnob::WireDiameter => WIRES,
            WindowKnob::CellVolume => CELLS,
        }
    }

    /// The setting moved to a place of the window, given across and up in SI; all other knobs stay.
    ///
    /// # Errors
    /// [`MeteringError`] says which input cannot be used or is missing.
    pub fn at_window_place(
        &self,
        setting: &Setting,
        [speed, up]: [f64; 2],
    ) -> Result<Setting, MeteringError> {
        let moved = Setting {
            speed: Some(Speed::from_m_per_s(speed)),
            ..*setting
        };
        let [_, knob] = self.line().head.kind().window_knobs();
        Ok(match knob {
            WindowKnob::Speed => moved,
            WindowKnob::WetThickness => {
                self.with_wet_thickness(&moved, Length::from_m(up), MeteringKnob::Flow)?
            }
            WindowKnob::Gap => Setting {
                gap: Some(Length::from_m(up)),
                ..moved
            },
            WindowKnob::WireDiameter => Setting {
                wire_diameter: Some(Length::from_m(up)),
                ..moved
            },
            WindowKnob::CellVolume => Setting {
                cell_volume: Some(CellVolume::from_m3_per_m2(up)),
                ..moved
            },
        })
    }

    /// Margin of a closed-form limit at a place of the window; `None` where it is not evaluated.
    ///
    /// # Errors
    /// As [`Self::at_window_place`].
    pub fn window_margin_at(
        &self,
        setting: &Setting,
        place: [f64; 2],
        limit: LimitId,
    ) -> Result<Option<f64>, MeteringError> {
        let moved = self.at_window_place(setting, place)?;
        let assessment = self.assess_without_drying(&moved)?;
        Ok(assessment.limit(limit).and_then(LimitRecord::margin))
    }

    /// Where a closed-form limit turns along the second axis at one speed [m/s]: the places of margin zero between both ends
    /// of the axis, in rising order. Two turns closer than a sixtieth of the axis may be missed.
    ///
    /// # Errors
    /// As [`Self::at_window_place`].
    pub fn window_borders(
        &self,
        setting: &Setting,
        axis: WindowAxis,
        speed: f64,
        limit: LimitId,
    ) -> Result<ArrayVec<f64, GRID_POINTS>, MeteringError> {
        let margin = |up: f64| self.window_margin_at(setting, [speed, up], limit);
        let mut borders = ArrayVec::new();
        let mut before: Option<(f64, bool)> = None;
        for up in logarithmic_grid(axis.least, axis.greatest) {
            let Some(here) = margin(up)? else {
                before = None;
                continue;
            };
            let holds = here >= 0.0;
            if let Some((last, held)) = before
                && held != holds
            {
                let (mut same, mut other) = (last, up);
                for _ in 0..BORDER_HALVINGS {
                    let middle = (same * other).sqrt();
                    if margin(middle)?.is_some_and(|m| (m >= 0.0) == held) {
                        same = middle;
                    } else {
                        other = middle;
                    }
                }
                // There are fewer turns than points.
                if borders.try_push((same * other).sqrt()).is_err() {
                    break;
                }
            }
            before = Some((up, holds));
        }
        Ok(borders)
    }
}
