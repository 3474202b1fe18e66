//! Coating, wetting, drying and safety limits of a roll-to-roll line.

pub mod assess;
pub mod assumed;
pub mod calibration;
pub mod caution;
pub mod dimensionless;
pub mod drying;
mod elementary;
mod evaluation;
pub mod foil;
pub mod gas;
pub mod gas_on_film;
pub mod heat_transfer;
pub mod input_error;
pub mod limit;
mod limit_card;
pub mod line;
pub mod metering;
pub mod physical_constants;
pub mod plasma;
mod prepared;
pub mod quantity;
pub mod rheology;
pub mod slot_die;
pub mod solvent;
pub mod solvent_vapor;
pub mod surface_energy;
pub mod wetting;
mod window;

pub use assess::{
    AssumedInput, Basis, DrySpeedCache, Prepared, assess, assess_given_dry_speed, assess_nominal,
    assess_with, assess_without_drying, dry_speed,
};
pub use assumed::{Assumption, Assumptions, Doubt, Input};
pub use calibration::{Calibration, CalibrationError};
pub use caution::cautions;
pub use drying::DrySpeed;
pub use input_error::InputError;
pub use limit::{
    Assessment, Derived, Dimension, LimitId, LimitRecord, Outcome, Sense, Severity, Station,
    Verdict,
};
pub use line::{
    Activity, Dryer, Foil, FoilMaterial, Gas, Head, HeatedRoller, Ink, Line, PlasmaStation, Pump,
    Rheology, Setting, SlotDie, Span, Surroundings,
};
pub use quantity::{
    Angle, AreaMass, Density, Duration, Fraction, HeatTransferCoefficient, Length, PlasmaDose,
    Power, Pressure, Speed, SurfaceTension, Temperature, TemperatureDifference, Viscosity, Volume,
    VolumeFlow,
};
pub use solvent::Solvent;
