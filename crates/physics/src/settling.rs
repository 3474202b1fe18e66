//! How long a film takes to become steady after a change, and what that costs in foil and ink (eqs 2.20 to 2.26).

use crate::assess::Prepared;
use crate::assumed::Input;
use crate::input_error::{InputError, not_negative, positive, share};
use crate::line::Setting;
use crate::metering::{bead_volume, flush_volume};
use crate::prepared::{Knobs, MethodValues, SlotDieValues, Values};
use crate::pump_line::PumpLine;
use crate::quantity::{Duration, Fraction, Length, Volume};

/// Time constants of the pump line after which a change is over (5 % left).
pub const PUMP_LINE_TIME_CONSTANTS: f64 = 3.0;
/// Bead volumes that must pass before the bead holds the new ink and flow (5 % left when well mixed).
pub const BEAD_VOLUMES: f64 = 3.0;

/// What becomes of the ink between two runs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum InkChange {
    /// The same ink goes on.
    #[default]
    Same,
    /// Another ink pushes the old one through the wet line, well mixed, until this share of the old is left.
    FlushedThrough {
        /// Share of the old ink that may be left; the assumed 5 % if not stated.
        residual: Option<Fraction>,
    },
    /// The line is empty, at the first run or after it was cleaned: its dead volume is filled before ink reaches the foil.
    Primed,
}

/// What changes between two runs besides settings that act at once.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Changeover {
    /// The ink.
    pub ink: InkChange,
    /// Time that heaters take to settle while the web runs; none if they settle before it starts.
    pub heater_settling: Option<Duration>,
}

/// The waits of a change, of which the longest decides, and what they take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settling {
    /// Until the flow at the lips follows the pump (eq 2.20); `None` if tube, slot or viscosity are not known.
    pub pump_line: Option<Duration>,
    /// Until the bead is exchanged (eq 2.23); `None` if gap or flow are not known.
    pub bead: Option<Duration>,
    /// Until another ink has flushed the dead volume (eq 2.22); zero if the ink is the same, `None` without a flow.
    pub flush: Option<Duration>,
    /// Until the heaters are settled.
    pub heaters: Duration,
    /// The longest of those that are known (eq 2.24): from then on the film at the head is steady.
    pub time: Duration,
    /// Foil that passes in that time; `None` without a speed.
    pub length: Option<Length>,
    /// Time from the change until the first steady film is where it is looked at; `None` without a speed or a path.
    pub seen_after: Option<Duration>,
    /// Ink that passes over the foil in that time; `None` without a flow.
    pub ink_on_foil: Option<Volume>,
    /// Ink that fills an empty line before the first of it reaches the foil.
    pub priming: Volume,
}

impl Settling {
    /// Ink that the change costs: priming and what is coated before the film is steady. `None` without a flow.
    pub fn ink_lost(&self) -> Option<Volume> {
        self.ink_on_foil
            .map(|coated| Volume::from_m3(coated.m3() + self.priming.m3()))
    }
}

impl Prepared {
    /// Waits, foil and ink of a change towards a setting. What is not known is left out of the longest wait.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used, or the part of the changeover.
    pub fn settling(
        &self,
        setting: &Setting,
        changeover: Changeover,
    ) -> Result<Settling, InputError> {
        let values = self.values();
        let knobs = self.knobs(setting)?;
        let changeover = checked(changeover)?;
        let times = settle(values, &knobs, changeover);
        let longest = times.longest();
        let flow = values.ink_flow(&knobs).ok();
        let seconds = |time: Option<f64>| time.map(Duration::from_s);
        let priming = match changeover.ink {
            InkChange::Primed => values.head.dead_volume,
            InkChange::Same | InkChange::FlushedThrough { .. } => 0.0,
        };
        Ok(Settling {
            pump_line: seconds(times.pump_line),
            bead: seconds(times.bead),
            flush: seconds(times.flush),
            heaters: Duration::from_s(times.heaters),
            time: Duration::from_s(longest),
            length: knobs.speed.map(|v| Length::from_m(v * longest)),
            seen_after: knobs
                .speed
                .zip(inspection_path(values))
                .map(|(v, path)| Duration::from_s(longest + path / v)),
            ink_on_foil: flow.map(|q| Volume::from_m3(q * longest)),
            priming: Volume::from_m3(priming),
        })
    }

    /// Foil that is coated before the film of a setting is steady after a change; see [`Self::settling`]. `Ok(None)`
    /// without a speed.
    ///
    /// # Errors
    /// As [`Self::settling`].
    pub fn settle_length(
        &self,
        setting: &Setting,
        changeover: Changeover,
    ) -> Result<Option<Length>, InputError> {
        Ok(self.settling(setting, changeover)?.length)
    }
}

fn checked(changeover: Changeover) -> Result<Changeover, InputError> {
    not_negative(
        Input::HeaterSettling,
        changeover.heater_settling.map(Duration::s),
    )?;
    if let InkChange::FlushedThrough { residual } = changeover.ink {
        let residual = residual.map(Fraction::ratio);
        positive(Input::ResidualInk, residual)?;
        share(Input::ResidualInk, residual)?;
    }
    Ok(changeover)
}

/// The stated path to where the film is looked at, else through the dryer.
fn inspection_path(values: &Values) -> Option<f64> {
    let through_dryer = || {
        let dryer = values.dryer?;
        Some(values.room.open_path + dryer.length?)
    };
    values.foil.inspection_path.or_else(through_dryer)
}

/// Waits of a change \[s\]; `None` where an input is missing.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SettleTimes {
    pub(crate) pump_line: Option<f64>,
    pub(crate) bead: Option<f64>,
    flush: Option<f64>,
    heaters: f64,
}

impl SettleTimes {
    /// The longest of those that are known (eq 2.24).
    pub(crate) fn longest(&self) -> f64 {
        [self.pump_line, self.bead, self.flush]
            .into_iter()
            .flatten()
            .fold(self.heaters, f64::max)
    }
}

/// The waits of a changeover that was checked. A head other than a slot die has no bead and no pump that meters.
pub(crate) fn settle(values: &Values, knobs: &Knobs, changeover: Changeover) -> SettleTimes {
    let flow = values.ink_flow(knobs).ok();
    let per_flow = |volume: f64| flow.map(|q| volume / q);
    let flush = match changeover.ink {
        InkChange::Same | InkChange::Primed => Some(0.0),
        InkChange::FlushedThrough { residual } => {
            let residual = residual.unwrap_or(Fraction::from_ratio(values.pump.residual_ink));
            let dead = Volume::from_m3(values.head.dead_volume);
            per_flow(flush_volume(dead, residual).m3())
        }
    };
    let bead = die(values)
        .ok()
        .and_then(|die| bead_volume_of(die, values, knobs));
    SettleTimes {
        pump_line: pump_lag_s(values, knobs).ok(),
        bead: bead.and_then(|volume| per_flow(BEAD_VOLUMES * volume.m3())),
        flush,
        heaters: changeover.heater_settling.map_or(0.0, Duration::s),
    }
}

/// Volume of the bead under the lips, if gap and width are known.
fn bead_volume_of(die: &SlotDieValues, values: &Values, knobs: &Knobs) -> Option<Volume> {
    let (gap, width) = knobs.head.gap.zip(values.head.width)?;
    Some(bead_volume(
        Length::from_m(gap),
        Length::from_m(die.lips.upstream),
        Length::from_m(die.lips.downstream),
        Length::from_m(width),
    ))
}

/// The slot die, or what the pump line of another head lacks.
const fn die(values: &Values) -> Result<&SlotDieValues, Input> {
    match &values.head.method {
        MethodValues::SlotDie(die) => Ok(die),
        MethodValues::Knife(_)
        | MethodValues::WireBar(_)
        | MethodValues::Gravure(_)
        | MethodValues::Flexo(_) => Err(Input::FeedSlotHeight),
    }
}

/// Time that the pump line takes to follow a change \[s\] (eq 2.20), or the first input that it lacks.
pub(crate) fn pump_lag_s(values: &Values, knobs: &Knobs) -> Result<f64, Input> {
    let pressure = line_pressure_pa(values, knobs)?;
    let flow = knobs.flow.ok_or(Input::Flow)?;
    Ok(PUMP_LINE_TIME_CONSTANTS * pressure / flow * values.pump.compliance)
}

/// Pressure in the syringe while it pumps \[Pa\] (eqs 2.17, 2.18), or the first input that it lacks.
pub(crate) fn line_pressure_pa(values: &Values, knobs: &Knobs) -> Result<f64, Input> {
    let pump = &values.pump;
    let die = die(values)?;
    let line = PumpLine {
        tube_bore: Length::from_m(pump.tube_bore.ok_or(Input::TubeBore)?),
        tube_length: Length::from_m(pump.tube_length.ok_or(Input::TubeLength)?),
        slot_width: Length::from_m(values.head.width.ok_or(Input::CoatedWidth)?),
        slot_height: Length::from_m(die.feed_slot_height.ok_or(Input::FeedSlotHeight)?),
        slot_length: Length::from_m(die.feed_slot_length.ok_or(Input::FeedSlotLength)?),
    };
    let law = values.flow_law(knobs)?;
    let flow = knobs.flow.ok_or(Input::Flow)?;
    let viscosity = |rate: f64| law.viscosity(rate);
    Ok(line.pressure_drop_pa(&viscosity, flow) + pump.filter_drop)
}
