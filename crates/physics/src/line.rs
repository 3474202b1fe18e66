//! What a run does not change (ink, foil, stations of the line) and what it does (the machine knobs).
//!
//! Everything here is plain `Copy` data, so that a caller who varies the ink itself (a second bottle with other
//! solids) simply makes another [`Line`]. A field that is `None` was not stated: [`crate::assumed`] decides whether
//! a default may stand in for it, and the assessment names every default that it used.

use crate::assumed::Input;
use crate::head::Head;
use crate::quantity::{
    Angle, CellVolume, Compliance, Density, Diffusivity, Duration, Energy, Expansion, ExposureDose,
    Force, Fraction, HeatTransferCoefficient, Irradiance, Length, MolarEnergy, PlasmaDose, Power,
    Pressure, ShearRate, Speed, SurfaceTension, Temperature, Viscosity, Volume, VolumeFlow,
    WebTension,
};
use crate::rheology::Carreau;
use crate::room_air::Ventilation;
use crate::solvent::Solvent;

/// How the ink flows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rheology {
    /// One viscosity at every shear rate.
    Newtonian {
        /// Dynamic viscosity.
        viscosity: Viscosity,
    },
    /// Power law, eq 1.9: viscosity = consistency · rate^(index − 1).
    PowerLaw {
        /// Consistency, stated as the viscosity at a shear rate of 1 s⁻¹.
        consistency: Viscosity,
        /// Flow index (1 is Newtonian, below 1 shear-thinning).
        index: f64,
    },
    /// Carreau's law, eq 1.10, between a plateau at rest and one at high rate.
    Carreau(Carreau),
}

/// How the solvent's vapour pressure falls while the film dries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Activity {
    /// Activity 1 to the end: dispersions, particles, wires, slurries.
    Free,
    /// Flory–Huggins, eq 6.6, for a dissolved polymer.
    Polymer,
}

/// The particles of a dispersion, for the layer they pack to.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Particles {
    /// Usual diameter.
    pub diameter: Option<Length>,
    /// Shear modulus of a particle.
    pub shear_modulus: Option<Pressure>,
    /// Contacts of a particle in the packing; about 6 at random.
    pub contacts: Option<f64>,
    /// Largest suction of the drying liquid between the particles, as a positive number.
    pub suction: Option<Pressure>,
}

/// How a resin cures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CureKind {
    /// By free radicals, which oxygen of the air catches.
    FreeRadical,
    /// Cationically; oxygen does not matter.
    Cationic,
}

impl CureKind {
    /// Every kind.
    pub const ALL: [Self; 2] = [Self::FreeRadical, Self::Cationic];

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::FreeRadical => "free_radical",
            Self::Cationic => "cationic",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::FreeRadical => "By free radicals",
            Self::Cationic => "Cationically",
        }
    }
}

/// What an ink that cures under ultraviolet light needs of the lamp.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Resin {
    /// Dose at the bottom of the layer.
    pub dose: Option<ExposureDose>,
    /// Least peak irradiance at its surface.
    pub irradiance: Option<Irradiance>,
    /// Absorbance of the layer to base ten at the light of the lamp.
    pub absorbance: Option<f64>,
    /// How it cures.
    pub cure: Option<CureKind>,
}

/// The ink as it leaves the head.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Ink {
    /// Flow law; essential, has no default.
    pub rheology: Option<Rheology>,
    /// Stress below which the ink does not flow at all.
    pub yield_stress: Option<Pressure>,
    /// Shear rates over which the flow law was measured; it is held at their ends beyond.
    pub shear_rate_span: Option<Span<ShearRate>>,
    /// Temperature at which the flow law was measured.
    pub viscosity_temperature: Option<Temperature>,
    /// Activation energy of the viscosity, eq 1.20.
    pub activation_energy: Option<MolarEnergy>,
    /// Surface tension of the liquid.
    pub surface_tension: Option<SurfaceTension>,
    /// Dispersive part of the surface tension, if it was measured; the rest is the polar part.
    pub dispersive_tension: Option<SurfaceTension>,
    /// Density of the liquid ink.
    pub density: Option<Density>,
    /// Mass fraction of solids.
    pub solids: Option<Fraction>,
    /// Density of the dry solid.
    pub dry_density: Option<Density>,
    /// Porosity of the dry layer (0 for a dense polymer).
    pub dry_porosity: Option<Fraction>,
    /// Largest particle, already counted as a sphere (fibres: a third of their length).
    pub largest_particle: Option<Length>,
    /// The solvent that governs drying.
    pub solvent: Option<Solvent>,
    /// Activity model of the drying film.
    pub activity: Option<Activity>,
    /// Least energy that ignites its vapour.
    pub ignition_energy: Option<Energy>,
    /// Diffusivity of the solvent in the solidified film; slow drying at the end is left out if it is not stated.
    pub film_diffusivity: Option<Diffusivity>,
    /// Solvent per dry mass at which drying turns slow, where that diffusivity is stated.
    pub critical_residual: Option<Fraction>,
    /// Diffusivity of the solid in the wet film; that of the particles if their diameter is stated instead.
    pub wet_diffusivity: Option<Diffusivity>,
    /// The particles of a dispersion.
    pub particles: Particles,
    /// What it needs of an ultraviolet lamp.
    pub resin: Resin,
    /// Contact angle of the ink on the lip face.
    pub angle_on_lip: Option<Angle>,
    /// Contact angle of the ink on the foil as coated (after treatment).
    pub angle_on_foil: Option<Angle>,
}

/// Foils with handbook properties.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FoilMaterial {
    /// Biaxially drawn polyester.
    Pet,
    /// Heat-stabilised polyester.
    PetHeatStabilised,
    /// Polyethylene naphthalate.
    Pen,
    /// Polyimide.
    Polyimide,
    /// Paper.
    Paper,
    /// Aluminium foil.
    Aluminium,
    /// Copper foil.
    Copper,
    /// Stainless-steel foil.
    StainlessSteel,
}

/// The foil.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Foil {
    /// Material, if it is one with handbook properties.
    pub material: Option<FoilMaterial>,
    /// Thickness.
    pub thickness: Option<Length>,
    /// Width; on a roll-to-roll line wider than what is coated.
    pub width: Option<Length>,
    /// Elastic modulus along the web at room temperature; the handbook figure if not stated.
    pub elastic_modulus: Option<Pressure>,
    /// Stress at which it yields at room temperature; the handbook figure if not stated.
    pub yield_stress: Option<Pressure>,
    /// Thermal expansion along the web; the handbook figure if not stated.
    pub thermal_expansion: Option<Expansion>,
    /// Surface energy (wetting tension) before any treatment.
    pub surface_energy: Option<SurfaceTension>,
    /// Dispersive part of the surface energy before any treatment, if it was measured; the rest is the polar part.
    pub dispersive_energy: Option<SurfaceTension>,
    /// Highest temperature the user allows; the handbook figure if not stated.
    pub highest_temperature: Option<Temperature>,
    /// Shrinkage the user allows.
    pub allowed_shrinkage: Option<Fraction>,
    /// Length on the roll.
    pub roll_length: Option<Length>,
}

/// A closed span of a machine knob.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span<Q> {
    /// Least value the machine can set.
    pub least: Q,
    /// Greatest value the machine can set.
    pub greatest: Q,
}

/// A slot-die head.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SlotDie {
    /// Coated width; essential.
    pub coated_width: Option<Length>,
    /// Length of the downstream lip.
    pub downstream_lip: Option<Length>,
    /// Length of the upstream lip.
    pub upstream_lip: Option<Length>,
    /// Upstream gap as a multiple of the downstream (coating) gap.
    pub upstream_gap_ratio: Option<f64>,
    /// Corner angle of the upstream lip's outer edge.
    pub lip_corner: Option<Angle>,
    /// Height of the feed slot inside the die.
    pub feed_slot_height: Option<Length>,
    /// Length of the feed slot inside the die.
    pub feed_slot_length: Option<Length>,
    /// True if a vacuum box is fitted; without one the vacuum is zero and no record speaks of it.
    pub has_vacuum_box: bool,
    /// Span of the coating gap.
    pub gap_span: Option<Span<Length>>,
    /// How far the gap may be off, for the gap-tolerance record.
    pub gap_tolerance: Option<Length>,
    /// How far the height of the feed slot may be off across the web.
    pub slot_height_error: Option<Length>,
    /// Radius of the round cavity that spreads the ink, fed in its middle.
    pub manifold_radius: Option<Length>,
}

/// A gap that was set while roller and head were cold, and what heat takes from it. Where the line has a heated roller and
/// nothing is stated of the backing roller, the heated roller is taken to be it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ColdGap {
    /// Temperature at which the gap was set; the room if not stated.
    pub set_at: Option<Temperature>,
    /// Diameter of the roller behind the foil at the head.
    pub roller_diameter: Option<Length>,
    /// Thermal expansion of that roller.
    pub roller_expansion: Option<Expansion>,
    /// Temperature of that roller while coating.
    pub roller_temperature: Option<Temperature>,
    /// Length of die or knife from its mount to the gap.
    pub die_length: Option<Length>,
    /// Thermal expansion of die or knife.
    pub die_expansion: Option<Expansion>,
    /// Temperature of die or knife while coating; as it was set if not stated.
    pub die_temperature: Option<Temperature>,
}

/// The metering pump and its syringe.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pump {
    /// Span of the flow.
    pub flow_span: Option<Span<VolumeFlow>>,
    /// Usable volume of one filling.
    pub syringe_volume: Option<Volume>,
    /// Volume between pump and slot that has to be primed.
    pub dead_volume: Option<Volume>,
    /// Inner diameter of the syringe.
    pub syringe_bore: Option<Length>,
    /// Greatest force of the drive on the plunger.
    pub greatest_force: Option<Force>,
    /// Friction of the plunger.
    pub plunger_friction: Option<Force>,
    /// Inner diameter of the tube to the die.
    pub tube_bore: Option<Length>,
    /// Length of the tube to the die.
    pub tube_length: Option<Length>,
    /// Pressure that a filter in the line takes at the flow of the run.
    pub filter_drop: Option<Pressure>,
    /// Air trapped in the line, its volume at atmospheric pressure.
    pub trapped_air: Option<Volume>,
    /// How far syringe and tube give way.
    pub line_compliance: Option<Compliance>,
    /// Ink that one step of the motor moves.
    pub step_volume: Option<Volume>,
    /// Time that the line may take to follow a change.
    pub allowed_lag: Option<Duration>,
    /// Height of the ink in the syringe above the lips.
    pub level_above_lips: Option<Length>,
    /// Pressure that the weakest of syringe, tube and fittings is rated for.
    pub pressure_rating: Option<Pressure>,
}

/// The plasma pre-treatment.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PlasmaStation {
    /// Width of the electrode.
    pub electrode_width: Option<Length>,
    /// Span of the power.
    pub power_span: Option<Span<Power>>,
    /// Wetting tension the foil tends to at high dose.
    pub saturated_energy: Option<SurfaceTension>,
    /// Dose at which 63 % of the gain is reached (E₀ of eq 5.8).
    pub characteristic_dose: Option<PlasmaDose>,
    /// Time between treatment and coating; none if not stated, as for a station just before the head.
    pub age: Option<Duration>,
    /// Time constant with which the gain of the treatment fades.
    pub ageing_time: Option<Duration>,
    /// Exhaust of the station's hood, for the ozone estimate.
    pub exhaust: Option<VolumeFlow>,
}

/// The heated roller after the head.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HeatedRoller {
    /// Diameter.
    pub diameter: Option<Length>,
    /// Wrapped angle.
    pub wrap: Option<Angle>,
    /// Contact heat-transfer coefficient.
    pub contact: Option<HeatTransferCoefficient>,
    /// Span of the roller temperature.
    pub temperature_span: Option<Span<Temperature>>,
}

/// Where infrared lamps stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum InfraredPlace {
    /// In room air between head (or heated roller) and dryer; also on a line without a dryer.
    #[default]
    BeforeDryer,
    /// In the hot gas, from the entrance of the dryer on.
    InDryer,
}

impl InfraredPlace {
    /// Every place.
    pub const ALL: [Self; 2] = [Self::BeforeDryer, Self::InDryer];

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::BeforeDryer => "before_dryer",
            Self::InDryer => "in_dryer",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::BeforeDryer => "Before the dryer",
            Self::InDryer => "In the dryer",
        }
    }
}

/// The infrared lamps.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Infrared {
    /// Where they stand.
    pub place: InfraredPlace,
    /// Length of web under the lamps.
    pub length: Option<Length>,
    /// Share of the radiation that film and foil take up.
    pub absorbed: Option<Fraction>,
    /// Heat-transfer coefficient of the air on both sides before the dryer; in the dryer its own coefficients count.
    pub h: Option<HeatTransferCoefficient>,
    /// Span of the irradiance at the web.
    pub irradiance_span: Option<Span<Irradiance>>,
}

/// The gas that dries the film.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Gas {
    /// Room air.
    #[default]
    Air,
    /// Nitrogen.
    Nitrogen,
    /// Argon.
    Argon,
    /// Helium.
    Helium,
}

/// The hot-gas dryer.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Dryer {
    /// Length of the heated zone.
    pub length: Option<Length>,
    /// Gas.
    pub gas: Gas,
    /// Heat-transfer coefficient above the film.
    pub h_top: Option<HeatTransferCoefficient>,
    /// Heat-transfer coefficient below the foil.
    pub h_bottom: Option<HeatTransferCoefficient>,
    /// Span of the gas temperature.
    pub temperature_span: Option<Span<Temperature>>,
    /// Fresh gas fed to the dryer, measured at the inlet temperature; needed for the vapour estimate.
    pub fresh_gas: Option<VolumeFlow>,
    /// Residual solvent, per dry mass, at which the film counts as dry at the exit.
    pub residual_solvent: Option<Fraction>,
    /// Residual solvent, per dry mass, that the product shall not exceed.
    pub residual_target: Option<Fraction>,
    /// Speed of the gas along the film.
    pub gas_speed: Option<Speed>,
    /// Exit speed of nozzles that blow onto the film.
    pub jet_speed: Option<Speed>,
    /// Distance along the web over which the pressure of a nozzle's jet falls off.
    pub jet_reach: Option<Length>,
    /// Power of the installed heaters.
    pub heater_power: Option<Power>,
    /// Temperature of the coolest wall that the exhaust touches.
    pub coolest_wall: Option<Temperature>,
    /// Gas that the dryer holds.
    pub gas_volume: Option<Volume>,
}

/// A foil that covers the resin below the lamp: laid on top, or the web itself if the lamp shines from below.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct UvCover {
    /// Material, if it is one with handbook properties.
    pub material: Option<FoilMaterial>,
    /// Share of the lamp's light that it lets through.
    pub transmittance: Option<Fraction>,
}

/// The ultraviolet lamp, after the dryer.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct UvStation {
    /// Irradiance at the web at full power, mean along the window.
    pub irradiance: Option<Irradiance>,
    /// Peak irradiance at the web at full power; the mean if not stated.
    pub peak_irradiance: Option<Irradiance>,
    /// Length of the window along the web; of several lamps together.
    pub window: Option<Length>,
    /// Wavelength of the strongest line.
    pub wavelength: Option<Length>,
    /// Oxygen at the film.
    pub oxygen: Option<Fraction>,
    /// What covers the resin.
    pub cover: Option<UvCover>,
    /// Share of the dose that heats film and foil.
    pub absorbed: Option<Fraction>,
    /// Span of the lamp power as a share of full power.
    pub power_span: Option<Span<Fraction>>,
}

/// How the tension of the zone with head and dryer is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum TensionControl {
    /// By a dancer, a load cell, a brake or a clutch: the tension stays whatever the length of the web does.
    #[default]
    Held,
    /// By driven rollers at a fixed ratio of their speeds: the tension follows the length of the web.
    FixedDraw,
}

impl TensionControl {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Held, Self::FixedDraw];

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Held => "held",
            Self::FixedDraw => "fixed_draw",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Held => "Held by dancer, load cell, brake or clutch",
            Self::FixedDraw => "Fixed draw between driven rollers",
        }
    }
}

/// The way of the web from unwinder to rewinder.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WebPath {
    /// How its tension is kept.
    pub control: TensionControl,
    /// Speed of the roller after a zone of fixed draw over that before it, less one; may be negative.
    pub draw: Option<f64>,
    /// Span of the tension.
    pub tension_span: Option<Span<WebTension>>,
    /// Least tension at which the web still tracks.
    pub least_tension: Option<WebTension>,
    /// Share of the yield stress that tension may take.
    pub stress_share: Option<Fraction>,
    /// Share of the foil's shrinkage that shows in the time in the dryer.
    pub shrinkage_share: Option<Fraction>,
    /// Longest free span between two rollers.
    pub longest_span: Option<Length>,
    /// How far two rollers are out of line.
    pub misalignment: Option<Angle>,
    /// Share of the widening of a hot web that its surroundings hold back.
    pub restrained_widening: Option<Fraction>,
    /// Diameter of the largest roller.
    pub roller_diameter: Option<Length>,
    /// Root-mean-square roughness of web and roller together.
    pub roughness: Option<Length>,
    /// Angle over which the web wraps a driven roller.
    pub wrap: Option<Angle>,
    /// Friction of the web on a driven roller.
    pub friction: Option<f64>,
    /// Speed at which the web is threaded by hand.
    pub threading_speed: Option<Speed>,
}

/// A sheet of foil that is clamped on one roll and coated in one turn of it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SingleRoll {
    /// Diameter of the roll.
    pub diameter: Option<Length>,
    /// Part of its circumference that the clamp takes, and that cannot be coated.
    pub clamp: Option<Length>,
    /// Speed at which it is turned by hand while the sheet is clamped.
    pub threading_speed: Option<Speed>,
}

/// How the foil comes to the head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Web {
    /// From an unwinder to a rewinder.
    RollToRoll(WebPath),
    /// A sheet on one roll: no leader, no tension to set, and no more foil than one lap.
    SingleRoll(SingleRoll),
}

/// What joins the two foils of a laminate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum AdhesiveKind {
    /// A thermoplastic film or coating that melts in the nip.
    #[default]
    HotMelt,
    /// An adhesive that is tacky at room temperature.
    PressureSensitive,
    /// A resin that the ultraviolet lamp cures after the nip.
    UvCured,
}

impl AdhesiveKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::HotMelt, Self::PressureSensitive, Self::UvCured];

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::HotMelt => "hot_melt",
            Self::PressureSensitive => "pressure_sensitive",
            Self::UvCured => "uv_cured",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::HotMelt => "Hot melt",
            Self::PressureSensitive => "Pressure-sensitive",
            Self::UvCured => "UV-cured",
        }
    }

    /// Least pressure that it usually needs in the nip (common practice).
    pub const fn usual_pressure(self) -> Pressure {
        match self {
            Self::HotMelt => Pressure::from_kpa(100.0),
            Self::PressureSensitive | Self::UvCured => Pressure::from_kpa(50.0),
        }
    }

    /// Least time that it usually needs in the nip (common practice); `None` if light does the work.
    pub const fn usual_dwell(self) -> Option<Duration> {
        match self {
            Self::HotMelt => Some(Duration::from_s(0.1)),
            Self::PressureSensitive => Some(Duration::from_s(0.05)),
            Self::UvCured => None,
        }
    }
}

/// The adhesive of a laminate.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Adhesive {
    /// What kind it is.
    pub kind: AdhesiveKind,
    /// Pressure that it needs in the nip.
    pub needed_pressure: Option<Pressure>,
    /// Time that it needs in the nip.
    pub needed_dwell: Option<Duration>,
    /// Temperature from which a hot melt flows.
    pub softening: Option<Temperature>,
    /// Temperature that it stands.
    pub highest_temperature: Option<Temperature>,
    /// Activation energy of its flow, for the dose of a hot melt.
    pub activation_energy: Option<MolarEnergy>,
    /// Storage modulus at 1 Hz of a pressure-sensitive adhesive.
    pub modulus_at_1_hz: Option<Pressure>,
}

/// The foil that a laminator lays on the coated web.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LaidFoil {
    /// Material.
    pub material: Option<FoilMaterial>,
    /// Thickness, with the adhesive that is coated on it.
    pub thickness: Option<Length>,
    /// Tension at which it comes off its roll.
    pub tension: Option<WebTension>,
}

/// The laminator: a hot steel roller, behind the foil that is laid on, against a roller with a rubber cover.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Laminator {
    /// The adhesive.
    pub adhesive: Adhesive,
    /// The foil that is laid on.
    pub laid: LaidFoil,
    /// Diameter of the hot roller.
    pub hot_roller: Option<Length>,
    /// Diameter of the roller with the rubber cover.
    pub counter_roller: Option<Length>,
    /// Elastic modulus of the rubber.
    pub rubber_modulus: Option<Pressure>,
    /// Poisson's ratio of the rubber.
    pub rubber_poisson_ratio: Option<f64>,
    /// Temperature of both foils before the nip; the room if not stated.
    pub arriving: Option<Temperature>,
    /// Span of the load per width.
    pub load_span: Option<Span<WebTension>>,
    /// Span of the temperature of the hot roller.
    pub temperature_span: Option<Span<Temperature>>,
}

/// Room and open path between head and dryer.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Surroundings {
    /// Room temperature.
    pub room_temperature: Option<Temperature>,
    /// Relative humidity of the room.
    pub relative_humidity: Option<Fraction>,
    /// Length of the open path from head to dryer.
    pub open_path: Option<Length>,
    /// Heat-transfer coefficient on both sides of the open path.
    pub open_path_h: Option<HeatTransferCoefficient>,
    /// Volume of the room.
    pub room_volume: Option<Volume>,
    /// How the room is ventilated; leaks do not count.
    pub ventilation: Option<Ventilation>,
    /// Most ink that one spill can lose; the syringe if not stated.
    pub spill: Option<Volume>,
}

/// Everything that a run does not change. A station that is `None` is not on the line and yields no record at all.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Line {
    /// The ink.
    pub ink: Ink,
    /// The foil.
    pub foil: Foil,
    /// The head.
    pub head: Head,
    /// The pump, if its card is known.
    pub pump: Option<Pump>,
    /// What heat takes from the gap, if the gap was set cold; else the gap of a setting is the hot one.
    pub cold_gap: Option<ColdGap>,
    /// The plasma station.
    pub plasma: Option<PlasmaStation>,
    /// The heated roller.
    pub roller: Option<HeatedRoller>,
    /// The infrared lamps.
    pub infrared: Option<Infrared>,
    /// The dryer.
    pub dryer: Option<Dryer>,
    /// The ultraviolet lamp.
    pub uv: Option<UvStation>,
    /// The laminator, after the dryer and before the ultraviolet lamp.
    pub laminator: Option<Laminator>,
    /// How the foil comes to the head, if it is known.
    pub web: Option<Web>,
    /// Room and open path.
    pub surroundings: Surroundings,
    /// Span of the web speed.
    pub speed_span: Option<Span<Speed>>,
    /// Foil that must pass before the first sample (threading and settling), for the roll-length record.
    pub leader: Option<Length>,
    /// Path of the web from the head to where the film is looked at; through the dryer if not stated.
    pub inspection_path: Option<Length>,
    /// Longest time the ink may stand after opening.
    pub pot_life: Option<Duration>,
    /// How far gas, jets or dewetting may move the wet film.
    pub allowed_shift: Option<Length>,
    /// Share by which the wet thickness may miss what is wanted.
    pub thickness_tolerance: Option<Fraction>,
}

/// The machine knobs of one run. `None`: not stated, or the line has no such knob.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Setting {
    /// Web speed; essential.
    pub speed: Option<Speed>,
    /// Tension of the web where it enters the zone with head and dryer; no knob of a single roll.
    pub tension: Option<WebTension>,
    /// Pump flow; essential on a slot die (the wet thickness follows from it), what feeds any other head.
    pub flow: Option<VolumeFlow>,
    /// Gap of a slot die or a knife, foil subtracted; essential on both, and no knob of any other head. The hot one, unless
    /// the line says that gaps are set cold.
    pub gap: Option<Length>,
    /// Wire diameter of the bar of this run; that of the bar that is mounted if not stated.
    pub wire_diameter: Option<Length>,
    /// Volume of the cells of the engraved roll of this run; that of the roll that is mounted if not stated.
    pub cell_volume: Option<CellVolume>,
    /// How far plate and foil of a flexo unit are pressed together beyond first contact.
    pub impression: Option<Length>,
    /// Speed of the engraved roll of a gravure unit over that of the web.
    pub speed_ratio: Option<f64>,
    /// Wet thickness that is wanted, where the head and not the pump sets it.
    pub wanted_wet_thickness: Option<Length>,
    /// Vacuum under the upstream meniscus.
    pub vacuum: Option<Pressure>,
    /// Plasma power.
    pub plasma_power: Option<Power>,
    /// Heated-roller temperature.
    pub roller_temperature: Option<Temperature>,
    /// Irradiance of the infrared lamps at the web; zero with the lamps off.
    pub infrared_power: Option<Irradiance>,
    /// Dryer gas temperature.
    pub gas_temperature: Option<Temperature>,
    /// Load of the laminator's nip per width.
    pub nip_load: Option<WebTension>,
    /// Temperature of the laminator's hot roller.
    pub lamination_temperature: Option<Temperature>,
    /// Power of the ultraviolet lamp as a share of full power; zero with the lamp off.
    pub uv_power: Option<Fraction>,
    /// Temperature of the ink where the head shapes the film; the flow law counts as stated without it.
    pub ink_temperature: Option<Temperature>,
    /// Length of foil that this run needs (settling and sample), for the syringe and roll records.
    pub foil_needed: Option<Length>,
    /// Foil that is granted for settling before the sample.
    pub settling_granted: Option<Length>,
}

impl Setting {
    /// The setting with one knob set to a number in SI units, or `None` if the input is no knob of a run.
    #[must_use]
    pub const fn with_knob(mut self, knob: Input, si: f64) -> Option<Self> {
        match knob {
            Input::Speed => self.speed = Some(Speed::from_m_per_s(si)),
            Input::Flow => self.flow = Some(VolumeFlow::from_m3_per_s(si)),
            Input::Gap => self.gap = Some(Length::from_m(si)),
            Input::WireDiameter => self.wire_diameter = Some(Length::from_m(si)),
            Input::CellVolume => self.cell_volume = Some(CellVolume::from_m3_per_m2(si)),
            Input::SpeedRatio => self.speed_ratio = Some(si),
            Input::Impression => self.impression = Some(Length::from_m(si)),
            Input::WantedWetThickness => self.wanted_wet_thickness = Some(Length::from_m(si)),
            Input::Vacuum => self.vacuum = Some(Pressure::from_pa(si)),
            Input::PlasmaPower => self.plasma_power = Some(Power::from_w(si)),
            Input::RollerTemperature => self.roller_temperature = Some(Temperature::from_k(si)),
            Input::InfraredPower => self.infrared_power = Some(Irradiance::from_w_per_m2(si)),
            Input::GasTemperature => self.gas_temperature = Some(Temperature::from_k(si)),
            Input::UvPower => self.uv_power = Some(Fraction::from_ratio(si)),
            Input::InkTemperature => self.ink_temperature = Some(Temperature::from_k(si)),
            Input::FoilNeeded => self.foil_needed = Some(Length::from_m(si)),
            _ => return None,
        }
        Some(self)
    }
}
