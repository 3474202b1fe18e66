//! The words for the laminator.

use super::{LimitCard, SPAN_DEFECT, SPAN_SOURCE, SPAN_VALIDITY};
use crate::limit::{Dimension, LimitId, Sense, Severity, Station};

const HERTZ_SOURCE: &str = "Line contact of Hertz, after Johnson, Contact Mechanics (1985), quoted from memory, unverified; the need is common practice.";
const HERTZ_VALIDITY: &str = "A rubber cover that is thick against the contact; a thin cover gives a shorter contact at 1.3 to 2 times the \
     pressure.";

pub(super) const CARDS: &[LimitCard] = &[
    LimitCard {
        id: LimitId::NipLoadSpan,
        key: "nip_load_span",
        label: "Nip load within span",
        station: Station::Laminator,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::WebTension,
        description: "Load of the nip per width against the span of the laminator.",
        defect: SPAN_DEFECT,
        remedy: "Choose a load within the span of the laminator.",
        source: SPAN_SOURCE,
        validity: SPAN_VALIDITY,
    },
    LimitCard {
        id: LimitId::LaminationSpan,
        key: "lamination_temperature_span",
        label: "Laminator temperature within span",
        station: Station::Laminator,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Temperature,
        description: "Temperature of the laminator's hot roller against its span.",
        defect: SPAN_DEFECT,
        remedy: "Choose a temperature within the span of the laminator.",
        source: SPAN_SOURCE,
        validity: SPAN_VALIDITY,
    },
    LimitCard {
        id: LimitId::LamTemp,
        key: "lam_temp",
        label: "Temperature of the bond line",
        station: Station::Laminator,
        severity: Severity::Hard,
        sense: Sense::AtLeast,
        dimension: Dimension::Temperature,
        description: "Temperature of the bond line as it leaves the nip against the softening of the adhesive, and against \
             what both foils and the adhesive stand.",
        defect: "Too cold: no bond, silvery patches. Too hot: the foil shrinks, the adhesive squeezes out or decomposes.",
        remedy: "Set the hot roller hotter or colder, slow down, warm the web before the nip, or lay on a thinner foil.",
        source: "Slab warmed from one face, Carslaw & Jaeger, quoted from memory, derived again; 10 K as the distance to both \
             bounds is common practice.",
        validity: "Perfect contact with the roller and nothing behind the bond line that takes heat: the bond line is at most \
             this warm.",
    },
    LimitCard {
        id: LimitId::LamPressure,
        key: "lam_pressure",
        label: "Nip presses enough",
        station: Station::Laminator,
        severity: Severity::Soft,
        sense: Sense::AtLeast,
        dimension: Dimension::Pressure,
        description: "Mean pressure of the nip against what the adhesive needs.",
        defect: "Trapped air: silvery patches, bubbles; a weak bond.",
        remedy: "Raise the load, or use a harder rubber or thinner rollers.",
        source: HERTZ_SOURCE,
        validity: HERTZ_VALIDITY,
    },
    LimitCard {
        id: LimitId::LamDwell,
        key: "lam_dwell",
        label: "Long enough in the nip",
        station: Station::Laminator,
        severity: Severity::Soft,
        sense: Sense::AtLeast,
        dimension: Dimension::Duration,
        description: "Time in the nip against what the adhesive needs.",
        defect: "The adhesive does not wet the other side: a weak bond, tunnels.",
        remedy: "Slow down, raise the load, or use a softer rubber or thicker rollers.",
        source: HERTZ_SOURCE,
        validity: HERTZ_VALIDITY,
    },
    LimitCard {
        id: LimitId::LamTack,
        key: "lam_tack",
        label: "Adhesive is tacky",
        station: Station::Laminator,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Pressure,
        description: "Storage modulus of a pressure-sensitive adhesive at 1 Hz against the modulus above which it no longer \
             wets what it is pressed on.",
        defect: "No wet-out: the bond lifts or never forms.",
        remedy: "Warm the adhesive or choose a softer one.",
        source: "Dahlquist's criterion, quoted from memory, unverified.",
        validity: "Adhesives at their temperature in the nip.",
    },
    LimitCard {
        id: LimitId::LamCurl,
        key: "lam_curl",
        label: "Both foils equally stretched",
        station: Station::Laminator,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Difference of the stretch of both foils where they are joined against one part in two thousand.",
        defect: "The laminate curls toward the foil that was stretched more, or tunnels open.",
        remedy: "Match the stretch: tension over modulus and thickness, alike for both.",
        source: "Derived; the bound is common practice.",
        validity: "Elastic foils; a foil that is hotter in the nip also curls the laminate.",
    },
];
