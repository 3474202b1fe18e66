//! Agreement with a second implementation in another language: `tests/data/physics/reference_margins.py`, whose output
//! stands beside it. The script bisects where the crate has a closed form, and assembles the evaporation flux from its
//! parts where the crate gathers them.

use std::collections::BTreeMap;

use wetlane_physics::{
    Activity, Angle, Assessment, Density, Dryer, Foil, FoilMaterial, Fraction, Gas, Head,
    HeatTransferCoefficient, HeatedRoller, Ink, Length, LimitId, Line, Pressure, Rheology, Setting,
    SlotDie, Solvent, Speed, SurfaceTension, Surroundings, Temperature, Viscosity, VolumeFlow,
    assess_nominal,
};

use crate::support::{assert_close, workspace_file};

/// Closed-form limits agree to this, absolute for margins below one and relative above: rounding and a bisection to the
/// last bit of the thickness.
const CLOSED_FORM: f64 = 1e-9;
/// The march adds up some 10 000 roundings of differently ordered formulas.
const MARCH: f64 = 1e-6;

struct Row(BTreeMap<String, String>);

impl Row {
    fn text(&self, name: &str) -> &str {
        self.0
            .get(name)
            .unwrap_or_else(|| panic!("no column {name}"))
    }

    fn optional(&self, name: &str) -> Option<f64> {
        match self.text(name) {
            "-" => None,
            text => Some(text.parse().unwrap_or_else(|_| panic!("{name}: {text}"))),
        }
    }

    fn number(&self, name: &str) -> f64 {
        self.optional(name)
            .unwrap_or_else(|| panic!("{name} is empty"))
    }

    fn length(&self, name: &str) -> Option<Length> {
        self.optional(name).map(Length::from_m)
    }

    fn heat_transfer(&self, name: &str) -> Option<HeatTransferCoefficient> {
        self.optional(name)
            .map(HeatTransferCoefficient::from_w_per_m2_k)
    }

    fn ink(&self) -> Ink {
        let consistency = Viscosity::from_pa_s(self.number("consistency_pa_s"));
        let index = self.number("index");
        let is_newtonian = (index - 1.0).abs() < 1e-12;
        Ink {
            rheology: Some(if is_newtonian {
                Rheology::Newtonian {
                    viscosity: consistency,
                }
            } else {
                Rheology::PowerLaw { consistency, index }
            }),
            surface_tension: self
                .optional("surface_tension_n_per_m")
                .map(SurfaceTension::from_n_per_m),
            density: self
                .optional("density_kg_per_m3")
                .map(Density::from_kg_per_m3),
            solids: self.optional("solids").map(Fraction::from_ratio),
            dry_density: self
                .optional("dry_density_kg_per_m3")
                .map(Density::from_kg_per_m3),
            solvent: Solvent::from_key(self.text("solvent")),
            activity: Some(if self.text("activity") == "polymer" {
                Activity::Polymer
            } else {
                Activity::Free
            }),
            angle_on_lip: self.optional("angle_on_lip_deg").map(Angle::from_deg),
            angle_on_foil: self.optional("angle_on_foil_deg").map(Angle::from_deg),
            ..Ink::default()
        }
    }

    fn line(&self) -> Line {
        Line {
            ink: self.ink(),
            foil: Foil {
                material: FoilMaterial::from_key(self.text("foil")),
                thickness: self.length("foil_m"),
                surface_energy: self
                    .optional("foil_energy_n_per_m")
                    .map(SurfaceTension::from_n_per_m),
                ..Foil::default()
            },
            head: Head::SlotDie(SlotDie {
                coated_width: self.length("width_m"),
                downstream_lip: self.length("downstream_lip_m"),
                upstream_lip: self.length("upstream_lip_m"),
                upstream_gap_ratio: self.optional("upstream_gap_ratio"),
                lip_corner: self.optional("lip_corner_deg").map(Angle::from_deg),
                has_vacuum_box: true,
                ..SlotDie::default()
            }),
            roller: self.optional("roller_c").map(|_| HeatedRoller {
                diameter: self.length("roller_diameter_m"),
                wrap: self.optional("roller_wrap_deg").map(Angle::from_deg),
                contact: self.heat_transfer("roller_contact"),
                temperature_span: None,
            }),
            dryer: Some(Dryer {
                length: self.length("dryer_m"),
                gas: Gas::from_key(self.text("gas")).expect("a gas"),
                h_top: self.heat_transfer("dryer_h_top"),
                h_bottom: self.heat_transfer("dryer_h_bottom"),
                fresh_gas: self
                    .optional("fresh_gas_m3_per_h")
                    .map(VolumeFlow::from_m3_per_h),
                residual_solvent: self.optional("residual").map(Fraction::from_ratio),
                ..Dryer::default()
            }),
            surroundings: Surroundings {
                room_temperature: self.optional("room_c").map(Temperature::from_deg_c),
                relative_humidity: self.optional("humidity").map(Fraction::from_ratio),
                open_path: self.length("open_path_m"),
                open_path_h: self.heat_transfer("open_path_h"),
                ..Surroundings::default()
            },
            ..Line::default()
        }
    }

    fn setting(&self) -> Setting {
        let flow = self.number("wet_m") * self.number("speed_m_per_s") * self.number("width_m");
        Setting {
            speed: self.optional("speed_m_per_s").map(Speed::from_m_per_s),
            flow: Some(VolumeFlow::from_m3_per_s(flow)),
            gap: self.length("gap_m"),
            vacuum: self.optional("vacuum_pa").map(Pressure::from_pa),
            roller_temperature: self.optional("roller_c").map(Temperature::from_deg_c),
            gas_temperature: self.optional("gas_c").map(Temperature::from_deg_c),
            ..Setting::default()
        }
    }

    fn assess(&self) -> Assessment {
        assess_nominal(&self.line(), &self.setting()).expect("valid inputs")
    }
}

fn rows() -> Vec<Row> {
    let path = workspace_file("tests/data/physics/reference_margins.csv");
    let text = std::fs::read_to_string(path).expect("the data file");
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let split = |line: &str| line.split(';').map(str::to_owned).collect::<Vec<_>>();
    let names = split(lines.next().expect("a header"));
    lines
        .map(|line| Row(names.iter().cloned().zip(split(line)).collect()))
        .collect()
}

/// Compares every limit of a row that the script also judges and that `wanted` picks.
fn compare(wanted: impl Fn(LimitId) -> bool, tolerance: f64) -> usize {
    let mut n_compared = 0;
    for (number, row) in rows().iter().enumerate() {
        let assessment = row.assess();
        for id in LimitId::ALL.into_iter().filter(|id| wanted(*id)) {
            let column = format!("= {}", id.key());
            if !row.0.contains_key(&column) {
                continue;
            }
            let record = assessment
                .limit(id)
                .unwrap_or_else(|| panic!("row {number}: no {}", id.key()));
            let margin = record
                .margin()
                .unwrap_or_else(|| panic!("row {number}: {} not evaluated", id.key()));
            let expected = row.number(&column);
            let grid = if id == LimitId::DryAtExit {
                SCRIPT_GRID * (1.0 - expected)
            } else {
                0.0
            };
            assert!(
                (margin - expected).abs() <= tolerance * expected.abs().max(1.0) + grid,
                "row {number}, {}: got {margin:?}, the second implementation {expected:?}",
                id.key()
            );
            n_compared += 1;
        }
    }
    n_compared
}

/// The script's dry speed is the dry end of a step of its grid of speeds, `(2/1e-4)^(1/2¹⁶)`.
const SCRIPT_GRID: f64 = 1.52e-4;
const MARCHED: [LimitId; 2] = [LimitId::DryAtExit, LimitId::Blister];

#[test]
fn closed_form_limits_agree_with_the_second_implementation() {
    let n_compared = compare(|id| !MARCHED.contains(&id), CLOSED_FORM);
    assert_eq!(n_compared, 60 * 13);
}

#[test]
fn drying_agrees_with_the_second_implementation() {
    let n_compared = compare(|id| MARCHED.contains(&id), MARCH);
    assert_eq!(n_compared, 60 * 2);
}

#[test]
fn dry_speeds_and_hottest_foils_agree_with_the_second_implementation() {
    for (number, row) in rows().iter().enumerate() {
        let derived = row.assess().derived;
        let place = format!("row {number}");
        let speed = derived.dry_speed_m_per_s.expect("a dry speed");
        let script = row.number("= dry_speed_m_per_s");
        assert!(
            (1.0 - MARCH..1.0 + SCRIPT_GRID + MARCH).contains(&(speed / script)),
            "{place}: {speed} against {script}"
        );
        assert_close(
            derived.hottest_foil_k.expect("a temperature"),
            row.number("= hottest_foil_k"),
            MARCH,
            &place,
        );
    }
}
