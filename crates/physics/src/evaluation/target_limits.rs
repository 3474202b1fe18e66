//! Whether a head that sets the film by its own geometry lays down the wet thickness that is wanted, and whether its feed
//! keeps up.

use super::{Sink, Walk, clip};
use crate::assumed::{Input, InputSet};
use crate::limit::{LimitId, Sense};

impl<S: Sink> Walk<'_, S> {
    /// Wet thickness against what is wanted, on either side; the margin is 1 on it and 0 at the end of the tolerance.
    pub(super) fn target(&mut self, id: LimitId) {
        let (wet, wanted) = match (self.wet_thickness(), self.knobs.head.wanted) {
            (Ok(wet), Some(wanted)) => (wet, wanted),
            (_, None) => return self.missing(id, Input::WantedWetThickness),
            (Err(missing), Some(_)) => return self.missing(id, missing),
        };
        self.uses(InputSet::of(&[Input::ThicknessTolerance]));
        let factor = self.calibration.factor(id);
        let allowed = factor * self.values.head.thickness_tolerance * wanted;
        let margin = clip(1.0 - (wet - wanted).abs() / allowed);
        let (sense, bound) = if wet < wanted {
            (Sense::AtLeast, wanted - allowed)
        } else {
            (Sense::AtMost, wanted + allowed)
        };
        self.evaluated(id, sense, (wet, bound, margin), factor);
    }

    /// Ink that the web carries off [m³/s], with what must run over at the head as a multiple, against the feed.
    pub(super) fn feed(&mut self, id: LimitId, surplus: f64) {
        match (self.values.ink_flow(self.knobs), self.knobs.flow) {
            (Ok(carried), Some(fed)) => self.ratio(id, surplus * carried, fed),
            (Err(missing), Some(_)) => self.missing(id, missing),
            (_, None) => self.missing(id, Input::Flow),
        }
    }
}
