//! Factors fitted from one's own runs: each scales the bound of one limit. They matter more than any coefficient of the
//! models, which miss real machines by 20 to 50 %.

use thiserror::Error;

use crate::limit::LimitId;

/// Why a calibration factor is refused.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CalibrationError {
    /// Not a finite positive number.
    #[error("the calibration factor of \"{}\" must be a positive number, not {factor}", .limit.label())]
    NotPositive {
        /// The limit.
        limit: LimitId,
        /// The factor.
        factor: f64,
    },
    /// The span of a machine knob is exact and cannot be calibrated.
    #[error("\"{}\" is a span of the machine and cannot be calibrated", .limit.label())]
    MachineSpan {
        /// The limit.
        limit: LimitId,
    },
}

/// One factor a limit; 1 leaves the model as it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calibration([f64; LimitId::COUNT]);

impl Default for Calibration {
    /// Every factor 1.
    fn default() -> Self {
        Self([1.0; LimitId::COUNT])
    }
}

impl Calibration {
    /// The factor of a limit.
    pub fn factor(&self, limit: LimitId) -> f64 {
        self.0.get(limit as usize).copied().unwrap_or(1.0)
    }

    /// Sets the factor of a limit: the bound becomes `factor · bound`, for a temperature bound its distance from the room
    /// temperature.
    ///
    /// # Errors
    /// [`CalibrationError`] if the factor is not a finite positive number or the limit is a span of a knob.
    pub fn set(&mut self, limit: LimitId, factor: f64) -> Result<(), CalibrationError> {
        if limit.is_machine_span() {
            return Err(CalibrationError::MachineSpan { limit });
        }
        if !(factor > 0.0 && factor.is_finite()) {
            return Err(CalibrationError::NotPositive { limit, factor });
        }
        if let Some(slot) = self.0.get_mut(limit as usize) {
            *slot = factor;
        }
        Ok(())
    }
}
