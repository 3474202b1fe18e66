//! The case that benchmark and side-by-side comparison share: an invented line and a million settings of it.
//!
//! The numbers come from splitmix64 by counter, so that another program makes the same ones without exchanging files; the
//! twin in numpy does.

use wetlane_physics::batch::Columns;
use wetlane_physics::{
    Angle, Basis, Density, DrySpeedTable, Dryer, Fraction, Head, HeatTransferCoefficient, Ink,
    Input, Length, Line, Prepared, Pump, Rheology, Setting, SlotDie, Solvent, Span, Speed,
    SurfaceTension, Surroundings, TableRange, Temperature, Viscosity, VolumeFlow,
};

const SEED: u64 = 51;
const WIDTH_M: f64 = 0.1;

/// What the ink is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum InkKind {
    /// 12 mPa·s at every rate.
    Newtonian,
    /// Consistency 0.2 Pa·s, index 0.7.
    PowerLaw,
}

/// Output `i` of splitmix64 from a seed as a number from 0 to 1.
fn uniform(i: u64) -> f64 {
    let z = SEED.wrapping_add((i + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15));
    let z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 * 2.0_f64.powi(-53)
}

/// Numbers of a column between two ends.
fn column(place: usize, n: usize, (least, greatest): (f64, f64)) -> Vec<f64> {
    (0..n)
        .map(|i| least + (greatest - least) * uniform((place * n + i) as u64))
        .collect()
}

/// The columns of the case in SI: speeds 0.3 to 6 m/min, wet thicknesses 2 to 60 µm as flows, gaps 50 to 400 µm, vacuum up to
/// 500 Pa.
#[derive(Debug, Clone)]
pub(crate) struct CaseColumns {
    pub(crate) speed: Vec<f64>,
    pub(crate) flow: Vec<f64>,
    pub(crate) gap: Vec<f64>,
    pub(crate) vacuum: Vec<f64>,
}

impl CaseColumns {
    pub(crate) fn new(n: usize) -> Self {
        let speed = column(0, n, (0.3 / 60.0, 6.0 / 60.0));
        let wet = column(1, n, (2e-6, 60e-6));
        Self {
            flow: speed
                .iter()
                .zip(&wet)
                .map(|(v, t)| t * WIDTH_M * v)
                .collect(),
            speed,
            gap: column(2, n, (50e-6, 400e-6)),
            vacuum: column(3, n, (0.0, 500.0)),
        }
    }

    /// Each knob with its column.
    pub(crate) fn varied(&self) -> [(Input, &[f64]); 4] {
        [
            (Input::Speed, &self.speed),
            (Input::Flow, &self.flow),
            (Input::Gap, &self.gap),
            (Input::Vacuum, &self.vacuum),
        ]
    }
}

/// What all settings share.
pub(crate) fn base(has_dryer: bool) -> Setting {
    Setting {
        gas_temperature: has_dryer.then_some(Temperature::from_deg_c(90.0)),
        ..Setting::default()
    }
}

/// The columns as the batch call takes them.
pub(crate) fn columns<'a>(base: Setting, varied: &'a [(Input, &'a [f64])]) -> Columns<'a> {
    Columns { base, varied }
}

const fn span<Q>(least: Q, greatest: Q) -> Span<Q> {
    Span { least, greatest }
}

/// The invented line, with or without a dryer.
pub(crate) fn line(kind: InkKind, has_dryer: bool) -> Line {
    Line {
        ink: Ink {
            rheology: Some(match kind {
                InkKind::Newtonian => Rheology::Newtonian {
                    viscosity: Viscosity::from_mpa_s(12.0),
                },
                InkKind::PowerLaw => Rheology::PowerLaw {
                    consistency: Viscosity::from_pa_s(0.2),
                    index: 0.7,
                },
            }),
            surface_tension: Some(SurfaceTension::from_mn_per_m(28.0)),
            density: Some(Density::from_kg_per_m3(980.0)),
            solids: Some(Fraction::from_ratio(0.003)),
            largest_particle: Some(Length::from_um(20.0)),
            angle_on_lip: Some(Angle::from_deg(30.0)),
            angle_on_foil: Some(Angle::from_deg(20.0)),
            solvent: has_dryer.then_some(Solvent::Water),
            ..Ink::default()
        },
        head: Head::SlotDie(SlotDie {
            coated_width: Some(Length::from_m(WIDTH_M)),
            downstream_lip: Some(Length::from_mm(1.0)),
            upstream_lip: Some(Length::from_mm(0.8)),
            upstream_gap_ratio: Some(1.1),
            lip_corner: Some(Angle::from_deg(90.0)),
            feed_slot_height: Some(Length::from_um(150.0)),
            has_vacuum_box: true,
            gap_span: Some(span(Length::from_um(40.0), Length::from_um(300.0))),
            ..SlotDie::default()
        }),
        pump: Some(Pump {
            flow_span: Some(span(
                VolumeFlow::from_ml_per_min(0.2),
                VolumeFlow::from_ml_per_min(20.0),
            )),
            ..Pump::default()
        }),
        speed_span: Some(span(Speed::from_m_per_min(0.2), Speed::from_m_per_min(5.0))),
        dryer: has_dryer.then_some(Dryer {
            length: Some(Length::from_m(1.2)),
            h_top: Some(HeatTransferCoefficient::from_w_per_m2_k(30.0)),
            h_bottom: Some(HeatTransferCoefficient::from_w_per_m2_k(10.0)),
            ..Dryer::default()
        }),
        surroundings: Surroundings {
            room_temperature: Some(Temperature::from_deg_c(22.0)),
            ..Surroundings::default()
        },
        ..Line::default()
    }
}

/// The line with its defaults filled in.
pub(crate) fn prepared(line: &Line) -> Prepared {
    Prepared::new(line, &Basis::default()).expect("the line of the case is valid")
}

/// Dry speeds over all films of the case.
pub(crate) fn drying_table(prepared: &Prepared) -> DrySpeedTable {
    let range = TableRange {
        wet_thickness: Span {
            least: Length::from_um(1.9),
            greatest: Length::from_um(61.0),
        },
        gas: Span {
            least: Temperature::from_deg_c(90.0),
            greatest: Temperature::from_deg_c(90.0),
        },
        roller: None,
        infrared: None,
    };
    DrySpeedTable::new(prepared, range).expect("films of the case dry smoothly")
}
