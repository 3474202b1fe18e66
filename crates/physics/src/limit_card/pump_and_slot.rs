//! The words for the pump line, the feed slot, settling and a gap that was set cold.

use super::LimitCard;
use crate::limit::{Dimension, LimitId, Sense, Severity, Station};

const LAMINAR: &str = "Laminar flow without wall slip or yield stress; exact for a power law, a good approximation for other \
     flow curves.";

pub(super) const CARDS: &[LimitCard] = &[
    LimitCard {
        id: LimitId::PumpForce,
        key: "pump_force",
        label: "Pump is strong enough",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Force,
        description: "Force on the plunger, for the pressure drops of tube, filter and feed slot and its own friction, \
             against the greatest force of the drive.",
        defect: "The drive stalls or slips: a thin film, then none; more streaks from run to run.",
        remedy: "Use a wider or shorter tube, a thicker shim or a narrower syringe, thin the ink, or lower the flow.",
        source: "Derived; laminar flow in tube and slot, correction for shear-thinning inks after Weissenberg & \
             Rabinowitsch, quoted from memory, unverified.",
        validity: LAMINAR,
    },
    LimitCard {
        id: LimitId::PumpPulsation,
        key: "pump_pulsation",
        label: "Pump steps level out",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Duration,
        description: "Time in which the bars that the pump's steps leave on the film level to a third, against the time on \
             the open path before the dryer.",
        defect: "Bars across the web at an even pitch that grows with the size of the step and shrinks with the film.",
        remedy: "Use smaller steps, a narrower syringe or a wider film; a little compliance in the line also smooths them.",
        source: "Orchard (1962), Appl. Sci. Res. A 11, 451, quoted from memory, unverified; derived again.",
        validity: "Newtonian ink, bars much longer than the film is thick; what the line itself smooths is left out. Bars \
             shorter than a millimetre usually level, bars of three millimetres do not.",
    },
    LimitCard {
        id: LimitId::PumpLag,
        key: "pump_lag",
        label: "Pump line follows",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Duration,
        description: "Three time constants of the pump line, its resistance times what trapped air, syringe and tube give \
             way, against the lag that is accepted.",
        defect: "The film keeps getting thicker, or thinner, for minutes after a change; ink goes on running after a stop.",
        remedy: "Bleed the air, degas the ink, use stiff short tube and a glass syringe, or a thicker shim.",
        source: "Derived.",
        validity: "Air at atmospheric pressure, which makes the lag too long rather than too short.",
    },
    LimitCard {
        id: LimitId::StartupLength,
        key: "startup_length",
        label: "Film is steady at the sample",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Foil that passes after a change on the fly until pump line and bead have settled, against the foil \
             granted for settling. What is not stated of the pump line is left out.",
        defect: "The sample belongs to the setting before.",
        remedy: "Grant more foil for settling, slow down, bleed the pump line or close the gap.",
        source: "Derived; three time constants or bead volumes leave 5 %.",
        validity: "Well-mixed bead; heaters and a change of the ink take longer and are counted apart.",
    },
    LimitCard {
        id: LimitId::CrossWeb,
        key: "cross_web",
        label: "Even across the web",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Spread of the flow across the web from the error of the feed slot's height and from the pressure drop \
             along the manifold, against the spread that is accepted.",
        defect: "A smooth profile across the web, a smile or a frown, that does not change with the speed.",
        remedy: "Use a thicker or better shim, tighten the die evenly, or use a die with a wider manifold.",
        source: "Derived.",
        validity: "Manifold fed in its middle, of constant round section; its part holds for a Newtonian ink and grows for a \
             shear-thinning one.",
    },
    LimitCard {
        id: LimitId::ThermalGap,
        key: "thermal_gap",
        label: "Gap stays open when hot",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtLeast,
        dimension: Dimension::Length,
        description: "Gap that is left when roller and die have grown warm, against three of the largest particles and never \
             less than 20 µm. Every limit of the coating window is judged at the hot gap.",
        defect: "The die touches the foil, or the window is another than the one set.",
        remedy: "Set the gap with roller and die at temperature, or set it wider by what they grow.",
        source: "Derived; the least gap is common practice.",
        validity: "Free growth of roller and die towards each other; a mount that gives way leaves more gap.",
    },
    LimitCard {
        id: LimitId::HeadAtStop,
        key: "head_at_stop",
        label: "Bead holds at a stop",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Height of the ink in the syringe above the lips against the height that the menisci of a standing bead \
             hold.",
        defect: "Ink runs out at every stop: a puddle on the foil, a heavy start.",
        remedy: "Lower the syringe to the lips, close the gap, draw back at a stop, or close a valve.",
        source: "Derived.",
        validity: "A syringe that is open to the room; a drive that holds its plunger drips less.",
    },
];
