//! Coating, wetting, drying and safety limits of a roll-to-roll line.
//!
//! Line and setting in, every limit out. A [`Line`] is what a run does not change: ink, foil, head, stations. A [`Setting`]
//! is what it does: speed, flow, gap, powers, temperatures. [`assess()`] walks the line from unwinder to rewinder and
//! returns an [`Assessment`]: one record a limit with value, bound and signed margin, the quantities that follow, and a
//! [`Verdict`]. Nothing here knows of plans, statistics, files or screens.
//!
//! ```
//! use wetlane_physics::{
//!     Head, Ink, Length, LimitId, Line, Rheology, Setting, SlotDie, Speed, SurfaceTension, Verdict, Viscosity, VolumeFlow,
//!     assess, cautions,
//! };
//!
//! // An invented ink on a die of which only the width is known.
//! let line = Line {
//!     ink: Ink {
//!         rheology: Some(Rheology::Newtonian { viscosity: Viscosity::from_mpa_s(10.0) }),
//!         surface_tension: Some(SurfaceTension::from_mn_per_m(30.0)),
//!         ..Ink::default()
//!     },
//!     head: Head::SlotDie(SlotDie { coated_width: Some(Length::from_mm(100.0)), ..SlotDie::default() }),
//!     ..Line::default()
//! };
//! // 2 mL/min over 100 mm at 1 m/min lays down 20 µm, whatever the gap.
//! let setting = Setting {
//!     speed: Some(Speed::from_m_per_min(1.0)),
//!     flow: Some(VolumeFlow::from_ml_per_min(2.0)),
//!     gap: Some(Length::from_um(100.0)),
//!     ..Setting::default()
//! };
//! let assessment = assess(&line, &setting)?;
//! assert_eq!(assessment.verdict, Verdict::Feasible);
//! // Lips and contact angles stood in by default, and the verdict says so.
//! assert!(assessment.assumed.iter().any(|input| input.label() == "Length of the downstream lip"));
//! // The bead holds films from 3.6 µm; 20 µm keep a margin of 1 − 3.6/20.
//! let bead = assessment.limit(LimitId::BeadHold).and_then(|limit| limit.margin());
//! assert!(bead.is_some_and(|margin| (margin - 0.822).abs() < 1e-3));
//! // Feasible never means safe: the cautions are shown beside every verdict.
//! assert!(cautions(&line, &setting, &assessment).last().is_some_and(|text| text.starts_with("Estimate only.")));
//! # Ok::<(), wetlane_physics::InputError>(())
//! ```
//!
//! # Margins
//! 1 is far from the limit, 0 on it, negative beyond; clipped to −10..1. For a quantity with a natural zero the margin is
//! one minus value over bound (or bound over value), for a temperature the distance to the bound over the distance from
//! room to bound. Value and bound of a record are not clipped.
//!
//! # Missing inputs
//! A field that is `None` was not stated. [`assumed`] holds the one table of what may stand in for it and over which range
//! that is doubted; an assessment lists every default it used and every input on which its verdict turns. Viscosity, speed
//! and what the head cannot do without (on a slot die coated width, flow and gap) are essential: without them the verdict
//! is [`Verdict::Unknown`].
//!
//! # Many settings
//! [`Prepared`] checks a line once. It then answers from the closed forms alone ([`Prepared::assess_without_drying`],
//! [`Prepared::binding_without_drying`]), keeps dry speeds ([`DrySpeedCache`]) or takes them from a table
//! ([`DrySpeedTable`]). Nothing allocates per setting, and the same input gives the same bits on every machine.
//!
//! # Reading order
//! [`line`](mod@line), [`head`], [`limit`], [`assess`](mod@assess) and [`assumed`] are the frame; [`metering`], [`pump_line`], [`settling`], [`slot_die`],
//! [`knife`], [`wire_bar`], [`gravure`], [`flexo`], [`levelling`], [`ribbing`], [`wetting`],
//! [`surface_energy`], [`plasma`], [`drying`], [`film_defects`], [`infrared`], [`curing`], [`lamination`], [`web`], [`solvent_vapor`], [`room_air`] and
//! [`static_electricity`] hold
//! the equations,
//! each with its source;
//! [`solvent`], [`foil`] and [`gas`] the handbook data; [`caution`] the words that warn. Equation numbers are those of
//! `docs/methods.md`.

pub mod assess;
pub mod assumed;
pub mod batch;
pub mod calibration;
pub mod caution;
pub mod curing;
pub mod dimensionless;
pub mod dry_speed_table;
pub mod drying;
pub mod drying_answers;
mod elementary;
mod evaluation;
pub mod film_defects;
pub mod flexo;
pub mod foil;
pub mod gas;
pub mod gas_on_film;
pub mod gravure;
pub mod head;
pub mod heat_transfer;
pub mod infrared;
pub mod input_error;
mod input_errors;
pub mod knife;
pub mod lamination;
pub mod landau_levich;
pub mod levelling;
pub mod limit;
mod limit_card;
mod limit_set;
pub mod line;
pub mod metering;
pub mod metering_knob;
mod normal_distribution;
pub mod physical_constants;
pub mod plasma;
mod prepared;
pub mod probability;
pub mod pump_line;
pub mod quantity;
pub mod rheology;
pub mod ribbing;
pub mod room_air;
mod scrambled_sobol;
pub mod settling;
pub mod slot_die;
pub mod solvent;
pub mod solvent_vapor;
pub mod static_electricity;
pub mod surface_energy;
pub mod uncertainty;
pub mod web;
pub mod wetting;
mod widest_vectors;
pub mod window;
pub mod window_axes;
pub mod wire_bar;

pub use assess::{
    AssumedInput, Basis, DrySpeedCache, Prepared, assess, assess_given_dry_speed, assess_nominal,
    assess_with, assess_without_drying, dry_speed,
};
pub use assumed::{Assumption, Assumptions, Doubt, Input};
pub use calibration::{Calibration, CalibrationError};
pub use caution::cautions;
pub use dry_speed_table::{DrySpeedTable, TableError, TableRange};
pub use drying::DrySpeed;
pub use drying_answers::{ExhaustVapor, Sought};
pub use head::{
    AniloxMetering, EngravedRoll, Flexo, Gravure, GravureArrangement, Head, HeadKind, Knife,
    KnifeShape, WireBar,
};
pub use input_error::InputError;
pub use limit::{
    Assessment, Derived, Dimension, LimitId, LimitRecord, Outcome, Sense, Severity, Station,
    Verdict,
};
pub use line::{
    Activity, Adhesive, AdhesiveKind, ColdGap, CureKind, Dryer, Foil, FoilMaterial, Gas,
    HeatedRoller, Infrared, InfraredPlace, Ink, LaidFoil, Laminator, Line, Particles,
    PlasmaStation, Pump, Resin, Rheology, Setting, SingleRoll, SlotDie, Span, Surroundings,
    TensionControl, UvCover, UvStation, Web, WebPath,
};
pub use metering_knob::{MeteringError, MeteringKnob};
pub use quantity::{
    Angle, AreaMass, Capacitance, CellVolume, Compliance, Density, Diffusivity, Duration, Energy,
    Expansion, ExposureDose, Force, Fraction, HeatTransferCoefficient, Irradiance, Length,
    LineCount, MolarEnergy, PlasmaDose, Power, Pressure, Rotation, ShearRate, Speed,
    SurfaceTension, Temperature, TemperatureDifference, Viscosity, Voltage, Volume, VolumeFlow,
    WebTension,
};
pub use rheology::Carreau;
pub use room_air::Ventilation;
pub use settling::{Changeover, InkChange, Settling};
pub use solvent::Solvent;
pub use uncertainty::{Cause, Spread, Uncertainties, UncertaintyError};
pub use window::{speed_range, thickness_range};
pub use window_axes::{WindowAxis, WindowKnob};
