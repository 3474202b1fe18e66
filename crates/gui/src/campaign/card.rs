//! Cards: what is known of ink, foil and line, as typed, each value with its unit and how well it is known.
//!
//! A card is a set of fields. What a field is called, what it measures and what it means stands in one table, so that
//! the screens, the files, the list of assumptions and the uncertainties all speak of the same thing.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::unit::{Dimension, Quantity, Unit};

/// How a value came to be known.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, Default,
)]
#[serde(rename_all = "snake_case")]
pub enum HowKnown {
    /// Measured on this material or machine.
    #[default]
    Measured,
    /// From the maker's data sheet.
    DataSheet,
    /// Typical of its kind.
    Typical,
    /// A guess.
    Guessed,
}

impl HowKnown {
    /// All of them, best first.
    pub const ALL: [Self; 4] = [
        Self::Measured,
        Self::DataSheet,
        Self::Typical,
        Self::Guessed,
    ];

    /// Word for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::DataSheet => "data sheet",
            Self::Typical => "typical",
            Self::Guessed => "guessed",
        }
    }
}

/// What stands in a field.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Entry {
    /// A number with its unit.
    Number(NumberEntry),
    /// A word of a fixed list (a solvent, a foil, a gas, yes or no).
    Word(String),
}

/// A number with its unit and how it is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NumberEntry {
    /// The number as typed.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
    /// How it is known.
    #[serde(default)]
    pub known: HowKnown,
}

impl NumberEntry {
    /// The quantity without how it is known.
    pub const fn quantity(self) -> Quantity {
        Quantity::new(self.value, self.unit)
    }
}

/// What a field holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FieldKind {
    /// A number of this dimension.
    Number(Dimension),
    /// One of the words of [`Field::words`].
    Word,
}

macro_rules! fields {
    ($( $variant:ident, $key:literal, $label:literal, $kind:expr, $help:literal; )+) => {
        /// Every field of every card.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum Field {
            $(
                #[doc = $help]
                #[serde(rename = $key)]
                $variant,
            )+
        }

        impl Field {
            /// Every field.
            pub const ALL: &'static [Self] = &[$( Self::$variant, )+];

            /// Name in files.
            pub const fn key(self) -> &'static str {
                match self { $( Self::$variant => $key, )+ }
            }

            /// Name on screen.
            pub const fn label(self) -> &'static str {
                match self { $( Self::$variant => $label, )+ }
            }

            /// What it holds.
            pub const fn kind(self) -> FieldKind {
                match self { $( Self::$variant => $kind, )+ }
            }

            /// One sentence that explains it.
            pub const fn help(self) -> &'static str {
                match self { $( Self::$variant => $help, )+ }
            }
        }
    };
}

const fn number(dimension: Dimension) -> FieldKind {
    FieldKind::Number(dimension)
}

fields! {
    Viscosity, "viscosity", "Viscosity", number(Dimension::Viscosity), "Viscosity of the ink where it counts: in the die, at coating temperature.";
    Consistency, "consistency", "Consistency", number(Dimension::Viscosity), "Power-law consistency: the viscosity at a shear rate of 1 per second. Use it with the flow index instead of a viscosity.";
    FlowIndex, "flow_index", "Flow index", number(Dimension::Ratio), "Power-law index: 1 flows like water, below 1 thins under shear.";
    RestViscosity, "rest_viscosity", "Viscosity at rest", number(Dimension::Viscosity), "Carreau's law: the plateau at low shear rate. Use it with the plateau at high rate, the time constant and the flow index.";
    HighRateViscosity, "high_rate_viscosity", "Viscosity at high rate", number(Dimension::Viscosity), "Carreau's law: the plateau at high shear rate.";
    TimeConstant, "time_constant", "Time constant", number(Dimension::Duration), "Carreau's law: one over the shear rate at which thinning begins.";
    YieldStress, "yield_stress", "Yield stress", number(Dimension::Pressure), "Stress below which the ink does not flow; marks below it never level.";
    ShearRateLeast, "shear_rate_least", "Lowest measured shear rate", number(Dimension::ShearRate), "Lowest shear rate at which the flow law was measured.";
    ShearRateGreatest, "shear_rate_greatest", "Highest measured shear rate", number(Dimension::ShearRate), "Highest shear rate at which the flow law was measured.";
    ViscosityTemperature, "viscosity_temperature", "Measured at", number(Dimension::Temperature), "Temperature at which the flow law was measured.";
    ActivationEnergy, "activation_energy", "Activation energy", number(Dimension::MolarEnergy), "How fast the viscosity falls with temperature: solvents 7 to 17 kJ/mol, resin inks 30 to 60 kJ/mol.";
    SurfaceTension, "surface_tension", "Surface tension", number(Dimension::SurfaceTension), "Surface tension of the ink.";
    DispersiveTension, "dispersive_tension", "Dispersive part of the tension", number(Dimension::SurfaceTension), "Dispersive part of the ink's surface tension; with the foil's it predicts the contact angle.";
    Density, "density", "Density", number(Dimension::Density), "Density of the liquid ink.";
    Solids, "solids", "Solids", number(Dimension::Fraction), "Mass fraction of solids in the ink.";
    DryDensity, "dry_density", "Dry density", number(Dimension::Density), "Density of the dry solid without pores.";
    DryPorosity, "dry_porosity", "Dry porosity", number(Dimension::Fraction), "Share of pores in the dry layer: near 0 for a dense polymer, 30 to 50 % for particle layers.";
    LargestParticle, "largest_particle", "Largest particle", number(Dimension::Length), "Largest particle counted as a sphere; a fibre or wire counts with a third of its length.";
    Solvent, "solvent", "Solvent", FieldKind::Word, "The solvent that governs drying; in a mixture the least volatile one.";
    Activity, "activity", "Drying behaviour", FieldKind::Word, "Free: dispersions, particles, wires and slurries. Polymer: the solid is a dissolved polymer that holds the solvent back.";
    FilmDiffusivity, "film_diffusivity", "Diffusivity in the film", number(Dimension::Diffusivity), "Diffusivity of the solvent in the nearly dry film: it decides how long the last of it takes.";
    CriticalResidual, "critical_residual", "Slow drying begins at", number(Dimension::Fraction), "Residual solvent, per dry mass, at which drying turns slow.";
    CureDose, "cure_dose", "Dose to cure", number(Dimension::ExposureDose), "Ultraviolet dose that the resin needs at the bottom of the layer, from its data sheet.";
    CureIrradiance, "cure_irradiance", "Irradiance to cure", number(Dimension::Irradiance), "Least peak irradiance at the surface, from the resin's data sheet.";
    CureAbsorbance, "cure_absorbance", "Absorbance of the layer", number(Dimension::Ratio), "Absorbance of the layer to base ten at the light of the lamp.";
    Cure, "cure", "Cures", FieldKind::Word, "By free radicals, which oxygen catches, or cationically.";
    AngleOnLip, "angle_on_lip", "Angle on the lip", number(Dimension::Angle), "Contact angle of the ink on the lip face of the die.";
    AngleOnFoil, "angle_on_foil", "Angle on the foil", number(Dimension::Angle), "Contact angle of the ink on the foil as it is coated, after any treatment.";
    PotLife, "pot_life", "Pot life", number(Dimension::Duration), "How long an opened bottle can be used.";
    Material, "material", "Material", FieldKind::Word, "What the foil is made of.";
    Thickness, "thickness", "Thickness", number(Dimension::Length), "Thickness of the foil.";
    SurfaceEnergy, "surface_energy", "Surface energy, untreated", number(Dimension::SurfaceTension), "Wetting tension of the foil before any treatment, by test inks.";
    DispersiveEnergy, "dispersive_energy", "Dispersive part of the energy", number(Dimension::SurfaceTension), "Dispersive part of the foil's surface energy as coated.";
    HighestTemperature, "highest_temperature", "Highest temperature", number(Dimension::Temperature), "The hottest the foil may become.";
    AllowedShrinkage, "allowed_shrinkage", "Allowed shrinkage", number(Dimension::Fraction), "How much the foil may shrink along the web.";
    RollLength, "roll_length", "Length on the roll", number(Dimension::Length), "Foil on the roll in hand.";
    SpeedLeast, "speed_least", "Slowest speed", number(Dimension::Speed), "Slowest web speed the machine holds.";
    SpeedGreatest, "speed_greatest", "Fastest speed", number(Dimension::Speed), "Fastest web speed.";
    RoomTemperature, "room_temperature", "Room temperature", number(Dimension::Temperature), "Temperature of the room.";
    RelativeHumidity, "relative_humidity", "Humidity", number(Dimension::Fraction), "Relative humidity of the room.";
    OpenPath, "open_path", "Open path to the dryer", number(Dimension::Length), "Web path from the head to the dryer entry.";
    OpenPathH, "open_path_h", "Heat transfer, open path", number(Dimension::HeatTransfer), "Heat-transfer coefficient on both sides of the open path.";
    Leader, "leader", "Leader", number(Dimension::Length), "Foil that is threaded and lost before the first sample.";
    CoatedWidth, "coated_width", "Coated width", number(Dimension::Length), "Width of the wet film.";
    DownstreamLip, "downstream_lip", "Downstream lip", number(Dimension::Length), "Length of the lip on the side where the film leaves.";
    UpstreamLip, "upstream_lip", "Upstream lip", number(Dimension::Length), "Length of the lip on the side where the foil enters.";
    UpstreamGapRatio, "upstream_gap_ratio", "Upstream gap over gap", number(Dimension::Ratio), "Gap under the upstream lip as a multiple of the coating gap.";
    LipCorner, "lip_corner", "Lip corner", number(Dimension::Angle), "Corner angle of the outer edge of the upstream lip.";
    FeedSlotHeight, "feed_slot_height", "Feed slot height", number(Dimension::Length), "Height of the slot inside the die.";
    FeedSlotLength, "feed_slot_length", "Feed slot length", number(Dimension::Length), "Length of the slot inside the die.";
    VacuumBox, "vacuum_box", "Vacuum box", FieldKind::Word, "Whether a vacuum box is fitted under the upstream side of the bead.";
    GapLeast, "gap_least", "Smallest gap", number(Dimension::Length), "Smallest coating gap the head can be set to.";
    GapGreatest, "gap_greatest", "Largest gap", number(Dimension::Length), "Largest coating gap.";
    GapTolerance, "gap_tolerance", "Gap tolerance", number(Dimension::Length), "How far the gap may be off across the web.";
    KnifeShape, "knife_shape", "Shape of the knife", FieldKind::Word, "How the knife closes on the web; it decides the film over the gap.";
    FilmOverGap, "film_over_gap", "Film over gap, measured", number(Dimension::Ratio), "Wet thickness over gap, if it was measured; it outranks the shape of the knife.";
    InletGapRatio, "inlet_gap_ratio", "Inlet gap over gap", number(Dimension::Ratio), "Inlet gap of a wedge as a multiple of its exit gap.";
    LandLength, "land_length", "Land", number(Dimension::Length), "Length of the land along the web.";
    BankHeight, "bank_height", "Bank height", number(Dimension::Length), "Height of the bank of ink before the knife.";
    KnifeDiameter, "knife_diameter", "Knife diameter", number(Dimension::Length), "Diameter of a round knife, comma bar or roll.";
    RunOut, "run_out", "Run-out", number(Dimension::Length), "How much the gap swings with a turn of the backing roller, between its ends.";
    WireDiameter, "wire_diameter", "Wire diameter", number(Dimension::Length), "Diameter of the wire of the bar that is mounted.";
    FilmOverWire, "film_over_wire", "Film over wire, measured", number(Dimension::Ratio), "Wet thickness over wire diameter, if it was measured; else that of the grooves.";
    GravureArrangement, "gravure_arrangement", "Arrangement", FieldKind::Word, "How the engraved roll meets the web.";
    CellVolume, "cell_volume", "Cell volume", number(Dimension::CellVolume), "Volume of the cells of the engraved roll that is mounted, per area.";
    CellDepthRatio, "cell_depth_ratio", "Cell depth over volume", number(Dimension::Ratio), "Depth of the cells over their volume per area.";
    CellLines, "cell_lines", "Lines", number(Dimension::LineCount), "Lines of cells of the engraved roll.";
    DoctorToNip, "doctor_to_nip", "Blade to nip", number(Dimension::Length), "Way of the roll's surface from the doctor blade to the nip, on which ink dries in.";
    EngravedDiameter, "engraved_diameter", "Roll diameter", number(Dimension::Length), "Diameter of the engraved roll.";
    EngravedGap, "engraved_gap", "Gap of the roll", number(Dimension::Length), "Gap at which the engraved roll stands from the web, where they do not touch.";
    Pickout, "pickout", "Transfer, measured", number(Dimension::Fraction), "Share of the cell volume that reaches the web, if it was measured: weigh a wet sample.";
    PickoutExponent, "pickout_exponent", "Transfer exponent", number(Dimension::Ratio), "Exponent with which the transfer falls with the capillary number; give the capillary number of its measurement too.";
    PickoutReference, "pickout_reference", "Transfer measured at Ca", number(Dimension::Ratio), "Capillary number at which the transfer was measured.";
    FillingCapillaryNumber, "filling_capillary_number", "Cells filled up to Ca", number(Dimension::Ratio), "Capillary number above which the cells of this roll are no longer filled, if it was measured.";
    AniloxMetering, "anilox_metering", "Metering", FieldKind::Word, "What takes the surplus off the anilox: a rubber roll, or the blades of a chamber.";
    ToPlate, "to_plate", "Transfer to the plate", number(Dimension::Fraction), "Share of the cell volume that goes to the plate; about half if not measured.";
    ToFoil, "to_foil", "Transfer to the foil", number(Dimension::Fraction), "Share of the plate's film that goes to the foil; about half if not measured.";
    PrintedShare, "printed_share", "Printed share", number(Dimension::Fraction), "Share of the area that prints: 100 % for a solid.";
    PlateLines, "plate_lines", "Plate lines", number(Dimension::LineCount), "Lines of the plate's screen.";
    ThicknessTolerance, "thickness_tolerance", "Thickness tolerance", number(Dimension::Fraction), "Share by which the wet thickness may miss what is wanted.";
    FlowLeast, "flow_least", "Smallest flow", number(Dimension::VolumeFlow), "Smallest flow the pump delivers steadily.";
    FlowGreatest, "flow_greatest", "Largest flow", number(Dimension::VolumeFlow), "Largest flow of the pump.";
    SyringeVolume, "syringe_volume", "Syringe volume", number(Dimension::Volume), "Usable volume of one filling.";
    DeadVolume, "dead_volume", "Dead volume", number(Dimension::Volume), "Ink that fills pump line and die before the first drop reaches the foil.";
    SyringeBore, "syringe_bore", "Syringe bore", number(Dimension::Length), "Inner diameter of the syringe.";
    GreatestForce, "greatest_force", "Greatest force", number(Dimension::Force), "Greatest force of the drive on the plunger.";
    PlungerFriction, "plunger_friction", "Plunger friction", number(Dimension::Force), "Force that moves the plunger without ink.";
    TubeBore, "tube_bore", "Tube bore", number(Dimension::Length), "Inner diameter of the tube to the head.";
    TubeLength, "tube_length", "Tube length", number(Dimension::Length), "Length of the tube to the head.";
    FilterDrop, "filter_drop", "Filter drop", number(Dimension::Pressure), "Pressure that a filter in the line takes at the flow of a run.";
    TrappedAir, "trapped_air", "Trapped air", number(Dimension::Volume), "Air in the line; it makes the flow lag behind the pump.";
    StepVolume, "step_volume", "Volume of a step", number(Dimension::Volume), "Ink that one step of the motor moves; slow pumps print their steps as bars.";
    AllowedLag, "allowed_lag", "Lag allowed", number(Dimension::Duration), "Time that the flow may take to follow a change.";
    LevelAboveLips, "level_above_lips", "Ink above the lips", number(Dimension::Length), "Height of the ink in the syringe above the lips; at a stop it runs out.";
    PressureRating, "pressure_rating", "Pressure rating", number(Dimension::Pressure), "What the weakest of syringe, tube and fittings stands.";
    SlotHeightError, "slot_height_error", "Slot height error", number(Dimension::Length), "How far the height of the feed slot is off across the web.";
    ManifoldRadius, "manifold_radius", "Manifold radius", number(Dimension::Length), "Radius of the round cavity that spreads the ink, fed in its middle.";
    GapSetAt, "gap_set_at", "Gap set at", number(Dimension::Temperature), "Temperature at which the gap was set; the room stands in for it.";
    BackingDiameter, "backing_diameter", "Backing roller", number(Dimension::Length), "Diameter of the roller behind the foil at the head; with its temperature, a gap that was set cold closes.";
    BackingTemperature, "backing_temperature", "Backing roller at", number(Dimension::Temperature), "Temperature of that roller while coating.";
    HeadLength, "head_length", "Mount to gap", number(Dimension::Length), "Length of die or knife from its mount to the gap.";
    HeadTemperature, "head_temperature", "Head at", number(Dimension::Temperature), "Temperature of die or knife while coating.";
    WetDiffusivity, "wet_diffusivity", "Diffusivity in the wet film", number(Dimension::Diffusivity), "Diffusivity of the solid in the wet film: it decides whether a skin forms.";
    ParticleDiameter, "particle_diameter", "Particle diameter", number(Dimension::Length), "Usual diameter of the particles.";
    ParticleModulus, "particle_modulus", "Particle shear modulus", number(Dimension::Pressure), "Shear modulus of a particle: soft ones deform before the layer cracks.";
    AllowedShift, "allowed_shift", "Shift allowed", number(Dimension::Length), "How far gas, jets or dewetting may move the wet film.";
    InspectionPath, "inspection_path", "Head to where you look", number(Dimension::Length), "Web path from the head to where the film is looked at; through the dryer if not stated.";
    ElectrodeWidth, "electrode_width", "Electrode width", number(Dimension::Length), "Width that the plasma treats.";
    PowerLeast, "power_least", "Least power", number(Dimension::Power), "Least power that burns steadily.";
    PowerGreatest, "power_greatest", "Greatest power", number(Dimension::Power), "Greatest power.";
    SaturatedEnergy, "saturated_energy", "Surface energy, saturated", number(Dimension::SurfaceTension), "Wetting tension that the foil tends to at high dose.";
    CharacteristicDose, "characteristic_dose", "Characteristic dose", number(Dimension::PlasmaDose), "Dose at which 63 % of the gain in wetting tension is reached.";
    TreatmentAge, "treatment_age", "Age of the treatment", number(Dimension::Duration), "Time between treatment and coating, if the foil was treated on another day.";
    AgeingTime, "ageing_time", "Ageing time", number(Dimension::Duration), "Time constant with which the gain of the treatment fades.";
    IgnitionEnergy, "ignition_energy", "Ignition energy", number(Dimension::Energy), "Least energy of a spark that ignites the vapour, from the safety data sheet; 0.2 mJ stands in for it.";
    FoilWidth, "foil_width", "Width", number(Dimension::Length), "Width of the foil; on a roll-to-roll line wider than what is coated.";
    FoilModulus, "foil_modulus", "Elastic modulus", number(Dimension::Pressure), "Elastic modulus along the web; the handbook figure of the material stands in for it.";
    FoilYieldStress, "foil_yield_stress", "Yield stress", number(Dimension::Pressure), "Stress at which the foil yields; of films the stress at 5 % strain.";
    FoilExpansion, "foil_expansion", "Thermal expansion", number(Dimension::Expansion), "Thermal expansion along the web.";
    TensionControl, "tension_control", "Tension", FieldKind::Word, "How the tension is kept: held, or by a fixed ratio of the speeds of driven rollers.";
    Draw, "draw", "Draw", number(Dimension::Fraction), "Of a fixed draw: how much faster the roller after the dryer turns than the one before the head.";
    TensionLeast, "tension_least", "Least tension", number(Dimension::LineForce), "Least tension of the web, per width, that the machine holds.";
    TensionGreatest, "tension_greatest", "Greatest tension", number(Dimension::LineForce), "Greatest tension of the web, per width.";
    TrackingTension, "tracking_tension", "Tension to track", number(Dimension::LineForce), "Least tension, per width, at which the web still runs straight.";
    LongestSpan, "longest_span", "Longest free span", number(Dimension::Length), "Longest way of the web from roller to roller; troughs form there first.";
    Misalignment, "misalignment", "Rollers out of line", number(Dimension::Angle), "How far two rollers are out of line; 0.1 mm on a metre are 0.006°.";
    IdlerDiameter, "idler_diameter", "Largest roller", number(Dimension::Length), "Diameter of the largest roller that the web wraps; it floats there first.";
    WebRoughness, "web_roughness", "Roughness", number(Dimension::Length), "Root-mean-square roughness of web and roller together.";
    ThreadingSpeed, "threading_speed", "Threading speed", number(Dimension::Speed), "Speed at which foil is threaded or clamped by hand.";
    SingleRollDiameter, "single_roll_diameter", "Roll diameter", number(Dimension::Length), "Diameter of the roll on which a sheet is clamped.";
    Clamp, "clamp", "Lost to the clamp", number(Dimension::Length), "Part of the roll's circumference that the clamp takes.";
    RoomVolume, "room_volume", "Volume of the room", number(Dimension::Volume), "Volume of the room: where a spill or an inert gas goes.";
    FreshAir, "fresh_air", "Fresh air of the room", number(Dimension::VolumeFlow), "Fresh air that a ventilation brings into the room; leaks do not count.";
    RoomExtract, "room_extract", "Extract of the room", number(Dimension::VolumeFlow), "Flow of an extract fan, where the fresh air itself is not known.";
    SpillVolume, "spill_volume", "Largest spill", number(Dimension::Volume), "Most ink that one spill can lose; one filling of the syringe stands in for it.";
    GasVolume, "gas_volume", "Gas in the dryer", number(Dimension::Volume), "Gas that the dryer holds: how fast vapour gathers when the exhaust stops.";
    Adhesive, "adhesive", "Adhesive", FieldKind::Word, "What joins the two foils.";
    BondPressure, "bond_pressure", "Pressure it needs", number(Dimension::Pressure), "Least pressure in the nip, from the adhesive's data sheet.";
    BondDwell, "bond_dwell", "Time it needs", number(Dimension::Duration), "Least time in the nip, from the adhesive's data sheet.";
    Softening, "softening", "Softens at", number(Dimension::Temperature), "Temperature from which a hot melt flows.";
    AdhesiveHighest, "adhesive_highest", "Stands at most", number(Dimension::Temperature), "Highest temperature that the adhesive stands.";
    AdhesiveActivation, "adhesive_activation", "Activation energy of its flow", number(Dimension::MolarEnergy), "How fast a hot melt gets softer with temperature; for the lamination dose.";
    AdhesiveModulus, "adhesive_modulus", "Modulus at 1 Hz", number(Dimension::Pressure), "Storage modulus of a pressure-sensitive adhesive at 1 Hz; above 300 kPa it does not wet what it is pressed on.";
    LaidMaterial, "laid_material", "Foil laid on", FieldKind::Word, "Material of the foil that is laid on the coated web.";
    LaidThickness, "laid_thickness", "Its thickness", number(Dimension::Length), "Thickness of the foil that is laid on, with its adhesive.";
    LaidTension, "laid_tension", "Its tension", number(Dimension::LineForce), "Tension, per width, at which it comes off its roll.";
    HotNipRoller, "hot_nip_roller", "Hot roller", number(Dimension::Length), "Diameter of the heated steel roller of the nip.";
    CounterNipRoller, "counter_nip_roller", "Rubber roller", number(Dimension::Length), "Diameter of the roller with the rubber cover.";
    RubberModulus, "rubber_modulus", "Modulus of the rubber", number(Dimension::Pressure), "Elastic modulus of the rubber cover, some megapascals.";
    LaminatorInlet, "laminator_inlet", "Foils arrive at", number(Dimension::Temperature), "Temperature of both foils before the nip; the room stands in for it.";
    NipLoadLeast, "nip_load_least", "Least load", number(Dimension::LineForce), "Least load of the nip, per width.";
    NipLoadGreatest, "nip_load_greatest", "Greatest load", number(Dimension::LineForce), "Greatest load of the nip, per width.";
    Exhaust, "exhaust", "Exhaust", number(Dimension::VolumeFlow), "Flow of the exhaust over the plasma; it carries the ozone away.";
    RollerDiameter, "roller_diameter", "Diameter", number(Dimension::Length), "Diameter of the heated roller.";
    RollerWrap, "roller_wrap", "Wrap", number(Dimension::Angle), "Angle over which the web touches the roller.";
    RollerContact, "roller_contact", "Contact heat transfer", number(Dimension::HeatTransfer), "Heat-transfer coefficient between roller and web.";
    TemperatureLeast, "temperature_least", "Lowest temperature", number(Dimension::Temperature), "Lowest temperature that can be set.";
    TemperatureGreatest, "temperature_greatest", "Highest temperature", number(Dimension::Temperature), "Highest temperature that can be set.";
    InfraredPlace, "infrared_place", "Where", FieldKind::Word, "Where the lamps stand: in the open before the dryer, or in it.";
    InfraredLength, "infrared_length", "Length", number(Dimension::Length), "Length of web under the lamps.";
    InfraredAbsorbed, "infrared_absorbed", "Absorbed share", number(Dimension::Fraction), "Share of the radiation that film and foil take up; water takes up much of medium-wave radiation.";
    InfraredH, "infrared_h", "Heat transfer to the air", number(Dimension::HeatTransfer), "Heat-transfer coefficient of the air on both sides below lamps before the dryer.";
    IrradianceLeast, "irradiance_least", "Least irradiance", number(Dimension::Irradiance), "Least irradiance at the web at which the lamps burn steadily.";
    IrradianceGreatest, "irradiance_greatest", "Greatest irradiance", number(Dimension::Irradiance), "Greatest irradiance at the web.";
    DryerLength, "dryer_length", "Length", number(Dimension::Length), "Length of the heated zone.";
    Gas, "gas", "Gas", FieldKind::Word, "Gas that dries the film.";
    HTop, "h_top", "Heat transfer, film side", number(Dimension::HeatTransfer), "Heat-transfer coefficient above the film. Calibrate it: dry a known water film and watch the dry line.";
    HBottom, "h_bottom", "Heat transfer, foil side", number(Dimension::HeatTransfer), "Heat-transfer coefficient below the foil.";
    FreshGas, "fresh_gas", "Fresh gas", number(Dimension::VolumeFlow), "Fresh gas fed to the dryer, counted cold; recirculated gas does not count.";
    ResidualTarget, "residual_target", "Residual solvent wanted", number(Dimension::Fraction), "Residual solvent, per dry mass, that the product shall not exceed.";
    GasSpeed, "gas_speed", "Gas speed along the film", number(Dimension::Speed), "Speed of the gas along the film; too fast it drags the wet film.";
    JetSpeed, "jet_speed", "Speed of the jets", number(Dimension::Speed), "Exit speed of nozzles that blow onto the film.";
    JetReach, "jet_reach", "Reach of a jet", number(Dimension::Length), "Distance along the web over which the pressure of a jet falls off.";
    HeaterPower, "heater_power", "Heater power", number(Dimension::Power), "Power of the heaters that are installed.";
    CoolestWall, "coolest_wall", "Coolest wall", number(Dimension::Temperature), "Temperature of the coolest wall that the exhaust touches; vapour condenses there first.";
    UvIrradiance, "uv_irradiance", "Irradiance", number(Dimension::Irradiance), "Irradiance at the web at full power, mean along the window.";
    UvPeak, "uv_peak", "Peak irradiance", number(Dimension::Irradiance), "Peak irradiance at the web at full power.";
    UvWindow, "uv_window", "Window", number(Dimension::Length), "Length of the window along the web; of several lamps together.";
    UvWavelength, "uv_wavelength", "Strongest line", number(Dimension::Length), "Wavelength of the strongest line of the lamp.";
    UvOxygen, "uv_oxygen", "Oxygen at the film", number(Dimension::Fraction), "Oxygen at the film: 21 % in air, below 0.5 % under nitrogen.";
    UvCover, "uv_cover", "Covered by", FieldKind::Word, "Material of a foil that covers the resin below the lamp.";
    UvTransmittance, "uv_transmittance", "Cover lets through", number(Dimension::Fraction), "Share of the lamp's light that the cover lets through.";
    UvAbsorbed, "uv_absorbed", "Share that heats", number(Dimension::Fraction), "Share of the dose that heats film and foil.";
    UvPowerLeast, "uv_power_least", "Least power", number(Dimension::Fraction), "Least power, as a share of full power, at which the lamp burns.";
    UvPowerGreatest, "uv_power_greatest", "Greatest power", number(Dimension::Fraction), "Greatest power, as a share of full power.";
    ResidualSolvent, "residual_solvent", "Dry means at most", number(Dimension::Fraction), "Solvent left, per dry mass, at which the film counts as dry.";
}

impl Field {
    /// Finds a field by its name in files.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|field| field.key() == key)
    }

    /// The unit in which people state it; `None` for a word.
    pub fn usual_unit(self) -> Option<Unit> {
        let FieldKind::Number(dimension) = self.kind() else {
            return None;
        };
        let named = match self {
            Self::RollLength
            | Self::OpenPath
            | Self::Leader
            | Self::InspectionPath
            | Self::LongestSpan
            | Self::TubeLength
            | Self::InfraredLength
            | Self::DryerLength => "m",
            Self::AllowedShift
            | Self::FoilWidth
            | Self::CoatedWidth
            | Self::DownstreamLip
            | Self::UpstreamLip
            | Self::FeedSlotLength
            | Self::ManifoldRadius
            | Self::LandLength
            | Self::BankHeight
            | Self::KnifeDiameter
            | Self::WireDiameter
            | Self::DoctorToNip
            | Self::EngravedDiameter
            | Self::SyringeBore
            | Self::TubeBore
            | Self::LevelAboveLips
            | Self::BackingDiameter
            | Self::HeadLength
            | Self::ElectrodeWidth
            | Self::RollerDiameter
            | Self::IdlerDiameter
            | Self::SingleRollDiameter
            | Self::Clamp
            | Self::JetReach
            | Self::HotNipRoller
            | Self::CounterNipRoller
            | Self::UvWindow => "mm",
            Self::UvWavelength | Self::ParticleDiameter => "nm",
            Self::TensionLeast
            | Self::TensionGreatest
            | Self::TrackingTension
            | Self::LaidTension => "N/cm",
            Self::FilterDrop
            | Self::PressureRating
            | Self::BondPressure
            | Self::AdhesiveModulus => "kPa",
            Self::FoilModulus
            | Self::FoilYieldStress
            | Self::ParticleModulus
            | Self::RubberModulus => "MPa",
            Self::FreshGas | Self::Exhaust | Self::FreshAir | Self::RoomExtract => "m³/h",
            Self::RoomVolume => "m³",
            Self::GasVolume => "L",
            Self::PotLife | Self::AgeingTime => "h",
            _ => return Some(Unit::usual(dimension)),
        };
        Some(Unit::parse(named).unwrap_or_else(|_| Unit::usual(dimension)))
    }

    /// The words a word field accepts, as (word in files, word on screen).
    pub fn words(self) -> Vec<(&'static str, &'static str)> {
        use wetlane_physics::{
            AdhesiveKind, AniloxMetering, CureKind, FoilMaterial, Gas, GravureArrangement,
            InfraredPlace, KnifeShape, Solvent, TensionControl,
        };
        match self {
            Self::Solvent => Solvent::ALL
                .iter()
                .map(|solvent| (solvent.key(), solvent.label()))
                .collect(),
            Self::Material => FoilMaterial::ALL
                .iter()
                .map(|foil| (foil.key(), foil.label()))
                .collect(),
            Self::Gas => Gas::ALL
                .iter()
                .map(|gas| (gas.key(), gas.label()))
                .collect(),
            Self::KnifeShape => KnifeShape::ALL
                .iter()
                .map(|shape| (shape.key(), shape.label()))
                .collect(),
            Self::UvCover | Self::LaidMaterial => FoilMaterial::ALL
                .iter()
                .map(|foil| (foil.key(), foil.label()))
                .collect(),
            Self::Adhesive => AdhesiveKind::ALL
                .iter()
                .map(|adhesive| (adhesive.key(), adhesive.label()))
                .collect(),
            Self::TensionControl => TensionControl::ALL
                .iter()
                .map(|control| (control.key(), control.label()))
                .collect(),
            Self::Cure => CureKind::ALL
                .iter()
                .map(|cure| (cure.key(), cure.label()))
                .collect(),
            Self::InfraredPlace => InfraredPlace::ALL
                .iter()
                .map(|place| (place.key(), place.label()))
                .collect(),
            Self::AniloxMetering => AniloxMetering::ALL
                .iter()
                .map(|metering| (metering.key(), metering.label()))
                .collect(),
            Self::GravureArrangement => GravureArrangement::ALL
                .iter()
                .map(|arrangement| (arrangement.key(), arrangement.label()))
                .collect(),
            Self::Activity => vec![("free", "free"), ("polymer", "dissolved polymer")],
            Self::VacuumBox => vec![("no", "no"), ("yes", "yes")],
            _ => Vec::new(),
        }
    }
}

/// A card: a name and its fields.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Card {
    /// What people call it.
    pub name: String,
    /// Free remarks.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// What is known.
    #[serde(default)]
    pub fields: BTreeMap<Field, Entry>,
}

impl Card {
    /// An empty card.
    pub fn named(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            ..Self::default()
        }
    }

    /// The number in a field.
    pub fn number(&self, field: Field) -> Option<NumberEntry> {
        match self.fields.get(&field) {
            Some(Entry::Number(entry)) => Some(*entry),
            Some(Entry::Word(_)) | None => None,
        }
    }

    /// The number in a field, in SI.
    pub fn si(&self, field: Field) -> Option<f64> {
        self.number(field).map(|entry| entry.quantity().si())
    }

    /// The word in a field.
    pub fn word(&self, field: Field) -> Option<&str> {
        match self.fields.get(&field) {
            Some(Entry::Word(word)) => Some(word),
            Some(Entry::Number(_)) | None => None,
        }
    }

    /// Sets a measured number; for building cards in code.
    #[must_use]
    pub fn with(mut self, field: Field, value: f64, unit: &str) -> Self {
        if let Ok(unit) = Unit::parse(unit) {
            self.fields.insert(
                field,
                Entry::Number(NumberEntry {
                    value,
                    unit,
                    known: HowKnown::Measured,
                }),
            );
        }
        self
    }

    /// Sets a word; for building cards in code.
    #[must_use]
    pub fn with_word(mut self, field: Field, word: &str) -> Self {
        self.fields.insert(field, Entry::Word(word.to_owned()));
        self
    }
}

/// What an entry does wrong.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EntryError {
    /// A number where a word belongs, or the other way round.
    #[error("\"{field}\" takes {expected}")]
    WrongKind {
        /// The field's label.
        field: String,
        /// What it takes.
        expected: String,
    },
    /// A unit of another dimension.
    #[error("\"{field}\": {problem}")]
    Unit {
        /// The field's label.
        field: String,
        /// What is wrong with the unit.
        problem: super::unit::UnitError,
    },
    /// A number that is not finite.
    #[error("\"{field}\" must be an ordinary number")]
    NotFinite {
        /// The field's label.
        field: String,
    },
}

/// Checks that an entry fits its field.
///
/// # Errors
/// [`EntryError`] with the field and what it takes.
pub fn check_entry(field: Field, entry: &Entry) -> Result<(), EntryError> {
    let name = || field.label().to_owned();
    match (field.kind(), entry) {
        (FieldKind::Number(dimension), Entry::Number(number)) => {
            if !number.value.is_finite() {
                return Err(EntryError::NotFinite { field: name() });
            }
            Unit::parse_for(number.unit.symbol(), dimension)
                .map(|_| ())
                .map_err(|problem| EntryError::Unit {
                    field: name(),
                    problem,
                })
        }
        (FieldKind::Word, Entry::Word(word)) => {
            let words = field.words();
            if words.iter().any(|(key, _)| key == word) {
                return Ok(());
            }
            let list = words
                .iter()
                .map(|(key, _)| *key)
                .collect::<Vec<_>>()
                .join(", ");
            Err(EntryError::WrongKind {
                field: name(),
                expected: format!("one of {list}; \"{word}\" is none of them"),
            })
        }
        (FieldKind::Number(_), Entry::Word(_)) => Err(EntryError::WrongKind {
            field: name(),
            expected: "a number with a unit".to_owned(),
        }),
        (FieldKind::Word, Entry::Number(_)) => {
            let list = field
                .words()
                .iter()
                .map(|(key, _)| *key)
                .collect::<Vec<_>>()
                .join(", ");
            Err(EntryError::WrongKind {
                field: name(),
                expected: format!("one of {list}"),
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_unit_of_every_field_measures_what_the_field_holds() {
        for field in Field::ALL {
            match field.kind() {
                FieldKind::Number(dimension) => {
                    let unit = field.usual_unit().unwrap();
                    assert_eq!(unit.dimension(), dimension, "{}", field.key());
                }
                FieldKind::Word => assert_eq!(field.usual_unit(), None),
            }
        }
    }
}
