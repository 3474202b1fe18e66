//! The span of the infrared lamps; what they do to film and foil is judged by the march.

use super::{Sink, Walk};
use crate::assumed::Input;
use crate::limit::LimitId;

impl<S: Sink> Walk<'_, S> {
    /// Lamps that are off are within every span.
    pub(super) fn infrared_span(&mut self) {
        let Some(lamps) = self.values.infrared else {
            return;
        };
        match self.knobs.infrared {
            Some(irradiance) if irradiance <= 0.0 => {}
            irradiance => self.span_or_missing(
                LimitId::InfraredSpan,
                (irradiance, Input::InfraredPower),
                (lamps.irradiance_span, Input::InfraredSpan),
            ),
        }
    }
}
