//! Lines and settings that several tests share. All data are invented.

use wetlane_physics::{
    Activity, Angle, AniloxMetering, CellVolume, Density, Dryer, EngravedRoll, Flexo, Foil,
    FoilMaterial, Fraction, Gravure, GravureArrangement, Head, HeatTransferCoefficient,
    HeatedRoller, Ink, Knife, KnifeShape, Length, Line, LineCount, Rheology, Setting, SlotDie,
    Solvent, Speed, SurfaceTension, Surroundings, Temperature, Viscosity, VolumeFlow, WireBar,
};

/// The worked example: 10 mPa·s, 30 mN/m, gap 100 µm, lips 1 mm, all angles 30°, 1 m/min, 100 mm.
pub(crate) fn worked_example() -> Line {
    Line {
        ink: Ink {
            rheology: Some(Rheology::Newtonian {
                viscosity: Viscosity::from_mpa_s(10.0),
            }),
            surface_tension: Some(SurfaceTension::from_mn_per_m(30.0)),
            density: Some(Density::from_kg_per_m3(1000.0)),
            angle_on_lip: Some(Angle::from_deg(30.0)),
            angle_on_foil: Some(Angle::from_deg(30.0)),
            ..Ink::default()
        },
        head: Head::SlotDie(SlotDie {
            coated_width: Some(Length::from_mm(100.0)),
            downstream_lip: Some(Length::from_mm(1.0)),
            upstream_lip: Some(Length::from_mm(1.0)),
            upstream_gap_ratio: Some(1.0),
            lip_corner: Some(Angle::from_deg(90.0)),
            ..SlotDie::default()
        }),
        ..Line::default()
    }
}

/// Speed in m/min, wet thickness and gap in µm, on a width of 100 mm.
pub(crate) fn setting(speed: f64, wet: f64, gap: f64) -> Setting {
    Setting {
        speed: Some(Speed::from_m_per_min(speed)),
        flow: Some(VolumeFlow::from_ml_per_min(wet * 100.0 * speed / 1000.0)),
        gap: Some(Length::from_um(gap)),
        ..Setting::default()
    }
}

/// The line with a vacuum box.
pub(crate) fn with_vacuum_box(line: &Line) -> Line {
    with_die(line, |die| die.has_vacuum_box = true)
}

/// The line with another die.
pub(crate) fn with_die(line: &Line, change: impl FnOnce(&mut SlotDie)) -> Line {
    let Head::SlotDie(mut die) = line.head else {
        panic!("the line has no slot die")
    };
    change(&mut die);
    Line {
        head: Head::SlotDie(die),
        ..*line
    }
}

fn lab_coater(ink: &Ink, foil: Foil, lip_mm: f64) -> Line {
    Line {
        ink: Ink {
            angle_on_lip: Some(Angle::from_deg(30.0)),
            solvent: Some(Solvent::Water),
            activity: Some(Activity::Free),
            ..*ink
        },
        foil,
        head: Head::SlotDie(SlotDie {
            coated_width: Some(Length::from_mm(100.0)),
            downstream_lip: Some(Length::from_mm(lip_mm)),
            upstream_lip: Some(Length::from_mm(lip_mm)),
            upstream_gap_ratio: Some(1.0),
            lip_corner: Some(Angle::from_deg(90.0)),
            ..SlotDie::default()
        }),
        dryer: Some(Dryer {
            length: Some(Length::from_m(1.2)),
            h_top: Some(HeatTransferCoefficient::from_w_per_m2_k(30.0)),
            h_bottom: Some(HeatTransferCoefficient::from_w_per_m2_k(10.0)),
            residual_solvent: Some(Fraction::from_percent(5.0)),
            ..Dryer::default()
        }),
        surroundings: Surroundings {
            room_temperature: Some(Temperature::from_deg_c(22.0)),
            relative_humidity: Some(Fraction::from_percent(50.0)),
            open_path: Some(Length::from_m(0.4)),
            open_path_h: Some(HeatTransferCoefficient::from_w_per_m2_k(8.0)),
            ..Surroundings::default()
        },
        ..Line::default()
    }
}

fn newtonian(mpa_s: f64) -> Rheology {
    Rheology::Newtonian {
        viscosity: Viscosity::from_mpa_s(mpa_s),
    }
}

/// Silver-nanowire ink on polyester (invented).
pub(crate) fn nanowire_line() -> Line {
    let ink = Ink {
        rheology: Some(newtonian(12.0)),
        surface_tension: Some(SurfaceTension::from_mn_per_m(28.0)),
        density: Some(Density::from_kg_per_m3(980.0)),
        solids: Some(Fraction::from_ratio(0.003)),
        angle_on_foil: Some(Angle::from_deg(20.0)),
        largest_particle: Some(Length::from_um(13.0)),
        ..Ink::default()
    };
    let foil = Foil {
        material: Some(FoilMaterial::Pet),
        thickness: Some(Length::from_um(125.0)),
        surface_energy: Some(SurfaceTension::from_mn_per_m(36.0)),
        ..Foil::default()
    };
    lab_coater(&ink, foil, 0.5)
}

/// Conducting-polymer dispersion on polyester with a heated roller (invented).
pub(crate) fn transport_layer_line() -> Line {
    let ink = Ink {
        rheology: Some(newtonian(8.0)),
        surface_tension: Some(SurfaceTension::from_mn_per_m(32.0)),
        density: Some(Density::from_kg_per_m3(990.0)),
        solids: Some(Fraction::from_ratio(0.011)),
        angle_on_foil: Some(Angle::from_deg(20.0)),
        ..Ink::default()
    };
    let foil = Foil {
        material: Some(FoilMaterial::Pet),
        thickness: Some(Length::from_um(125.0)),
        ..Foil::default()
    };
    Line {
        roller: Some(HeatedRoller {
            diameter: Some(Length::from_mm(100.0)),
            wrap: Some(Angle::from_deg(180.0)),
            contact: Some(HeatTransferCoefficient::from_w_per_m2_k(300.0)),
            temperature_span: None,
        }),
        ..lab_coater(&ink, foil, 0.5)
    }
}

/// Battery slurry on aluminium (invented).
pub(crate) fn slurry_line() -> Line {
    let ink = Ink {
        rheology: Some(Rheology::PowerLaw {
            consistency: Viscosity::from_pa_s(6.0),
            index: 0.65,
        }),
        surface_tension: Some(SurfaceTension::from_mn_per_m(45.0)),
        density: Some(Density::from_kg_per_m3(1700.0)),
        solids: Some(Fraction::from_ratio(0.65)),
        angle_on_foil: Some(Angle::from_deg(40.0)),
        largest_particle: Some(Length::from_um(20.0)),
        ..Ink::default()
    };
    let foil = Foil {
        material: Some(FoilMaterial::Aluminium),
        thickness: Some(Length::from_um(15.0)),
        ..Foil::default()
    };
    lab_coater(&ink, foil, 1.0)
}

/// Electrochromic ink under a pressed gravure roll (invented): 30 mPa·s, 30 mN/m, 1000 kg/m³, 45 % handed over.
pub(crate) fn electrochromic_line() -> Line {
    let ink = Ink {
        rheology: Some(newtonian(30.0)),
        surface_tension: Some(SurfaceTension::from_mn_per_m(30.0)),
        density: Some(Density::from_kg_per_m3(1000.0)),
        ..Ink::default()
    };
    let foil = Foil {
        material: Some(FoilMaterial::Pet),
        thickness: Some(Length::from_um(100.0)),
        ..Foil::default()
    };
    let head = Head::Gravure(Gravure {
        coated_width: Some(Length::from_mm(100.0)),
        arrangement: Some(GravureArrangement::NipPressed),
        pickout: Some(Fraction::from_percent(45.0)),
        ..Gravure::default()
    });
    Line {
        head,
        ..lab_coater(&ink, foil, 1.0)
    }
}

/// The line with an ink of these solids.
pub(crate) fn with_solids(line: &Line, solids: f64) -> Line {
    Line {
        ink: Ink {
            solids: Some(Fraction::from_ratio(solids)),
            ..line.ink
        },
        ..*line
    }
}

/// Speed in m/min and cells in cm³/m² of an engraved roll.
pub(crate) fn roll_setting(speed: f64, cells: f64) -> Setting {
    Setting {
        cell_volume: Some(CellVolume::from_cm3_per_m2(cells)),
        ..speed_setting(speed)
    }
}

/// The setting with the gas at a temperature [°C].
pub(crate) fn with_gas(setting: Setting, deg_c: f64) -> Setting {
    Setting {
        gas_temperature: Some(Temperature::from_deg_c(deg_c)),
        ..setting
    }
}

/// The setting with the heated roller at a temperature [°C].
pub(crate) fn with_roller(setting: Setting, deg_c: f64) -> Setting {
    Setting {
        roller_temperature: Some(Temperature::from_deg_c(deg_c)),
        ..setting
    }
}

/// A paste under a round knife of 100 mm diameter (invented): 1 Pa·s, 40 mN/m, 1500 kg/m³, 100 mm wide.
pub(crate) fn knife_line() -> Line {
    Line {
        ink: Ink {
            rheology: Some(newtonian(1000.0)),
            surface_tension: Some(SurfaceTension::from_mn_per_m(40.0)),
            density: Some(Density::from_kg_per_m3(1500.0)),
            ..Ink::default()
        },
        head: Head::Knife(Knife {
            coated_width: Some(Length::from_mm(100.0)),
            shape: Some(KnifeShape::Round),
            roll_diameter: Some(Length::from_mm(100.0)),
            ..Knife::default()
        }),
        ..Line::default()
    }
}

/// The line with another knife.
pub(crate) fn with_knife(line: &Line, change: impl FnOnce(&mut Knife)) -> Line {
    let Head::Knife(mut knife) = line.head else {
        panic!("the line has no knife")
    };
    change(&mut knife);
    Line {
        head: Head::Knife(knife),
        ..*line
    }
}

/// Speed in m/min and gap in µm of a knife.
pub(crate) fn knife_setting(speed: f64, gap: f64) -> Setting {
    Setting {
        speed: Some(Speed::from_m_per_min(speed)),
        gap: Some(Length::from_um(gap)),
        ..Setting::default()
    }
}

/// A thin ink under a bar of 0.3 mm wire (invented): 20 mPa·s, 30 mN/m, 1000 kg/m³, 100 mm wide.
pub(crate) fn wire_bar_line() -> Line {
    Line {
        ink: Ink {
            rheology: Some(newtonian(20.0)),
            surface_tension: Some(SurfaceTension::from_mn_per_m(30.0)),
            density: Some(Density::from_kg_per_m3(1000.0)),
            ..Ink::default()
        },
        head: Head::WireBar(WireBar {
            coated_width: Some(Length::from_mm(100.0)),
            wire_diameter: Some(Length::from_um(300.0)),
            ..WireBar::default()
        }),
        ..Line::default()
    }
}

/// The line with another bar.
pub(crate) fn with_bar(line: &Line, change: impl FnOnce(&mut WireBar)) -> Line {
    let Head::WireBar(mut bar) = line.head else {
        panic!("the line has no wire-wound bar")
    };
    change(&mut bar);
    Line {
        head: Head::WireBar(bar),
        ..*line
    }
}

/// Speed alone, in m/min, where the head brings all else.
pub(crate) fn speed_setting(speed: f64) -> Setting {
    Setting {
        speed: Some(Speed::from_m_per_min(speed)),
        ..Setting::default()
    }
}

/// An ink on a kiss gravure of 20 cm³/m² and 60 lines/cm (invented): 20 mPa·s, 30 mN/m, 1000 kg/m³, 100 mm wide.
pub(crate) fn gravure_line() -> Line {
    Line {
        head: Head::Gravure(Gravure {
            coated_width: Some(Length::from_mm(100.0)),
            arrangement: Some(GravureArrangement::Kiss),
            roll: EngravedRoll {
                cell_volume: Some(CellVolume::from_cm3_per_m2(20.0)),
                cell_lines: Some(LineCount::from_per_cm(60.0)),
                ..EngravedRoll::default()
            },
            ..Gravure::default()
        }),
        ..wire_bar_line()
    }
}

/// The line with another gravure unit.
pub(crate) fn with_gravure(line: &Line, change: impl FnOnce(&mut Gravure)) -> Line {
    let Head::Gravure(mut unit) = line.head else {
        panic!("the line has no gravure unit")
    };
    change(&mut unit);
    Line {
        head: Head::Gravure(unit),
        ..*line
    }
}

/// An ink on a chambered anilox of 2 BCM per square inch and 200 lines/cm (invented): 200 mPa·s, 35 mN/m, 1000 kg/m³.
pub(crate) fn flexo_line() -> Line {
    Line {
        ink: Ink {
            rheology: Some(newtonian(200.0)),
            surface_tension: Some(SurfaceTension::from_mn_per_m(35.0)),
            density: Some(Density::from_kg_per_m3(1000.0)),
            ..Ink::default()
        },
        head: Head::Flexo(Flexo {
            coated_width: Some(Length::from_mm(100.0)),
            metering: Some(AniloxMetering::Chambered),
            anilox: EngravedRoll {
                cell_volume: Some(CellVolume::from_bcm_per_in2(2.0)),
                cell_lines: Some(LineCount::from_per_cm(200.0)),
                ..EngravedRoll::default()
            },
            ..Flexo::default()
        }),
        ..Line::default()
    }
}

/// The line with another flexo unit.
pub(crate) fn with_flexo(line: &Line, change: impl FnOnce(&mut Flexo)) -> Line {
    let Head::Flexo(mut unit) = line.head else {
        panic!("the line has no flexo unit")
    };
    change(&mut unit);
    Line {
        head: Head::Flexo(unit),
        ..*line
    }
}
