//! The film on its way: a march through all zones at one speed.

use arrayvec::ArrayVec;

use super::dry_speed::DryOutcome;
use super::zone::{VaporErrors, Zone};
use super::{
    BLISTERING_RESIDUAL, DryingFilm, DryingZone, FLORY_HUGGINS_CHI, FallingRate, FilmActivity,
    LIQUID_HEAT_CAPACITY, MAX_ZONES, SOLIDS_HEAT_CAPACITY, flory_huggins_activity,
};
use crate::quantity::{Duration, Speed, Temperature};

/// Time steps a zone; 200 lie within 0.5 % of a step fifteen times finer.
pub const STEPS_PER_ZONE: usize = 200;
/// Step of the one-sided difference of the flux with temperature \[K\].
const DIFFERENCE_K: f64 = 0.5;
/// Halvings that solve the implicit step of a dissolved polymer: 1e-9 of the solvent left.
const POLYMER_HALVINGS: u32 = 30;

/// The film with its zones and the residual solvent at which it counts as dry.
#[derive(Debug, Clone)]
pub struct DryingCase {
    film: DryingFilm,
    zones: ArrayVec<Zone, MAX_ZONES>,
    residual: f64,
    falling: Option<FallingRate>,
    stiff_liquid: f64,
    steps: usize,
}

/// What a march at one speed found. Times count from the head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct March {
    /// Solvent left per dry mass (per solvent fed, if there are no solids), slow diffusion left out.
    pub residual: f64,
    /// Hottest temperature of the foil.
    pub hottest: Temperature,
    /// Hottest temperature while the film can still boil.
    pub hottest_while_wet: Temperature,
    /// Coldest temperature in room air while the film is wet.
    pub coldest_in_air: Temperature,
    /// Greatest evaporation flux [kg/(m²·s)].
    pub greatest_flux_kg_per_m2_s: f64,
    /// Greatest heat flux through the wet film from below [W/m²]; zero if all heat comes from above.
    pub greatest_heat_from_below_w_per_m2: f64,
    /// Time until the film is dry; `None` if it is not dry at the end.
    pub dry_after: Option<Duration>,
    /// Time until so much solvent is left as [`DryingCase::with_stiff_film`] says; `None` if more is left at the end.
    pub stiff_after: Option<Duration>,
}

/// Film state of a march.
#[derive(Debug, Clone, Copy)]
pub(super) struct State {
    film_k: f64,
    liquid: f64,
}

/// One step of a march: its end since the head, its length, the states before and after.
#[derive(Debug, Clone, Copy)]
struct Step {
    end: f64,
    dt: f64,
    before: State,
    after: State,
}

impl Step {
    /// Time at which the solvent falls to a level within the step, if it does.
    fn crossing(&self, level: f64) -> Option<f64> {
        let is_crossed = level < self.before.liquid && self.after.liquid <= level;
        is_crossed.then(|| {
            let share = (self.before.liquid - level) / (self.before.liquid - self.after.liquid);
            self.end - self.dt * (1.0 - share)
        })
    }
}

impl DryingCase {
    /// Sets up a case; zones in web order, `residual` per dry mass. Zones beyond [`MAX_ZONES`] are not taken.
    pub fn new(film: DryingFilm, zones: &[DryingZone], residual: f64) -> Self {
        let zones = zones
            .iter()
            .take(MAX_ZONES)
            .map(|zone| Zone::new(zone, film.solvent))
            .collect();
        Self {
            film,
            zones,
            residual,
            falling: None,
            stiff_liquid: 0.0,
            steps: STEPS_PER_ZONE,
        }
    }

    /// The same case with another number of steps a zone, to see what the step costs in accuracy.
    #[must_use]
    pub fn with_steps_per_zone(mut self, steps: usize) -> Self {
        self.steps = steps.max(1);
        self
    }

    /// The same case with a solvent that is off its handbook row.
    #[must_use]
    pub(crate) fn with_vapor_errors(mut self, errors: VaporErrors) -> Self {
        for zone in &mut self.zones {
            *zone = zone.with_vapor_errors(errors);
        }
        self
    }

    /// The same case with another residual at which the film counts as dry.
    #[must_use]
    pub const fn with_residual(mut self, residual: f64) -> Self {
        self.residual = residual;
        self
    }

    /// The same case with slow diffusion at the end (eq 6.13): its time is added to the time that the march needs.
    #[must_use]
    pub const fn with_falling_rate(mut self, falling: FallingRate) -> Self {
        self.falling = Some(falling);
        self
    }

    /// The same case with the solvent per area [kg/m²] at which the film counts as stiff.
    #[must_use]
    pub const fn with_stiff_film(mut self, solvent_kg_per_m2: f64) -> Self {
        self.stiff_liquid = solvent_kg_per_m2;
        self
    }

    /// Length of all zones \[m\].
    pub(super) fn path(&self) -> f64 {
        self.zones.iter().map(|zone| zone.length).sum()
    }

    /// Length of the last zone \[m\].
    pub(super) fn last_length(&self) -> f64 {
        self.zones.last().map_or(0.0, |zone| zone.length)
    }

    /// Time of slow diffusion after the march \[s\].
    fn falling_s(&self) -> f64 {
        self.falling
            .map_or(0.0, |falling| falling.time_to(self.residual).s())
    }

    /// Solvent left per dry mass, or per solvent fed if there is no dry mass.
    fn residual_of(&self, liquid: f64) -> f64 {
        let whole = self.counted_mass();
        if whole > 0.0 { liquid / whole } else { 0.0 }
    }

    /// Solvent per area at a residual.
    fn liquid_at(&self, residual: f64) -> f64 {
        residual * self.counted_mass()
    }

    /// What a residual is counted by.
    const fn counted_mass(&self) -> f64 {
        if self.film.solids_kg_per_m2 > 0.0 {
            self.film.solids_kg_per_m2
        } else {
            self.film.solvent_kg_per_m2
        }
    }

    fn activity(&self, liquid: f64) -> f64 {
        match self.film.activity {
            FilmActivity::Free => 1.0,
            FilmActivity::Polymer { dry_density } => {
                let solvent = liquid / self.film.solvent.density().kg_per_m3();
                let polymer = self.film.solids_kg_per_m2 / dry_density.kg_per_m3();
                if solvent + polymer > 0.0 {
                    flory_huggins_activity(solvent / (solvent + polymer), FLORY_HUGGINS_CHI)
                } else {
                    1.0
                }
            }
        }
    }

    /// Solvent left after a step. With activity 1 the flux at the new temperature is taken as it is; a dissolved polymer
    /// needs the implicit step, or a long step would dry it past the vapour pressure of the gas.
    fn liquid_after(&self, zone: &Zone, state: State, flux: f64, dt: f64, gas_vapor: f64) -> f64 {
        match self.film.activity {
            FilmActivity::Free => (state.liquid - flux * dt).max(0.0),
            FilmActivity::Polymer { .. } => {
                let properties = self.film.solvent.properties();
                let (mut low, mut high) = (0.0, state.liquid);
                for _ in 0..POLYMER_HALVINGS {
                    let middle = 0.5 * (low + high);
                    let flux =
                        zone.flux(properties, state.film_k, self.activity(middle), gas_vapor);
                    if middle + dt * flux > state.liquid {
                        high = middle;
                    } else {
                        low = middle;
                    }
                }
                0.5 * (low + high)
            }
        }
    }

    /// Takes the film through one zone that it enters at a time, calling `each` after every step; stops early when it
    /// returns false. Returns false if it was stopped.
    fn march_zone(
        &self,
        zone: &Zone,
        speed: f64,
        clock: f64,
        state: &mut State,
        mut each: impl FnMut(Step) -> bool,
    ) -> bool {
        let properties = self.film.solvent.properties();
        let gas_vapor = zone.vapor_pressure(speed);
        let dt = zone.length / speed / self.steps as f64;
        let solid_heat = self.film.foil_heat_capacity_j_per_m2_k
            + self.film.solids_kg_per_m2 * SOLIDS_HEAT_CAPACITY;
        let mut flux = if state.liquid > 0.0 {
            let activity = self.activity(state.liquid);
            zone.flux(properties, state.film_k, activity, gas_vapor)
        } else {
            0.0
        };
        for step in 0..self.steps {
            let before = *state;
            let capacity = solid_heat + before.liquid * LIQUID_HEAT_CAPACITY;
            let (mut loss, mut loss_slope) = (0.0, 0.0);
            if before.liquid > 0.0 {
                let latent = properties.heat_of_vaporization_at(before.film_k);
                let activity = self.activity(before.liquid);
                let warmer = zone.flux(
                    properties,
                    before.film_k + DIFFERENCE_K,
                    activity,
                    gas_vapor,
                );
                loss = flux * latent;
                loss_slope = latent * ((warmer - flux) / DIFFERENCE_K).max(0.0);
            }
            let slope = zone.heat_slope(before.film_k) + loss_slope;
            state.film_k += dt * (zone.heat(before.film_k) - loss) / (capacity + dt * slope);
            if before.liquid > 0.0 {
                let activity = self.activity(before.liquid);
                let now = zone.flux(properties, state.film_k, activity, gas_vapor);
                state.liquid = self.liquid_after(zone, *state, now, dt, gas_vapor);
                flux = match self.film.activity {
                    FilmActivity::Free => now,
                    FilmActivity::Polymer { .. } => zone.flux(
                        properties,
                        state.film_k,
                        self.activity(state.liquid),
                        gas_vapor,
                    ),
                };
            }
            let end = clock + (step + 1) as f64 * dt;
            if !each(Step {
                end,
                dt,
                before,
                after: *state,
            }) {
                return false;
            }
        }
        true
    }

    fn start(&self) -> State {
        State {
            film_k: self.film.start.k(),
            liquid: self.film.solvent_kg_per_m2,
        }
    }

    /// Takes the film through all zones at a speed.
    pub fn march(&self, speed: Speed) -> March {
        let v = speed.m_per_s();
        let mut state = self.start();
        let mut log = MarchLog::new(self, state);
        let mut clock = 0.0;
        for zone in &self.zones {
            self.march_zone(zone, v, clock, &mut state, |step| {
                log.take(zone, step);
                true
            });
            clock += zone.length / v;
        }
        let falling = self.falling_s();
        let dry_after = match log.dried {
            Some(time) if time > 0.0 && falling > 0.0 => {
                Some(time + falling).filter(|needed| *needed <= clock)
            }
            dried => dried,
        };
        March {
            residual: self.residual_of(state.liquid),
            hottest: Temperature::from_k(log.hottest),
            hottest_while_wet: Temperature::from_k(log.hottest_wet),
            coldest_in_air: Temperature::from_k(log.coldest_in_air),
            greatest_flux_kg_per_m2_s: log.greatest_flux,
            greatest_heat_from_below_w_per_m2: log.greatest_heat_from_below,
            dry_after: dry_after.map(Duration::from_s),
            stiff_after: log.stiffened.map(Duration::from_s),
        }
    }

    /// True if the film leaves the last zone dry at a speed.
    pub fn is_dry_at(&self, speed: Speed) -> bool {
        matches!(self.outcome_at(speed.m_per_s()), DryOutcome::Dry { .. })
    }

    /// Marches at a speed until the film is dry or leaves the last zone.
    pub(super) fn outcome_at(&self, speed: f64) -> DryOutcome {
        let mut state = self.start();
        let dry = self.liquid_at(self.residual);
        if state.liquid <= dry {
            return DryOutcome::Dry { after: 0.0 };
        }
        let falling = self.falling_s();
        let time = self.path() / speed;
        let mut clock = 0.0;
        let mut last = None;
        for zone in &self.zones {
            let mut dried = None;
            self.march_zone(zone, speed, clock, &mut state, |step| {
                last = Some(step);
                dried = step.crossing(dry);
                dried.is_none()
            });
            if let Some(at) = dried {
                let lacking = at + falling - time;
                return if falling > 0.0 && lacking > 0.0 {
                    DryOutcome::Wet { lacking }
                } else {
                    DryOutcome::Dry {
                        after: at + falling,
                    }
                };
            }
            clock += zone.length / speed;
        }
        let rate = last.map_or(0.0, |step| {
            (step.before.liquid - step.after.liquid) / step.dt
        });
        DryOutcome::Wet {
            lacking: (state.liquid - dry) / rate + falling,
        }
    }
}

/// What is noted on the way.
struct MarchLog {
    dry: f64,
    boilable: f64,
    stiff: f64,
    hottest: f64,
    hottest_wet: f64,
    coldest_in_air: f64,
    greatest_flux: f64,
    greatest_heat_from_below: f64,
    dried: Option<f64>,
    stiffened: Option<f64>,
}

impl MarchLog {
    fn new(case: &DryingCase, start: State) -> Self {
        let dry = case.liquid_at(case.residual);
        Self {
            dry,
            boilable: case.liquid_at(BLISTERING_RESIDUAL),
            stiff: case.stiff_liquid,
            hottest: start.film_k,
            hottest_wet: start.film_k,
            coldest_in_air: start.film_k,
            greatest_flux: 0.0,
            greatest_heat_from_below: 0.0,
            dried: (start.liquid <= dry).then_some(0.0),
            stiffened: (start.liquid <= case.stiff_liquid).then_some(0.0),
        }
    }

    fn take(&mut self, zone: &Zone, step: Step) {
        let film_k = step.after.film_k;
        self.hottest = film_k.max(self.hottest);
        if step.after.liquid > self.boilable {
            self.hottest_wet = film_k.max(self.hottest_wet);
            if zone.is_humid {
                self.coldest_in_air = film_k.min(self.coldest_in_air);
            }
            let flux = (step.before.liquid - step.after.liquid) / step.dt;
            self.greatest_flux = flux.max(self.greatest_flux);
            self.greatest_heat_from_below = zone
                .heat_from_below(film_k)
                .max(self.greatest_heat_from_below);
        }
        self.dried = self.dried.or_else(|| step.crossing(self.dry));
        self.stiffened = self.stiffened.or_else(|| step.crossing(self.stiff));
    }
}
