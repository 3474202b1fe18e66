//! The words for what may harm people. Nothing here says or implies that a set-up is harmless or permitted.

use super::LimitCard;
use crate::limit::{Dimension, LimitId, Sense, Severity, Station};

pub(super) const CARDS: &[LimitCard] = &[LimitCard {
    id: LimitId::Pressure,
    key: "pressure",
    label: "Pressure of the pump line",
    station: Station::Head,
    severity: Severity::Caution,
    sense: Sense::AtMost,
    dimension: Dimension::Pressure,
    description: "Pressure that the pump line can reach, one and a half times what the flow takes or what the drive makes \
         against a clogged die, against the rating of its weakest part.",
    defect: "A hose or syringe bursts, or ink sprays from a fitting.",
    remedy: "Use parts that are rated higher, limit the force of the drive, and wear eye protection.",
    source: "Derived; the factor of one and a half is common practice.",
    validity: "Estimate only; a rating falls with age, heat and solvent.",
}];
