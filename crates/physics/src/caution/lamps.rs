//! What lamps can do: foil that stops below them, light on people, ozone, vapour that ignites.

use super::{not_computed, two_digits_down};
use crate::assess::Prepared;
use crate::curing::OZONE_WAVELENGTH;
use crate::limit::{Assessment, LimitId, Outcome};
use crate::prepared::UvValues;
use crate::quantity::Length;
use crate::solvent::Solvent;

impl Prepared {
    pub(super) fn lamp_texts(&self, assessment: &Assessment, texts: &mut Vec<String>) {
        if self.values().infrared.is_some() {
            self.infrared_texts(assessment, texts);
        }
        if let Some(lamp) = self.values().uv {
            exposure_texts(assessment, texts);
            ozone_text(&lamp, texts);
            cover_text(&lamp, assessment, texts);
        }
    }

    fn infrared_texts(&self, assessment: &Assessment, texts: &mut Vec<String>) {
        texts.push(
            "Infrared emitters burn skin, also long after they were switched off. Guard and label."
                .to_owned(),
        );
        match outcome(assessment, LimitId::InfraredStop) {
            Some(Outcome::Evaluated { value, .. }) if value.is_finite() => texts.push(format!(
                "If the web stops below the infrared lamps, a dry foil reaches its highest temperature in {} s, and goes on \
                 heating. Interlock the lamps with the motion of the web.",
                two_digits_down(value)
            )),
            Some(Outcome::NotEvaluated { missing }) => texts.push(not_computed(
                "Foil that stops below the infrared lamps",
                missing.label(),
            )),
            Some(Outcome::Evaluated { .. }) | None => {}
        }
        if self.values().ink.solvent.is_some_and(Solvent::is_flammable) {
            texts.push(
                "Infrared emitters are far hotter than web and gas; they and unrated electrics near wet ink can ignite vapour."
                    .to_owned(),
            );
        }
    }
}

fn outcome(assessment: &Assessment, id: LimitId) -> Option<Outcome> {
    assessment.limit(id).map(|limit| limit.outcome)
}

fn exposure_texts(assessment: &Assessment, texts: &mut Vec<String>) {
    match outcome(assessment, LimitId::UvExposure) {
        Some(Outcome::Evaluated { value, .. }) => {
            texts.push(format!(
                "Unshielded, the daily eye and skin limit would be reached within {} s. Interlocked shielding; UV eyewear is \
                 no substitute.",
                two_digits_down(value)
            ));
            texts.push(
                "A web that stops below the UV lamp goes on heating. Interlock the lamp or its shutter with the motion of the \
                 web."
                .to_owned(),
            );
        }
        Some(Outcome::NotEvaluated { missing }) => texts.push(not_computed(
            "Time to the daily limit of eye and skin",
            missing.label(),
        )),
        None => {}
    }
}

fn ozone_text(lamp: &UvValues, texts: &mut Vec<String>) {
    let doubt = match lamp.wavelength.map(Length::from_m) {
        Some(wavelength) if wavelength >= OZONE_WAVELENGTH => return,
        Some(_) => "",
        None => " The wavelength of this lamp is not stated.",
    };
    texts.push(format!(
        "UV lamps that shine below {:.0} nm make ozone; exhaust the lamp housing outdoors or through a catalyst.{doubt}",
        OZONE_WAVELENGTH.nm()
    ));
}

fn cover_text(lamp: &UvValues, assessment: &Assessment, texts: &mut Vec<String>) {
    let material = lamp.cover.and_then(|cover| cover.material);
    match (outcome(assessment, LimitId::UvBlock), material) {
        (
            Some(Outcome::Evaluated {
                value,
                bound,
                margin,
            }),
            Some(material),
        ) if margin < 0.0 => texts.push(if value.is_finite() {
            format!(
                "{} absorbs light below {:.0} nm; that of the lamp, {:.0} nm, hardly reaches the resin below it, which stays \
                 liquid.",
                material.label(),
                Length::from_m(value).nm(),
                Length::from_m(bound).nm(),
            )
        } else {
            format!(
                "{} lets no light of the lamp through; the resin below it stays liquid.",
                material.label()
            )
        }),
        (Some(Outcome::NotEvaluated { missing }), _) => texts.push(not_computed(
            "Whether the cover lets the light of the lamp through",
            missing.label(),
        )),
        (Some(Outcome::Evaluated { .. }) | None, _) => {}
    }
}
