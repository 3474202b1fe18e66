//! Why an input cannot be used. An input that is merely missing is no error: see [`crate::assumed`].

use thiserror::Error;

use crate::assumed::Input;
use crate::head::HeadKind;
use crate::limit::Station;

/// Coldest and hottest temperature that any station or room is taken to have \[K\]; outside, a unit was mistaken.
pub const TEMPERATURE_REACH_K: (f64, f64) = (200.0, 1000.0);

/// An input that cannot be used. Values are in SI.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum InputError {
    /// Not a number.
    #[error("{} is not a number", .input.label())]
    NotANumber {
        /// Where.
        input: Input,
    },
    /// Infinite.
    #[error("{} is infinite", .input.label())]
    Infinite {
        /// Where.
        input: Input,
    },
    /// Zero or negative where only a positive number makes sense.
    #[error("{} must be above zero, not {value}{}", .input.label(), unit(*.input))]
    NotPositive {
        /// Where.
        input: Input,
        /// The value.
        value: f64,
    },
    /// Negative where zero is allowed.
    #[error("{} must not be negative, but is {value}{}", .input.label(), unit(*.input))]
    Negative {
        /// Where.
        input: Input,
        /// The value.
        value: f64,
    },
    /// A share above one.
    #[error("{} must be at most 100 %, not {} %", .input.label(), 100.0 * .value)]
    AboveOne {
        /// Where.
        input: Input,
        /// The value.
        value: f64,
    },
    /// A share of exactly one or more where something must be left.
    #[error("{} must be below 100 %, not {} %", .input.label(), 100.0 * .value)]
    NothingLeft {
        /// Where.
        input: Input,
        /// The value.
        value: f64,
    },
    /// An angle beyond its range.
    #[error("{} must lie between 0° and {}°, not {}°", .input.label(), .greatest.to_degrees().round(), .value.to_degrees())]
    AngleOutOfRange {
        /// Where.
        input: Input,
        /// The value \[rad\].
        value: f64,
        /// Greatest allowed \[rad\].
        greatest: f64,
    },
    /// A temperature that no station or room has; often a mistaken unit.
    #[error("{} of {} °C is out of reach; check the unit", .input.label(), .value - 273.15)]
    TemperatureOutOfReach {
        /// Where.
        input: Input,
        /// The value \[K\].
        value: f64,
    },
    /// A span whose least value lies above its greatest.
    #[error("{}: the least value {least} lies above the greatest {greatest}", .input.label())]
    SpanReversed {
        /// Where.
        input: Input,
        /// Least value.
        least: f64,
        /// Greatest value.
        greatest: f64,
    },
    /// A dispersive part larger than the total.
    #[error("{}: the part {part} N/m is larger than the whole {whole} N/m", .input.label())]
    PartAboveWhole {
        /// Where.
        input: Input,
        /// The part [N/m].
        part: f64,
        /// The whole [N/m].
        whole: f64,
    },
    /// A knob of a station that the line does not have.
    #[error("{} is set, but the line has no such station: {}", .input.label(), .station.label())]
    NoStation {
        /// The knob.
        input: Input,
        /// The station that is not there.
        station: Station,
    },
    /// A knob of another kind of head.
    #[error("{} is set, but the head has no such knob: {}", .input.label(), .head.label())]
    NotOfHead {
        /// The knob.
        input: Input,
        /// The head.
        head: HeadKind,
    },
    /// A vacuum on a head without a vacuum box.
    #[error("a vacuum is set, but the head has no vacuum box")]
    NoVacuumBox,
}

impl InputError {
    /// The input that is wrong.
    pub const fn input(&self) -> Input {
        match *self {
            Self::NotANumber { input }
            | Self::Infinite { input }
            | Self::NotPositive { input, .. }
            | Self::Negative { input, .. }
            | Self::AboveOne { input, .. }
            | Self::NothingLeft { input, .. }
            | Self::AngleOutOfRange { input, .. }
            | Self::TemperatureOutOfReach { input, .. }
            | Self::SpanReversed { input, .. }
            | Self::PartAboveWhole { input, .. }
            | Self::NoStation { input, .. }
            | Self::NotOfHead { input, .. } => input,
            Self::NoVacuumBox => Input::Vacuum,
        }
    }
}

fn unit(input: Input) -> String {
    match input.dimension().map(crate::limit::Dimension::unit_symbol) {
        Some(symbol) if !symbol.is_empty() => format!(" {symbol}"),
        Some(_) | None => String::new(),
    }
}

type Checked = Result<Option<f64>, InputError>;

fn finite(input: Input, value: f64) -> Result<f64, InputError> {
    if value.is_nan() {
        Err(InputError::NotANumber { input })
    } else if value.is_infinite() {
        Err(InputError::Infinite { input })
    } else {
        Ok(value)
    }
}

fn checked(
    input: Input,
    value: Option<f64>,
    verify: impl FnOnce(f64) -> Result<(), InputError>,
) -> Checked {
    let Some(value) = value else { return Ok(None) };
    verify(finite(input, value)?)?;
    Ok(Some(value))
}

/// Finite, of either sign.
pub(crate) fn finite_number(input: Input, value: Option<f64>) -> Checked {
    checked(input, value, |_| Ok(()))
}

/// Finite and above zero.
pub(crate) fn positive(input: Input, value: Option<f64>) -> Checked {
    checked(input, value, |v| {
        if v > 0.0 {
            Ok(())
        } else {
            Err(InputError::NotPositive { input, value: v })
        }
    })
}

/// Finite and not negative.
pub(crate) fn not_negative(input: Input, value: Option<f64>) -> Checked {
    checked(input, value, |v| {
        if v >= 0.0 {
            Ok(())
        } else {
            Err(InputError::Negative { input, value: v })
        }
    })
}

/// Between zero and one, both allowed.
pub(crate) fn share(input: Input, value: Option<f64>) -> Checked {
    let value = not_negative(input, value)?;
    checked(input, value, |v| {
        if v <= 1.0 {
            Ok(())
        } else {
            Err(InputError::AboveOne { input, value: v })
        }
    })
}

/// Between zero and one, one not allowed.
pub(crate) fn share_below_one(input: Input, value: Option<f64>) -> Checked {
    let value = not_negative(input, value)?;
    checked(input, value, |v| {
        if v < 1.0 {
            Ok(())
        } else {
            Err(InputError::NothingLeft { input, value: v })
        }
    })
}

/// Between zero and `greatest` \[rad\], both allowed.
pub(crate) fn angle(input: Input, value: Option<f64>, greatest: f64) -> Checked {
    checked(input, value, |v| {
        if (0.0..=greatest).contains(&v) {
            Ok(())
        } else {
            Err(InputError::AngleOutOfRange {
                input,
                value: v,
                greatest,
            })
        }
    })
}

/// Within [`TEMPERATURE_REACH_K`].
pub(crate) fn temperature(input: Input, value: Option<f64>) -> Checked {
    let (least, greatest) = TEMPERATURE_REACH_K;
    checked(input, value, |v| {
        if (least..=greatest).contains(&v) {
            Ok(())
        } else {
            Err(InputError::TemperatureOutOfReach { input, value: v })
        }
    })
}

/// Two finite ends in order; each is checked as `end` says.
pub(crate) fn span(
    input: Input,
    value: Option<(f64, f64)>,
    end: impl Fn(Input, Option<f64>) -> Checked,
) -> Result<Option<(f64, f64)>, InputError> {
    let Some((least, greatest)) = value else {
        return Ok(None);
    };
    end(input, Some(least))?;
    end(input, Some(greatest))?;
    if least > greatest {
        return Err(InputError::SpanReversed {
            input,
            least,
            greatest,
        });
    }
    Ok(Some((least, greatest)))
}

/// A dispersive part against its whole.
pub(crate) fn part(input: Input, value: Option<f64>, whole: Option<f64>) -> Checked {
    let value = not_negative(input, value)?;
    match (value, whole) {
        (Some(part), Some(whole)) if part > whole => {
            Err(InputError::PartAboveWhole { input, part, whole })
        }
        (value, _) => Ok(value),
    }
}
