//! What may stand in for an input that was not stated, and over which range it is doubted.
//!
//! A newcomer knows few inputs. Every input of a limit that decides whether the method can run at all has a default
//! here; an assessment names each default it used. All defaults are common practice, no source, unless a comment says
//! otherwise; a caller may replace any of them in [`Assumptions`]. Viscosity, web speed, coating gap, coated width and
//! pump flow have none: nothing can be said without them.

use crate::limit::Dimension;

macro_rules! inputs {
    ( $( $variant:ident, $key:literal, $label:literal, $dimension:expr; )+ ) => {
        /// Every input of an assessment, named for messages, lists and calibration.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Input {
            $( #[doc = concat!($label, ".")] $variant, )+
        }

        impl Input {
            /// Every input, in the order of the line.
            pub const ALL: [Self; Input::COUNT] = [ $( Self::$variant, )+ ];

            /// Number of inputs.
            pub const COUNT: usize = [ $( $key, )+ ].len();

            /// Lower-snake name for files and the command line.
            pub const fn key(self) -> &'static str {
                match self { $( Self::$variant => $key, )+ }
            }

            /// Plain words for the screen.
            pub const fn label(self) -> &'static str {
                match self { $( Self::$variant => $label, )+ }
            }

            /// Dimension of the value, or `None` for a choice (solvent, foil material, a span of a knob).
            pub const fn dimension(self) -> Option<Dimension> {
                match self { $( Self::$variant => $dimension, )+ }
            }
        }
    };
}

use Dimension as D;

inputs! {
    Viscosity, "viscosity", "Ink viscosity", None;
    YieldStress, "yield_stress", "Yield stress of the ink", Some(D::Pressure);
    ShearRateSpan, "shear_rate_span", "Shear rates of the viscosity measurement", None;
    ViscosityTemperature, "viscosity_temperature", "Temperature of the viscosity measurement", Some(D::Temperature);
    ActivationEnergy, "activation_energy", "Activation energy of the viscosity", Some(D::MolarEnergy);
    SurfaceTension, "surface_tension", "Surface tension of the ink", Some(D::SurfaceTension);
    DispersiveTension, "dispersive_tension", "Dispersive part of the ink's surface tension", Some(D::SurfaceTension);
    Density, "density", "Density of the ink", Some(D::Density);
    Solids, "solids", "Solids of the ink", Some(D::Ratio);
    DryDensity, "dry_density", "Density of the dry solid", Some(D::Density);
    DryPorosity, "dry_porosity", "Porosity of the dry layer", Some(D::Ratio);
    LargestParticle, "largest_particle", "Largest particle", Some(D::Length);
    Solvent, "solvent", "Solvent", None;
    Activity, "activity", "Kind of solid in the drying film", None;
    FilmDiffusivity, "film_diffusivity", "Diffusivity of the solvent in the solid film", Some(D::Diffusivity);
    CriticalResidual, "critical_residual", "Solvent at which drying turns slow", Some(D::Ratio);
    WetDiffusivity, "wet_diffusivity", "Diffusivity of the solid in the wet film", Some(D::Diffusivity);
    ParticleDiameter, "particle_diameter", "Diameter of the particles", Some(D::Length);
    ParticleModulus, "particle_modulus", "Shear modulus of the particles", Some(D::Pressure);
    ParticleContacts, "particle_contacts", "Contacts of a packed particle", Some(D::Ratio);
    Suction, "suction", "Largest suction between the particles", Some(D::Pressure);
    CureDose, "cure_dose", "Dose that the resin needs", Some(D::ExposureDose);
    CureIrradiance, "cure_irradiance", "Peak irradiance that the resin needs", Some(D::Irradiance);
    ResinAbsorbance, "resin_absorbance", "Absorbance of the resin", Some(D::Ratio);
    CureKind, "cure_kind", "Kind of cure", None;
    AngleOnLip, "angle_on_lip", "Contact angle of the ink on the lips", Some(D::Angle);
    AngleOnFoil, "angle_on_foil", "Contact angle of the ink on the foil", Some(D::Angle);
    FoilMaterial, "foil_material", "Foil material", None;
    FoilThickness, "foil_thickness", "Foil thickness", Some(D::Length);
    FoilWidth, "foil_width", "Foil width", Some(D::Length);
    FoilModulus, "foil_modulus", "Elastic modulus of the foil", Some(D::Pressure);
    FoilYieldStress, "foil_yield_stress", "Yield stress of the foil", Some(D::Pressure);
    FoilExpansion, "foil_expansion", "Thermal expansion of the foil", Some(D::Expansion);
    FoilEnergy, "foil_energy", "Surface energy of the untreated foil", Some(D::SurfaceTension);
    DispersiveEnergy, "dispersive_energy", "Dispersive part of the foil's surface energy", Some(D::SurfaceTension);
    FoilHighestTemperature, "foil_highest_temperature", "Highest temperature of the foil", Some(D::Temperature);
    AllowedShrinkage, "allowed_shrinkage", "Shrinkage allowed", Some(D::Ratio);
    RollLength, "roll_length", "Length of foil on the roll", Some(D::Length);
    CoatedWidth, "coated_width", "Coated width", Some(D::Length);
    DownstreamLip, "downstream_lip", "Length of the downstream lip", Some(D::Length);
    UpstreamLip, "upstream_lip", "Length of the upstream lip", Some(D::Length);
    UpstreamGapRatio, "upstream_gap_ratio", "Upstream gap over coating gap", Some(D::Ratio);
    LipCorner, "lip_corner", "Corner angle of the upstream lip", Some(D::Angle);
    FeedSlotHeight, "feed_slot_height", "Height of the feed slot", Some(D::Length);
    FeedSlotLength, "feed_slot_length", "Length of the feed slot", Some(D::Length);
    SlotHeightError, "slot_height_error", "Error of the feed slot's height", Some(D::Length);
    ManifoldRadius, "manifold_radius", "Radius of the die's manifold", Some(D::Length);
    GapSpan, "gap_span", "Span of the coating gap", None;
    GapTolerance, "gap_tolerance", "Tolerance of the coating gap", Some(D::Length);
    KnifeShape, "knife_shape", "Shape of the knife", None;
    FilmOverGap, "film_over_gap", "Film over gap of the knife", Some(D::Ratio);
    InletGapRatio, "inlet_gap_ratio", "Inlet gap of the knife over its exit gap", Some(D::Ratio);
    LandLength, "land_length", "Length of the knife's land", Some(D::Length);
    BankHeight, "bank_height", "Height of the bank before the knife", Some(D::Length);
    FilmOverWire, "film_over_wire", "Film over wire diameter of the bar", Some(D::Ratio);
    GravureArrangement, "gravure_arrangement", "How the gravure roll meets the web", None;
    CellVolume, "cell_volume", "Volume of the cells", Some(D::CellVolume);
    CellDepthRatio, "cell_depth_ratio", "Depth of the cells over their volume", Some(D::Ratio);
    CellLines, "cell_lines", "Lines of cells", Some(D::LineCount);
    Pickout, "pickout", "Share of the cells that reaches the web", Some(D::Ratio);
    PickoutExponent, "pickout_exponent", "Exponent of the falling pickout", Some(D::Ratio);
    PickoutReference, "pickout_reference", "Capillary number of the measured pickout", Some(D::Ratio);
    FillingCapillaryNumber, "filling_capillary_number", "Capillary number up to which the cells fill", Some(D::Ratio);
    AniloxMetering, "anilox_metering", "What takes the surplus off the anilox", None;
    ToPlate, "to_plate", "Share of the cells that goes to the plate", Some(D::Ratio);
    ToFoil, "to_foil", "Share of the plate's film that goes to the foil", Some(D::Ratio);
    PrintedShare, "printed_share", "Share of the area that prints", Some(D::Ratio);
    PlateLines, "plate_lines", "Lines of the plate", Some(D::LineCount);
    DoctorToNip, "doctor_to_nip", "Way from doctor blade to nip", Some(D::Length);
    RollGap, "roll_gap", "Gap of the head's roll", Some(D::Length);
    RunOut, "run_out", "Run-out of the gap", Some(D::Length);
    HeadRollDiameter, "head_roll_diameter", "Diameter of the head's roll", Some(D::Length);
    ThicknessTolerance, "thickness_tolerance", "Tolerance of the wet thickness", Some(D::Ratio);
    FlowSpan, "flow_span", "Span of the pump flow", None;
    SyringeVolume, "syringe_volume", "Usable volume of the syringe", Some(D::Volume);
    DeadVolume, "dead_volume", "Dead volume between pump and slot", Some(D::Volume);
    SyringeBore, "syringe_bore", "Inner diameter of the syringe", Some(D::Length);
    GreatestForce, "greatest_force", "Greatest force of the pump", Some(D::Force);
    PlungerFriction, "plunger_friction", "Friction of the plunger", Some(D::Force);
    TubeBore, "tube_bore", "Inner diameter of the pump tube", Some(D::Length);
    TubeLength, "tube_length", "Length of the pump tube", Some(D::Length);
    FilterDrop, "filter_drop", "Pressure drop of the ink filter", Some(D::Pressure);
    TrappedAir, "trapped_air", "Air trapped in the pump line", Some(D::Volume);
    LineCompliance, "line_compliance", "Compliance of syringe and tube", Some(D::Compliance);
    StepVolume, "step_volume", "Volume of one pump step", Some(D::Volume);
    AllowedLag, "allowed_lag", "Lag of the pump line that is accepted", Some(D::Duration);
    LevelAboveLips, "level_above_lips", "Height of the ink above the lips", Some(D::Length);
    PressureRating, "pressure_rating", "Pressure rating of the pump line", Some(D::Pressure);
    ResidualInk, "residual_ink", "Old ink that may be left in the new", Some(D::Ratio);
    GapSetTemperature, "gap_set_temperature", "Temperature at which the gap was set", Some(D::Temperature);
    BackingRollerDiameter, "backing_roller_diameter", "Diameter of the backing roller", Some(D::Length);
    BackingRollerExpansion, "backing_roller_expansion", "Thermal expansion of the backing roller", Some(D::Expansion);
    BackingRollerTemperature, "backing_roller_temperature", "Temperature of the backing roller", Some(D::Temperature);
    DieLength, "die_length", "Length of the head from mount to gap", Some(D::Length);
    DieExpansion, "die_expansion", "Thermal expansion of the head", Some(D::Expansion);
    DieTemperature, "die_temperature", "Temperature of the head", Some(D::Temperature);
    ElectrodeWidth, "electrode_width", "Width of the plasma electrode", Some(D::Length);
    PlasmaPowerSpan, "plasma_power_span", "Span of the plasma power", None;
    SaturatedEnergy, "saturated_energy", "Surface energy at high plasma dose", Some(D::SurfaceTension);
    CharacteristicDose, "characteristic_dose", "Characteristic plasma dose", Some(D::PlasmaDose);
    PlasmaAge, "plasma_age", "Time between plasma treatment and coating", Some(D::Duration);
    AgeingTime, "ageing_time", "Time constant of ageing after plasma", Some(D::Duration);
    PlasmaExhaust, "plasma_exhaust", "Exhaust of the plasma hood", Some(D::VolumeFlow);
    RollerDiameter, "roller_diameter", "Diameter of the heated roller", Some(D::Length);
    RollerWrap, "roller_wrap", "Wrap of the heated roller", Some(D::Angle);
    RollerContact, "roller_contact", "Heat transfer to the heated roller", Some(D::HeatTransferCoefficient);
    RollerTemperatureSpan, "roller_temperature_span", "Span of the roller temperature", None;
    InfraredLength, "infrared_length", "Length of web under the infrared lamps", Some(D::Length);
    InfraredAbsorbed, "infrared_absorbed", "Share of the infrared that film and foil take up", Some(D::Ratio);
    InfraredHeatTransfer, "infrared_h", "Heat transfer under the infrared lamps", Some(D::HeatTransferCoefficient);
    InfraredSpan, "infrared_power_span", "Span of the infrared irradiance", None;
    DryerLength, "dryer_length", "Length of the dryer", Some(D::Length);
    DryerHeatTransferAbove, "dryer_h_top", "Heat transfer above the film in the dryer", Some(D::HeatTransferCoefficient);
    DryerHeatTransferBelow, "dryer_h_bottom", "Heat transfer below the foil in the dryer", Some(D::HeatTransferCoefficient);
    GasTemperatureSpan, "gas_temperature_span", "Span of the dryer gas temperature", None;
    FreshGas, "fresh_gas", "Fresh gas fed to the dryer", Some(D::VolumeFlow);
    ResidualSolvent, "residual_solvent", "Residual solvent that counts as dry", Some(D::Ratio);
    ResidualTarget, "residual_target", "Residual solvent of the product", Some(D::Ratio);
    GasSpeed, "gas_speed", "Speed of the gas along the film", Some(D::Speed);
    JetSpeed, "jet_speed", "Exit speed of the nozzles", Some(D::Speed);
    JetReach, "jet_reach", "Distance over which a jet's pressure falls", Some(D::Length);
    HeaterPower, "heater_power", "Power of the installed heaters", Some(D::Power);
    CoolestWall, "coolest_wall", "Coolest wall of the exhaust", Some(D::Temperature);
    HotNipRoller, "hot_nip_roller", "Diameter of the laminator's hot roller", Some(D::Length);
    CounterNipRoller, "counter_nip_roller", "Diameter of the laminator's rubber roller", Some(D::Length);
    RubberModulus, "rubber_modulus", "Modulus of the laminator's rubber", Some(D::Pressure);
    RubberPoisson, "rubber_poisson_ratio", "Poisson's ratio of the laminator's rubber", Some(D::Ratio);
    BondPressure, "bond_pressure", "Pressure that the adhesive needs", Some(D::Pressure);
    BondDwell, "bond_dwell", "Time that the adhesive needs in the nip", Some(D::Duration);
    Softening, "adhesive_softening", "Softening of the adhesive", Some(D::Temperature);
    AdhesiveHighest, "adhesive_highest_temperature", "Highest temperature of the adhesive", Some(D::Temperature);
    AdhesiveActivation, "adhesive_activation_energy", "Activation energy of the adhesive's flow", Some(D::MolarEnergy);
    AdhesiveModulus, "adhesive_modulus", "Modulus of the adhesive at 1 Hz", Some(D::Pressure);
    LaidMaterial, "laid_material", "Material of the foil that is laid on", None;
    LaidThickness, "laid_thickness", "Thickness of the foil that is laid on", Some(D::Length);
    LaidTension, "laid_tension", "Tension of the foil that is laid on", Some(D::WebTension);
    LaminatorInlet, "laminator_inlet", "Temperature of the foils before the laminator", Some(D::Temperature);
    NipLoadSpan, "nip_load_span", "Span of the nip load", None;
    LaminationTemperatureSpan, "lamination_temperature_span", "Span of the laminator's temperature", None;
    UvIrradiance, "uv_irradiance", "Irradiance of the UV lamp at full power", Some(D::Irradiance);
    UvPeakIrradiance, "uv_peak_irradiance", "Peak irradiance of the UV lamp at full power", Some(D::Irradiance);
    UvWindow, "uv_window", "Window of the UV lamp along the web", Some(D::Length);
    UvWavelength, "uv_wavelength", "Wavelength of the UV lamp", Some(D::Length);
    UvOxygen, "uv_oxygen", "Oxygen at the film below the UV lamp", Some(D::Ratio);
    UvCoverMaterial, "uv_cover_material", "Material of the cover below the UV lamp", None;
    UvTransmittance, "uv_transmittance", "Light that the cover lets through", Some(D::Ratio);
    UvAbsorbed, "uv_absorbed", "Share of the UV dose that heats the foil", Some(D::Ratio);
    UvPowerSpan, "uv_power_span", "Span of the UV lamp power", None;
    Draw, "draw", "Draw of the web", Some(D::Ratio);
    TensionSpan, "tension_span", "Span of the web tension", None;
    LeastTension, "least_tension", "Least tension at which the web tracks", Some(D::WebTension);
    StressShare, "stress_share", "Share of the yield stress that tension may take", Some(D::Ratio);
    ShrinkageShare, "shrinkage_share", "Share of the foil's shrinkage that shows in the dryer", Some(D::Ratio);
    LongestSpan, "longest_span", "Longest span between rollers", Some(D::Length);
    Misalignment, "misalignment", "Misalignment of the rollers", Some(D::Angle);
    RestrainedWidening, "restrained_widening", "Share of the hot web's widening that is held back", Some(D::Ratio);
    IdlerDiameter, "idler_diameter", "Diameter of the largest roller", Some(D::Length);
    Roughness, "roughness", "Roughness of web and roller", Some(D::Length);
    DriveWrap, "drive_wrap", "Wrap of the driven roller", Some(D::Angle);
    DriveFriction, "drive_friction", "Friction on the driven roller", Some(D::Ratio);
    ThreadingSpeed, "threading_speed", "Threading speed", Some(D::Speed);
    SingleRollDiameter, "single_roll_diameter", "Diameter of the single roll", Some(D::Length);
    Clamp, "clamp", "Length of the clamp on the single roll", Some(D::Length);
    DryerGasVolume, "dryer_gas_volume", "Gas that the dryer holds", Some(D::Volume);
    RoomVolume, "room_volume", "Volume of the room", Some(D::Volume);
    Ventilation, "ventilation", "Ventilation of the room", Some(D::VolumeFlow);
    SpillVolume, "spill_volume", "Most ink that one spill can lose", Some(D::Volume);
    IgnitionEnergy, "ignition_energy", "Least energy that ignites the vapour", Some(D::Energy);
    AllowedShift, "allowed_shift", "Shift of the wet film allowed", Some(D::Length);
    RoomTemperature, "room_temperature", "Room temperature", Some(D::Temperature);
    RelativeHumidity, "relative_humidity", "Relative humidity of the room", Some(D::Ratio);
    OpenPath, "open_path", "Open path from head to dryer", Some(D::Length);
    OpenPathHeatTransfer, "open_path_h", "Heat transfer on the open path", Some(D::HeatTransferCoefficient);
    SpeedSpan, "speed_span", "Span of the web speed", None;
    Leader, "leader", "Foil before the first sample", Some(D::Length);
    InspectionPath, "inspection_path", "Path from the head to where the film is looked at", Some(D::Length);
    HeaterSettling, "heater_settling", "Settling time of a changed heater", Some(D::Duration);
    PotLife, "pot_life", "Pot life of the ink", Some(D::Duration);
    Speed, "speed", "Web speed", Some(D::Speed);
    Tension, "tension", "Web tension", Some(D::WebTension);
    Flow, "flow", "Pump flow", Some(D::VolumeFlow);
    Gap, "gap", "Coating gap", Some(D::Length);
    WireDiameter, "wire_diameter", "Wire diameter of the bar", Some(D::Length);
    SpeedRatio, "speed_ratio", "Speed of the roll over that of the web", Some(D::Ratio);
    Impression, "impression", "Impression of the plate", Some(D::Length);
    WantedWetThickness, "wanted_wet_thickness", "Wet thickness that is wanted", Some(D::Length);
    Vacuum, "vacuum", "Vacuum under the upstream meniscus", Some(D::Pressure);
    PlasmaPower, "plasma_power", "Plasma power", Some(D::Power);
    RollerTemperature, "roller_temperature", "Temperature of the heated roller", Some(D::Temperature);
    InfraredPower, "infrared_power", "Infrared irradiance", Some(D::Irradiance);
    GasTemperature, "gas_temperature", "Temperature of the dryer gas", Some(D::Temperature);
    UvPower, "uv_power", "Power of the UV lamp", Some(D::Ratio);
    NipLoad, "nip_load", "Load of the laminator's nip", Some(D::WebTension);
    LaminationTemperature, "lamination_temperature", "Temperature of the laminator", Some(D::Temperature);
    InkTemperature, "ink_temperature", "Temperature of the ink at the head", Some(D::Temperature);
    FoilNeeded, "foil_needed", "Foil needed for the run", Some(D::Length);
    SettlingGranted, "settling_granted", "Foil granted for settling", Some(D::Length);
}

/// How far an assumed value may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// Not varied.
    Fixed,
    /// Anywhere between two values in SI; widened to take in the assumed value itself.
    Between {
        /// Low end.
        low: f64,
        /// High end.
        high: f64,
    },
    /// This far below and above the assumed value, in SI.
    Around {
        /// Distance below.
        below: f64,
        /// Distance above.
        above: f64,
    },
    /// Between two multiples of the assumed value.
    Times {
        /// Low factor.
        low: f64,
        /// High factor.
        high: f64,
    },
}

impl Doubt {
    /// Low and high end of the range about an assumed value, or `None` if the value is not varied.
    pub fn ends(self, value: f64) -> Option<(f64, f64)> {
        match self {
            Self::Fixed => None,
            Self::Between { low, high } => Some((low.min(value), high.max(value))),
            Self::Around { below, above } => Some((value - below, value + above)),
            Self::Times { low, high } => Some((value * low, value * high)),
        }
    }
}

/// A value that stands in for an input, with its range of doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assumption {
    /// The value in SI.
    pub value: f64,
    /// How far it may be off.
    pub doubt: Doubt,
}

const DEG: f64 = std::f64::consts::PI / 180.0;
const CELSIUS: f64 = 273.15;

/// The table of defaults, one row an input, all common practice.
const DEFAULTS: [(Input, f64, Doubt); 39] = {
    use Doubt::{Around, Between, Fixed, Times};

    [
        // Used where neither a value nor a solvent is stated; else the solvent's own tension.
        (
            Input::SurfaceTension,
            0.030,
            Between {
                low: 0.022,
                high: 0.045,
            },
        ),
        // Used where the mixing rule cannot be applied.
        (
            Input::Density,
            1000.0,
            Between {
                low: 780.0,
                high: 1700.0,
            },
        ),
        // Dense polymer; particle layers reach a half.
        (
            Input::DryPorosity,
            0.0,
            Between {
                low: 0.0,
                high: 0.5,
            },
        ),
        (
            Input::AngleOnLip,
            30.0 * DEG,
            Between {
                low: 10.0 * DEG,
                high: 60.0 * DEG,
            },
        ),
        (
            Input::AngleOnFoil,
            30.0 * DEG,
            Between {
                low: 10.0 * DEG,
                high: 60.0 * DEG,
            },
        ),
        // For the heat capacity of foil and film only.
        (
            Input::FoilThickness,
            100e-6,
            Between {
                low: 25e-6,
                high: 200e-6,
            },
        ),
        // Replaced by the foil's own figure; polyester here.
        (
            Input::FoilEnergy,
            0.041,
            Around {
                below: 0.005,
                above: 0.003,
            },
        ),
        (
            Input::AllowedShrinkage,
            0.005,
            Between {
                low: 0.001,
                high: 0.01,
            },
        ),
        (
            Input::DownstreamLip,
            1e-3,
            Between {
                low: 0.3e-3,
                high: 2e-3,
            },
        ),
        (
            Input::UpstreamLip,
            1e-3,
            Between {
                low: 0.3e-3,
                high: 2e-3,
            },
        ),
        (
            Input::UpstreamGapRatio,
            1.0,
            Between {
                low: 0.8,
                high: 1.5,
            },
        ),
        (
            Input::LipCorner,
            90.0 * DEG,
            Between {
                low: 60.0 * DEG,
                high: 120.0 * DEG,
            },
        ),
        (Input::GapTolerance, 5e-6, Fixed),
        (Input::Vacuum, 0.0, Fixed),
        (Input::PlasmaPower, 0.0, Fixed),
        // Polyester reaches 56 to 60 mN/m.
        (
            Input::SaturatedEnergy,
            0.058,
            Between {
                low: 0.056,
                high: 0.060,
            },
        ),
        // 15 W min/m², doubted by two standard deviations of 30 % on a logarithmic scale.
        (
            Input::CharacteristicDose,
            900.0,
            Times {
                low: 0.55,
                high: 1.82,
            },
        ),
        // In line, seconds before the head.
        (Input::PlasmaAge, 0.0, Fixed),
        // Three days at room conditions; warmer and damper is faster.
        (
            Input::AgeingTime,
            3.0 * 86_400.0,
            Times {
                low: 1.0 / 3.0,
                high: 3.0,
            },
        ),
        (Input::DeadVolume, 0.0, Fixed),
        (
            Input::RollerContact,
            300.0,
            Between {
                low: 150.0,
                high: 600.0,
            },
        ),
        // Medium-wave lamps on a thin film and a polymer foil; metal foils have a figure of their own.
        (
            Input::InfraredAbsorbed,
            0.5,
            Between {
                low: 0.2,
                high: 0.9,
            },
        ),
        // Room air; a sweep of gas raises it.
        (
            Input::InfraredHeatTransfer,
            8.0,
            Between {
                low: 5.0,
                high: 30.0,
            },
        ),
        (
            Input::DryerHeatTransferAbove,
            30.0,
            Between {
                low: 15.0,
                high: 60.0,
            },
        ),
        (
            Input::DryerHeatTransferBelow,
            10.0,
            Between {
                low: 5.0,
                high: 30.0,
            },
        ),
        (
            Input::ResidualSolvent,
            0.05,
            Between {
                low: 0.01,
                high: 0.10,
            },
        ),
        (
            Input::ResidualTarget,
            0.01,
            Between {
                low: 0.001,
                high: 0.05,
            },
        ),
        // Where the constant rate ends and diffusion in the film rules.
        (
            Input::CriticalResidual,
            0.2,
            Between {
                low: 0.1,
                high: 0.5,
            },
        ),
        // Nozzles a few slot widths apart.
        (
            Input::JetReach,
            5e-3,
            Between {
                low: 2e-3,
                high: 10e-3,
            },
        ),
        // Replaced by the temperature of the room: a bare duct.
        (
            Input::CoolestWall,
            22.0 + CELSIUS,
            Between {
                low: 18.0 + CELSIUS,
                high: 60.0 + CELSIUS,
            },
        ),
        (Input::AllowedShift, 1e-3, Fixed),
        // Air.
        (Input::UvOxygen, 0.2095, Fixed),
        // All of the light, the careful end.
        (
            Input::UvAbsorbed,
            1.0,
            Between {
                low: 0.3,
                high: 1.0,
            },
        ),
        // Clear and thin.
        (
            Input::ResinAbsorbance,
            0.0,
            Between {
                low: 0.0,
                high: 0.5,
            },
        ),
        (
            Input::RoomTemperature,
            22.0 + CELSIUS,
            Between {
                low: 18.0 + CELSIUS,
                high: 28.0 + CELSIUS,
            },
        ),
        (
            Input::RelativeHumidity,
            0.5,
            Between {
                low: 0.2,
                high: 0.7,
            },
        ),
        (
            Input::OpenPath,
            0.4,
            Between {
                low: 0.1,
                high: 1.0,
            },
        ),
        (
            Input::OpenPathHeatTransfer,
            8.0,
            Between {
                low: 5.0,
                high: 10.0,
            },
        ),
        (
            Input::Leader,
            0.0,
            Between {
                low: 0.0,
                high: 10.0,
            },
        ),
    ]
};

/// Defaults of the heads that meter by their own geometry, all common practice.
const HEAD_DEFAULTS: [(Input, f64, Doubt); 11] = {
    use Doubt::{Around, Between, Fixed};

    [
        // Where the shape of the knife is not stated; a round knife has a row of its own.
        (
            Input::FilmOverGap,
            0.55,
            Between {
                low: 0.5,
                high: 0.65,
            },
        ),
        (
            Input::InletGapRatio,
            2.0,
            Between {
                low: 1.0,
                high: 5.0,
            },
        ),
        (
            Input::LandLength,
            10e-3,
            Between {
                low: 2e-3,
                high: 30e-3,
            },
        ),
        // Suppliers' charts; calibrate with a weighed film.
        (
            Input::FilmOverWire,
            0.09,
            Around {
                below: 0.015,
                above: 0.015,
            },
        ),
        // Where it is not stated how the roll meets the web; each arrangement has a row of its own.
        (
            Input::Pickout,
            0.4,
            Between {
                low: 0.15,
                high: 0.6,
            },
        ),
        // For the shear rate of a thinning ink alone; engraved cells hold a third to six tenths of their depth.
        (
            Input::CellDepthRatio,
            2.5,
            Between {
                low: 1.6,
                high: 3.0,
            },
        ),
        (Input::SpeedRatio, 1.0, Fixed),
        // Worked numbers of a trade article; a rubber roll has a wider range of its own.
        (
            Input::ToPlate,
            0.5,
            Around {
                below: 0.1,
                above: 0.1,
            },
        ),
        (
            Input::ToFoil,
            0.5,
            Around {
                below: 0.1,
                above: 0.1,
            },
        ),
        // A solid print.
        (Input::PrintedShare, 1.0, Fixed),
        (Input::ThicknessTolerance, 0.10, Fixed),
    ]
};

/// Defaults of pump line, feed slot and cold gap.
const PUMP_AND_SLOT_DEFAULTS: [(Input, f64, Doubt); 10] = {
    use Doubt::{Between, Fixed};

    [
        // A good shim.
        (
            Input::SlotHeightError,
            1e-6,
            Between {
                low: 0.5e-6,
                high: 3e-6,
            },
        ),
        (
            Input::ManifoldRadius,
            3e-3,
            Between {
                low: 2e-3,
                high: 8e-3,
            },
        ),
        // Glass runs at a newton or two, a plastic syringe with a dry rubber plunger at 5 to 20 N.
        (
            Input::PlungerFriction,
            5.0,
            Between {
                low: 0.5,
                high: 20.0,
            },
        ),
        // No filter.
        (Input::FilterDrop, 0.0, Fixed),
        // A bubble that is easily overlooked; a badly bled line holds 2 mL.
        (
            Input::TrappedAir,
            0.1e-6,
            Between {
                low: 0.01e-6,
                high: 2e-6,
            },
        ),
        // Glass and stiff tube; a plastic syringe with a rubber plunger reaches 1 mL/bar.
        (
            Input::LineCompliance,
            0.0,
            Between {
                low: 0.0,
                high: 1e-11,
            },
        ),
        (
            Input::AllowedLag,
            10.0,
            Between {
                low: 3.0,
                high: 60.0,
            },
        ),
        // Steel; hardened steel 10e-6, aluminium 24e-6.
        (
            Input::BackingRollerExpansion,
            12e-6,
            Between {
                low: 10e-6,
                high: 24e-6,
            },
        ),
        // As the roller; stainless dies reach 17e-6.
        (
            Input::DieExpansion,
            12e-6,
            Between {
                low: 10e-6,
                high: 24e-6,
            },
        ),
        (
            Input::ResidualInk,
            0.05,
            Between {
                low: 0.01,
                high: 0.10,
            },
        ),
    ]
};

/// Defaults of the web.
const WEB_DEFAULTS: [(Input, f64, Doubt); 10] = {
    use Doubt::{Between, Fixed};

    [
        (Input::Draw, 0.0, Fixed),
        (
            Input::LeastTension,
            15.0,
            Between {
                low: 10.0,
                high: 20.0,
            },
        ),
        // Start at a tenth with a new foil.
        (
            Input::StressShare,
            0.25,
            Between {
                low: 0.10,
                high: 0.30,
            },
        ),
        // Data sheets tell what half an hour in an oven does, a dryer gives seconds.
        (
            Input::ShrinkageShare,
            0.0,
            Between {
                low: 0.0,
                high: 0.5,
            },
        ),
        // Rollers aligned to 0.1 mm/m.
        (
            Input::Misalignment,
            1e-4,
            Between {
                low: 0.5e-4,
                high: 10e-4,
            },
        ),
        // A web that is free to widen.
        (Input::RestrainedWidening, 0.0, Fixed),
        // Smooth film on a ground roller; a chromed roller 0.1 µm, a blasted one 2 µm.
        (
            Input::Roughness,
            0.5e-6,
            Between {
                low: 0.1e-6,
                high: 2e-6,
            },
        ),
        (
            Input::DriveFriction,
            0.3,
            Between {
                low: 0.15,
                high: 0.5,
            },
        ),
        (
            Input::DriveWrap,
            180.0 * DEG,
            Between {
                low: 90.0 * DEG,
                high: 200.0 * DEG,
            },
        ),
        (
            Input::Clamp,
            0.0,
            Between {
                low: 0.0,
                high: 0.05,
            },
        ),
    ]
};

/// Defaults of the laminator and of the room.
const LAMINATION_AND_ROOM_DEFAULTS: [(Input, f64, Doubt); 6] = {
    use Doubt::{Around, Between, Fixed};

    [
        // Rubber of 60 to 70 Shore A.
        (
            Input::RubberModulus,
            5e6,
            Between {
                low: 2e6,
                high: 10e6,
            },
        ),
        (Input::RubberPoisson, 0.49, Fixed),
        // Used where the kind of adhesive says nothing else.
        (
            Input::BondPressure,
            100e3,
            Between {
                low: 50e3,
                high: 500e3,
            },
        ),
        (
            Input::BondDwell,
            0.1,
            Between {
                low: 0.05,
                high: 1.0,
            },
        ),
        // As the room.
        (
            Input::LaminatorInlet,
            21.0 + CELSIUS,
            Around {
                below: 0.0,
                above: 30.0,
            },
        ),
        // The careful end of 0.2 to 1 mJ, quoted from memory, unverified.
        (
            Input::IgnitionEnergy,
            0.2e-3,
            Between {
                low: 0.2e-3,
                high: 1e-3,
            },
        ),
    ]
};

/// The assumed value and range of every input that has one. [`Assumptions::default`] is the table of this module;
/// a caller may replace rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumptions([Option<Assumption>; Input::COUNT]);

impl Default for Assumptions {
    fn default() -> Self {
        let mut rows = [None; Input::COUNT];
        let of_head = HEAD_DEFAULTS.into_iter().chain(PUMP_AND_SLOT_DEFAULTS);
        let all = DEFAULTS
            .into_iter()
            .chain(of_head)
            .chain(WEB_DEFAULTS)
            .chain(LAMINATION_AND_ROOM_DEFAULTS);
        for (input, value, doubt) in all {
            if let Some(row) = rows.get_mut(input as usize) {
                *row = Some(Assumption { value, doubt });
            }
        }
        Self(rows)
    }
}

impl Assumptions {
    /// The row of an input, or `None` if nothing may stand in for it.
    pub fn get(&self, input: Input) -> Option<Assumption> {
        self.0.get(input as usize).copied().flatten()
    }

    /// Replaces the row of an input that has one. Returns false, and changes nothing, if the input may not be assumed.
    pub fn set(&mut self, input: Input, assumption: Assumption) -> bool {
        match self.0.get_mut(input as usize) {
            Some(Some(row)) => {
                *row = assumption;
                true
            }
            Some(None) | None => false,
        }
    }

    /// The rows that exist, in the order of [`Input::ALL`].
    pub fn rows(&self) -> impl Iterator<Item = (Input, Assumption)> + '_ {
        Input::ALL
            .into_iter()
            .filter_map(|input| self.get(input).map(|row| (input, row)))
    }

    /// The assumed value in SI; zero for an input without a row, which no caller asks for.
    pub(crate) fn value(&self, input: Input) -> f64 {
        self.get(input).map_or(0.0, |row| row.value)
    }
}

/// Bits of a word of [`InputSet`], and words for every input.
const WORD_BITS: usize = u128::BITS as usize;
const WORDS: usize = Input::COUNT.div_ceil(WORD_BITS);

/// A set of inputs, without heap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct InputSet([u128; WORDS]);

impl InputSet {
    pub(crate) const EMPTY: Self = Self([0; WORDS]);

    pub(crate) const fn of(inputs: &[Input]) -> Self {
        let mut set = Self::EMPTY;
        let mut i = 0;
        while i < inputs.len() {
            set = set.with(inputs[i]);
            i += 1;
        }
        set
    }

    /// Word and bit of an input.
    const fn place(input: Input) -> (usize, u128) {
        let index = input as usize;
        (index / WORD_BITS, 1 << (index % WORD_BITS))
    }

    pub(crate) const fn with(self, input: Input) -> Self {
        let mut words = self.0;
        let (word, bit) = Self::place(input);
        words[word] |= bit;
        Self(words)
    }

    pub(crate) const fn union(self, other: Self) -> Self {
        let mut words = self.0;
        let mut i = 0;
        while i < WORDS {
            words[i] |= other.0[i];
            i += 1;
        }
        Self(words)
    }

    pub(crate) const fn intersection(self, other: Self) -> Self {
        let mut words = self.0;
        let mut i = 0;
        while i < WORDS {
            words[i] &= other.0[i];
            i += 1;
        }
        Self(words)
    }

    pub(crate) const fn contains(self, input: Input) -> bool {
        let (word, bit) = Self::place(input);
        self.0[word] & bit != 0
    }

    /// The inputs of the set, in the order of [`Input::ALL`].
    pub(crate) fn iter(self) -> impl Iterator<Item = Input> {
        Input::ALL
            .into_iter()
            .filter(move |input| self.contains(*input))
    }
}
