//! The words for every limit: what it is called, what the film looks like when it is broken, what helps, where the
//! equation comes from and how far it was tested. One row a limit; nothing else in the crate holds such text.
//!
//! Marks of origin: a publication by author and year; "derived" for what follows from first principles under the stated
//! assumptions; "common practice" for what has no source; "quoted from memory, unverified" for a constant that was not
//! seen in its source.

use crate::limit::{Dimension, LimitId, Sense, Severity, Station};

mod pump_and_slot;
mod safety;

/// One row of the table.
#[derive(Clone, Copy)]
struct LimitCard {
    id: LimitId,
    key: &'static str,
    label: &'static str,
    station: Station,
    severity: Severity,
    sense: Sense,
    dimension: Dimension,
    description: &'static str,
    defect: &'static str,
    remedy: &'static str,
    source: &'static str,
    validity: &'static str,
}

const SPAN_DEFECT: &str = "The machine cannot be set to this value.";
const SPAN_SOURCE: &str = "Span of the machine as stated.";
const SPAN_VALIDITY: &str = "As good as the stated span.";
const BEAD_VALIDITY: &str = "Two-dimensional steady lubrication flow of a Newtonian ink, feed slot between the lips, film meniscus pinned \
     at the downstream lip; gap much smaller than the lips, capillary number below 0.1, gap Reynolds number below 10. \
     Against experiment 15 to 30 %; about 25 % optimistic on the thin side for thick shear-thinning slurries.";
const PLUNGING_VALIDITY: &str = "Smooth dry tape plunging into a pool, viscosity 1 mPa·s to 0.465 Pa·s; a plateau of 0.095 m/s above. Coating \
     beads tolerate more; rough foil behaves differently.";
const DRYING_VALIDITY: &str = "One temperature for foil and film, constant-rate drying, no slow diffusion in a solidifying film. The \
     heat-transfer coefficient is known to 30 % at best (a factor of two when assumed), so a margin within ±0.3 is \
     undecided until it is calibrated with a weighed film.";
const ANGLE_VALIDITY: &str = "The angle is measured on the treated foil, or estimated from surface energies; energies from different pairs \
     of test liquids must not be mixed.";
const DRYING_SOURCE: &str = "Derived film balance; vapour transfer after Chilton & Colburn (1934), quoted from memory, unverified.";
const WETTING_SOURCE: &str = "Burley & Kennedy (1976), Chem. Eng. Sci. 31, 901, abstract.";
const ORCHARD_SOURCE: &str =
    "Orchard (1962), Appl. Sci. Res. A 11, 451, quoted from memory, derived again.";
const ORCHARD_VALIDITY: &str = "Small waves much longer than the film is thick, Newtonian ink of constant viscosity and thickness; the time \
     at hand is the open path and 0.3 of the constant-rate drying time, common practice.";
const WINDOW_SOURCE: &str = "Derived pressure balance; capillary terms after Ruschak (1976), Chem. Eng. Sci. 31, 1057, viscous terms after \
     Higgins & Scriven (1980), Chem. Eng. Sci. 35, 673.";

const OF_FILM: &[LimitCard] = &[
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
    LimitCard {
        id: LimitId::KnifeTarget,
        key: "knife_target",
        label: "Knife lays down what is wanted",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Wet thickness of the knife against the one that is wanted, within its tolerance.",
        defect: "The coat weight is wrong.",
        remedy: "Set the gap for the film, and measure the share of the gap that this knife leaves.",
        source: "Derived: drag and pressure flow under a flat land, plane slider bearing of a wedge, Swift and Stieber for a \
             round knife; measured flows after Coyle, Macosko & Scriven (1986), quoted from memory, unverified.",
        validity: "Newtonian lubrication flow under a full bank; 15 % where the shape is not known.",
    },
    LimitCard {
        id: LimitId::BarTarget,
        key: "bar_target",
        label: "Bar lays down what is wanted",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Wet thickness of the bar against the one that is wanted, within its tolerance.",
        defect: "The coat weight is wrong.",
        remedy: "Take the bar whose wire comes nearest, and measure the share of the wire that it leaves.",
        source: "Derived: area of the grooves of a tight winding, 0.107 of the wire; 0.09 in suppliers' charts, 0.08 called real \
             on a trade page.",
        validity: "15 % unless it was measured with the ink at hand; worn bars leave less.",
    },
    LimitCard {
        id: LimitId::GravureTarget,
        key: "gravure_target",
        label: "Cells lay down what is wanted",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Wet thickness from cells, pickout and speed of the roll against the one that is wanted, within its \
             tolerance.",
        defect: "The coat weight is wrong.",
        remedy: "Change the speed of the roll or take another roll, and measure the share of the cells that reaches the \
             web.",
        source: "Pickout 0.15 to 0.20 of a kiss roll: Benkreira & Cohu (1998), Chem. Eng. Sci., abstract; 0.59 of a \
             pressed nip: Pulkrabek & Munter (1983), of a reverse roll 0.3, both quoted from memory, unverified.",
        validity: "A third either way unless the pickout was measured; it falls with the capillary number and with the size \
             of the cells.",
    },
    LimitCard {
        id: LimitId::FlexoTarget,
        key: "flexo_target",
        label: "Print is as thick as wanted",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Wet thickness from the cells of the anilox and both transfers against the one that is wanted, within its \
             tolerance.",
        defect: "Weak or heavy print.",
        remedy: "Take another anilox, and weigh a solid print to learn the transfers.",
        source: "Worked numbers of a trade article: half of the cells to the plate, half of that to a plastic film.",
        validity: "A third either way unless the transfers were measured.",
    },
    LimitCard {
        id: LimitId::KnifeHead,
        key: "knife_head",
        label: "Bank adds little",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "What the pressure of the bank adds to the flow under the knife, over the drag flow, against a tenth.",
        defect: "The thickness follows the level of the bank and the speed.",
        remedy: "Keep the bank low and steady, lengthen the land, close the gap or speed up.",
        source: "Derived: Couette and Poiseuille flow under a land.",
        validity: "Newtonian lubrication flow; a round knife counts with the land of the same resistance.",
    },
    LimitCard {
        id: LimitId::BankStarved,
        key: "bank_starved",
        label: "Bank is fed",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::VolumeFlow,
        description: "Ink that the web carries off against the flow that feeds the bank.",
        defect: "The bank runs dry: streaks that start at the sides, uncoated lanes.",
        remedy: "Feed more ink, slow down or close the gap.",
        source: "Derived volume balance.",
        validity: "Exact for a steady bank; a full bank bridges a short run.",
    },
    LimitCard {
        id: LimitId::BarFlood,
        key: "bar_flood",
        label: "Bar is flooded",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::VolumeFlow,
        description: "Ink that the web carries off and a fifth more against the flow that feeds the bar.",
        defect: "Grooves are not full: periodic gaps, dry lanes along the web.",
        remedy: "Feed more ink or slow down.",
        source: "Derived volume balance; the fifth that runs over is common practice.",
        validity: "Steady feed before the bar.",
    },
    LimitCard {
        id: LimitId::FeedStarved,
        key: "feed_starved",
        label: "Roll is fed",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::VolumeFlow,
        description: "Ink that the web carries off against the flow that feeds pan or chamber.",
        defect: "The pan or chamber runs empty: skips, missing cells, streaks.",
        remedy: "Feed more ink or slow down.",
        source: "Derived volume balance.",
        validity: "Exact for a steady level; a full pan bridges a short run.",
    },
    LimitCard {
        id: LimitId::Runout,
        key: "runout",
        label: "Roller runs true",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Swing of the wet thickness from the run-out of the gap against the tolerance of the film.",
        defect: "Bars across the web, one to each turn of the roller.",
        remedy: "Use a roller that runs true, or coat thicker.",
        source: "Derived.",
        validity: "As far as the film is a fixed share of the gap.",
    },
    LimitCard {
        id: LimitId::GravureCa,
        key: "gravure_ca",
        label: "Cells empty evenly",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Capillary number at which the cells empty: of a kiss roll against 0.02, of a pressed nip against 0.01 to \
             10, the nearer end.",
        defect: "Low: ink is dragged out and smeared beside the cells. High: cells do not hand over, missing dots, skips; \
             in kiss coating too little ink looks the same as too much speed.",
        remedy: "Change speed, viscosity or surface tension; in kiss coating give more ink first.",
        source: "Kiss: Benkreira & Cohu (1998), Chem. Eng. Sci., abstract, below 20 m/min. Pressed nip: Kitsomboonloha et \
             al. (2012), Langmuir, quoted from memory, unverified.",
        validity: "Order of magnitude; nothing is said of reverse rolls.",
    },
    LimitCard {
        id: LimitId::CellFilled,
        key: "cell_filled",
        label: "Cells fill",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Capillary number at which the cells fill against the one above which this roll is starved, as measured.",
        defect: "From dripping through stable to a starved, cascading film; cells print half empty.",
        remedy: "Slow down or thin the ink, or use a chambered blade.",
        source: "Miura & Yamamura (2015), J. Coat. Technol. Res. 12, 827, abstract.",
        validity: "Only for the roll and blade on which the critical number was measured.",
    },
    LimitCard {
        id: LimitId::CellDryIn,
        key: "cell_dry_in",
        label: "Cells stay wet",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Share of the ink that evaporates between doctor blade and nip at room conditions, against 5 %.",
        defect: "Plugged cells, fading print, ghost lines.",
        remedy: "Speed the roll up, shorten the way from blade to nip, use a slower solvent or saturate the air above the \
             roll.",
        source: "Derived; vapour transfer after Chilton & Colburn (1934), quoted from memory, unverified; 5 % is common \
             practice.",
        validity: "Cells at room temperature in still room air; the heat-transfer coefficient is known to 30 % at best.",
    },
    LimitCard {
        id: LimitId::AniloxDryIn,
        key: "anilox_dry_in",
        label: "Anilox stays wet",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Share of the ink that evaporates between metering and plate at room conditions, against 5 %.",
        defect: "Scumming, a plugged anilox, fading print.",
        remedy: "Run faster, use a chambered blade or a slower solvent, or enclose the unit.",
        source: "Derived; vapour transfer after Chilton & Colburn (1934), quoted from memory, unverified; 5 % is common \
             practice.",
        validity: "Cells at room temperature in still room air; the heat-transfer coefficient is known to 30 % at best.",
    },
    LimitCard {
        id: LimitId::PlateScreen,
        key: "plate_screen",
        label: "Dots rest on several cells",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtLeast,
        dimension: Dimension::Ratio,
        description: "Lines of the anilox to one line of the plate against 4.5.",
        defect: "Dots dip into cells: filled-in dots, dirty print.",
        remedy: "Take a finer anilox or a coarser plate.",
        source: "Common practice, 4 to 5.",
        validity: "Rule of thumb.",
    },
    LimitCard {
        id: LimitId::Squeeze,
        key: "squeeze",
        label: "Impression is light",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Impression between plate and foil against 100 µm.",
        defect: "Halo around the print, slur.",
        remedy: "Back the impression off; 50 to 100 µm beyond first contact suffice.",
        source: "Common practice.",
        validity: "Rule of thumb; soft plates and foams bear more.",
    },
    LimitCard {
        id: LimitId::Ribbing,
        key: "ribbing",
        label: "No ribs form",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Capillary number in the nip against the one above which the film splits into ribs, by the smaller of two \
             fits to gap and roll.",
        defect: "Ribs along the web, ten to twenty wet thicknesses apart.",
        remedy: "Slow down, thin the ink, open the gap or use a smaller roll; give ribs time to level.",
        source: "Pitts & Greiller (1961) and Mill & South (1967), J. Fluid Mech. 11, 33 and 28, 523, quoted from memory, \
             unverified.",
        validity: "Rigid rolls that turn with the web; small ribs are measured at much lower capillary numbers (Coyle et al. \
             1990, abstract).",
    },
    LimitCard {
        id: LimitId::RibLevelling,
        key: "rib_levelling",
        label: "Ribs level",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Whether ribs show: the smaller of how far the nip is beyond ribbing and how long ribs of fifteen wet \
             thicknesses take to level over the time they have.",
        defect: "Ribs along the web stay in the dry film.",
        remedy: "Lengthen the open path, dry more gently at first, thin the ink or coat thicker.",
        source: ORCHARD_SOURCE,
        validity: ORCHARD_VALIDITY,
    },
    LimitCard {
        id: LimitId::BarLevelling,
        key: "bar_levelling",
        label: "Wire marks level",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Duration,
        description: "Time that marks of the wire need to level to a hundredth against the time until the film stiffens.",
        defect: "Lines along the web at the pitch of the wire.",
        remedy: "Use a thinner wire, thin the ink, lengthen the open path or dry more gently at first.",
        source: ORCHARD_SOURCE,
        validity: ORCHARD_VALIDITY,
    },
    LimitCard {
        id: LimitId::PatternLevelling,
        key: "pattern_levelling",
        label: "Screen levels",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Duration,
        description: "Time that the screen of the cells needs to level to a hundredth against the time until the film \
             stiffens.",
        defect: "The screen of the cells is seen in the film.",
        remedy: "Use a finer screen, thin the ink, lengthen the open path or dry more gently at first.",
        source: ORCHARD_SOURCE,
        validity: ORCHARD_VALIDITY,
    },
    LimitCard {
        id: LimitId::FrozenMarks,
        key: "frozen_marks",
        label: "Marks do not freeze",
        station: Station::Head,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Height at which the yield stress of the ink stops a mark from levelling, against the tolerance of the film.",
        defect: "Wire lines or the screen of the cells stay, however long the film is left.",
        remedy: "Lower the yield stress of the ink, coat thicker, or use a finer wire or screen.",
        source: "Derived: largest stress of a sine wave in a thin film.",
        validity: "Small waves much longer than the film is thick.",
    },
    LimitCard {
        id: LimitId::SpeedSpan,
        key: "speed_span",
        label: "Speed within span",
        station: Station::Rewind,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Speed,
        description: "Web speed against the span of the drive.",
        defect: SPAN_DEFECT,
        remedy: "Choose a speed within the span of the drive.",
        source: SPAN_SOURCE,
        validity: SPAN_VALIDITY,
    },
    LimitCard {
        id: LimitId::GapSpan,
        key: "gap_span",
        label: "Gap within span",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Coating gap against the span of the head.",
        defect: SPAN_DEFECT,
        remedy: "Choose a gap within the span of the head.",
        source: SPAN_SOURCE,
        validity: SPAN_VALIDITY,
    },
    LimitCard {
        id: LimitId::PumpRange,
        key: "pump_range",
        label: "Pump within range",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::VolumeFlow,
        description: "Pump flow against the range of the pump.",
        defect: "No flow, or unsteady flow.",
        remedy: "Change the syringe, or move speed and wet thickness together.",
        source: SPAN_SOURCE,
        validity: SPAN_VALIDITY,
    },
    LimitCard {
        id: LimitId::SyringeVolume,
        key: "syringe_volume",
        label: "Syringe lasts",
        station: Station::Head,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Volume,
        description: "Ink for priming and for the foil of the run against one filling of the syringe.",
        defect: "The run ends early.",
        remedy: "Use a larger syringe, a shorter run or less dead volume.",
        source: "Derived volume balance.",
        validity: "Exact.",
    },
    LimitCard {
        id: LimitId::FoilLength,
        key: "foil_length",
        label: "Foil lasts",
        station: Station::Unwind,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Leader and foil of the run against the foil on the roll.",
        defect: "The foil runs out.",
        remedy: "Use a longer roll or shorter samples.",
        source: "Derived.",
        validity: "Exact.",
    },
    LimitCard {
        id: LimitId::PlasmaSpan,
        key: "plasma_span",
        label: "Plasma within span",
        station: Station::Plasma,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Power,
        description: "Plasma power against the span of the generator.",
        defect: SPAN_DEFECT,
        remedy: "Choose a power within the span, or switch the plasma off.",
        source: SPAN_SOURCE,
        validity: SPAN_VALIDITY,
    },
    LimitCard {
        id: LimitId::SurfaceEnergyMin,
        key: "surface_energy_min",
        label: "Ink wets the foil",
        station: Station::Plasma,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Angle,
        description: "Equilibrium contact angle of the ink on the foil as coated, against 60°.",
        defect: "Crawling, edges that retreat, islands, fish eyes.",
        remedy: "Treat the foil, lower the surface tension of the ink, or measure the contact angle on the treated foil.",
        source: "Young & Dupré; Owens & Wendt (1969), J. Appl. Polym. Sci. 13, 1741, abstract; Girifalco & Good with an \
             interaction factor of 1; the bound of 60° is common practice.",
        validity: ANGLE_VALIDITY,
    },
    LimitCard {
        id: LimitId::SurfaceEnergyRule,
        key: "surface_energy_rule",
        label: "Foil energy above ink tension",
        station: Station::Plasma,
        severity: Severity::Soft,
        sense: Sense::AtLeast,
        dimension: Dimension::SurfaceTension,
        description: "Wetting tension of the foil against the surface tension of the ink and 8 mN/m more.",
        defect: "Slow dewetting, poor adhesion.",
        remedy: "Raise the plasma dose or lower the surface tension of the ink.",
        source: "Trade rule of 7 to 10 mN/m, common practice.",
        validity: "Only for wetting tensions by test inks; not judged where the angle was measured.",
    },
    LimitCard {
        id: LimitId::WettingAngle,
        key: "wetting_angle",
        label: "Ink spreads",
        station: Station::Plasma,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Angle,
        description: "Equilibrium contact angle of the ink on the foil as coated, against 30°.",
        defect: "The film is forced onto the foil and retracts before it dries.",
        remedy: "Treat the foil, lower the surface tension of the ink, or dry sooner.",
        source: "Common practice.",
        validity: ANGLE_VALIDITY,
    },
    LimitCard {
        id: LimitId::PlasmaOver,
        key: "plasma_over",
        label: "Foil not over-treated",
        station: Station::Plasma,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::PlasmaDose,
        description: "Plasma dose against twenty times the characteristic dose of the foil.",
        defect: "Loose oxidised fragments: wettable, but a weak layer that a tape pulls off; blocking, treated back side.",
        remedy: "Lower the power or raise the speed.",
        source: "Common practice.",
        validity: "Order of magnitude.",
    },
    LimitCard {
        id: LimitId::PlasmaHeat,
        key: "plasma_heat",
        label: "Plasma heats little",
        station: Station::Plasma,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::TemperatureDifference,
        description: "Warming of the foil by the plasma against 20 K; half of the plasma energy is taken to heat the foil.",
        defect: "Hot, slack or shrunk foil before the head.",
        remedy: "Lower the power or raise the speed.",
        source: "Derived heat balance; absorbed share 0.3 to 0.7 is common practice.",
        validity: "Order of magnitude.",
    },
    LimitCard {
        id: LimitId::RollerSpan,
        key: "roller_span",
        label: "Roller within span",
        station: Station::Roller,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Temperature,
        description: "Roller temperature against the span of the roller.",
        defect: SPAN_DEFECT,
        remedy: "Choose a temperature within the span of the roller.",
        source: SPAN_SOURCE,
        validity: SPAN_VALIDITY,
    },
    LimitCard {
        id: LimitId::InfraredSpan,
        key: "infrared_span",
        label: "Infrared within span",
        station: Station::Infrared,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Irradiance,
        description: "Infrared irradiance at the web against the span of the lamps.",
        defect: SPAN_DEFECT,
        remedy: "Choose an irradiance within the span of the lamps.",
        source: SPAN_SOURCE,
        validity: SPAN_VALIDITY,
    },
    LimitCard {
        id: LimitId::GasTemperatureSpan,
        key: "gas_temperature_span",
        label: "Gas within span",
        station: Station::Dryer,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Temperature,
        description: "Gas temperature against the span of the dryer.",
        defect: SPAN_DEFECT,
        remedy: "Choose a temperature within the span of the dryer.",
        source: SPAN_SOURCE,
        validity: SPAN_VALIDITY,
    },
    LimitCard {
        id: LimitId::DryAtExit,
        key: "dry_at_exit",
        label: "Dry at exit",
        station: Station::Dryer,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Speed,
        description: "Web speed against the highest speed at which the film leaves the dryer with no more than the residual \
             solvent that counts as dry.",
        defect: "Tacky film, blocking and transfer in the rewinder, prints of rollers.",
        remedy: "Slow down, coat thinner, use hotter or more gas, or more solids in the ink.",
        source: DRYING_SOURCE,
        validity: DRYING_VALIDITY,
    },
    LimitCard {
        id: LimitId::ResidualSolvent,
        key: "residual_solvent",
        label: "Little solvent left",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Speed,
        description: "Web speed against the highest speed at which the film leaves with no more than the residual solvent that \
             the product may hold, 1 % of the dry mass if none is stated.",
        defect: "Odour, soft film, slow after-drying on the roll.",
        remedy: "Slow down, dry hotter at the end of the dryer, or coat thinner: the time to diffuse out goes with the square of \
             the dry thickness.",
        source: "Derived film balance; slow diffusion after the first term of the series for a slab.",
        validity: "A dissolved polymer is judged only with the diffusivity of its solvent in the solid film, which spans a \
             factor of a thousand; particle films are taken as open.",
    },
    LimitCard {
        id: LimitId::Blister,
        key: "blister",
        label: "No boiling in the film",
        station: Station::Dryer,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Temperature,
        description: "Hottest the film gets while it still holds more than 5 % solvent, against 5 K below the boiling point of \
             the solvent.",
        defect: "Blisters, craters, pinholes.",
        remedy: "Cool the gas or the roller where the film is still wet, or use a solvent that boils higher.",
        source: "Derived: vapour pressure reaches the surrounding pressure; the distance of 5 K is common practice.",
        validity: DRYING_VALIDITY,
    },
    LimitCard {
        id: LimitId::FoilMax,
        key: "foil_max",
        label: "Foil stays below its limit",
        station: Station::Dryer,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Temperature,
        description: "Hottest temperature of the foil against the highest that the user, or else the handbook, allows. Where \
             the line can stop with the heater on, the foil reaches the temperature of the gas.",
        defect: "Baggy lanes, curl, melted or browned foil.",
        remedy: "Cool the gas or the roller, or use a foil that stands more.",
        source: "Polyester film bulletin and handbook data; limits for use are common practice.",
        validity: DRYING_VALIDITY,
    },
    LimitCard {
        id: LimitId::FoilTg,
        key: "foil_tg",
        label: "Foil stays below glass transition",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Temperature,
        description: "Hottest temperature of the foil against its glass transition.",
        defect: "The foil stretches under tension, curls and prints through.",
        remedy: "Cool the gas or the roller, lower the web tension, or use a heat-stabilised foil.",
        source: "Adv. Mater. 34 (2022) 2106787, Table 1 (glass transition of foils).",
        validity: DRYING_VALIDITY,
    },
    LimitCard {
        id: LimitId::FoilShrink,
        key: "foil_shrink",
        label: "Foil shrinks little",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Free shrinkage of the foil at its hottest temperature against the shrinkage allowed.",
        defect: "Curl, gutters between rollers, patterns out of register.",
        remedy: "Cool the gas or the roller, or use a heat-stabilised foil.",
        source: "Polyester film bulletin for polyester; other foils quoted from memory, unverified.",
        validity: "Data are free shrinkage after 30 min in an oven; a dryer gives seconds under tension.",
    },
    LimitCard {
        id: LimitId::Skin,
        key: "skin",
        label: "No skin",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Péclet number of the drying film against 1: how fast its surface recedes against how fast solids diffuse away \
             from it.",
        defect: "A skin that traps solvent: wrinkles, blisters later on; binder and particles part.",
        remedy: "Dry more gently at first, coat thinner, or thin the ink.",
        source: "Routh & Russel (1998), AIChE J. 44, 2088, quoted from memory, unverified; diffusivity of particles after Stokes & \
             Einstein.",
        validity: "Order of magnitude; the greatest evaporation rate on the way counts.",
    },
    LimitCard {
        id: LimitId::Blushing,
        key: "blushing",
        label: "No dew on the film",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtLeast,
        dimension: Dimension::Temperature,
        description: "Coldest that the wet film gets in room air against 2 K above the dew point of the room, counted in 10 K.",
        defect: "Milky haze, water drops, pores.",
        remedy: "Dry the air, warm the foil from below, use a solvent that evaporates more slowly or blend one in.",
        source: "Derived film balance against the dew point.",
        validity: DRYING_VALIDITY,
    },
    LimitCard {
        id: LimitId::Marangoni,
        key: "marangoni",
        label: "No convection cells",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Marangoni number of the wet film against 80, with the heat that reaches it through the foil.",
        defect: "Orange peel, cells, a raised frame.",
        remedy: "Heat from above rather than from below, coat thinner, thicken the ink, or add a surfactant.",
        source: "Pearson (1958), J. Fluid Mech. 4, 489, quoted from memory, unverified; fall of the tension with temperature from \
             the solvent.",
        validity: "Differences of temperature alone; differences of composition can drive cells as well and are not judged.",
    },
    LimitCard {
        id: LimitId::Crack,
        key: "crack",
        label: "Layer does not crack",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Dry thickness of a particle layer against the thickest that dries without cracks.",
        defect: "Mud cracks, flakes.",
        remedy: "Coat thinner in several passes, use larger or softer particles, or add a binder or a solvent of lower surface \
             tension.",
        source: "Singh & Tirumkudulu (2007), Phys. Rev. Lett. 98, 218302, quoted from memory, unverified.",
        validity: "Hard spheres of one size without binder on a rigid foil.",
    },
    LimitCard {
        id: LimitId::GasShear,
        key: "gas_shear",
        label: "Gas does not drag the film",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "How far the gas along the film drags its surface while it is wet, against the shift allowed.",
        defect: "Mottle, wind ripples.",
        remedy: "Slow the gas in the first part of the dryer, coat thinner, or thicken the ink.",
        source: "Derived drag of a liquid film; stress of a laminar plate after Blasius (1908).",
        validity: "Gas along a smooth channel; viscosity as coated, so that the true shift is smaller.",
    },
    LimitCard {
        id: LimitId::JetBlow,
        key: "jet_blow",
        label: "Jets do not blow the film",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "How far the pressure of nozzle jets pushes the film while it is wet, against the shift allowed.",
        defect: "Lanes under the nozzles.",
        remedy: "Make the first zone soft and the second hard, stand the nozzles off, coat thinner, or thicken the ink.",
        source: "Derived flow of a liquid film under a pressure that falls off.",
        validity: "Viscosity as coated and a jet over one place, so that the true shift is smaller.",
    },
    LimitCard {
        id: LimitId::EdgeRetreat,
        key: "edge_retreat",
        label: "Edge stays",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "How far the edge of the film retreats on the foil until the film is ten times as viscous, against the shift \
             allowed.",
        defect: "A narrow film with thick edges, holes that grow, rivulets.",
        remedy: "Treat the foil, lower the surface tension of the ink, thicken it, or dry sooner.",
        source: "Redon, Brochard-Wyart & Rondelez (1991), Phys. Rev. Lett. 66, 715, quoted from memory, unverified.",
        validity: "The angle at rest; real edges stick, and the coefficient spans 0.003 to 0.02.",
    },
    LimitCard {
        id: LimitId::HeaterPower,
        key: "heater_power",
        label: "Heaters suffice",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Power,
        description: "Power to heat fresh gas and web to the gas temperature and to evaporate all solvent, against the power \
             installed.",
        defect: "The gas does not reach its temperature; the film leaves wetter than computed.",
        remedy: "Feed less fresh gas as far as the vapour allows, lower the temperature, or slow down.",
        source: "Derived heat balance.",
        validity: "Heat lost through the walls is left out; a web that leaves cooler takes less.",
    },
    LimitCard {
        id: LimitId::Condensation,
        key: "condensation",
        label: "Exhaust stays dry",
        station: Station::Dryer,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Temperature,
        description: "Dew point of the exhaust, all solvent taken to evaporate, against 5 K below the coolest wall, counted in \
             10 K.",
        defect: "Drips of solvent on the film and in the duct.",
        remedy: "Feed more fresh gas, insulate or heat the coolest wall, or slow down.",
        source: "Derived dilution; vapour pressure of the solvent.",
        validity: "One solvent, gas well mixed.",
    },
    LimitCard {
        id: LimitId::UvSpan,
        key: "uv_span",
        label: "UV power within span",
        station: Station::Uv,
        severity: Severity::Hard,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Power of the ultraviolet lamp, as a share of full power, against its span.",
        defect: SPAN_DEFECT,
        remedy: "Choose a power within the span of the lamp.",
        source: SPAN_SOURCE,
        validity: SPAN_VALIDITY,
    },
    LimitCard {
        id: LimitId::UvDose,
        key: "uv_dose",
        label: "Resin is cured",
        station: Station::Uv,
        severity: Severity::Hard,
        sense: Sense::AtLeast,
        dimension: Dimension::ExposureDose,
        description: "Dose at the bottom of the resin, through a cover and the resin itself, against the dose that it needs.",
        defect: "A tacky surface or a soft bottom, smears, delamination.",
        remedy: "Slow down, raise the lamp power, use more lamps or a cover that lets the light through.",
        source: "Derived dose; absorption after Beer & Lambert.",
        validity: "As good as the irradiance at the web: lamps age, and windows foul. The dose needed is that of the resin's data \
             sheet at the same wavelengths, 0.2 to 1 J/cm² as a rule.",
    },
    LimitCard {
        id: LimitId::UvPeak,
        key: "uv_peak",
        label: "Light starts the cure",
        station: Station::Uv,
        severity: Severity::Soft,
        sense: Sense::AtLeast,
        dimension: Dimension::Irradiance,
        description: "Peak irradiance at the surface of the resin against the least that it needs.",
        defect: "A cure that never gets through however long it lasts, tacky thin films.",
        remedy: "Raise the lamp power or bring the lamp nearer; slowing down does not help.",
        source: "Common practice; the need is that of the resin's data sheet.",
        validity: "The mean along the window stands in where the peak is not stated, the careful side.",
    },
    LimitCard {
        id: LimitId::UvHeat,
        key: "uv_heat",
        label: "Lamp heats little",
        station: Station::Uv,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::TemperatureDifference,
        description: "Warming of the foil by the light of the lamp against 20 K.",
        defect: "Hot, slack or shrunk foil, curl, yellowing.",
        remedy: "Use a lamp without infrared, a chilled roller below it, less power, or a faster web.",
        source: "Derived heat balance.",
        validity: "The ultraviolet dose alone; mercury lamps send several times as much heat along.",
    },
    LimitCard {
        id: LimitId::UvOxygen,
        key: "uv_oxygen",
        label: "Oxygen is kept away",
        station: Station::Uv,
        severity: Severity::Soft,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Oxygen at a free-radical resin against 0.5 %; not judged below a cover or for a cationic resin.",
        defect: "A tacky or smeary surface, the more so the thinner the film.",
        remedy: "Flood the lamp with nitrogen, cure below a cover, or use a resin made for air.",
        source: "Common practice, 0.1 to 1 %.",
        validity: "Resins made for air with much initiator cure at 21 %.",
    },
    LimitCard {
        id: LimitId::LelDryer,
        key: "lel_dryer",
        label: "Vapour in the dryer",
        station: Station::Dryer,
        severity: Severity::Caution,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Solvent vapour in the exhaust against a quarter of its lower explosive limit at the gas temperature, all \
             solvent fed taken to evaporate in the dryer.",
        defect: "A fire or an explosion.",
        remedy: "Feed more fresh gas, less solvent, or use a solvent that is not flammable.",
        source: "Derived dilution; a quarter of the limit is quoted from trade summaries of the oven standard; fall of \
             the limit with temperature after Burgess & Wheeler, with the careful of two published slopes.",
        validity: "Estimate only; replaces no measurement.",
    },
    LimitCard {
        id: LimitId::HotTouch,
        key: "hot_touch",
        label: "Hot surfaces",
        station: Station::Dryer,
        severity: Severity::Caution,
        sense: Sense::AtMost,
        dimension: Dimension::Temperature,
        description: "Hottest surface within reach against the temperature at which bare metal burns skin within a minute.",
        defect: "Burns.",
        remedy: "Guard and label hot surfaces.",
        source: "Burn threshold of ISO 13732-1, 51 °C for bare metal and a minute of contact, quoted from memory, \
             unverified.",
        validity: "Bare metal; other materials and contact times differ.",
    },
    LimitCard {
        id: LimitId::Ozone,
        key: "ozone",
        label: "Ozone",
        station: Station::Plasma,
        severity: Severity::Caution,
        sense: Sense::AtMost,
        dimension: Dimension::VolumeFlow,
        description: "Exhaust needed to dilute the ozone of the plasma to 0.1 ppm, against the exhaust of its hood.",
        defect: "Ozone in the room.",
        remedy: "Use a sealed hood with exhaust or a catalyst.",
        source: "Occupational limit 0.1 ppm (0.2 mg/m³); yield of 50 g/kWh in air quoted from memory, unverified.",
        validity: "Corona or barrier discharge in air; order of magnitude.",
    },
    LimitCard {
        id: LimitId::InfraredStop,
        key: "ir_stop",
        label: "Infrared on a web that stops",
        station: Station::Infrared,
        severity: Severity::Caution,
        sense: Sense::AtLeast,
        dimension: Dimension::Duration,
        description: "Time in which the lamps bring a dry foil that stands still from the hottest it runs at to its highest \
             temperature, against the ten seconds that a person takes to switch them off.",
        defect: "Molten, burst or burning foil.",
        remedy: "Interlock the lamps with the motion of the web and give them shutters.",
        source: "Derived heat balance; the ten seconds are common practice.",
        validity: "Dry foil, heat given off to the air left out.",
    },
    LimitCard {
        id: LimitId::UvExposure,
        key: "uv_exposure",
        label: "Ultraviolet light on people",
        station: Station::Uv,
        severity: Severity::Caution,
        sense: Sense::AtLeast,
        dimension: Dimension::Duration,
        description: "Time in which direct view of the lamp reaches the daily limit of eye or skin, against a working day.",
        defect: "Burnt eyes and skin.",
        remedy: "Shield the lamp, interlock the shield; eyewear is no substitute.",
        source: "ICNIRP (2004): 30 J/m² weighted, 10 kJ/m² of the near ultraviolet in the eye.",
        validity: "Direct view at the web; below 315 nm and for unknown lamps every wavelength is taken to act like the worst.",
    },
    LimitCard {
        id: LimitId::UvBlock,
        key: "uv_block",
        label: "Cover lets the light through",
        station: Station::Uv,
        severity: Severity::Caution,
        sense: Sense::AtMost,
        dimension: Dimension::Length,
        description: "Wavelength below which the cover absorbs, against the strongest line of the lamp.",
        defect: "A resin that stays liquid below the cover.",
        remedy: "Use a lamp of longer wavelength or a cover that lets its light through; check before laminating.",
        source: "Absorption edges of plastics, quoted from memory, unverified.",
        validity: "Grades with ultraviolet absorbers cut off at longer wavelengths.",
    },
    LimitCard {
        id: LimitId::CapillaryRange,
        key: "ca_range",
        label: "Capillary number in range",
        station: Station::Head,
        severity: Severity::Validity,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Capillary number of the film against 0.1, up to which the window equations are trusted in number.",
        defect: "Nothing on the film: the prediction itself is unreliable.",
        remedy: "Trust trends only, and spread trial runs across the computed border.",
        source: "Common practice.",
        validity: "Trends hold to about 1.",
    },
    LimitCard {
        id: LimitId::GapReynolds,
        key: "re_gap",
        label: "Gap Reynolds number in range",
        station: Station::Head,
        severity: Severity::Validity,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Reynolds number of the coating gap against 10, up to which inertia may be left out.",
        defect: "Nothing on the film: the prediction itself is unreliable.",
        remedy: "Use with caution for water-thin inks at high speed.",
        source: "Common practice.",
        validity: "Thin inks above about 10 m/min leave the range.",
    },
    LimitCard {
        id: LimitId::RheologyRange,
        key: "rheology_range",
        label: "One viscosity is enough",
        station: Station::Head,
        severity: Severity::Validity,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Ratio of the viscosities at the shear rates of the head and of the film, against 2.",
        defect: "Nothing on the film: the prediction itself is unreliable.",
        remedy: "Measure the viscosity at both shear rates, and calibrate the window with a few runs.",
        source: "Common practice.",
        validity: "Inks whose viscosity changes with the shear rate.",
    },
    LimitCard {
        id: LimitId::Extrapolation,
        key: "extrapolation",
        label: "Viscosity was measured there",
        station: Station::Head,
        severity: Severity::Validity,
        sense: Sense::AtMost,
        dimension: Dimension::ShearRate,
        description: "Shear rates of head and film against the range over which the viscosity was measured; the farther of \
             the two is told. Beyond the range the viscosity is held at its end.",
        defect: "Nothing on the film: the prediction itself is unreliable.",
        remedy: "Measure the viscosity at the shear rates of the head and of the film.",
        source: "As stated.",
        validity: "As good as the stated range.",
    },
    LimitCard {
        id: LimitId::KnifeRange,
        key: "knife_range",
        label: "Ink suits a knife",
        station: Station::Head,
        severity: Severity::Validity,
        sense: Sense::AtMost,
        dimension: Dimension::Viscosity,
        description: "Viscosity under the knife against 0.05 to 50 Pa·s; the nearer end is told.",
        defect: "Thin inks run out under the bank, thick ones do not follow the web.",
        remedy: "Thicken or thin the ink, or use another head.",
        source: "Common practice.",
        validity: "Rule of thumb.",
    },
    LimitCard {
        id: LimitId::BarRange,
        key: "bar_range",
        label: "Ink suits a bar",
        station: Station::Head,
        severity: Severity::Validity,
        sense: Sense::AtMost,
        dimension: Dimension::Viscosity,
        description: "Viscosity under the wire against 1 to 1000 mPa·s; the nearer end is told.",
        defect: "Thin inks run together, thick ones keep the lines of the wire.",
        remedy: "Thicken or thin the ink, or use another head.",
        source: "Trade page on wire-wound bars.",
        validity: "Rule of thumb.",
    },
    LimitCard {
        id: LimitId::GravureRange,
        key: "gravure_range",
        label: "Ink suits gravure",
        station: Station::Head,
        severity: Severity::Validity,
        sense: Sense::AtMost,
        dimension: Dimension::Viscosity,
        description: "Viscosity as the cells empty against 3 to 5000 mPa·s; the nearer end is told.",
        defect: "Thin inks run out of the cells, thick ones do not leave them.",
        remedy: "Thicken or thin the ink, or use another head.",
        source: "Trade article: a few to several thousand mPa·s.",
        validity: "Rule of thumb.",
    },
    LimitCard {
        id: LimitId::FlexoRange,
        key: "flexo_range",
        label: "Ink suits flexo",
        station: Station::Head,
        severity: Severity::Validity,
        sense: Sense::AtMost,
        dimension: Dimension::Viscosity,
        description: "Viscosity as the cells empty against 50 to 500 mPa·s; the nearer end is told.",
        defect: "Thin inks spread on the plate, thick ones do not leave the cells.",
        remedy: "Thicken or thin the ink, or use another head.",
        source: "Common practice.",
        validity: "Rule of thumb.",
    },
    LimitCard {
        id: LimitId::Biot,
        key: "biot",
        label: "One temperature for foil and film",
        station: Station::Dryer,
        severity: Severity::Validity,
        sense: Sense::AtMost,
        dimension: Dimension::Ratio,
        description: "Biot number of the foil, heat transfer over conduction through it, against 0.3.",
        defect: "Nothing on the film: the prediction itself is unreliable.",
        remedy: "Expect the film to lag behind a heated roller; trust trends only.",
        source: "Common practice.",
        validity: "Thick plastic foil on a heated roller leaves the range.",
    },
];

/// The tables of all subjects.
const TABLES: &[&[LimitCard]] = &[OF_FILM, pump_and_slot::CARDS, safety::CARDS];

static CARDS: [LimitCard; LimitId::COUNT] = by_limit(TABLES);

/// Puts every row at the place of its limit. Does not compile if a limit has no row of its own.
const fn by_limit(tables: &[&[LimitCard]]) -> [LimitCard; LimitId::COUNT] {
    let mut cards = [tables[0][0]; LimitId::COUNT];
    let mut n_rows = 0;
    let mut table = 0;
    while table < tables.len() {
        let mut row = 0;
        while row < tables[table].len() {
            let card = tables[table][row];
            cards[card.id as usize] = card;
            n_rows += 1;
            row += 1;
        }
        table += 1;
    }
    assert!(n_rows == LimitId::COUNT);
    let mut place = 0;
    while place < cards.len() {
        assert!(cards[place].id as usize == place);
        place += 1;
    }
    cards
}

impl LimitId {
    /// Every limit, in the order of evaluation.
    pub const ALL: [Self; 88] = [
        Self::LowFlow,
        Self::BeadHold,
        Self::Flood,
        Self::LipWetting,
        Self::GapFill,
        Self::AirEntrainment,
        Self::WettingFailure,
        Self::Recirculation,
        Self::FeedSlot,
        Self::Particle,
        Self::GapTolerance,
        Self::KnifeTarget,
        Self::BarTarget,
        Self::GravureTarget,
        Self::FlexoTarget,
        Self::KnifeHead,
        Self::BankStarved,
        Self::BarFlood,
        Self::FeedStarved,
        Self::Runout,
        Self::GravureCa,
        Self::CellFilled,
        Self::CellDryIn,
        Self::AniloxDryIn,
        Self::PlateScreen,
        Self::Squeeze,
        Self::Ribbing,
        Self::RibLevelling,
        Self::BarLevelling,
        Self::PatternLevelling,
        Self::FrozenMarks,
        Self::SpeedSpan,
        Self::GapSpan,
        Self::PumpRange,
        Self::SyringeVolume,
        Self::FoilLength,
        Self::PumpForce,
        Self::PumpPulsation,
        Self::PumpLag,
        Self::StartupLength,
        Self::CrossWeb,
        Self::ThermalGap,
        Self::HeadAtStop,
        Self::PlasmaSpan,
        Self::SurfaceEnergyMin,
        Self::SurfaceEnergyRule,
        Self::WettingAngle,
        Self::PlasmaOver,
        Self::PlasmaHeat,
        Self::RollerSpan,
        Self::InfraredSpan,
        Self::GasTemperatureSpan,
        Self::DryAtExit,
        Self::ResidualSolvent,
        Self::Blister,
        Self::FoilMax,
        Self::FoilTg,
        Self::FoilShrink,
        Self::Skin,
        Self::Blushing,
        Self::Marangoni,
        Self::Crack,
        Self::GasShear,
        Self::JetBlow,
        Self::EdgeRetreat,
        Self::HeaterPower,
        Self::Condensation,
        Self::UvSpan,
        Self::UvDose,
        Self::UvPeak,
        Self::UvHeat,
        Self::UvOxygen,
        Self::LelDryer,
        Self::HotTouch,
        Self::Ozone,
        Self::InfraredStop,
        Self::UvExposure,
        Self::UvBlock,
        Self::Pressure,
        Self::CapillaryRange,
        Self::GapReynolds,
        Self::RheologyRange,
        Self::Extrapolation,
        Self::KnifeRange,
        Self::BarRange,
        Self::GravureRange,
        Self::FlexoRange,
        Self::Biot,
    ];

    const fn card(self) -> &'static LimitCard {
        &CARDS[self as usize]
    }

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        self.card().key
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        self.card().label
    }

    /// Station of the line that the limit belongs to.
    pub const fn station(self) -> Station {
        self.card().station
    }

    /// How much it weighs when broken.
    pub const fn severity(self) -> Severity {
        self.card().severity
    }

    /// Side of the bound that holds. For a span of a knob a record may say the other side, if that one is nearer.
    pub const fn sense(self) -> Sense {
        self.card().sense
    }

    /// Dimension of value and bound.
    pub const fn dimension(self) -> Dimension {
        self.card().dimension
    }

    /// What is compared with what.
    pub const fn description(self) -> &'static str {
        self.card().description
    }

    /// What the film looks like when the limit is broken.
    pub const fn defect(self) -> &'static str {
        self.card().defect
    }

    /// What helps, in one sentence.
    pub const fn remedy(self) -> &'static str {
        self.card().remedy
    }

    /// Publication, or how the limit came about.
    pub const fn source(self) -> &'static str {
        self.card().source
    }

    /// Range in which the source tested it, and what to expect outside.
    pub const fn validity(self) -> &'static str {
        self.card().validity
    }

    /// The limit of that key.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|id| id.key() == key)
    }

    /// True for the spans of the machine's knobs, which are exact and cannot be calibrated.
    pub const fn is_machine_span(self) -> bool {
        matches!(
            self,
            Self::SpeedSpan
                | Self::GapSpan
                | Self::PumpRange
                | Self::PlasmaSpan
                | Self::RollerSpan
                | Self::InfraredSpan
                | Self::UvSpan
                | Self::GasTemperatureSpan
        )
    }

    /// True for the limits without which a head cannot be judged at all; those of other heads are not on a line's list.
    pub const fn is_core(self) -> bool {
        matches!(
            self,
            Self::LowFlow | Self::BeadHold | Self::Flood | Self::WettingFailure
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_limit_has_its_own_card() {
        for (index, id) in LimitId::ALL.into_iter().enumerate() {
            assert_eq!(id as usize, index);
            assert_eq!(id.card().id, id);
            assert_eq!(LimitId::from_key(id.key()), Some(id));
        }
    }
}
