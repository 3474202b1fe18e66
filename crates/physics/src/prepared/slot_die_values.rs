//! A slot die with its defaults filled in.

use std::f64::consts::PI;

use super::Filler;
use crate::assumed::Input;
use crate::input_error::{InputError, angle, not_negative, positive, span};
use crate::line::{Ink, SlotDie};
use crate::quantity::{Angle, Length};
use crate::slot_die::BeadCosines;

/// The lips in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LipValues {
    pub(crate) downstream: f64,
    pub(crate) upstream: f64,
    pub(crate) upstream_gap_ratio: f64,
    pub(crate) gap_tolerance: f64,
}

/// A slot die in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SlotDieValues {
    pub(crate) lips: LipValues,
    pub(crate) cosines: BeadCosines,
    pub(crate) feed_slot_height: Option<f64>,
    pub(crate) feed_slot_length: Option<f64>,
    pub(crate) slot_height_error: f64,
    pub(crate) manifold_radius: f64,
    /// Vacuum that stands in where none is stated; `None` without a vacuum box.
    pub(crate) assumed_vacuum: Option<f64>,
    pub(crate) gap_span: Option<(f64, f64)>,
}

impl SlotDieValues {
    /// The narrower of a gap and the feed slot \[m\].
    #[expect(
        clippy::inline_always,
        reason = "loops over many settings are vectorized through it"
    )]
    #[inline(always)]
    pub(crate) fn narrowest(&self, gap: f64) -> f64 {
        self.feed_slot_height.map_or(gap, |slot| slot.min(gap))
    }

    pub(super) fn resolve(
        die: &SlotDie,
        ink: &Ink,
        filler: &mut Filler<'_>,
    ) -> Result<Self, InputError> {
        let on_lip = angle(Input::AngleOnLip, ink.angle_on_lip.map(Angle::rad), PI)?;
        let corner = angle(Input::LipCorner, die.lip_corner.map(Angle::rad), PI)?;
        let height_error =
            not_negative(Input::SlotHeightError, die.slot_height_error.map(Length::m))?;
        let manifold = positive(Input::ManifoldRadius, die.manifold_radius.map(Length::m))?;
        Ok(Self {
            lips: resolve_lips(die, filler)?,
            cosines: BeadCosines::new(
                filler.fill(Input::AngleOnLip, on_lip),
                filler.fill(Input::LipCorner, corner),
            ),
            feed_slot_height: positive(Input::FeedSlotHeight, die.feed_slot_height.map(Length::m))?,
            feed_slot_length: positive(Input::FeedSlotLength, die.feed_slot_length.map(Length::m))?,
            slot_height_error: filler.fill(Input::SlotHeightError, height_error),
            manifold_radius: filler.fill(Input::ManifoldRadius, manifold),
            assumed_vacuum: die
                .has_vacuum_box
                .then(|| filler.assumptions.value(Input::Vacuum)),
            gap_span: span(
                Input::GapSpan,
                die.gap_span.map(|s| (s.least.m(), s.greatest.m())),
                positive,
            )?,
        })
    }
}

fn resolve_lips(die: &SlotDie, filler: &mut Filler<'_>) -> Result<LipValues, InputError> {
    let downstream = positive(Input::DownstreamLip, die.downstream_lip.map(Length::m))?;
    let upstream = positive(Input::UpstreamLip, die.upstream_lip.map(Length::m))?;
    let ratio = positive(Input::UpstreamGapRatio, die.upstream_gap_ratio)?;
    let tolerance = not_negative(Input::GapTolerance, die.gap_tolerance.map(Length::m))?;
    Ok(LipValues {
        downstream: filler.fill(Input::DownstreamLip, downstream),
        upstream: filler.fill(Input::UpstreamLip, upstream),
        upstream_gap_ratio: filler.fill(Input::UpstreamGapRatio, ratio),
        gap_tolerance: filler.fill(Input::GapTolerance, tolerance),
    })
}
