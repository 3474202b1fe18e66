//! How well the inputs of a line are known: one standard deviation each.
//!
//! Figures of rheometers, gauges, pumps and of the models themselves, to be replaced by one's own. They act on inputs that
//! were stated; an input that was assumed is doubted over its whole range instead (see [`crate::assumed`]). Not in the table
//! is the spread of sensors for explosive vapour (10 to 35 %): cautions have no chance, they are warnings.

use thiserror::Error;

use crate::assumed::Input;

/// How an input scatters about its stated value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spread {
    /// Lognormal: the standard deviation of the logarithm, for small ones the relative standard deviation.
    Relative(f64),
    /// Normal, cut off above zero: the standard deviation in SI units of the input.
    Absolute(f64),
}

impl Spread {
    /// The number, relative or in SI.
    pub const fn standard_deviation(self) -> f64 {
        match self {
            Self::Relative(sd) | Self::Absolute(sd) => sd,
        }
    }
}

/// What kinds of spread an input can have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Scale {
    /// Relative or absolute.
    Any,
    /// A coefficient without a unit.
    RelativeOnly,
    /// A temperature, which has no natural zero.
    AbsoluteOnly,
}

/// Why an uncertainty is refused.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum UncertaintyError {
    /// Not a finite number, or negative.
    #[error("the standard deviation of \"{}\" must be a number from zero up, not {value}", .cause.label())]
    NotANumberFromZero {
        /// Of which input.
        cause: Cause,
        /// The number.
        value: f64,
    },
    /// A relative spread so wide that the input is not known at all.
    #[error("a relative standard deviation of {} % for \"{}\" is beyond any use", 100.0 * .value, .cause.label())]
    TooWide {
        /// Of which input.
        cause: Cause,
        /// The relative standard deviation.
        value: f64,
    },
    /// A share of a temperature.
    #[error("\"{}\" is a temperature: its standard deviation is a number of kelvins, not a share", .cause.label())]
    ShareOfTemperature {
        /// Of which input.
        cause: Cause,
    },
    /// An absolute spread of a coefficient.
    #[error("\"{}\" has no unit: its standard deviation is a share", .cause.label())]
    NoUnit {
        /// Of which input.
        cause: Cause,
    },
}

/// Greatest relative standard deviation: two of them span a factor of 400.
const WIDEST_RELATIVE: f64 = 3.0;

macro_rules! causes {
    ( $( $variant:ident, $key:literal, $label:literal, $input:expr, $scale:expr, $spread:expr, $source:literal; )+ ) => {
        /// What scatters from run to run or is not known exactly. One row of the table each.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Cause {
            $( #[doc = concat!($label, ".")] $variant, )+
        }

        impl Cause {
            /// Every cause, in the order of the table.
            pub const ALL: [Self; Cause::COUNT] = [ $( Self::$variant, )+ ];

            /// Number of causes.
            pub const COUNT: usize = [ $( $key, )+ ].len();

            /// Lower-snake name for files and the command line.
            pub const fn key(self) -> &'static str {
                match self { $( Self::$variant => $key, )+ }
            }

            /// Plain words for the screen.
            pub const fn label(self) -> &'static str {
                match self { $( Self::$variant => $label, )+ }
            }

            /// The input that scatters, or `None` for a coefficient of a model and for what acts on several inputs.
            pub const fn input(self) -> Option<Input> {
                match self { $( Self::$variant => $input, )+ }
            }

            /// Where the default comes from, and what to mind about it.
            pub const fn source(self) -> &'static str {
                match self { $( Self::$variant => $source, )+ }
            }

            /// The default.
            pub const fn default_spread(self) -> Spread {
                match self { $( Self::$variant => $spread, )+ }
            }

            const fn scale(self) -> Scale {
                match self { $( Self::$variant => $scale, )+ }
            }
        }
    };
}

use Scale::{AbsoluteOnly, Any, RelativeOnly};
use Spread::{Absolute, Relative};

const DEG: f64 = std::f64::consts::PI / 180.0;

// Fours of this order share a group of evenly spread numbers, so that what matters most stands together.
causes! {
    Viscosity, "viscosity", "Ink viscosity", Some(Input::Viscosity), Any, Relative(0.10),
        "Common practice: 5 to 10 % by rheometer on the batch itself, 20 to 30 % from a data sheet.";
    Gap, "gap", "Coating gap", Some(Input::Gap), Any, Absolute(5e-6),
        "Common practice: 3 to 5 µm for the setting, 2 to 10 µm for the run-out of the roller. Moves both gaps of a slot die.";
    SurfaceTension, "surface_tension", "Surface tension of the ink", Some(Input::SurfaceTension), Any, Relative(0.05),
        "Common practice: 2 to 5 % at rest; with a surfactant the tension within 0.1 s can be 5 to 20 mN/m higher.";
    BeadHoldModel, "bead_hold_model", "Equations of the bead", None, RelativeOnly, Relative(0.10),
        "Common practice for a coefficient; windows miss experiments by 15 to 30 %.";
    DryerHeatTransfer, "dryer_heat_transfer", "Heat transfer in the dryer", Some(Input::DryerHeatTransferAbove), RelativeOnly,
        Relative(0.30), "Common practice: 30 %, 10 % when calibrated by a weighed film. Moves both sides of the foil.";
    GasTemperature, "gas_temperature", "Temperature of the dryer gas at the web", Some(Input::GasTemperature), AbsoluteOnly,
        Absolute(3.5), "Common practice: 2 to 5 K.";
    Solids, "solids", "Solids of the ink", Some(Input::Solids), Any, Relative(0.015),
        "Common practice: 1 to 2 %; an open pan of a fast solvent gains 1 % an hour.";
    Density, "density", "Density of the ink", Some(Input::Density), Any, Relative(0.005), "Common practice.";
    Flow, "flow", "Pump flow", Some(Input::Flow), Any, Relative(0.01),
        "Common practice: bore of the syringe; pulsation comes on top.";
    Speed, "speed", "Web speed", Some(Input::Speed), Any, Relative(0.0075), "Common practice: 0.5 to 1 %.";
    CoatedWidth, "coated_width", "Coated width", Some(Input::CoatedWidth), Any, Relative(0.015), "Common practice: 1 to 2 %.";
    FloodModel, "flood_model", "Equations of flooding", None, RelativeOnly, Relative(0.10),
        "Common practice for a coefficient; windows miss experiments by 15 to 30 %.";
    LowFlowModel, "low_flow_model", "Equation of the low-flow limit", None, RelativeOnly, Relative(0.10),
        "Common practice for a coefficient; windows miss experiments by 15 to 30 %.";
    WettingModel, "wetting_model", "Equation of air entrainment", None, RelativeOnly, Relative(0.10),
        "Common practice for a coefficient.";
    AngleOnFoil, "angle_on_foil", "Contact angle of the ink on the foil", Some(Input::AngleOnFoil), Any, Absolute(4.0 * DEG),
        "Common practice: 3 to 5°; advancing and receding angle differ by 10 to 40°.";
    AngleOnLip, "angle_on_lip", "Contact angle of the ink on the lips", Some(Input::AngleOnLip), Any, Absolute(4.0 * DEG),
        "Common practice: 3 to 5°.";
    DownstreamLip, "downstream_lip", "Length of the downstream lip", Some(Input::DownstreamLip), Any, Absolute(20e-6),
        "Common practice.";
    UpstreamLip, "upstream_lip", "Length of the upstream lip", Some(Input::UpstreamLip), Any, Absolute(20e-6), "Common practice.";
    FeedSlotHeight, "feed_slot_height", "Height of the feed slot", Some(Input::FeedSlotHeight), Any, Absolute(1.5e-6),
        "Common practice: 1 to 2 µm.";
    InkTemperature, "ink_temperature", "Temperature of the ink at the head", None, AbsoluteOnly, Absolute(1.0),
        "Common practice: swings of a room. Moves viscosity and surface tension together.";
    FoilEnergy, "foil_energy", "Surface energy of the untreated foil", Some(Input::FoilEnergy), Any, Absolute(1e-3),
        "Common practice: steps of test inks.";
    PlasmaResponse, "plasma_response", "Characteristic plasma dose", Some(Input::CharacteristicDose), Any, Relative(0.30),
        "Common practice.";
    RollerContact, "roller_contact", "Heat transfer to the heated roller", Some(Input::RollerContact), RelativeOnly,
        Relative(0.30), "Common practice: as any heat-transfer coefficient.";
    OpenPathHeatTransfer, "open_path_h", "Heat transfer on the open path", Some(Input::OpenPathHeatTransfer), RelativeOnly,
        Relative(0.30), "Common practice: as any heat-transfer coefficient.";
    VaporPressure, "vapor_pressure", "Vapour pressure of the solvent", None, RelativeOnly, Relative(0.02), "Common practice.";
    VaporDiffusivity, "vapor_diffusivity", "Diffusivity of the vapour in the gas", None, RelativeOnly, Relative(0.065),
        "Fuller, Schettler & Giddings (1966): 5 to 8 %, quoted from memory, unverified.";
    CellVolume, "cell_volume", "Volume of the cells", Some(Input::CellVolume), Any, Relative(0.05),
        "Common practice: 5 % between two measurements of a new roll, more when it is worn or clogged.";
    FilmTransfer, "film_transfer", "Share of gap, wire or cells that becomes film", None, RelativeOnly, Relative(0.10),
        "Common practice for a share that was measured on another day. Moves the stated share of the head that is mounted.";
    InfraredPower, "infrared_power", "Infrared irradiance", Some(Input::InfraredPower), Any, Relative(0.10),
        "Common practice: mains voltage and age of the emitters.";
    UvIrradiance, "uv_irradiance", "Irradiance of the UV lamp", Some(Input::UvIrradiance), Any, Relative(0.10),
        "Common practice: radiometers differ by 10 % and more, and lamps age.";
    Tension, "tension", "Web tension", Some(Input::Tension), Any, Relative(0.10), "Common practice: 5 to 15 % by brake or clutch.";
    NipLoad, "nip_load", "Load of the laminator's nip", Some(Input::NipLoad), Any, Relative(0.05), "Common practice.";
    LaminationTemperature, "lamination_temperature", "Temperature of the laminator", Some(Input::LaminationTemperature),
        AbsoluteOnly, Absolute(2.0), "Common practice: 1 to 3 K over the surface of a roller.";
}

/// One standard deviation for each cause. [`Uncertainties::default`] is the table of this module; a caller may replace rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Uncertainties([Spread; Cause::COUNT]);

impl Default for Uncertainties {
    fn default() -> Self {
        Self(Cause::ALL.map(Cause::default_spread))
    }
}

impl Uncertainties {
    /// Everything known exactly, to build up from.
    pub fn none() -> Self {
        Self(Cause::ALL.map(|cause| match cause.default_spread() {
            Relative(_) => Relative(0.0),
            Absolute(_) => Absolute(0.0),
        }))
    }

    /// The row of a cause.
    pub fn get(&self, cause: Cause) -> Spread {
        self.0
            .get(cause as usize)
            .copied()
            .unwrap_or_else(|| cause.default_spread())
    }

    /// Replaces the row of a cause.
    ///
    /// # Errors
    /// [`UncertaintyError`] if the number is negative, not finite or beyond any use, or if the cause cannot have that kind
    /// of spread: temperatures have no relative one, coefficients no absolute one.
    pub fn set(&mut self, cause: Cause, spread: Spread) -> Result<(), UncertaintyError> {
        let value = spread.standard_deviation();
        if !(value >= 0.0 && value.is_finite()) {
            return Err(UncertaintyError::NotANumberFromZero { cause, value });
        }
        match (cause.scale(), spread) {
            (AbsoluteOnly, Relative(_)) => {
                return Err(UncertaintyError::ShareOfTemperature { cause });
            }
            (RelativeOnly, Absolute(_)) => {
                return Err(UncertaintyError::NoUnit { cause });
            }
            (Any | RelativeOnly, Relative(_)) if value > WIDEST_RELATIVE => {
                return Err(UncertaintyError::TooWide { cause, value });
            }
            (Any | RelativeOnly, Relative(_)) | (Any | AbsoluteOnly, Absolute(_)) => {}
        }
        if let Some(row) = self.0.get_mut(cause as usize) {
            *row = spread;
        }
        Ok(())
    }

    /// Every row, in the order of the table.
    pub fn rows(&self) -> impl Iterator<Item = (Cause, Spread)> + '_ {
        Cause::ALL.into_iter().map(|cause| (cause, self.get(cause)))
    }
}
