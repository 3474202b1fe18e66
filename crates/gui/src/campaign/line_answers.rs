//! What the line can do at a setting, searched rather than read off: the coolest air that dries, the least lamp power that
//! cures, the fresh gas that keeps vapor below a quarter of its explosive limit.

use wetlane_physics::{
    ExhaustVapor, Fraction, InputError, Prepared, Setting, Sought, Speed, Temperature, VolumeFlow,
};

use super::answers::plain;
use super::unit::{Dimension, Unit};
use super::what_follows::Follows;

/// Answers at one setting; `None` where an input is missing or the line has no such station.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LineAnswers {
    /// Coolest gas that dries the film at the speed of the setting.
    pub coolest_gas: Option<Sought<Temperature>>,
    /// Flammable vapor in the exhaust of the dryer.
    pub exhaust: Option<ExhaustVapor>,
    /// Fastest web on which the lamp cures at the power of the setting.
    pub fastest_curing: Option<Sought<Speed>>,
    /// Least lamp power that cures at the speed of the setting.
    pub least_lamp_power: Option<Sought<Fraction>>,
}

impl LineAnswers {
    /// Searches them; some marches through the dryer long.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn of(prepared: &Prepared, setting: &Setting) -> Result<Self, InputError> {
        let coolest_gas = match setting.speed {
            Some(speed) => prepared.gas_temperature_for_speed(setting, speed)?,
            None => None,
        };
        Ok(Self {
            coolest_gas,
            exhaust: prepared.exhaust_vapor(setting)?,
            fastest_curing: prepared.fastest_curing_speed(setting)?,
            least_lamp_power: prepared.uv_power_for_cure(setting)?,
        })
    }

    /// The answers as numbers with key and unit, for documents; none where nothing within the span of a knob will do.
    pub fn numbers(&self) -> [(&'static str, Option<f64>, &'static str); 5] {
        let exhaust = self.exhaust;
        [
            (
                "coolest_gas",
                within(self.coolest_gas).map(Temperature::deg_c),
                "°C",
            ),
            (
                "fastest_curing_speed",
                within(self.fastest_curing).map(Speed::m_per_min),
                "m/min",
            ),
            (
                "least_lamp_power",
                within(self.least_lamp_power).map(Fraction::percent),
                "%",
            ),
            (
                "vapor_of_design",
                exhaust
                    .and_then(|vapor| vapor.of_design)
                    .map(|share| 100.0 * share),
                "%",
            ),
            (
                "fresh_gas_for_design",
                exhaust.map(|vapor| vapor.fresh_gas_for_design.m3_per_h()),
                "m³/h",
            ),
        ]
    }

    /// The answers in words, those that are known.
    pub fn words(&self) -> Vec<Follows> {
        let gas = self.coolest_gas.map(|sought| {
            let of = |kelvins: Temperature| in_unit(kelvins.k(), Dimension::Temperature);
            ("coolest air that dries at this speed", words_of(sought, of))
        });
        let speed = self.fastest_curing.map(|sought| {
            let of = |speed: Speed| in_unit(speed.m_per_s(), Dimension::Speed);
            ("fastest speed that cures", words_of(sought, of))
        });
        let power = self.least_lamp_power.map(|sought| {
            let of = |share: Fraction| in_unit(share.ratio(), Dimension::Fraction);
            (
                "least lamp power that cures at this speed",
                words_of(sought, of),
            )
        });
        let vapor = self
            .exhaust
            .and_then(|exhaust| exhaust.of_design)
            .map(|share| {
                let percent = format!("{} %", plain(100.0 * share));
                ("vapor over a quarter of its explosive limit", percent)
            });
        let fresh = self.exhaust.map(|exhaust| {
            let flow = in_cubic_metres_per_hour(exhaust.fresh_gas_for_design);
            ("fresh gas that makes just that quarter", flow)
        });
        [gas, speed, power, vapor, fresh]
            .into_iter()
            .flatten()
            .map(|(name, value)| Follows {
                name: name.to_owned(),
                value,
            })
            .collect()
    }
}

fn within<Q>(sought: Option<Sought<Q>>) -> Option<Q> {
    sought.filter(Sought::is_within).map(Sought::value)
}

fn words_of<Q: Copy>(sought: Sought<Q>, in_words: impl Fn(Q) -> String) -> String {
    let value = in_words(sought.value());
    match sought {
        Sought::At(_) => value,
        Sought::Anywhere(_) => format!("{value}, the end of its span"),
        Sought::Nowhere(_) => format!("none, not even {value}"),
    }
}

fn in_unit(si: f64, dimension: Dimension) -> String {
    let unit = Unit::usual(dimension);
    format!("{} {unit}", plain(unit.from_si(si)))
}

fn in_cubic_metres_per_hour(flow: VolumeFlow) -> String {
    format!("{} m³/h", plain(flow.m3_per_h()))
}
