//! A knife with its defaults filled in.

use super::Filler;
use crate::assumed::{Assumption, Doubt, Input};
use crate::head::{Knife, KnifeShape};
use crate::input_error::{InputError, not_negative, positive, span};
use crate::knife::{
    DRAG_FLOW_RATIO, KnifeLand, MEASURED_ROUND_KNIFE_FLOW, ROUND_KNIFE_FLOW, bank_pressure,
    land_of_round_knife, wedge_ratio,
};
use crate::quantity::{Density, Length, Speed, Viscosity};
use crate::rheology::FlowLaw;

/// Film over gap of a round knife, least likely, computed and measured.
const ROUND_RATIOS: (f64, f64, f64) =
    (0.6, 0.5 * ROUND_KNIFE_FLOW, 0.5 * MEASURED_ROUND_KNIFE_FLOW);

/// Halvings of the gap for a film: below 1e-15 of the widest.
const GAP_HALVINGS: u32 = 50;

/// A knife in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct KnifeValues {
    pub(crate) shape: Option<KnifeShape>,
    /// Film over gap; of a flat land without its bank.
    ratio: f64,
    /// The film was measured, so that neither shape nor bank change it.
    is_measured: bool,
    land: f64,
    is_land_stated: bool,
    pub(crate) bank_height: Option<f64>,
    pub(crate) roll_radius: Option<f64>,
    pub(crate) run_out: Option<f64>,
    pub(crate) gap_span: Option<(f64, f64)>,
    pub(crate) gap_tolerance: f64,
}

/// The ink as a head spreads it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SpreadInk {
    pub(crate) law: FlowLaw,
    pub(crate) rho: f64,
    pub(crate) speed: f64,
}

impl KnifeValues {
    pub(super) fn resolve(knife: &Knife, filler: &mut Filler<'_>) -> Result<Self, InputError> {
        let measured = positive(Input::FilmOverGap, knife.film_over_gap)?;
        let inlet = positive(Input::InletGapRatio, knife.inlet_gap_ratio)?;
        let land = positive(Input::LandLength, knife.land_length.map(Length::m))?;
        let tolerance = not_negative(Input::GapTolerance, knife.gap_tolerance.map(Length::m))?;
        let ratio = match (measured, knife.shape) {
            (Some(measured), _) => measured,
            (None, Some(KnifeShape::FlatLand)) => DRAG_FLOW_RATIO,
            (None, Some(KnifeShape::Wedge)) => {
                wedge_ratio(filler.fill(Input::InletGapRatio, inlet))
            }
            (None, Some(KnifeShape::Round)) => {
                filler.fill_with(Input::FilmOverGap, None, ROUND_RATIOS.1)
            }
            (None, None) => filler.fill(Input::FilmOverGap, None),
        };
        Ok(Self {
            shape: knife.shape,
            ratio,
            is_measured: measured.is_some(),
            land: filler.fill(Input::LandLength, land),
            is_land_stated: land.is_some(),
            bank_height: not_negative(Input::BankHeight, knife.bank_height.map(Length::m))?,
            roll_radius: positive(Input::HeadRollDiameter, knife.roll_diameter.map(Length::m))?
                .map(|diameter| 0.5 * diameter),
            run_out: not_negative(Input::RunOut, knife.run_out.map(Length::m))?,
            gap_span: span(
                Input::GapSpan,
                knife.gap_span.map(|s| (s.least.m(), s.greatest.m())),
                positive,
            )?,
            gap_tolerance: filler.fill(Input::GapTolerance, tolerance),
        })
    }

    /// Value and doubt of an assumed input that differ from its row in the table.
    pub(super) fn doubt_of(&self, input: Input) -> Option<Assumption> {
        (input == Input::FilmOverGap && self.shape == Some(KnifeShape::Round)).then_some(
            Assumption {
                value: ROUND_RATIOS.1,
                doubt: Doubt::Between {
                    low: ROUND_RATIOS.0,
                    high: ROUND_RATIOS.2,
                },
            },
        )
    }

    /// True if the gap alone sets the film; the bank under a flat land adds to it.
    pub(crate) const fn is_set_by_gap(&self) -> bool {
        self.is_measured
            || self.bank_height.is_none()
            || !matches!(self.shape, Some(KnifeShape::FlatLand))
    }

    /// Wet thickness \[m\] at a gap that alone sets it.
    pub(crate) const fn film_of_gap(&self, gap: f64) -> f64 {
        self.ratio * gap
    }

    /// Wet thickness \[m\] at a gap.
    pub(crate) fn wet_thickness(&self, gap: f64, ink: &SpreadInk) -> f64 {
        let film = self.film_of_gap(gap);
        match self.bank_share(gap, ink) {
            Some(share) if !self.is_set_by_gap() => film * (1.0 + share),
            Some(_) | None => film,
        }
    }

    /// Gap \[m\] for a wet thickness that it alone sets.
    pub(crate) const fn gap_of_film(&self, wet: f64) -> f64 {
        wet / self.ratio
    }

    /// Gap \[m\] for a wet thickness. The film grows with the gap, and the bank only adds to it, so that the gap for drag
    /// flow alone is the widest.
    pub(crate) fn gap_for_wet_thickness(&self, wet: f64, ink: &SpreadInk) -> f64 {
        let (mut narrow, mut wide) = (0.0, self.gap_of_film(wet));
        if self.wet_thickness(wide, ink) <= wet {
            return wide;
        }
        for _ in 0..GAP_HALVINGS {
            let middle = 0.5 * (narrow + wide);
            if self.wet_thickness(middle, ink) < wet {
                narrow = middle;
            } else {
                wide = middle;
            }
        }
        0.5 * (narrow + wide)
    }

    /// What the bank's pressure adds to the flow under the knife, over the drag flow; `None` if the bank is not known.
    pub(crate) fn bank_share(&self, gap: f64, ink: &SpreadInk) -> Option<f64> {
        let land = KnifeLand {
            length: Length::from_m(self.land_at(gap)),
            bank_pressure: bank_pressure(
                Density::from_kg_per_m3(ink.rho),
                Length::from_m(self.bank_height?),
            ),
        };
        let mu = Viscosity::from_pa_s(ink.law.viscosity(ink.speed / gap));
        Some(land.bank_share(Length::from_m(gap), mu, Speed::from_m_per_s(ink.speed)))
    }

    /// True if the length of the land stands in by default.
    pub(crate) const fn is_land_assumed(&self) -> bool {
        !self.is_land_stated && self.round_radius().is_none()
    }

    const fn round_radius(&self) -> Option<f64> {
        match self.shape {
            Some(KnifeShape::Round) => self.roll_radius,
            Some(KnifeShape::FlatLand | KnifeShape::Wedge) | None => None,
        }
    }

    /// Length of the land \[m\]; a round knife of known diameter has one of its own.
    fn land_at(&self, gap: f64) -> f64 {
        match self.round_radius() {
            Some(radius) if !self.is_land_stated => {
                land_of_round_knife(Length::from_m(radius), Length::from_m(gap)).m()
            }
            Some(_) | None => self.land,
        }
    }
}
