//! Pump flow to wet film to dry film, and what a run takes in time, ink and foil (eqs 2.1 to 2.28).
//!
//! A slot die is pre-metered: the wet thickness follows from the volume balance alone and the gap does not set it.

use std::f64::consts::PI;

use crate::elementary::{cos, ln};
use crate::physical_constants::{STANDARD_GRAVITY, STANDARD_PRESSURE};
use crate::quantity::{
    Angle, AreaMass, Density, Duration, Fraction, Length, Pressure, Speed, SurfaceTension,
    Viscosity, Volume, VolumeFlow,
};

/// Wet film thickness laid down by a metering pump, from the volume balance `t = Q/(U·w)` (eq 2.1).
///
/// Exact for pre-metered coating without loss at the edges; independent of rheology and of the gap.
///
/// # Examples
/// ```
/// use wetlane_physics::metering::wet_thickness;
/// use wetlane_physics::quantity::{Length, Speed, VolumeFlow};
/// let t = wet_thickness(VolumeFlow::from_ml_per_min(12.0), Speed::from_m_per_min(5.0), Length::from_mm(100.0));
/// assert!((t.um() - 24.0).abs() < 1e-9); // 12 mL/min over 5 m/min × 100 mm, by hand
/// ```
pub fn wet_thickness(flow: VolumeFlow, speed: Speed, width: Length) -> Length {
    Length::from_m(flow.m3_per_s() / (speed.m_per_s() * width.m()))
}

/// Pump flow for a wet thickness, `Q = t·w·U` (eq 2.10).
pub fn flow_for_wet_thickness(wet_thickness: Length, speed: Speed, width: Length) -> VolumeFlow {
    VolumeFlow::from_m3_per_s(wet_thickness.m() * width.m() * speed.m_per_s())
}

/// What an ink leaves behind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolidContent {
    /// Density of the liquid ink.
    pub ink_density: Density,
    /// Mass fraction of solids.
    pub solids: Fraction,
    /// Density of the dry solid.
    pub dry_density: Density,
    /// Porosity of the dry layer.
    pub porosity: Fraction,
}

impl SolidContent {
    /// Dry over wet thickness.
    fn shrinkage_ratio(&self) -> f64 {
        self.ink_density.kg_per_m3() * self.solids.ratio()
            / (self.dry_density.kg_per_m3() * (1.0 - self.porosity.ratio()))
    }

    /// Dry thickness of a wet film (eq 2.6).
    pub fn dry_thickness(&self, wet_thickness: Length) -> Length {
        Length::from_m(wet_thickness.m() * self.shrinkage_ratio())
    }

    /// Wet thickness that dries to the wanted one; infinite if the ink holds no solids.
    pub fn wet_thickness(&self, dry_thickness: Length) -> Length {
        Length::from_m(dry_thickness.m() / self.shrinkage_ratio())
    }

    /// Volume fraction of solids in the liquid ink (eq 2.9).
    pub fn volume_fraction(&self) -> Fraction {
        Fraction::from_ratio(
            self.solids.ratio() * self.ink_density.kg_per_m3() / self.dry_density.kg_per_m3(),
        )
    }
}

/// Dry coat weight of a wet film (eq 2.7).
pub fn dry_coat_weight(wet_thickness: Length, ink_density: Density, solids: Fraction) -> AreaMass {
    AreaMass::from_kg_per_m2(wet_thickness.m() * ink_density.kg_per_m3() * solids.ratio())
}

/// Density of an ink of ideal mixing, from its solids and its liquid (eq 2.8).
pub fn ink_density(solids: Fraction, dry_density: Density, liquid_density: Density) -> Density {
    let x = solids.ratio();
    Density::from_kg_per_m3(
        1.0 / (x / dry_density.kg_per_m3() + (1.0 - x) / liquid_density.kg_per_m3()),
    )
}

/// Relative error of a pre-metered film from the relative errors of flow, speed and width (eq 2.11).
pub fn wet_thickness_error(flow_error: f64, speed_error: f64, width_error: f64) -> f64 {
    (flow_error * flow_error + speed_error * speed_error + width_error * width_error).sqrt()
}

/// A round syringe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Syringe {
    /// Inner diameter.
    pub bore: Length,
    /// Volume of one filling.
    pub volume: Volume,
}

impl Syringe {
    /// Cross-section [m²].
    fn area(&self) -> f64 {
        0.25 * PI * self.bore.m() * self.bore.m()
    }

    /// Speed of the plunger (eq 2.13).
    pub fn plunger_speed(&self, flow: VolumeFlow) -> Speed {
        Speed::from_m_per_s(flow.m3_per_s() / self.area())
    }

    /// Force on the plunger \[N\] against the pressure of the line, without friction (eq 2.16).
    pub fn plunger_force_n(&self, line_pressure: Pressure) -> f64 {
        self.area() * line_pressure.pa()
    }

    /// How long one filling lasts (eq 2.14).
    pub fn run_time(&self, flow: VolumeFlow) -> Duration {
        Duration::from_s(self.volume.m3() / flow.m3_per_s())
    }
}

/// Foil that one filling coats (eq 2.15).
pub fn foil_per_filling(usable_volume: Volume, wet_thickness: Length, width: Length) -> Length {
    Length::from_m(usable_volume.m3() / (wet_thickness.m() * width.m()))
}

/// Pressure drop of a round tube, laminar, Newtonian (eq 2.17).
pub fn tube_pressure_drop(
    viscosity: Viscosity,
    flow: VolumeFlow,
    tube_radius: Length,
    length: Length,
) -> Pressure {
    let a = tube_radius.m();
    Pressure::from_pa(8.0 * viscosity.pa_s() * length.m() * flow.m3_per_s() / (PI * a * a * a * a))
}

/// Pressure drop of the feed slot, laminar, Newtonian (eq 2.18).
pub fn slot_pressure_drop(
    viscosity: Viscosity,
    flow: VolumeFlow,
    width: Length,
    slot_height: Length,
    slot_length: Length,
) -> Pressure {
    let h = slot_height.m();
    Pressure::from_pa(
        12.0 * viscosity.pa_s() * slot_length.m() * flow.m3_per_s() / (width.m() * h * h * h),
    )
}

/// Pitch along the web of the bars that pump steps leave (eq 2.19).
pub fn pump_bar_pitch(step_volume: Volume, wet_thickness: Length, width: Length) -> Length {
    Length::from_m(step_volume.m3() / (wet_thickness.m() * width.m()))
}

/// Compliance of an air bubble in the line at atmospheric pressure [m³/Pa] (eq 2.20).
pub fn bubble_compliance_m3_per_pa(bubble: Volume) -> f64 {
    bubble.m3() / STANDARD_PRESSURE
}

/// Time constant of start and stop of a compliant line (eq 2.20), from its pressure drop at a flow.
pub fn line_time_constant(
    pressure_drop: Pressure,
    flow: VolumeFlow,
    compliance_m3_per_pa: f64,
) -> Duration {
    Duration::from_s(pressure_drop.pa() / flow.m3_per_s() * compliance_m3_per_pa)
}

/// Height of ink above a stopped die that its menisci hold before it drips (eq 2.21), from the contact angles on lip and
/// foil; zero where the ink wets neither.
pub fn drip_head(
    surface_tension: SurfaceTension,
    ink_density: Density,
    gap: Length,
    angle_on_lip: Angle,
    angle_on_foil: Angle,
) -> Length {
    let cosines = cos(angle_on_lip.rad()) + cos(angle_on_foil.rad());
    Length::from_m(drip_head_m(
        surface_tension.n_per_m(),
        ink_density.kg_per_m3(),
        gap.m(),
        cosines,
    ))
}

/// From the sum of the cosines; zero where the ink wets neither wall.
pub(crate) fn drip_head_m(sigma: f64, rho: f64, gap: f64, cosines: f64) -> f64 {
    sigma * cosines.max(0.0) / (rho * STANDARD_GRAVITY * gap)
}

/// Volume that flushes a well-mixed dead volume down to a residual share of the old ink (eq 2.22).
pub fn flush_volume(dead_volume: Volume, residual: Fraction) -> Volume {
    Volume::from_m3(dead_volume.m3() * -ln(residual.ratio()))
}

/// Volume of the coating bead under both lips (eq 2.23).
pub fn bead_volume(
    gap: Length,
    upstream_lip: Length,
    downstream_lip: Length,
    width: Length,
) -> Volume {
    Volume::from_m3(gap.m() * (upstream_lip.m() + downstream_lip.m()) * width.m())
}

/// The waits of which the longest decides when a run is steady.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SettlingTimes {
    /// Time constant of the pump line (eq 2.20).
    pub line_time_constant: Duration,
    /// Bead volume over flow.
    pub bead_time: Duration,
    /// Flush volume over flow, zero if the ink did not change.
    pub flush_time: Duration,
    /// Settling of a changed heater.
    pub thermal_time: Duration,
}

impl SettlingTimes {
    /// Time until the film is steady at the head (eq 2.24).
    pub fn time_to_steady(&self) -> Duration {
        let longest = (3.0 * self.line_time_constant.s())
            .max(3.0 * self.bead_time.s())
            .max(self.flush_time.s())
            .max(self.thermal_time.s());
        Duration::from_s(longest)
    }
}

/// Foil that a run takes (eq 2.25), without threading.
pub fn foil_per_run(speed: Speed, time_to_steady: Duration, sample_time: Duration) -> Length {
    Length::from_m(speed.m_per_s() * (time_to_steady.s() + sample_time.s()))
}

/// Ink that a run takes (eq 2.26).
pub fn ink_per_run(wet_thickness: Length, width: Length, foil: Length, flush: Volume) -> Volume {
    Volume::from_m3(wet_thickness.m() * width.m() * foil.m() + flush.m3())
}

/// Relative error of the flow across the web from an error of the slot height (eq 2.27).
pub fn cross_web_error_of_slot(slot_height_error: Length, slot_height: Length) -> f64 {
    3.0 * slot_height_error.m() / slot_height.m()
}

/// Relative spread of the flow across the web from a centre-fed round manifold, Newtonian ink (eq 2.28).
pub fn cross_web_error_of_manifold(
    width: Length,
    slot_height: Length,
    slot_length: Length,
    manifold_radius: Length,
) -> f64 {
    let (w, h, a) = (width.m(), slot_height.m(), manifold_radius.m());
    w * w * h * h * h / (12.0 * PI * a * a * a * a * slot_length.m())
}
