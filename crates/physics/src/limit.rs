//! What an assessment says: one record a limit, the verdict, and the derived quantities.

use arrayvec::ArrayVec;

use crate::assumed::Input;

/// Room for every record that one setting can yield; more than the limits in [`LimitId`].
pub const MAX_LIMITS: usize = 128;

/// The station of the line that a limit belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Station {
    /// The unwinder and the roll on it.
    Unwind,
    /// Plasma pre-treatment.
    Plasma,
    /// The coating head with its pump.
    Head,
    /// The heated roller.
    Roller,
    /// Infrared lamps.
    Infrared,
    /// The dryer.
    Dryer,
    /// Laminator.
    Laminator,
    /// Ultraviolet lamp.
    Uv,
    /// The rewinder and the web drive.
    Rewind,
}

/// How much a broken limit weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The film fails or cannot be made.
    Hard,
    /// A risk for quality.
    Soft,
    /// A safety estimate; never part of the verdict.
    Caution,
    /// The model itself is outside the range it was tested in.
    Validity,
}

/// Which side of the bound holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// Holds while value ≤ bound.
    AtMost,
    /// Holds while value ≥ bound.
    AtLeast,
}

/// The dimension that `value` and `bound` of a record are given in, in SI units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Metres.
    Length,
    /// Metres per second.
    Speed,
    /// Cubic metres per second.
    VolumeFlow,
    /// Watts.
    Power,
    /// Pascals.
    Pressure,
    /// Kelvins, absolute.
    Temperature,
    /// Kelvins, a difference.
    TemperatureDifference,
    /// Radians.
    Angle,
    /// Newtons per metre.
    SurfaceTension,
    /// Joules per square metre.
    PlasmaDose,
    /// Watts per square metre, of radiation.
    Irradiance,
    /// Joules per square metre, of radiation.
    ExposureDose,
    /// Square metres per second.
    Diffusivity,
    /// Seconds.
    Duration,
    /// Cubic metres.
    Volume,
    /// Kilograms per cubic metre.
    Density,
    /// Watts per square metre and kelvin.
    HeatTransferCoefficient,
    /// Pascal seconds.
    Viscosity,
    /// Reciprocal seconds.
    ShearRate,
    /// Joules per mole.
    MolarEnergy,
    /// Cubic metres per square metre.
    CellVolume,
    /// Lines per metre.
    LineCount,
    /// Newtons.
    Force,
    /// Newtons per metre of width.
    WebTension,
    /// Cubic metres per pascal.
    Compliance,
    /// Parts in one and kelvin.
    Expansion,
    /// Joules.
    Energy,
    /// No dimension.
    Ratio,
}

/// Every limit that can be assessed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(
    missing_docs,
    reason = "each variant is described by its row in LimitId::description"
)]
pub enum LimitId {
    LowFlow,
    BeadHold,
    Flood,
    LipWetting,
    GapFill,
    AirEntrainment,
    WettingFailure,
    Recirculation,
    FeedSlot,
    Particle,
    GapTolerance,
    KnifeTarget,
    BarTarget,
    GravureTarget,
    FlexoTarget,
    KnifeHead,
    BankStarved,
    BarFlood,
    FeedStarved,
    Runout,
    GravureCa,
    CellFilled,
    CellDryIn,
    AniloxDryIn,
    PlateScreen,
    Squeeze,
    Ribbing,
    RibLevelling,
    BarLevelling,
    PatternLevelling,
    FrozenMarks,
    SpeedSpan,
    GapSpan,
    PumpRange,
    SyringeVolume,
    FoilLength,
    PumpForce,
    PumpPulsation,
    PumpLag,
    StartupLength,
    CrossWeb,
    ThermalGap,
    HeadAtStop,
    PlasmaSpan,
    SurfaceEnergyMin,
    SurfaceEnergyRule,
    WettingAngle,
    PlasmaOver,
    PlasmaHeat,
    RollerSpan,
    InfraredSpan,
    GasTemperatureSpan,
    DryAtExit,
    ResidualSolvent,
    Blister,
    FoilMax,
    FoilTg,
    FoilShrink,
    Skin,
    Blushing,
    Marangoni,
    Crack,
    GasShear,
    JetBlow,
    EdgeRetreat,
    HeaterPower,
    Condensation,
    NipLoadSpan,
    LaminationSpan,
    LamTemp,
    LamPressure,
    LamDwell,
    LamTack,
    LamCurl,
    UvSpan,
    UvDose,
    UvPeak,
    UvHeat,
    UvOxygen,
    TensionSpan,
    TensionMax,
    TensionMin,
    Slack,
    Wrinkle,
    Traction,
    LelDryer,
    LelLoss,
    Spill,
    Breathing,
    StaticSpark,
    OxygenRoom,
    HotTouch,
    Ozone,
    InfraredStop,
    UvExposure,
    UvBlock,
    Pressure,
    Nip,
    CapillaryRange,
    GapReynolds,
    RheologyRange,
    Extrapolation,
    KnifeRange,
    BarRange,
    GravureRange,
    FlexoRange,
    Biot,
}

impl LimitId {
    /// Number of limits.
    pub const COUNT: usize = Self::ALL.len();
}

impl Station {
    /// Every station, in web order.
    pub const ALL: [Self; 9] = [
        Self::Unwind,
        Self::Plasma,
        Self::Head,
        Self::Roller,
        Self::Infrared,
        Self::Dryer,
        Self::Laminator,
        Self::Uv,
        Self::Rewind,
    ];

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Unwind => "unwind",
            Self::Plasma => "plasma",
            Self::Head => "head",
            Self::Roller => "heated_roller",
            Self::Infrared => "infrared",
            Self::Dryer => "dryer",
            Self::Laminator => "laminator",
            Self::Uv => "uv",
            Self::Rewind => "rewind",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Unwind => "Unwinder",
            Self::Plasma => "Plasma",
            Self::Head => "Coating head",
            Self::Roller => "Heated roller",
            Self::Infrared => "Infrared",
            Self::Dryer => "Dryer",
            Self::Laminator => "Laminator",
            Self::Uv => "UV lamp",
            Self::Rewind => "Rewinder",
        }
    }
}

impl Severity {
    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Hard => "hard",
            Self::Soft => "soft",
            Self::Caution => "caution",
            Self::Validity => "validity",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Hard => "Film fails",
            Self::Soft => "Quality risk",
            Self::Caution => "Caution",
            Self::Validity => "Range of the model",
        }
    }
}

impl Dimension {
    /// Symbol of the SI unit that values of this dimension are given in; empty for a ratio.
    pub const fn unit_symbol(self) -> &'static str {
        match self {
            Self::Length => "m",
            Self::Speed => "m/s",
            Self::VolumeFlow => "m³/s",
            Self::Power => "W",
            Self::Pressure => "Pa",
            Self::Temperature | Self::TemperatureDifference => "K",
            Self::Angle => "rad",
            Self::SurfaceTension | Self::WebTension => "N/m",
            Self::PlasmaDose | Self::ExposureDose => "J/m²",
            Self::Irradiance => "W/m²",
            Self::Diffusivity => "m²/s",
            Self::Duration => "s",
            Self::Volume => "m³",
            Self::Density => "kg/m³",
            Self::HeatTransferCoefficient => "W/(m²·K)",
            Self::Viscosity => "Pa·s",
            Self::ShearRate => "1/s",
            Self::MolarEnergy => "J/mol",
            Self::CellVolume => "m³/m²",
            Self::LineCount => "1/m",
            Self::Force => "N",
            Self::Compliance => "m³/Pa",
            Self::Expansion => "1/K",
            Self::Energy => "J",
            Self::Ratio => "",
        }
    }
}

/// What is known of one limit at one setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outcome {
    /// The limit was computed.
    Evaluated {
        /// The quantity that is limited, in SI units of [`LimitRecord::dimension`], not clipped.
        value: f64,
        /// The bound, same unit, not clipped (may be infinite).
        bound: f64,
        /// Signed dimensionless margin, clipped to −10..1; 0 on the limit, negative when broken.
        margin: f64,
    },
    /// An input is missing and no default may stand in for it.
    NotEvaluated {
        /// The first missing input.
        missing: Input,
    },
}

/// One limit at one setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitRecord {
    /// Which limit.
    pub id: LimitId,
    /// Where on the line.
    pub station: Station,
    /// How much it weighs.
    pub severity: Severity,
    /// Which side of the bound holds.
    pub sense: Sense,
    /// Dimension of value and bound.
    pub dimension: Dimension,
    /// Value, bound and margin, or what is missing.
    pub outcome: Outcome,
    /// True if a calibration factor other than 1 scaled the bound.
    pub is_calibrated: bool,
}

impl LimitRecord {
    /// The margin, if the limit was computed.
    pub const fn margin(&self) -> Option<f64> {
        match self.outcome {
            Outcome::Evaluated { margin, .. } => Some(margin),
            Outcome::NotEvaluated { .. } => None,
        }
    }

    /// True if the limit was computed and holds.
    pub const fn holds(&self) -> bool {
        match self.outcome {
            Outcome::Evaluated { margin, .. } => margin >= 0.0,
            Outcome::NotEvaluated { .. } => false,
        }
    }
}

/// The verdict over all hard limits of a setting (docs/methods.md). Never means safe or permitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Every evaluated hard limit holds and none of them hangs on an assumed input.
    Feasible,
    /// Every evaluated hard limit holds, but an assumed input within its range would change that.
    Marginal,
    /// Some evaluated hard limit is broken.
    Infeasible,
    /// A limit without which the method cannot be judged lacks an essential input.
    Unknown,
}

impl Verdict {
    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Feasible => "feasible",
            Self::Marginal => "marginal",
            Self::Infeasible => "infeasible",
            Self::Unknown => "unknown",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Feasible => "Feasible",
            Self::Marginal => "Marginal",
            Self::Infeasible => "Infeasible",
            Self::Unknown => "Cannot be judged yet",
        }
    }
}

/// Quantities that follow from a setting, in SI; `None` where an input is missing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Derived {
    /// Wet film thickness \[m\].
    pub wet_thickness_m: Option<f64>,
    /// Dry film thickness \[m\].
    pub dry_thickness_m: Option<f64>,
    /// Dry coat weight [kg/m²].
    pub coat_weight_kg_per_m2: Option<f64>,
    /// Capillary number with the viscosity at the film-forming meniscus.
    pub capillary_number: Option<f64>,
    /// Reynolds number of the coating gap.
    pub gap_reynolds_number: Option<f64>,
    /// Gap over wet thickness.
    pub gap_to_wet_ratio: Option<f64>,
    /// Nominal shear rate in the gap [1/s].
    pub gap_shear_rate_per_s: Option<f64>,
    /// Dynamic contact angle at the wetting line \[rad\].
    pub dynamic_angle_rad: Option<f64>,
    /// Where the upstream meniscus sits, as a share of the upstream lip (below 0: bead lost; above 1: pinned at or
    /// past the outer edge).
    pub wetted_upstream_lip: Option<f64>,
    /// Vacuum needed to hold the bead \[Pa\] (negative: none needed).
    pub vacuum_needed_pa: Option<f64>,
    /// Vacuum at which the bead floods \[Pa\].
    pub vacuum_flooding_pa: Option<f64>,
    /// Thinnest film for any vacuum (low-flow limit) \[m\].
    pub thinnest_low_flow_m: Option<f64>,
    /// Thinnest film the bead can hold \[m\].
    pub thinnest_held_m: Option<f64>,
    /// Thickest film before the shoulder wets \[m\].
    pub thickest_dry_shoulder_m: Option<f64>,
    /// Thickest film before flooding \[m\].
    pub thickest_not_flooding_m: Option<f64>,
    /// Gap that is left hot of one that was set cold \[m\].
    pub hot_gap_m: Option<f64>,
    /// Pressure in the syringe while it pumps \[Pa\].
    pub pump_pressure_pa: Option<f64>,
    /// Pitch along the web of the bars that pump steps leave \[m\].
    pub pump_bar_pitch_m: Option<f64>,
    /// Time until the film is steady after a change on the fly \[s\].
    pub settling_time_s: Option<f64>,
    /// Foil that passes in that time \[m\].
    pub settling_length_m: Option<f64>,
    /// Plasma dose on the foil [J/m²].
    pub plasma_dose_j_per_m2: Option<f64>,
    /// Wetting tension of the foil as coated [N/m].
    pub foil_energy_n_per_m: Option<f64>,
    /// Equilibrium contact angle of the ink on the foil as coated \[rad\].
    pub equilibrium_angle_rad: Option<f64>,
    /// Time in the dryer \[s\].
    pub dryer_time_s: Option<f64>,
    /// Time from head to dryer \[s\].
    pub open_time_s: Option<f64>,
    /// Dryer time after which the film is dry \[s\]; larger than `dryer_time_s` if it does not dry.
    pub dry_after_s: Option<f64>,
    /// Highest speed at which the film still leaves the dryer dry [m/s].
    pub dry_speed_m_per_s: Option<f64>,
    /// Highest speed at which the film leaves with no more solvent than the product may hold [m/s].
    pub residual_speed_m_per_s: Option<f64>,
    /// Solvent left at the end of roller, lamps and dryer, per dry mass, slow diffusion left out.
    pub residual_at_exit: Option<f64>,
    /// Time from the head during which the film flows, until it is ten times as viscous \[s\].
    pub flowing_time_s: Option<f64>,
    /// Coldest that the wet film gets in room air \[K\].
    pub coldest_film_k: Option<f64>,
    /// Dew point of the exhaust \[K\].
    pub exhaust_dew_point_k: Option<f64>,
    /// Length along the web over which the rollers of the laminator touch \[m\].
    pub nip_contact_m: Option<f64>,
    /// Mean pressure in the laminator's nip \[Pa\].
    pub nip_pressure_pa: Option<f64>,
    /// Time in the laminator's nip \[s\].
    pub nip_dwell_s: Option<f64>,
    /// Temperature of the bond line as it leaves the nip \[K\].
    pub bond_line_k: Option<f64>,
    /// Pressure times time at the bond line, weighted with the flow of a hot melt \[Pa·s\].
    pub lamination_dose_pa_s: Option<f64>,
    /// Dose of the ultraviolet lamp on the web [J/m²].
    pub uv_dose_j_per_m2: Option<f64>,
    /// Stress of the web's tension \[Pa\].
    pub web_stress_pa: Option<f64>,
    /// Strain of the web by its tension.
    pub web_strain: Option<f64>,
    /// Change of the web's length from the unwinder to its hottest place: by tension, by heat, by shrinkage.
    pub web_length_change: Option<f64>,
    /// Tension in the hot zone of a fixed draw [N/m].
    pub hot_tension_n_per_m: Option<f64>,
    /// Air that the web draws in between itself and a roller \[m\].
    pub air_film_m: Option<f64>,
    /// Tension after a driven roller over that before it at which the web slips.
    pub slip_tension_ratio: Option<f64>,
    /// Foil that one turn of a single roll can coat \[m\].
    pub lap_length_m: Option<f64>,
    /// Revolutions of a single roll [1/s].
    pub roll_rotation_per_s: Option<f64>,
    /// Highest temperature the foil sees \[K\].
    pub hottest_foil_k: Option<f64>,
    /// Oxygen of the room in the long run, as a share of its air.
    pub room_oxygen: Option<f64>,
    /// Solvent vapour in the dryer exhaust as a share of its lower explosive limit.
    pub lel_share: Option<f64>,
}

/// Everything that one setting yields.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    /// One record for every limit that the line has, in the order of evaluation.
    pub limits: ArrayVec<LimitRecord, MAX_LIMITS>,
    /// Quantities that follow from the setting.
    pub derived: Derived,
    /// Inputs that stood in by default.
    pub assumed: ArrayVec<Input, MAX_LIMITS>,
    /// Assumed inputs whose range changes the sign of the worst hard margin.
    pub rests_on: ArrayVec<Input, MAX_LIMITS>,
    /// The verdict.
    pub verdict: Verdict,
}

impl Assessment {
    /// The evaluated hard limit with the least margin.
    pub fn binding(&self) -> Option<&LimitRecord> {
        self.limits
            .iter()
            .filter(|limit| limit.severity == Severity::Hard && limit.margin().is_some())
            .min_by(|a, b| {
                a.margin()
                    .partial_cmp(&b.margin())
                    .unwrap_or(std::cmp::Ordering::Equal)
            })
    }

    /// The record of one limit.
    pub fn limit(&self, id: LimitId) -> Option<&LimitRecord> {
        self.limits.iter().find(|limit| limit.id == id)
    }
}
