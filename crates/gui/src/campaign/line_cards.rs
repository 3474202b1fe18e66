//! From the cards of a project, in the user's units, to the line that `wetlane-physics` judges.

use wetlane_physics::{
    Activity, Adhesive, AdhesiveKind, Angle, AniloxMetering, Carreau, CellVolume, ColdGap,
    CureKind, Density, Diffusivity, Dryer, Duration, Energy, EngravedRoll, Expansion, ExposureDose,
    Flexo, Foil, FoilMaterial, Force, Fraction, Gas, Gravure, GravureArrangement, Head, HeadKind,
    HeatTransferCoefficient, HeatedRoller, Infrared, InfraredPlace, Ink, Irradiance, Knife,
    KnifeShape, LaidFoil, Laminator, Length, LineCount, MolarEnergy, Particles, PlasmaDose,
    PlasmaStation, Power, Pressure, Pump, Resin, Rheology, ShearRate, SingleRoll, SlotDie, Solvent,
    Span, Speed, SurfaceTension, Surroundings, Temperature, TensionControl, UvCover, UvStation,
    Ventilation, Viscosity, Volume, VolumeFlow, Web, WebPath, WebTension, WireBar,
};

use super::card::{Card, Field};
use super::project::{LineCard, StationCard, WebMode};

fn word_of<T: Copy>(
    card: &Card,
    field: Field,
    all: &[T],
    key: impl Fn(T) -> &'static str,
) -> Option<T> {
    let word = card.word(field)?;
    all.iter().copied().find(|item| key(*item) == word)
}

pub(super) fn span<Q>(
    card: &Card,
    least: Field,
    greatest: Field,
    make: impl Fn(f64) -> Q,
) -> Option<Span<Q>> {
    card.si(least)
        .zip(card.si(greatest))
        .map(|(low, high)| Span {
            least: make(low),
            greatest: make(high),
        })
}

/// The head of a station; `None` if the station is no head.
pub(super) fn head_of(station: &StationCard) -> Option<Head> {
    let card = &station.card;
    Some(match station.kind.head()? {
        HeadKind::SlotDie => Head::SlotDie(slot_die_of(card)),
        HeadKind::Knife => Head::Knife(knife_of(card)),
        HeadKind::WireBar => Head::WireBar(wire_bar_of(card)),
        HeadKind::Gravure => Head::Gravure(gravure_of(card)),
        HeadKind::Flexo => Head::Flexo(flexo_of(card)),
    })
}

/// The flow law that the card states: Carreau's if all four figures are there, else a power law, else one viscosity.
fn rheology_of(card: &Card) -> Option<Rheology> {
    let viscosity = |field| card.si(field).map(Viscosity::from_pa_s);
    let index = card.si(Field::FlowIndex);
    let carreau = || {
        Some(Rheology::Carreau(Carreau {
            at_rest: viscosity(Field::RestViscosity)?,
            at_high_rate: viscosity(Field::HighRateViscosity)?,
            time_constant_s: card.si(Field::TimeConstant)?,
            index: index?,
        }))
    };
    let power_law = || {
        Some(Rheology::PowerLaw {
            consistency: viscosity(Field::Consistency)?,
            index: index?,
        })
    };
    let newtonian = || {
        Some(Rheology::Newtonian {
            viscosity: viscosity(Field::Viscosity)?,
        })
    };
    carreau().or_else(power_law).or_else(newtonian)
}

pub(super) fn ink_of(card: &Card) -> Ink {
    Ink {
        rheology: rheology_of(card),
        yield_stress: card.si(Field::YieldStress).map(Pressure::from_pa),
        shear_rate_span: span(
            card,
            Field::ShearRateLeast,
            Field::ShearRateGreatest,
            ShearRate::from_per_s,
        ),
        viscosity_temperature: card
            .si(Field::ViscosityTemperature)
            .map(Temperature::from_k),
        activation_energy: card
            .si(Field::ActivationEnergy)
            .map(MolarEnergy::from_j_per_mol),
        surface_tension: card
            .si(Field::SurfaceTension)
            .map(SurfaceTension::from_n_per_m),
        dispersive_tension: card
            .si(Field::DispersiveTension)
            .map(SurfaceTension::from_n_per_m),
        density: card.si(Field::Density).map(Density::from_kg_per_m3),
        solids: card.si(Field::Solids).map(Fraction::from_ratio),
        dry_density: card.si(Field::DryDensity).map(Density::from_kg_per_m3),
        dry_porosity: card.si(Field::DryPorosity).map(Fraction::from_ratio),
        largest_particle: card.si(Field::LargestParticle).map(Length::from_m),
        solvent: word_of(card, Field::Solvent, &Solvent::ALL, Solvent::key),
        activity: word_of(
            card,
            Field::Activity,
            &[Activity::Free, Activity::Polymer],
            |activity| match activity {
                Activity::Free => "free",
                Activity::Polymer => "polymer",
            },
        ),
        angle_on_lip: card.si(Field::AngleOnLip).map(Angle::from_rad),
        angle_on_foil: card.si(Field::AngleOnFoil).map(Angle::from_rad),
        resin: resin_of(card),
        film_diffusivity: card
            .si(Field::FilmDiffusivity)
            .map(Diffusivity::from_m2_per_s),
        critical_residual: card.si(Field::CriticalResidual).map(Fraction::from_ratio),
        ignition_energy: card.si(Field::IgnitionEnergy).map(Energy::from_j),
        wet_diffusivity: card
            .si(Field::WetDiffusivity)
            .map(Diffusivity::from_m2_per_s),
        particles: Particles {
            diameter: card.si(Field::ParticleDiameter).map(Length::from_m),
            shear_modulus: card.si(Field::ParticleModulus).map(Pressure::from_pa),
            ..Particles::default()
        },
    }
}

pub(super) fn foil_of(card: &Card) -> Foil {
    Foil {
        material: word_of(card, Field::Material, &FoilMaterial::ALL, FoilMaterial::key),
        thickness: card.si(Field::Thickness).map(Length::from_m),
        surface_energy: card
            .si(Field::SurfaceEnergy)
            .map(SurfaceTension::from_n_per_m),
        dispersive_energy: card
            .si(Field::DispersiveEnergy)
            .map(SurfaceTension::from_n_per_m),
        highest_temperature: card.si(Field::HighestTemperature).map(Temperature::from_k),
        allowed_shrinkage: card.si(Field::AllowedShrinkage).map(Fraction::from_ratio),
        roll_length: card.si(Field::RollLength).map(Length::from_m),
        width: card.si(Field::FoilWidth).map(Length::from_m),
        elastic_modulus: card.si(Field::FoilModulus).map(Pressure::from_pa),
        yield_stress: card.si(Field::FoilYieldStress).map(Pressure::from_pa),
        thermal_expansion: card.si(Field::FoilExpansion).map(Expansion::from_per_k),
    }
}

fn slot_die_of(card: &Card) -> SlotDie {
    SlotDie {
        coated_width: card.si(Field::CoatedWidth).map(Length::from_m),
        downstream_lip: card.si(Field::DownstreamLip).map(Length::from_m),
        upstream_lip: card.si(Field::UpstreamLip).map(Length::from_m),
        upstream_gap_ratio: card.si(Field::UpstreamGapRatio),
        lip_corner: card.si(Field::LipCorner).map(Angle::from_rad),
        feed_slot_height: card.si(Field::FeedSlotHeight).map(Length::from_m),
        feed_slot_length: card.si(Field::FeedSlotLength).map(Length::from_m),
        has_vacuum_box: card.word(Field::VacuumBox) == Some("yes"),
        gap_span: span(card, Field::GapLeast, Field::GapGreatest, Length::from_m),
        gap_tolerance: card.si(Field::GapTolerance).map(Length::from_m),
        slot_height_error: card.si(Field::SlotHeightError).map(Length::from_m),
        manifold_radius: card.si(Field::ManifoldRadius).map(Length::from_m),
    }
}

fn knife_of(card: &Card) -> Knife {
    Knife {
        coated_width: card.si(Field::CoatedWidth).map(Length::from_m),
        shape: word_of(card, Field::KnifeShape, &KnifeShape::ALL, KnifeShape::key),
        film_over_gap: card.si(Field::FilmOverGap),
        inlet_gap_ratio: card.si(Field::InletGapRatio),
        land_length: card.si(Field::LandLength).map(Length::from_m),
        bank_height: card.si(Field::BankHeight).map(Length::from_m),
        roll_diameter: card.si(Field::KnifeDiameter).map(Length::from_m),
        run_out: card.si(Field::RunOut).map(Length::from_m),
        gap_span: span(card, Field::GapLeast, Field::GapGreatest, Length::from_m),
        gap_tolerance: card.si(Field::GapTolerance).map(Length::from_m),
    }
}

fn wire_bar_of(card: &Card) -> WireBar {
    WireBar {
        coated_width: card.si(Field::CoatedWidth).map(Length::from_m),
        wire_diameter: card.si(Field::WireDiameter).map(Length::from_m),
        film_over_wire: card.si(Field::FilmOverWire),
    }
}

fn engraved_roll_of(card: &Card) -> EngravedRoll {
    EngravedRoll {
        cell_volume: card.si(Field::CellVolume).map(CellVolume::from_m3_per_m2),
        cell_depth_ratio: card.si(Field::CellDepthRatio),
        cell_lines: card.si(Field::CellLines).map(LineCount::from_per_m),
        doctor_to_nip: card.si(Field::DoctorToNip).map(Length::from_m),
        diameter: card.si(Field::EngravedDiameter).map(Length::from_m),
        gap: card.si(Field::EngravedGap).map(Length::from_m),
    }
}

fn gravure_of(card: &Card) -> Gravure {
    Gravure {
        coated_width: card.si(Field::CoatedWidth).map(Length::from_m),
        arrangement: word_of(
            card,
            Field::GravureArrangement,
            &GravureArrangement::ALL,
            GravureArrangement::key,
        ),
        roll: engraved_roll_of(card),
        pickout: card.si(Field::Pickout).map(Fraction::from_ratio),
        pickout_exponent: card.si(Field::PickoutExponent),
        pickout_reference: card.si(Field::PickoutReference),
        filling_capillary_number: card.si(Field::FillingCapillaryNumber),
    }
}

fn flexo_of(card: &Card) -> Flexo {
    Flexo {
        coated_width: card.si(Field::CoatedWidth).map(Length::from_m),
        metering: word_of(
            card,
            Field::AniloxMetering,
            &AniloxMetering::ALL,
            AniloxMetering::key,
        ),
        anilox: engraved_roll_of(card),
        to_plate: card.si(Field::ToPlate).map(Fraction::from_ratio),
        to_foil: card.si(Field::ToFoil).map(Fraction::from_ratio),
        printed_share: card.si(Field::PrintedShare).map(Fraction::from_ratio),
        plate_lines: card.si(Field::PlateLines).map(LineCount::from_per_m),
    }
}

/// `None` if nothing is said of a pump.
pub(super) fn pump_of(card: &Card) -> Option<Pump> {
    let length = |field| card.si(field).map(Length::from_m);
    let volume = |field| card.si(field).map(Volume::from_m3);
    let pressure = |field| card.si(field).map(Pressure::from_pa);
    let force = |field| card.si(field).map(Force::from_n);
    let pump = Pump {
        flow_span: span(
            card,
            Field::FlowLeast,
            Field::FlowGreatest,
            VolumeFlow::from_m3_per_s,
        ),
        syringe_volume: volume(Field::SyringeVolume),
        dead_volume: volume(Field::DeadVolume),
        syringe_bore: length(Field::SyringeBore),
        greatest_force: force(Field::GreatestForce),
        plunger_friction: force(Field::PlungerFriction),
        tube_bore: length(Field::TubeBore),
        tube_length: length(Field::TubeLength),
        filter_drop: pressure(Field::FilterDrop),
        trapped_air: volume(Field::TrappedAir),
        line_compliance: None,
        step_volume: volume(Field::StepVolume),
        allowed_lag: card.si(Field::AllowedLag).map(Duration::from_s),
        level_above_lips: length(Field::LevelAboveLips),
        pressure_rating: pressure(Field::PressureRating),
    };
    (pump != Pump::default()).then_some(pump)
}

/// What heat takes from a gap that was set cold; `None` if nothing is said of it.
pub(super) fn cold_gap_of(card: &Card) -> Option<ColdGap> {
    let kelvins = |field| card.si(field).map(Temperature::from_k);
    let gap = ColdGap {
        set_at: kelvins(Field::GapSetAt),
        roller_diameter: card.si(Field::BackingDiameter).map(Length::from_m),
        roller_temperature: kelvins(Field::BackingTemperature),
        die_length: card.si(Field::HeadLength).map(Length::from_m),
        die_temperature: kelvins(Field::HeadTemperature),
        ..ColdGap::default()
    };
    (gap != ColdGap::default()).then_some(gap)
}

pub(super) fn plasma_of(card: &Card) -> PlasmaStation {
    PlasmaStation {
        electrode_width: card.si(Field::ElectrodeWidth).map(Length::from_m),
        power_span: span(card, Field::PowerLeast, Field::PowerGreatest, Power::from_w),
        exhaust: card.si(Field::Exhaust).map(VolumeFlow::from_m3_per_s),
        saturated_energy: card
            .si(Field::SaturatedEnergy)
            .map(SurfaceTension::from_n_per_m),
        characteristic_dose: card
            .si(Field::CharacteristicDose)
            .map(PlasmaDose::from_j_per_m2),
        age: card.si(Field::TreatmentAge).map(Duration::from_s),
        ageing_time: card.si(Field::AgeingTime).map(Duration::from_s),
    }
}

pub(super) fn roller_of(card: &Card) -> HeatedRoller {
    HeatedRoller {
        diameter: card.si(Field::RollerDiameter).map(Length::from_m),
        wrap: card.si(Field::RollerWrap).map(Angle::from_rad),
        contact: card
            .si(Field::RollerContact)
            .map(HeatTransferCoefficient::from_w_per_m2_k),
        temperature_span: span(
            card,
            Field::TemperatureLeast,
            Field::TemperatureGreatest,
            Temperature::from_k,
        ),
    }
}

pub(super) fn infrared_of(card: &Card) -> Infrared {
    Infrared {
        place: word_of(
            card,
            Field::InfraredPlace,
            &InfraredPlace::ALL,
            InfraredPlace::key,
        )
        .unwrap_or_default(),
        length: card.si(Field::InfraredLength).map(Length::from_m),
        absorbed: card.si(Field::InfraredAbsorbed).map(Fraction::from_ratio),
        h: card
            .si(Field::InfraredH)
            .map(HeatTransferCoefficient::from_w_per_m2_k),
        irradiance_span: span(
            card,
            Field::IrradianceLeast,
            Field::IrradianceGreatest,
            Irradiance::from_w_per_m2,
        ),
    }
}

pub(super) fn ultraviolet_of(card: &Card) -> UvStation {
    let cover = UvCover {
        material: word_of(card, Field::UvCover, &FoilMaterial::ALL, FoilMaterial::key),
        transmittance: card.si(Field::UvTransmittance).map(Fraction::from_ratio),
    };
    UvStation {
        irradiance: card.si(Field::UvIrradiance).map(Irradiance::from_w_per_m2),
        peak_irradiance: card.si(Field::UvPeak).map(Irradiance::from_w_per_m2),
        window: card.si(Field::UvWindow).map(Length::from_m),
        wavelength: card.si(Field::UvWavelength).map(Length::from_m),
        oxygen: card.si(Field::UvOxygen).map(Fraction::from_ratio),
        cover: (cover != UvCover::default()).then_some(cover),
        absorbed: card.si(Field::UvAbsorbed).map(Fraction::from_ratio),
        power_span: span(
            card,
            Field::UvPowerLeast,
            Field::UvPowerGreatest,
            Fraction::from_ratio,
        ),
    }
}

/// What the ink needs of an ultraviolet lamp.
fn resin_of(card: &Card) -> Resin {
    Resin {
        dose: card.si(Field::CureDose).map(ExposureDose::from_j_per_m2),
        irradiance: card
            .si(Field::CureIrradiance)
            .map(Irradiance::from_w_per_m2),
        absorbance: card.si(Field::CureAbsorbance),
        cure: word_of(card, Field::Cure, &CureKind::ALL, CureKind::key),
    }
}

pub(super) fn dryer_of(card: &Card) -> Dryer {
    Dryer {
        length: card.si(Field::DryerLength).map(Length::from_m),
        gas: word_of(card, Field::Gas, &Gas::ALL, Gas::key).unwrap_or(Gas::Air),
        h_top: card
            .si(Field::HTop)
            .map(HeatTransferCoefficient::from_w_per_m2_k),
        h_bottom: card
            .si(Field::HBottom)
            .map(HeatTransferCoefficient::from_w_per_m2_k),
        temperature_span: span(
            card,
            Field::TemperatureLeast,
            Field::TemperatureGreatest,
            Temperature::from_k,
        ),
        fresh_gas: card.si(Field::FreshGas).map(VolumeFlow::from_m3_per_s),
        residual_solvent: card.si(Field::ResidualSolvent).map(Fraction::from_ratio),
        residual_target: card.si(Field::ResidualTarget).map(Fraction::from_ratio),
        gas_speed: card.si(Field::GasSpeed).map(Speed::from_m_per_s),
        jet_speed: card.si(Field::JetSpeed).map(Speed::from_m_per_s),
        jet_reach: card.si(Field::JetReach).map(Length::from_m),
        heater_power: card.si(Field::HeaterPower).map(Power::from_w),
        coolest_wall: card.si(Field::CoolestWall).map(Temperature::from_k),
        gas_volume: card.si(Field::GasVolume).map(Volume::from_m3),
    }
}

pub(super) fn surroundings_of(card: &Card) -> Surroundings {
    Surroundings {
        room_temperature: card.si(Field::RoomTemperature).map(Temperature::from_k),
        relative_humidity: card.si(Field::RelativeHumidity).map(Fraction::from_ratio),
        open_path: card.si(Field::OpenPath).map(Length::from_m),
        open_path_h: card
            .si(Field::OpenPathH)
            .map(HeatTransferCoefficient::from_w_per_m2_k),
        room_volume: card.si(Field::RoomVolume).map(Volume::from_m3),
        ventilation: ventilation_of(card),
        spill: card.si(Field::SpillVolume).map(Volume::from_m3),
    }
}

/// Fresh air, where it is stated, outranks the flow of an extract fan, of which it is not known what it draws in.
fn ventilation_of(card: &Card) -> Option<Ventilation> {
    let flow = |field| card.si(field).map(VolumeFlow::from_m3_per_s);
    flow(Field::FreshAir)
        .map(Ventilation::FreshAir)
        .or_else(|| flow(Field::RoomExtract).map(Ventilation::Extract))
}

/// How the foil comes to the head; `None` on a roll-to-roll line of whose web nothing is said.
pub(super) fn web_of(line: &LineCard, has_tension: bool) -> Option<Web> {
    let card = &line.card;
    let threading_speed = card.si(Field::ThreadingSpeed).map(Speed::from_m_per_s);
    if line.web == WebMode::SingleRoll {
        return Some(Web::SingleRoll(SingleRoll {
            diameter: card.si(Field::SingleRollDiameter).map(Length::from_m),
            clamp: card.si(Field::Clamp).map(Length::from_m),
            threading_speed,
        }));
    }
    let path = WebPath {
        control: word_of(
            card,
            Field::TensionControl,
            &TensionControl::ALL,
            TensionControl::key,
        )
        .unwrap_or_default(),
        draw: card.si(Field::Draw),
        tension_span: span(
            card,
            Field::TensionLeast,
            Field::TensionGreatest,
            WebTension::from_n_per_m,
        ),
        least_tension: card
            .si(Field::TrackingTension)
            .map(WebTension::from_n_per_m),
        longest_span: card.si(Field::LongestSpan).map(Length::from_m),
        misalignment: card.si(Field::Misalignment).map(Angle::from_rad),
        roller_diameter: card.si(Field::IdlerDiameter).map(Length::from_m),
        roughness: card.si(Field::WebRoughness).map(Length::from_m),
        threading_speed,
        ..WebPath::default()
    };
    let is_known = has_tension || path != WebPath::default();
    is_known.then_some(Web::RollToRoll(path))
}

pub(super) fn laminator_of(card: &Card) -> Laminator {
    let kelvins = |field| card.si(field).map(Temperature::from_k);
    let length = |field| card.si(field).map(Length::from_m);
    let pressure = |field| card.si(field).map(Pressure::from_pa);
    Laminator {
        adhesive: Adhesive {
            kind: word_of(card, Field::Adhesive, &AdhesiveKind::ALL, AdhesiveKind::key)
                .unwrap_or_default(),
            needed_pressure: pressure(Field::BondPressure),
            needed_dwell: card.si(Field::BondDwell).map(Duration::from_s),
            softening: kelvins(Field::Softening),
            highest_temperature: kelvins(Field::AdhesiveHighest),
            activation_energy: card
                .si(Field::AdhesiveActivation)
                .map(MolarEnergy::from_j_per_mol),
            modulus_at_1_hz: pressure(Field::AdhesiveModulus),
        },
        laid: LaidFoil {
            material: word_of(
                card,
                Field::LaidMaterial,
                &FoilMaterial::ALL,
                FoilMaterial::key,
            ),
            thickness: length(Field::LaidThickness),
            tension: card.si(Field::LaidTension).map(WebTension::from_n_per_m),
        },
        hot_roller: length(Field::HotNipRoller),
        counter_roller: length(Field::CounterNipRoller),
        rubber_modulus: pressure(Field::RubberModulus),
        rubber_poisson_ratio: None,
        arriving: kelvins(Field::LaminatorInlet),
        load_span: span(
            card,
            Field::NipLoadLeast,
            Field::NipLoadGreatest,
            WebTension::from_n_per_m,
        ),
        temperature_span: span(
            card,
            Field::TemperatureLeast,
            Field::TemperatureGreatest,
            Temperature::from_k,
        ),
    }
}
