//! The air of the room: oxygen beside an inert dryer, a spill, and the time that is left when the exhaust stops (eqs 9.1 to
//! 9.6b). Estimates only: local codes and licensed practice prevail.

use crate::elementary::ln;
use crate::quantity::{Duration, Fraction, Volume, VolumeFlow};

/// Oxygen of clean air.
pub const CLEAN_AIR_OXYGEN: Fraction = Fraction::from_percent(20.95);
/// Oxygen below which air counts as deficient (29 CFR 1910.146, definition).
pub const LEAST_OXYGEN: Fraction = Fraction::from_percent(19.5);

/// How a room is ventilated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ventilation {
    /// Fresh air that enters.
    FreshAir(VolumeFlow),
    /// An extract fan, of whose flow the inert gas takes its share.
    Extract(VolumeFlow),
}

impl Ventilation {
    /// Its flow.
    pub const fn flow(self) -> VolumeFlow {
        match self {
            Self::FreshAir(flow) | Self::Extract(flow) => flow,
        }
    }
}

/// Oxygen of a well-mixed room in the long run (eq 9.6; eq 9.6b below an extract fan).
///
/// # Examples
/// ```
/// use wetlane_physics::VolumeFlow;
/// use wetlane_physics::room_air::{Ventilation, steady_oxygen};
/// let inert = VolumeFlow::from_m3_per_h(6.0);
/// let fresh = Ventilation::FreshAir(VolumeFlow::from_m3_per_h(30.0));
/// assert!((steady_oxygen(inert, fresh).percent() - 17.458).abs() < 0.001); // 20.95 · 30/36, by hand
/// ```
pub fn steady_oxygen(inert: VolumeFlow, ventilation: Ventilation) -> Fraction {
    let q = inert.m3_per_s();
    let fresh = match ventilation {
        Ventilation::FreshAir(fresh) => fresh.m3_per_s(),
        Ventilation::Extract(fan) => (fan.m3_per_s() - q).max(0.0),
    };
    if q <= 0.0 {
        return CLEAN_AIR_OXYGEN;
    }
    Fraction::from_ratio(CLEAN_AIR_OXYGEN.ratio() * fresh / (fresh + q))
}

/// Time in which the oxygen of a closed room falls to [`LEAST_OXYGEN`] (eq 9.6); infinite without inert gas.
pub fn time_to_least_oxygen(inert: VolumeFlow, room: Volume) -> Duration {
    let air_changes = inert.m3_per_s() / room.m3();
    Duration::from_s(ln(CLEAN_AIR_OXYGEN.ratio() / LEAST_OXYGEN.ratio()) / air_changes)
}

/// What stands in a dryer when its exhaust stops, all gas counted at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StoppedExhaust {
    /// Gas in the dryer.
    pub gas: Volume,
    /// Vapour that goes on being made.
    pub vapor: VolumeFlow,
    /// Share of vapour in the gas at the moment of the stop.
    pub running_share: Fraction,
    /// Vapour of the wet film on the web, which evaporates even if pump and web stop at once.
    pub on_the_web: Volume,
}

impl StoppedExhaust {
    /// Time until the vapour reaches a share of the gas (eq 9.1); zero if the wet web alone takes it there.
    pub fn time_to(&self, share: Fraction) -> Duration {
        let room_left = (share.ratio() - self.running_share.ratio()) * self.gas.m3();
        let seconds = (room_left - self.on_the_web.m3()) / self.vapor.m3_per_s();
        Duration::from_s(seconds.max(0.0))
    }
}

/// Share of the vapour of a spill in the air of a room, all of it evaporated and mixed in (eq 9.1).
pub fn spill_share(vapor: Volume, room: Volume) -> Fraction {
    Fraction::from_ratio(vapor.m3() / room.m3())
}
