//! Safety cautions in words, with numbers rounded to two digits in the careful direction.
//!
//! Estimates only. No text here says or implies that a set-up is harmless or permitted; what cannot be computed is said
//! not to be computed rather than passed over.

use crate::assess::{Basis, Prepared};
use crate::assumed::Input;
use crate::evaluation::greatest_pressure_pa;
use crate::limit::{Assessment, LimitId, Outcome};
use crate::line::{Line, Setting};
use crate::plasma::{ozone_dilution, ozone_rate_kg_per_s};
use crate::prepared::Knobs;
use crate::quantity::Power;

mod lamps;
mod room;

/// The sentence that ends every list of cautions.
pub const CLOSING_SENTENCE: &str = "Estimate only. Local codes and licensed practice prevail; a competent person must \
     confirm ventilation, gas and electrical safety before running.";
/// Surface temperature from which long contact burns bare metal's skin [°C] (ISO 13732-1, 43 °C for 8 h, quoted from
/// memory, unverified).
const LONG_CONTACT_DEG_C: f64 = 43.0;

/// The open cautions of a setting, for showing beside its verdict; the last line is [`CLOSING_SENTENCE`].
///
/// The numbers come from `assessment` where it holds them. A line or setting that [`crate::assess()`] refuses yields the
/// reason and the closing sentence.
pub fn cautions(line: &Line, setting: &Setting, assessment: &Assessment) -> Vec<String> {
    match Prepared::new(line, &Basis::default()) {
        Ok(prepared) => prepared.cautions(setting, assessment),
        Err(error) => vec![
            format!("Cautions not computed: {error}."),
            CLOSING_SENTENCE.to_owned(),
        ],
    }
}

impl Prepared {
    /// The open cautions of a setting; see [`cautions`].
    pub fn cautions(&self, setting: &Setting, assessment: &Assessment) -> Vec<String> {
        let mut texts = Vec::new();
        match self.knobs(setting) {
            Ok(knobs) => {
                self.vapor_texts(&knobs, assessment, &mut texts);
                self.oxygen_text(assessment, &mut texts);
                self.lamp_texts(assessment, &mut texts);
                self.ozone_text(&knobs, &mut texts);
                hot_surface_text(assessment, &mut texts);
                self.pressure_text(&knobs, &mut texts);
                nip_text(&knobs, &mut texts);
            }
            Err(error) => texts.push(format!("Cautions not computed: {error}.")),
        }
        texts.push(CLOSING_SENTENCE.to_owned());
        texts
    }

    fn vapor_texts(&self, knobs: &Knobs, assessment: &Assessment, texts: &mut Vec<String>) {
        if let Some(limit) = assessment.limit(LimitId::LelDryer) {
            texts.push(match limit.outcome {
                Outcome::Evaluated { value, .. } => format!(
                    "Solvent fed would reach {} % of its lower explosive limit in the exhaust. Common design practice is \
                     at most 25 %; this estimate replaces no measurement.",
                    two_digits_up(100.0 * value)
                ),
                Outcome::NotEvaluated { missing } => not_computed("Solvent vapour in the exhaust", missing.label()),
            });
        }
        let Some(solvent) = self.values().ink.solvent else {
            return;
        };
        if solvent.is_flammable() {
            self.fire_texts(assessment, texts);
            self.spill_text(solvent, assessment, texts);
        }
        self.breathing_text(solvent, knobs, texts);
        if solvent.properties().is_reproductive_toxicant {
            texts.push(format!(
                "{} may harm fertility or the unborn child.",
                solvent.label()
            ));
        }
    }

    fn pressure_text(&self, knobs: &Knobs, texts: &mut Vec<String>) {
        if !self.values().head.has_pump {
            return;
        }
        texts.push(match greatest_pressure_pa(self.values(), knobs) {
            Ok(pressure) => format!(
                "Pump line can reach {} kPa; fittings must be rated above it. Wear eye protection when clearing a clogged die.",
                two_digits_up(1e-3 * pressure)
            ),
            Err(missing) => not_computed("Pressure of the pump line", missing.label()),
        });
    }

    fn ozone_text(&self, knobs: &Knobs, texts: &mut Vec<String>) {
        if self.values().plasma.is_none() {
            return;
        }
        match knobs.plasma_power {
            Some(power) if power > 0.0 => {
                let power = Power::from_w(power);
                texts.push(format!(
                    "The plasma can make {} g/h of ozone; room dilution to 0.1 ppm would need {} m³/h. Use a sealed hood \
                     with exhaust or a catalyst.",
                    two_digits_up(3.6e6 * ozone_rate_kg_per_s(power)),
                    two_digits_up(ozone_dilution(power).m3_per_h()),
                ));
            }
            Some(_) => {}
            None => texts.push(not_computed(
                "Ozone of the plasma",
                Input::PlasmaPower.label(),
            )),
        }
    }
}

fn hot_surface_text(assessment: &Assessment, texts: &mut Vec<String>) {
    match assessment
        .limit(LimitId::HotTouch)
        .map(|limit| limit.outcome)
    {
        Some(Outcome::Evaluated { value, .. }) => {
            let deg_c = value - 273.15;
            if deg_c >= LONG_CONTACT_DEG_C {
                texts.push(format!(
                    "Accessible surface at {} °C; bare skin can burn on contact. Guard and label.",
                    deg_c.ceil()
                ));
            }
        }
        Some(Outcome::NotEvaluated { missing }) => {
            texts.push(not_computed("Hot surfaces", missing.label()));
        }
        None => {}
    }
}

fn nip_text(knobs: &Knobs, texts: &mut Vec<String>) {
    if let Some(speed) = knobs.speed {
        texts.push(format!(
            "Moving nip at {} m/min can draw in fingers and hair at any speed. Guard it; thread only in the machine's \
             guarded hold-to-run crawl mode.",
            two_digits_up(60.0 * speed)
        ));
    }
}

fn not_computed(what: &str, missing: &str) -> String {
    format!("{what}: not computed, missing: {missing}.")
}

/// A positive number rounded up to two significant digits, as text.
fn two_digits_up(value: f64) -> String {
    // A hair of slack keeps 2.0 from becoming 2.1 by its last bit.
    two_digits(value * (1.0 - 1e-12), f64::ceil)
}

/// A positive number rounded down to two significant digits, as text.
fn two_digits_down(value: f64) -> String {
    two_digits(value * (1.0 + 1e-12), f64::floor)
}

fn two_digits(value: f64, round: impl Fn(f64) -> f64) -> String {
    if !(value > 0.0 && value.is_finite()) {
        return value.to_string();
    }
    for (decimals, scale) in [(0_usize, 1.0), (1, 10.0), (2, 100.0), (3, 1000.0), (4, 1e4)] {
        if value * scale > 10.0 - 1e-9 {
            let step = pow_of_ten_below(value * scale) / 10.0;
            return format!("{:.decimals$}", round(value * scale / step) * step / scale);
        }
    }
    format!("{value:e}")
}

/// Largest power of ten that is not above a number of ten or more.
fn pow_of_ten_below(value: f64) -> f64 {
    let mut power = 10.0;
    while power * 10.0 <= value {
        power *= 10.0;
    }
    power
}
