//! Drying of a film on its way through open path, heated roller and dryer (eqs 6.1 to 6.15).
//!
//! One temperature stands for foil and film. Heat comes from gas above and below and from a roller; vapour leaves by
//! diffusion through the gas with its own bulk flow (Stefan). The film is marched through the zones in web order with a
//! fixed number of equal time steps a zone and one Newton step each; the highest speed at which it still leaves dry is
//! found by bisection on a logarithmic grid. Heat carried off by the leaving vapour and slow diffusion in a solidifying
//! film are left out; the latter has a formula of its own ([`falling_rate_time`]).

use arrayvec::ArrayVec;

use crate::elementary::{exp, ln};
use crate::gas::VaporTransfer;
use crate::line::{Activity, Gas};
use crate::physical_constants::STANDARD_PRESSURE;
use crate::quantity::{
    Density, Duration, HeatTransferCoefficient, Length, Pressure, Speed, Temperature,
    TemperatureDifference,
};
use crate::solvent::{Solvent, SolventProperties};

/// Heat capacity of dry solids in the film [J/(kg·K)] (common practice).
pub const SOLIDS_HEAT_CAPACITY: f64 = 1500.0;
/// Heat capacity of the liquid in the film [J/(kg·K)] (common practice).
pub const LIQUID_HEAT_CAPACITY: f64 = 2000.0;
/// Interaction parameter of a dissolved polymer, 0.4 to 0.5 (common practice).
pub const FLORY_HUGGINS_CHI: f64 = 0.45;
/// Residual solvent, per dry mass, down to which the film can still boil (common practice).
pub const BLISTERING_RESIDUAL: f64 = 0.05;
/// Distance to the boiling point that a wet film keeps (common practice).
pub const BOILING_DISTANCE: TemperatureDifference = TemperatureDifference::from_k(5.0);
/// Time steps a zone; 200 lie within 0.5 % of a step fifteen times finer.
pub const STEPS_PER_ZONE: usize = 200;
/// Slowest and fastest web that [`DryingCase::dry_speed`] considers [m/s].
pub const DRY_SPEED_REACH: (f64, f64) = (1e-4, 2.0);
/// Halvings of the logarithm of speed between both ends of the reach that make the grid: 1.5e-4 relative.
const HALVINGS: u32 = 16;
/// Guesses of the dry speed before its bracket is halved instead (chosen by trial: five or six are enough nearly always).
const GUESSES: u32 = 8;
/// Room for the zones of a line.
pub const MAX_ZONES: usize = 8;

/// Largest share of the surrounding pressure that the vapour at the film may reach in eq 6.3.
const GREATEST_VAPOR_SHARE: f64 = 0.999;
/// Largest share of the surrounding pressure that vapour in the gas may reach.
const GREATEST_GAS_VAPOR_SHARE: f64 = 0.99;
/// Coldest film at which vapour pressures are taken \[K\].
const COLDEST_FILM_K: f64 = 230.0;
/// How far above the hottest source of heat vapour pressures are taken \[K\].
const OVERSHOOT_K: f64 = 60.0;
/// Step of the one-sided difference of the flux with temperature \[K\].
const DIFFERENCE_K: f64 = 0.5;
/// Halvings that solve the implicit step of a dissolved polymer: 1e-9 of the solvent left.
const POLYMER_HALVINGS: u32 = 30;

/// A film as it leaves the head, with the foil below it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryingFilm {
    /// Solvent.
    pub solvent: Solvent,
    /// Solvent per area [kg/m²].
    pub solvent_kg_per_m2: f64,
    /// Solids per area [kg/m²]; zero for a trial with solvent alone, whose residual is then counted per solvent fed.
    pub solids_kg_per_m2: f64,
    /// Heat capacity of the foil per area [J/(m²·K)].
    pub foil_heat_capacity_j_per_m2_k: f64,
    /// Temperature of foil and film at the head.
    pub start: Temperature,
    /// Activity of the solvent.
    pub activity: FilmActivity,
}

/// How the vapour pressure falls as the film dries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FilmActivity {
    /// Activity 1 to the end.
    Free,
    /// Flory & Huggins (eq 6.6) for a dissolved polymer of a density.
    Polymer {
        /// Density of the dry polymer.
        dry_density: Density,
    },
}

impl FilmActivity {
    /// From the choice of the ink; `None` if a polymer's dry density is missing.
    pub fn new(activity: Activity, dry_density: Option<Density>) -> Option<Self> {
        match activity {
            Activity::Free => Some(Self::Free),
            Activity::Polymer => dry_density.map(|dry_density| Self::Polymer { dry_density }),
        }
    }
}

/// Activity of a solvent at its volume fraction in a polymer (Flory & Huggins, eq 6.6).
pub fn flory_huggins_activity(solvent_volume_fraction: f64, chi: f64) -> f64 {
    let polymer = 1.0 - solvent_volume_fraction;
    solvent_volume_fraction * exp(polymer + chi * polymer * polymer)
}

/// A stretch of the web path with one state of gas and roller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryingZone {
    /// Length along the web.
    pub length: Length,
    /// Gas.
    pub gas: Gas,
    /// Gas temperature.
    pub gas_temperature: Temperature,
    /// Heat transfer above the film, where vapour leaves.
    pub h_top: HeatTransferCoefficient,
    /// Heat transfer below the foil.
    pub h_bottom: HeatTransferCoefficient,
    /// Contact with a roller: its heat transfer and temperature.
    pub contact: Option<(HeatTransferCoefficient, Temperature)>,
    /// Partial pressure of the solvent in the gas that is fed.
    pub vapor_pressure: Pressure,
    /// Moles of vapour fed to the zone by the film, per mole of fresh gas and per speed [s/m]; zero where the fresh gas
    /// is not known or plenty (eq 6.15). All solvent is taken to evaporate here, the careful side.
    pub vapor_load_s_per_m: f64,
}

/// The film with its zones and the residual solvent at which it counts as dry.
#[derive(Debug, Clone)]
pub struct DryingCase {
    film: DryingFilm,
    zones: ArrayVec<Zone, MAX_ZONES>,
    residual: f64,
    steps: usize,
}

/// What a march at one speed found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct March {
    /// Solvent left per dry mass (per solvent fed, if there are no solids).
    pub residual: f64,
    /// Hottest temperature of the foil.
    pub hottest: Temperature,
    /// Hottest temperature while the film can still boil.
    pub hottest_while_wet: Temperature,
    /// Time from the start of the last zone until the film is dry; negative if it is dry before, `None` if it is not dry
    /// at the end.
    pub dry_after: Option<Duration>,
}

/// The answer of [`DryingCase::dry_speed`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DrySpeed {
    /// Highest speed at which the film leaves dry.
    At(Speed),
    /// Dry even at the top of [`DRY_SPEED_REACH`].
    BeyondReach,
    /// Not dry even at the bottom of [`DRY_SPEED_REACH`]: the gas is too cold or too loaded at any speed.
    Never,
}

impl DrySpeed {
    /// The speed, or the end of the reach.
    pub const fn speed(self) -> Speed {
        match self {
            Self::At(speed) => speed,
            Self::BeyondReach => Speed::from_m_per_s(DRY_SPEED_REACH.1),
            Self::Never => Speed::from_m_per_s(DRY_SPEED_REACH.0),
        }
    }
}

/// A zone in SI numbers.
#[derive(Debug, Clone, Copy)]
struct Zone {
    length: f64,
    gas_k: f64,
    h_top: f64,
    h_bottom: f64,
    h_contact: f64,
    contact_k: f64,
    hottest_k: f64,
    fed_share: f64,
    vapor_load: f64,
    transfer: VaporTransfer,
}

impl Zone {
    fn new(zone: &DryingZone, solvent: Solvent) -> Self {
        let (h_contact, contact_k) = zone
            .contact
            .map_or((0.0, 0.0), |(h, t)| (h.w_per_m2_k(), t.k()));
        let gas_k = zone.gas_temperature.k();
        Self {
            length: zone.length.m(),
            gas_k,
            h_top: zone.h_top.w_per_m2_k(),
            h_bottom: zone.h_bottom.w_per_m2_k(),
            h_contact,
            contact_k,
            hottest_k: if h_contact > 0.0 {
                gas_k.max(contact_k)
            } else {
                gas_k
            },
            fed_share: zone.vapor_pressure.pa() / STANDARD_PRESSURE,
            vapor_load: zone.vapor_load_s_per_m,
            transfer: VaporTransfer::new(solvent, zone.gas),
        }
    }

    /// Partial pressure of the solvent in the gas at a web speed (eq 6.15).
    fn vapor_pressure(&self, speed: f64) -> f64 {
        let load = self.vapor_load * speed;
        let share = (self.fed_share + load) / (1.0 + load);
        STANDARD_PRESSURE * share.min(GREATEST_GAS_VAPOR_SHARE)
    }

    /// Evaporation flux [kg/(m²·s)] from a film of temperature \[K\] and activity (eq 6.3); never condensation.
    fn flux(
        &self,
        properties: &SolventProperties,
        film_k: f64,
        activity: f64,
        gas_vapor: f64,
    ) -> f64 {
        if self.h_top <= 0.0 {
            return 0.0;
        }
        let t = film_k.min(self.hottest_k + OVERSHOOT_K).max(COLDEST_FILM_K);
        let saturated = activity * properties.antoine.vapor_pressure_pa(t);
        let surface = saturated.min(GREATEST_VAPOR_SHARE * STANDARD_PRESSURE);
        if surface <= gas_vapor {
            return 0.0;
        }
        let driving = ln((STANDARD_PRESSURE - gas_vapor) / (STANDARD_PRESSURE - surface));
        self.transfer.flux(self.h_top, t, self.gas_k, driving)
    }

    /// Heat [W/m²] that gas and roller give to a film of a temperature \[K\].
    fn heat(&self, film_k: f64) -> f64 {
        (self.h_top + self.h_bottom) * (self.gas_k - film_k)
            + self.h_contact * (self.contact_k - film_k)
    }

    /// Temperature at which a wet film of activity 1 stays (eq 6.7): heat taken up equals heat carried off by vapour.
    fn constant_rate_k(&self, properties: &SolventProperties) -> f64 {
        let gas_vapor = self.vapor_pressure(0.0);
        let boiling = properties.antoine.b
            / (properties.antoine.a - libm::log10(0.998 * STANDARD_PRESSURE))
            - properties.antoine.c;
        let (mut cold, mut hot) = (COLDEST_FILM_K, boiling);
        for _ in 0..CONSTANT_RATE_HALVINGS {
            let middle = 0.5 * (cold + hot);
            let loss = self.flux(properties, middle, 1.0, gas_vapor)
                * properties.heat_of_vaporization_at(middle);
            if self.heat(middle) > loss {
                cold = middle;
            } else {
                hot = middle;
            }
        }
        0.5 * (cold + hot)
    }
}

/// Halvings of the constant-rate temperature: below a nanokelvin.
const CONSTANT_RATE_HALVINGS: u32 = 45;

impl DryingZone {
    /// Temperature that a wet film keeps in the zone (eq 6.7): the wet-bulb temperature if one gas side alone heats it.
    ///
    /// # Validity
    /// Activity 1. Found between 230 K and just below the boiling point.
    pub fn constant_rate_temperature(&self, solvent: Solvent) -> Temperature {
        Temperature::from_k(Zone::new(self, solvent).constant_rate_k(solvent.properties()))
    }

    /// Evaporation flux [kg/(m²·s)] of a film of activity 1 and a temperature (eq 6.3).
    pub fn evaporation_flux_kg_per_m2_s(&self, solvent: Solvent, film: Temperature) -> f64 {
        let zone = Zone::new(self, solvent);
        zone.flux(
            solvent.properties(),
            film.k(),
            1.0,
            zone.vapor_pressure(0.0),
        )
    }
}

/// Time to evaporate a mass of solvent per area [kg/m²] at a flux [kg/(m²·s)] (eq 6.12).
pub fn constant_rate_time(solvent_kg_per_m2: f64, flux_kg_per_m2_s: f64) -> Duration {
    Duration::from_s(solvent_kg_per_m2 / flux_kg_per_m2_s)
}

/// Time of slow diffusion in a solidified film of a dry thickness (eq 6.13), from the diffusivity [m²/s] and the solvent
/// per dry mass at which the constant rate ends and at which the film counts as dry; zero if it starts dry enough.
pub fn falling_rate_time(
    dry_thickness: Length,
    diffusivity_m2_per_s: f64,
    at_start: f64,
    at_end: f64,
) -> Duration {
    let pi_squared = std::f64::consts::PI * std::f64::consts::PI;
    let t = dry_thickness.m();
    let logarithm = ln(8.0 / pi_squared * at_start / at_end);
    Duration::from_s((4.0 * t * t / (pi_squared * diffusivity_m2_per_s) * logarithm).max(0.0))
}

/// Solvent per dry mass below which a film of dissolved polymer cannot dry in a gas, at any speed: where its activity has
/// fallen to the partial pressure of the gas over the vapour pressure at the film's temperature (eq 6.6). Infinite if the
/// gas is saturated.
pub fn least_residual(
    solvent: Solvent,
    dry_density: Density,
    film: Temperature,
    gas_vapor: Pressure,
    chi: f64,
) -> f64 {
    let wanted = gas_vapor.pa() / solvent.vapor_pressure(film).pa();
    let (mut dry, mut wet) = (0.0, 1.0);
    for _ in 0..CONSTANT_RATE_HALVINGS {
        let middle = 0.5 * (dry + wet);
        if flory_huggins_activity(middle, chi) < wanted {
            dry = middle;
        } else {
            wet = middle;
        }
    }
    let phi = 0.5 * (dry + wet);
    phi / (1.0 - phi) * solvent.density().kg_per_m3() / dry_density.kg_per_m3()
}

/// A vapour given by its own numbers, for [`evaporative_cooling_temperature`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoolingVapor {
    /// Molar mass [kg/mol].
    pub molar_mass_kg_per_mol: f64,
    /// Heat of vaporization [J/kg].
    pub heat_of_vaporization_j_per_kg: f64,
    /// Vapour pressure, taken as constant.
    pub vapor_pressure: Pressure,
    /// Lewis number of vapour and gas.
    pub lewis_number: f64,
}

/// Temperature of a wet surface in dry gas by the textbook's estimate: slow evaporation, vapour pressure taken as constant,
/// density and heat capacity [J/(kg·K)] of the gas given. `None` where it has no solution. A check of the film balance, not
/// part of it.
///
/// # Source
/// Incropera et al., Fundamentals of Heat and Mass Transfer, evaporative cooling, quoted from memory, unverified.
pub fn evaporative_cooling_temperature(
    vapor: CoolingVapor,
    gas: Temperature,
    gas_density: Density,
    gas_heat_capacity: f64,
) -> Option<Temperature> {
    let numerator = vapor.molar_mass_kg_per_mol
        * vapor.heat_of_vaporization_j_per_kg
        * vapor.vapor_pressure.pa();
    let denominator = crate::physical_constants::GAS_CONSTANT
        * gas_density.kg_per_m3()
        * gas_heat_capacity
        * crate::elementary::two_thirds_power(vapor.lewis_number);
    let discriminant = gas.k() * gas.k() - 4.0 * numerator / denominator;
    (discriminant >= 0.0).then(|| Temperature::from_k(0.5 * (gas.k() + discriminant.sqrt())))
}

/// How a march ended.
#[derive(Clone, Copy)]
enum DryOutcome {
    /// Dry some time after the head \[s\].
    Dry { after: f64 },
    /// Still wet at the end; how long it would take at the last rate \[s\].
    Wet { lacking: f64 },
}

/// Highest place on the grid of speeds.
const GRID_TOP: i32 = 1 << HALVINGS;

/// Speed at a place of the logarithmic grid [m/s].
fn grid_speed(place: i32) -> f64 {
    let (slowest, fastest) = DRY_SPEED_REACH;
    slowest * exp(ln(fastest / slowest) * f64::from(place) / f64::from(GRID_TOP))
}

/// Highest place whose speed is not above the given one, within the grid.
fn grid_place(speed: f64) -> i32 {
    let (slowest, fastest) = DRY_SPEED_REACH;
    let place =
        ln(speed.clamp(slowest, fastest) / slowest) / ln(fastest / slowest) * f64::from(GRID_TOP);
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the place lies within the grid"
    )]
    let place = place.floor() as i32;
    place.clamp(0, GRID_TOP)
}

/// Film state of a march.
#[derive(Clone, Copy)]
struct State {
    film_k: f64,
    liquid: f64,
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
            steps: STEPS_PER_ZONE,
        }
    }

    /// The same case with another number of steps a zone, to see what the step costs in accuracy.
    #[must_use]
    pub fn with_steps_per_zone(mut self, steps: usize) -> Self {
        self.steps = steps.max(1);
        self
    }

    /// Solvent left per dry mass, or per solvent fed if there is no dry mass.
    fn residual_of(&self, liquid: f64) -> f64 {
        let solids = self.film.solids_kg_per_m2;
        let whole = if solids > 0.0 {
            solids
        } else {
            self.film.solvent_kg_per_m2
        };
        if whole > 0.0 { liquid / whole } else { 0.0 }
    }

    /// Solvent per area at a residual.
    fn liquid_at(&self, residual: f64) -> f64 {
        let solids = self.film.solids_kg_per_m2;
        residual
            * if solids > 0.0 {
                solids
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

    /// Takes the film through one zone, calling `each` after every step with the step's end time and the states before
    /// and after; stops early when it returns false. Returns false if it was stopped.
    fn march_zone(
        &self,
        zone: &Zone,
        speed: f64,
        state: &mut State,
        mut each: impl FnMut(f64, State, State) -> bool,
    ) -> bool {
        let properties = self.film.solvent.properties();
        let gas_vapor = zone.vapor_pressure(speed);
        let dt = zone.length / speed / self.steps as f64;
        let transfer = zone.h_top + zone.h_bottom + zone.h_contact;
        let solid_heat = self.film.foil_heat_capacity_j_per_m2_k
            + self.film.solids_kg_per_m2 * SOLIDS_HEAT_CAPACITY;
        let mut flux = if state.liquid > 0.0 {
            zone.flux(
                properties,
                state.film_k,
                self.activity(state.liquid),
                gas_vapor,
            )
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
            state.film_k +=
                dt * (zone.heat(before.film_k) - loss) / (capacity + dt * (transfer + loss_slope));
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
            if !each((step + 1) as f64 * dt, before, *state) {
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
        let (dry, boilable) = (
            self.liquid_at(self.residual),
            self.liquid_at(BLISTERING_RESIDUAL),
        );
        let (mut hottest, mut hottest_wet) = (state.film_k, state.film_k);
        let mut clock = 0.0;
        let mut dried = (state.liquid <= dry).then_some(0.0);
        for zone in &self.zones {
            let dt = zone.length / v / self.steps as f64;
            self.march_zone(zone, v, &mut state, |time, before, after| {
                hottest = after.film_k.max(hottest);
                if after.liquid > boilable {
                    hottest_wet = after.film_k.max(hottest_wet);
                }
                if dried.is_none() && after.liquid <= dry {
                    let share = (before.liquid - dry) / (before.liquid - after.liquid);
                    dried = Some(clock + time - dt * (1.0 - share));
                }
                true
            });
            clock += zone.length / v;
        }
        let before_last = clock - self.zones.last().map_or(0.0, |zone| zone.length / v);
        March {
            residual: self.residual_of(state.liquid),
            hottest: Temperature::from_k(hottest),
            hottest_while_wet: Temperature::from_k(hottest_wet),
            dry_after: dried.map(|time| Duration::from_s(time - before_last)),
        }
    }

    /// True if the film leaves the last zone dry at a speed.
    pub fn is_dry_at(&self, speed: Speed) -> bool {
        let mut state = self.start();
        let dry = self.liquid_at(self.residual);
        if state.liquid <= dry {
            return true;
        }
        for zone in &self.zones {
            let goes_on = self.march_zone(zone, speed.m_per_s(), &mut state, |_, _, after| {
                after.liquid > dry
            });
            if !goes_on {
                return true;
            }
        }
        false
    }

    /// Marches at a speed until the film is dry or leaves the last zone.
    fn outcome_at(&self, speed: f64) -> DryOutcome {
        let mut state = self.start();
        let dry = self.liquid_at(self.residual);
        if state.liquid <= dry {
            return DryOutcome::Dry { after: 0.0 };
        }
        let mut clock = 0.0;
        let mut last_step = (state, state);
        for zone in &self.zones {
            let duration = zone.length / speed;
            let dt = duration / self.steps as f64;
            let mut dried = None;
            self.march_zone(zone, speed, &mut state, |time, before, after| {
                last_step = (before, after);
                if after.liquid <= dry {
                    dried = Some(time - dt * (dry - after.liquid) / (before.liquid - after.liquid));
                }
                dried.is_none()
            });
            if let Some(time) = dried {
                return DryOutcome::Dry {
                    after: clock + time,
                };
            }
            clock += duration;
        }
        let dt = self
            .zones
            .last()
            .map_or(0.0, |zone| zone.length / speed / self.steps as f64);
        let rate = (last_step.0.liquid - last_step.1.liquid) / dt;
        DryOutcome::Wet {
            lacking: (state.liquid - dry) / rate,
        }
    }

    /// Highest speed at which the film leaves the last zone dry (section 6.4 of `docs/methods.md`), on a logarithmic grid
    /// of 1.5e-4, on the slow side.
    ///
    /// The residual falls with the time spent, so that the border can be bracketed. Each march also tells how much time was
    /// to spare or lacking, and the next speed is taken from that; a bracket that guesses do not close is halved.
    pub fn dry_speed(&self) -> DrySpeed {
        let (mut dry, mut wet) = (-1, GRID_TOP + 1);
        let mut next = GRID_TOP / 2;
        let mut n_marches = 0;
        while wet - dry > 1 {
            let speed = grid_speed(next);
            let outcome = self.outcome_at(speed);
            match outcome {
                DryOutcome::Dry { .. } => dry = next,
                DryOutcome::Wet { .. } => wet = next,
            }
            n_marches += 1;
            let wanted = if n_marches >= GUESSES {
                i32::midpoint(dry, wet)
            } else {
                grid_place(self.better_speed(speed, outcome))
            };
            next = wanted.max(dry + 1).min(wet - 1);
        }
        match dry {
            -1 => DrySpeed::Never,
            GRID_TOP => DrySpeed::BeyondReach,
            place => DrySpeed::At(Speed::from_m_per_s(grid_speed(place))),
        }
    }

    /// Speed at which the last zone lasts just as long as the film needed in it.
    fn better_speed(&self, speed: f64, outcome: DryOutcome) -> f64 {
        let path: f64 = self.zones.iter().map(|zone| zone.length).sum();
        let last = self.zones.last().map_or(0.0, |zone| zone.length);
        let in_last = match outcome {
            DryOutcome::Dry { after } => after - (path - last) / speed,
            DryOutcome::Wet { lacking } => last / speed + lacking,
        };
        if in_last > 0.0 {
            last / in_last
        } else {
            DRY_SPEED_REACH.1
        }
    }

    /// Highest constant-rate temperature of all zones: above it no film with free solvent gets while it is wet. Used
    /// where the march cannot be run.
    pub fn hottest_constant_rate(&self) -> Option<Temperature> {
        let properties = self.film.solvent.properties();
        self.zones
            .iter()
            .map(|zone| zone.constant_rate_k(properties))
            .reduce(f64::max)
            .map(Temperature::from_k)
    }
}
