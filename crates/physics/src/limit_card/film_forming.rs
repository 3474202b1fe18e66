//! The words for the bead of a slot die, wetting of a moving foil, particles and the gap.

use super::LimitCard;
use crate::limit::{Dimension, LimitId, Sense, Severity, Station};

const BEAD_VALIDITY: &str = "Two-dimensional steady lubrication flow of a Newtonian ink, feed slot between the lips, film meniscus pinned \
     at the downstream lip; gap much smaller than the lips, capillary number below 0.1, gap Reynolds number below 10. \
     Against experiment 15 to 30 %; about 25 % optimistic on the thin side for thick shear-thinning slurries.";
const PLUNGING_VALIDITY: &str = "Smooth dry tape plunging into a pool, viscosity 1 mPa·s to 0.465 Pa·s; a plateau of 0.095 m/s above. Coating \
     beads tolerate more; rough foil behaves differently.";
const WETTING_SOURCE: &str = "Burley & Kennedy (1976), Chem. Eng. Sci. 31, 901, abstract.";
const WINDOW_SOURCE: &str = "Derived pressure balance; capillary terms after Ruschak (1976), Chem. Eng. Sci. 31, 1057, viscous terms after \
     Higgins & Scriven (1980), Chem. Eng. Sci. 35, 673.";

pub(super) const CARDS: &[LimitCard] = &[
    LimitCard {
        id: LimitId::LowFlow,
        key: "low_flow",
        label: "Low flow",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtLeast,
        dimension: Dimension::Length,
        description: "Wet thickness against the thinnest film that the downstream meniscus can form at any vacuum: it cannot \
             curve more than a half circle across the free height of the gap.",
        defect: "The meniscus retreats into the gap: ribs, then rivulets and dry lanes along the web.",
        remedy: "Raise the flow, lower the speed, close the gap, thin the ink or raise its surface tension.",
        source: "Carvalho & Kheshgi (2000), AIChE J. 46, 1907, form with 0.65, quoted from memory, unverified; cap at \
             high capillary number after Lee, Liu & Yu (1992), quoted from memory, unverified.",
        validity: "Capillary number up to about 0.1; beyond, the equation overshoots and is capped at 0.65 of the gap.",
    },
    LimitCard {
        id: LimitId::BeadHold,
        key: "bead_hold",
        label: "Bead holds",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtLeast,
        dimension: Dimension::Length,
        description: "Wet thickness against the thinnest film at which the upstream meniscus still stays on the lip under the \
             applied vacuum.",
        defect: "The bead breaks: periodic bars across the web, air drawn in at the upstream meniscus, skips.",
        remedy: "Use shorter lips or a smaller gap, raise the flow, slow down, improve the wetting of the foil, or add a \
             little vacuum.",
        source: WINDOW_SOURCE,
        validity: BEAD_VALIDITY,
    },
    LimitCard {
        id: LimitId::Flood,
        key: "flood",
        label: "No flooding",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Wet thickness against the thickest film before the liquid at the outer edge of the upstream lip stands \
             above the gas pressure by more than a convex meniscus can hold.",
        defect: "Ink runs out upstream: dripping, a heavy unstable bead, a flooded die front.",
        remedy: "Lower the flow, raise the speed, lower the vacuum, or lengthen the upstream lip.",
        source: WINDOW_SOURCE,
        validity: BEAD_VALIDITY,
    },
    LimitCard {
        id: LimitId::LipWetting,
        key: "lip_wetting",
        label: "Shoulder stays dry",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Wet thickness against the thickest film before ink climbs the shoulder of the upstream lip (pinning \
             condition of Gibbs at the outer edge).",
        defect: "Ink creeps over the shoulder: weeping, heavy edges, drifting width, blobs at start and stop, dried \
             crumbs later.",
        remedy: "Clean the shoulder or give it a surface that the ink does not wet; lower the flow or the vacuum.",
        source: WINDOW_SOURCE,
        validity: BEAD_VALIDITY,
    },
    LimitCard {
        id: LimitId::GapFill,
        key: "gap_fill",
        label: "Film thinner than gap",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Wet thickness against the coating gap.",
        defect: "The bead swells in front of the lip; the lip no longer meters the surface.",
        remedy: "Open the gap or lower the flow.",
        source: "Derived; 1.05 to 1.16 of the gap has been run by Diehm et al. (2020), Energy Technol. 8, 1901251, quoted \
             second hand.",
        validity: "Any ink.",
    },
    LimitCard {
        id: LimitId::AirEntrainment,
        key: "air_entrainment",
        label: "No entrained air",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Speed,
        description: "Web speed against the speed at which a plunging tape entrains air.",
        defect: "Rows of tiny bubbles or a saw-tooth wetting line, pinholes after drying.",
        remedy: "Slow down or thin the ink; bubbles below about 5 m/min come from the pump line, a broken bead, foam or \
             boiling instead.",
        source: WETTING_SOURCE,
        validity: PLUNGING_VALIDITY,
    },
    LimitCard {
        id: LimitId::WettingFailure,
        key: "wetting_failure",
        label: "Foil is wetted",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Speed,
        description: "Web speed against five times the speed at which a plunging tape entrains air; the pressure of a coating \
             bead assists wetting.",
        defect: "Air under the film over the whole width: saw-tooth wetting line, bubbles, uncoated foil.",
        remedy: "Slow down, thin the ink, or treat the foil.",
        source: "Burley & Kennedy (1976), Chem. Eng. Sci. 31, 901, abstract; the factor of five is common practice.",
        validity: PLUNGING_VALIDITY,
    },
    LimitCard {
        id: LimitId::Recirculation,
        key: "recirculation",
        label: "No vortex under the lip",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtLeast,
        dimension: Dimension::Length,
        description: "Wet thickness against a third of the gap, below which the flow reverses along the downstream lip.",
        defect: "A closed vortex under the downstream lip: streaks and gels after some minutes. Usually harmless with \
             clean inks.",
        remedy: "Close the gap or raise the flow, if the ink holds particles, gels or ages.",
        source: "Derived.",
        validity: "Newtonian lubrication flow.",
    },
    LimitCard {
        id: LimitId::FeedSlot,
        key: "feed_slot",
        label: "Feed slot suits the film",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Height of the feed slot against five wet thicknesses.",
        defect: "A vortex at the exit of the slot, streaks.",
        remedy: "Use a thinner shim.",
        source: "Sartor as quoted in a coating handbook, quoted from memory, unverified.",
        validity: "Not stated.",
    },
    LimitCard {
        id: LimitId::Particle,
        key: "particle",
        label: "Particles pass",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Largest particle against a third of the gap (on a slot die of the smaller of gap and feed slot; five to \
             ten times the particle is wanted), or a sixth of the wire of a bar. Fibres count with a third of their length.",
        defect: "Scratch lines along the web, a clogged slot.",
        remedy: "Filter the ink, open the gap or use a thicker shim.",
        source: "Common practice.",
        validity: "Rule of thumb.",
    },
    LimitCard {
        id: LimitId::GapTolerance,
        key: "gap_tolerance",
        label: "Window survives gap error",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Worst hard margin of the head with the gap smaller and larger by its tolerance.",
        defect: "One side of the web coats well, the other does not.",
        remedy: "Level the head, reduce the run-out of the roller, or move away from the nearest limit.",
        source: "Derived.",
        validity: BEAD_VALIDITY,
    },
];
