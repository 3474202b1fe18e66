//! What the errors of the inputs do to a line: the bridge from standard scores to a line, its limits and its knobs.
//!
//! An input that was stated is drawn by its row of [`crate::uncertainty`], one that was assumed over its range of doubt
//! (lognormal about the assumed value, the ends at two standard deviations), knobs about what they are set to. What belongs
//! together moves together: the temperature of the ink drives viscosity and surface tension, one error of the gap moves both
//! gaps of a die, one error of the heat transfer both sides of the foil.

use crate::assess::Prepared;
use crate::assumed::Input;
use crate::calibration::Calibration;
use crate::drying::VaporErrors;
use crate::elementary::{exp, ln};
use crate::head::{EngravedRoll, Head};
use crate::limit::LimitId;
use crate::line::{Dryer, Ink, Line, Rheology, SlotDie, UvStation};
use crate::normal_distribution::{normal_chance, normal_score};
use crate::prepared::{AngleSource, HeadKnobs, Knobs, Values, doubt_of};
use crate::quantity::{
    Angle, CellVolume, Density, Fraction, HeatTransferCoefficient, Irradiance, Length, PlasmaDose,
    SurfaceTension, Temperature, TemperatureDifference, Viscosity,
};
use crate::rheology::{Carreau, temperature_factor};
use crate::scrambled_sobol::{GROUP, named_seed, number_of_draw};
use crate::uncertainty::{Cause, Spread, Uncertainties};

/// Change of the viscosity with temperature where nothing better is known [1/K] (common practice: −2 to −3 % for solvents,
/// up to −8 % for resins).
const VISCOSITY_SLOPE_PER_K: f64 = -0.025;
/// Change of the surface tension with temperature of an ink of unknown solvent [N/(m·K)] (common practice; the solvents of
/// the table have −0.08 to −0.15 mN/(m·K)).
const TENSION_SLOPE_N_PER_M_K: f64 = -0.1e-3;
/// Standard deviations that zero must be away for the cut of a normal distribution not to be felt at all.
const CUT_REACH: f64 = 8.0;
/// How often a draw that the line refuses is pulled halfway to the nominal line.
const PULLS: u32 = 30;

impl Spread {
    /// True if the cut of the distribution above zero is not felt at a nominal value.
    pub(crate) fn is_far_from_zero(self, nominal: f64) -> bool {
        match self {
            Self::Relative(_) => true,
            Self::Absolute(sd) => sd * CUT_REACH <= nominal,
        }
    }

    /// The value at a standard score about a nominal one above zero.
    pub(crate) fn at(self, nominal: f64, score: f64) -> f64 {
        match self {
            Self::Relative(sd) => nominal * exp(sd * score),
            Self::Absolute(sd) if self.is_far_from_zero(nominal) => nominal + sd * score,
            Self::Absolute(sd) => {
                let below_zero = normal_chance(-nominal / sd);
                let kept = below_zero + normal_chance(score) * (1.0 - below_zero);
                // The score of a chance that rounds to one is infinite; such a draw is not worth more than eight.
                let cut = normal_score(kept.min(1.0 - f64::EPSILON));
                (nominal + sd * cut.min(CUT_REACH)).max(f64::MIN_POSITIVE)
            }
        }
    }
}

/// An assumed value at a standard score: lognormal on either side, so that the ends of its range lie at ±2. Where a logarithm
/// makes no sense, because an end is zero, the steps are equal instead.
fn assumed_at(value: f64, (low, high): (f64, f64), score: f64) -> f64 {
    let end = if score < 0.0 { low } else { high };
    let share = 0.5 * score.abs();
    if low > 0.0 && value > 0.0 {
        value * exp(share * ln(end / value))
    } else {
        value + share * (end - value)
    }
}

/// Where the numbers of a variable come from: a group of evenly spread ones and a coordinate of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Stream {
    name: &'static str,
    coordinate: usize,
}

impl Stream {
    /// Fours of the table share a group, which bears the name of the first.
    fn of_cause(cause: Cause) -> Self {
        let index = cause as usize;
        let first = index - index % GROUP;
        Self {
            name: Cause::ALL.get(first).map_or("", |leader| leader.key()),
            coordinate: index % GROUP,
        }
    }

    /// An assumed input takes the numbers of its cause, if it has one.
    fn of_input(input: Input) -> Self {
        let same = if input == Input::DryerHeatTransferBelow {
            Input::DryerHeatTransferAbove
        } else {
            input
        };
        Cause::ALL
            .into_iter()
            .find(|cause| cause.input() == Some(same))
            .map_or(
                Self {
                    name: input.key(),
                    coordinate: 0,
                },
                Self::of_cause,
            )
    }
}

/// An error that acts.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Action {
    Stated(Cause, Spread),
    Assumed {
        input: Input,
        value: f64,
        range: (f64, f64),
    },
}

/// What scatters about a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ErrorSource {
    /// A stated input, or a coefficient of a model.
    Cause(Cause),
    /// An assumed input, over its range of doubt.
    Assumed(Input),
}

impl ErrorSource {
    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Cause(cause) => cause.label(),
            Self::Assumed(input) => input.label(),
        }
    }
}

impl Action {
    const fn source(&self) -> ErrorSource {
        match *self {
            Self::Stated(cause, _) => ErrorSource::Cause(cause),
            Self::Assumed { input, .. } => ErrorSource::Assumed(input),
        }
    }
}

/// One independent standard score, with everything that it moves.
#[derive(Debug, Clone, PartialEq)]
struct Variable {
    stream: Stream,
    actions: Vec<Action>,
}

/// The errors of a line and of its knobs.
#[derive(Debug, Clone)]
pub struct InputErrors {
    prepared: Prepared,
    variables: Vec<Variable>,
}

impl InputErrors {
    /// Collects what scatters: the causes with a standard deviation above zero, and the assumed inputs with a range.
    pub fn new(prepared: &Prepared, uncertainties: &Uncertainties) -> Self {
        let assumed = prepared.values().assumed;
        let mut errors = Self {
            prepared: prepared.clone(),
            variables: Vec::new(),
        };
        for (cause, spread) in uncertainties.rows() {
            // The cause of the dryer stands for both sides of the foil, of which one may be stated and one assumed.
            let is_assumed = cause
                .input()
                .is_some_and(|input| assumed.contains(input) && cause != Cause::DryerHeatTransfer);
            if spread.standard_deviation() > 0.0 && !is_assumed {
                errors.add(Stream::of_cause(cause), Action::Stated(cause, spread));
            }
        }
        for input in assumed.iter() {
            if let Some((value, range)) = errors.doubted(input) {
                let action = Action::Assumed {
                    input,
                    value,
                    range,
                };
                errors.add(Stream::of_input(input), action);
            }
        }
        errors
    }

    /// The line whose inputs these are.
    pub const fn prepared(&self) -> &Prepared {
        &self.prepared
    }

    fn add(&mut self, stream: Stream, action: Action) {
        match self.variables.iter_mut().find(|v| v.stream == stream) {
            Some(variable) => variable.actions.push(action),
            None => self.variables.push(Variable {
                stream,
                actions: vec![action],
            }),
        }
    }

    /// Value and range of an assumed input. A contact angle that follows from surface energies is doubted through them.
    fn doubted(&self, input: Input) -> Option<(f64, (f64, f64))> {
        let values = self.prepared.values();
        if input == Input::AngleOnFoil && values.head.angle_source == AngleSource::Totals {
            return None;
        }
        let assumptions = &self.prepared.basis().assumptions;
        let (value, doubt) = doubt_of(self.prepared.line(), values, assumptions, input)?;
        Some((value, doubt.ends(value)?))
    }

    pub(crate) fn n_variables(&self) -> usize {
        self.variables.len()
    }

    /// What a variable moves first.
    pub(crate) fn source(&self, variable: usize) -> Option<ErrorSource> {
        let actions = &self.variables.get(variable)?.actions;
        actions.first().map(Action::source)
    }

    /// The scores of a draw, one a variable.
    pub(crate) fn scores(&self, draw: u32, seed: u64) -> Vec<f64> {
        self.variables
            .iter()
            .map(|variable| {
                let Stream { name, coordinate } = variable.stream;
                normal_score(number_of_draw(draw, named_seed(seed, name), coordinate))
            })
            .collect()
    }

    /// The line at given scores. Scores that make no line (a share above one) are pulled towards zero until they do.
    pub(crate) fn drawn(&self, scores: &[f64]) -> DrawnLine {
        let mut pull = 1.0;
        for _ in 0..PULLS {
            if let Some(drawn) = self.drawn_at(scores, pull) {
                return drawn;
            }
            pull *= 0.5;
        }
        DrawnLine {
            values: *self.prepared.values(),
            calibration: self.prepared.basis().calibration,
            knobs: KnobErrors::default(),
        }
    }

    fn drawn_at(&self, scores: &[f64], pull: f64) -> Option<DrawnLine> {
        let mut sketch = Sketch::new(&self.prepared);
        for (variable, score) in self.variables.iter().zip(scores) {
            for action in &variable.actions {
                match *action {
                    Action::Stated(cause, spread) => {
                        sketch.err(cause, ErrorAt::new(spread, pull * score));
                    }
                    Action::Assumed {
                        input,
                        value,
                        range,
                    } => {
                        let drawn = assumed_at(value, range, pull * score);
                        sketch.replaced.push((input, drawn));
                    }
                }
            }
        }
        sketch.finish(&self.prepared)
    }
}

/// A line drawn at random, with the errors that its knobs have.
#[derive(Debug, Clone)]
pub(crate) struct DrawnLine {
    pub(crate) values: Values,
    pub(crate) calibration: Calibration,
    pub(crate) knobs: KnobErrors,
}

impl DrawnLine {
    /// What the knobs really are where they are set to these values.
    pub(crate) fn knobs_set_to(&self, set: &Knobs) -> Knobs {
        self.knobs.of(set, &self.values)
    }
}

/// An error of one input: a standard score and what one standard deviation is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ErrorAt {
    pub(crate) spread: Spread,
    pub(crate) score: f64,
    /// What a relative error multiplies the input by.
    factor: f64,
}

impl ErrorAt {
    const NONE: Self = Self {
        spread: Spread::Relative(0.0),
        score: 0.0,
        factor: 1.0,
    };

    fn new(spread: Spread, score: f64) -> Self {
        Self {
            spread,
            score,
            factor: match spread {
                Spread::Relative(_) => spread.at(1.0, score),
                Spread::Absolute(_) => 1.0,
            },
        }
    }

    /// What the input really is where it is stated as, or set to, a value.
    pub(crate) fn of(self, stated: f64) -> f64 {
        match self.spread {
            Spread::Relative(_) => stated * self.factor,
            Spread::Absolute(_) => self.spread.at(stated, self.score),
        }
    }
}

/// The errors of the knobs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct KnobErrors {
    pub(crate) speed: ErrorAt,
    pub(crate) flow: ErrorAt,
    pub(crate) gap: ErrorAt,
    pub(crate) gas: ErrorAt,
    pub(crate) cells: ErrorAt,
    pub(crate) infrared: ErrorAt,
    pub(crate) tension: ErrorAt,
    pub(crate) nip_load: ErrorAt,
    pub(crate) lamination: ErrorAt,
}

impl Default for KnobErrors {
    fn default() -> Self {
        Self {
            speed: ErrorAt::NONE,
            flow: ErrorAt::NONE,
            gap: ErrorAt::NONE,
            gas: ErrorAt::NONE,
            cells: ErrorAt::NONE,
            infrared: ErrorAt::NONE,
            tension: ErrorAt::NONE,
            nip_load: ErrorAt::NONE,
            lamination: ErrorAt::NONE,
        }
    }
}

impl KnobErrors {
    /// What the knobs really are on a line where they are set to these values.
    fn of(&self, set: &Knobs, values: &Values) -> Knobs {
        let gap = set.head.set_gap.map(|gap| self.gap.of(gap));
        let set_gap = gap.zip(set.head.set_gap);
        let gap_error = set_gap.map_or(0.0, |(real, set)| real - set);
        let knobs = Knobs {
            speed: set.speed.map(|speed| self.speed.of(speed)),
            flow: set.flow.map(|flow| self.flow.of(flow)),
            head: HeadKnobs {
                gap,
                cell_volume: set.head.cell_volume.map(|volume| self.cells.of(volume)),
                ..set.head
            },
            gap_error,
            gas_k: set.gas_k.map(|kelvins| self.gas.of(kelvins)),
            // Lamps that are off stay off.
            infrared: set.infrared.map(|power| {
                if power > 0.0 {
                    self.infrared.of(power)
                } else {
                    power
                }
            }),
            tension: set.tension.map(|tension| self.tension.of(tension)),
            nip_load: set.nip_load.map(|load| self.nip_load.of(load)),
            lamination_k: set.lamination_k.map(|kelvins| self.lamination.of(kelvins)),
            ..*set
        };
        knobs.with_hot_gap(values)
    }
}

/// A line while errors are put on it.
struct Sketch {
    line: Line,
    replaced: Vec<(Input, f64)>,
    calibration: Calibration,
    pub(crate) knobs: KnobErrors,
    vapor: VaporErrors,
    /// How much warmer the ink is \[K\].
    ink_warmer: f64,
}

impl Sketch {
    fn new(prepared: &Prepared) -> Self {
        Self {
            line: *prepared.line(),
            replaced: Vec::new(),
            calibration: prepared.basis().calibration,
            knobs: KnobErrors::default(),
            vapor: VaporErrors::NONE,
            ink_warmer: 0.0,
        }
    }

    /// Puts one error on the line. What the line does not have, it leaves alone.
    fn err(&mut self, cause: Cause, error: ErrorAt) {
        macro_rules! vary {
            ($slot:expr, $quantity:ident, $from:ident, $to:ident) => {
                $slot = $slot.map(|stated| $quantity::$from(error.of(stated.$to())))
            };
        }
        let (ink, foil) = (&mut self.line.ink, &mut self.line.foil);
        match cause {
            Cause::Speed => self.knobs.speed = error,
            Cause::Flow => self.knobs.flow = error,
            Cause::Gap => self.knobs.gap = error,
            Cause::GasTemperature => self.knobs.gas = error,
            Cause::InfraredPower => self.knobs.infrared = error,
            Cause::Tension => self.knobs.tension = error,
            Cause::NipLoad => self.knobs.nip_load = error,
            Cause::LaminationTemperature => self.knobs.lamination = error,
            Cause::CellVolume => {
                self.knobs.cells = error;
                if let Some(roll) = engraved_roll(&mut self.line.head) {
                    vary!(roll.cell_volume, CellVolume, from_m3_per_m2, m3_per_m2);
                }
            }
            Cause::FilmTransfer => vary_transfer(&mut self.line.head, error),
            Cause::UvIrradiance => vary_lamp(self.line.uv.as_mut(), error),
            // A difference of temperatures has no zero to be cut at.
            Cause::InkTemperature => {
                self.ink_warmer = error.spread.standard_deviation() * error.score;
            }
            Cause::Viscosity => ink.rheology = ink.rheology.map(|law| thicker(law, error)),
            Cause::SurfaceTension => {
                vary_energy(&mut ink.surface_tension, &mut ink.dispersive_tension, error);
            }
            Cause::FoilEnergy => {
                vary_energy(&mut foil.surface_energy, &mut foil.dispersive_energy, error);
            }
            Cause::Solids => vary!(ink.solids, Fraction, from_ratio, ratio),
            Cause::Density => vary!(ink.density, Density, from_kg_per_m3, kg_per_m3),
            Cause::AngleOnFoil => vary!(ink.angle_on_foil, Angle, from_rad, rad),
            Cause::AngleOnLip => vary!(ink.angle_on_lip, Angle, from_rad, rad),
            Cause::CoatedWidth => {
                vary!(*coated_width(&mut self.line.head), Length, from_m, m);
            }
            Cause::DownstreamLip => self.err_of_die(error, |die| &mut die.downstream_lip),
            Cause::UpstreamLip => self.err_of_die(error, |die| &mut die.upstream_lip),
            Cause::FeedSlotHeight => self.err_of_die(error, |die| &mut die.feed_slot_height),
            Cause::DryerHeatTransfer => vary_dryer(self.line.dryer.as_mut(), error),
            Cause::RollerContact => {
                if let Some(roller) = &mut self.line.roller {
                    roller.contact = transfer_with(roller.contact, error);
                }
            }
            Cause::OpenPathHeatTransfer => {
                let room = &mut self.line.surroundings;
                room.open_path_h = transfer_with(room.open_path_h, error);
            }
            Cause::PlasmaResponse => {
                if let Some(plasma) = &mut self.line.plasma {
                    let dose = &mut plasma.characteristic_dose;
                    vary!(*dose, PlasmaDose, from_j_per_m2, j_per_m2);
                }
            }
            Cause::VaporPressure => self.vapor.pressure = error.of(1.0),
            Cause::VaporDiffusivity => self.vapor.diffusivity = error.of(1.0),
            Cause::LowFlowModel => self.scale(&[LimitId::LowFlow], error),
            Cause::BeadHoldModel => self.scale(&[LimitId::BeadHold], error),
            Cause::FloodModel => self.scale(&[LimitId::LipWetting, LimitId::Flood], error),
            Cause::WettingModel => {
                self.scale(&[LimitId::AirEntrainment, LimitId::WettingFailure], error);
            }
        }
    }

    /// Puts an error on a length of a slot die; other heads have none of them.
    fn err_of_die(&mut self, error: ErrorAt, length: impl Fn(&mut SlotDie) -> &mut Option<Length>) {
        match &mut self.line.head {
            Head::SlotDie(die) => {
                let length = length(die);
                *length = length.map(|stated| Length::from_m(error.of(stated.m())));
            }
            Head::Knife(_) | Head::WireBar(_) | Head::Gravure(_) | Head::Flexo(_) => {}
        }
    }

    /// Scales the bounds of limits that one model gives.
    fn scale(&mut self, limits: &[LimitId], error: ErrorAt) {
        for &limit in limits {
            let factor = error.of(self.calibration.factor(limit));
            let is_set = self.calibration.set(limit, factor).is_ok();
            debug_assert!(
                is_set,
                "a lognormal factor is positive and no span is modelled"
            );
        }
    }

    /// Warms the ink and resolves the line; `None` if the line refuses a value.
    fn finish(mut self, prepared: &Prepared) -> Option<DrawnLine> {
        let factor = thinned(&self.line.ink, self.ink_warmer);
        let lower = tension_slope(&self.line) * self.ink_warmer;
        let ink = &mut self.line.ink;
        ink.rheology = ink.rheology.map(|law| law.shifted_by(factor));
        ink.surface_tension = ink
            .surface_tension
            .map(|sigma| SurfaceTension::from_n_per_m(sigma.n_per_m() + lower));
        for (input, value) in &mut self.replaced {
            if *input == Input::SurfaceTension {
                *value += lower;
            }
        }
        let assumptions = &prepared.basis().assumptions;
        let mut values = Values::resolve(&self.line, assumptions, &self.replaced).ok()?;
        values.vapor_errors = self.vapor;
        Some(DrawnLine {
            values,
            calibration: self.calibration,
            knobs: self.knobs,
        })
    }
}

/// The width that a head coats, whichever head it is.
const fn coated_width(head: &mut Head) -> &mut Option<Length> {
    match head {
        Head::SlotDie(die) => &mut die.coated_width,
        Head::Knife(knife) => &mut knife.coated_width,
        Head::WireBar(bar) => &mut bar.coated_width,
        Head::Gravure(unit) => &mut unit.coated_width,
        Head::Flexo(unit) => &mut unit.coated_width,
    }
}

fn transfer_with(
    stated: Option<HeatTransferCoefficient>,
    error: ErrorAt,
) -> Option<HeatTransferCoefficient> {
    stated.map(|h| HeatTransferCoefficient::from_w_per_m2_k(error.of(h.w_per_m2_k())))
}

/// One error of the heat transfer moves both sides of the foil.
fn vary_dryer(dryer: Option<&mut Dryer>, error: ErrorAt) {
    if let Some(dryer) = dryer {
        dryer.h_top = transfer_with(dryer.h_top, error);
        dryer.h_bottom = transfer_with(dryer.h_bottom, error);
    }
}

/// One error of a lamp moves mean and peak together.
fn vary_lamp(lamp: Option<&mut UvStation>, error: ErrorAt) {
    let with = |stated: Option<Irradiance>| {
        stated.map(|e| Irradiance::from_w_per_m2(error.of(e.w_per_m2())))
    };
    if let Some(lamp) = lamp {
        lamp.irradiance = with(lamp.irradiance);
        lamp.peak_irradiance = with(lamp.peak_irradiance);
    }
}

/// The engraved roll of a head that has one.
const fn engraved_roll(head: &mut Head) -> Option<&mut EngravedRoll> {
    match head {
        Head::Gravure(unit) => Some(&mut unit.roll),
        Head::Flexo(unit) => Some(&mut unit.anilox),
        Head::SlotDie(_) | Head::Knife(_) | Head::WireBar(_) => None,
    }
}

/// Puts an error on the stated share of its geometry that a head turns into film; a slot die has none.
fn vary_transfer(head: &mut Head, error: ErrorAt) {
    let share = |stated: Option<Fraction>| {
        stated.map(|share| Fraction::from_ratio(error.of(share.ratio())))
    };
    match head {
        Head::SlotDie(_) => {}
        Head::Knife(knife) => {
            knife.film_over_gap = knife.film_over_gap.map(|ratio| error.of(ratio));
        }
        Head::WireBar(bar) => bar.film_over_wire = bar.film_over_wire.map(|ratio| error.of(ratio)),
        Head::Gravure(unit) => unit.pickout = share(unit.pickout),
        Head::Flexo(unit) => unit.to_plate = share(unit.to_plate),
    }
}

/// The flow law with an error of its viscosity: of the consistency of a power law, of both plateaus of Carreau's law.
fn thicker(law: Rheology, error: ErrorAt) -> Rheology {
    let times = |viscosity: Viscosity, factor: f64| Viscosity::from_pa_s(factor * viscosity.pa_s());
    match law {
        Rheology::Newtonian { viscosity } => Rheology::Newtonian {
            viscosity: Viscosity::from_pa_s(error.of(viscosity.pa_s())),
        },
        Rheology::PowerLaw { consistency, index } => Rheology::PowerLaw {
            consistency: Viscosity::from_pa_s(error.of(consistency.pa_s())),
            index,
        },
        Rheology::Carreau(carreau) => {
            let factor = error.of(carreau.at_rest.pa_s()) / carreau.at_rest.pa_s();
            Rheology::Carreau(Carreau {
                at_rest: times(carreau.at_rest, factor),
                at_high_rate: times(carreau.at_high_rate, factor),
                ..carreau
            })
        }
    }
}

/// Factor on the viscosity of an ink that is warmer by some kelvins: by its activation energy, where that is known.
fn thinned(ink: &Ink, warmer: f64) -> f64 {
    match (ink.activation_energy, ink.viscosity_temperature) {
        (Some(energy), Some(measured)) => {
            let warm = measured + TemperatureDifference::from_k(warmer);
            temperature_factor(energy, measured, warm)
        }
        (Some(_), None) | (None, _) => exp(VISCOSITY_SLOPE_PER_K * warmer),
    }
}

/// An energy with an error, of which the dispersive part keeps its share.
fn vary_energy(
    whole: &mut Option<SurfaceTension>,
    dispersive: &mut Option<SurfaceTension>,
    error: ErrorAt,
) {
    let Some(nominal) = whole.map(SurfaceTension::n_per_m) else {
        return;
    };
    let drawn = error.of(nominal);
    *whole = Some(SurfaceTension::from_n_per_m(drawn));
    *dispersive =
        dispersive.map(|part| SurfaceTension::from_n_per_m(part.n_per_m() * (drawn / nominal)));
}

/// Change of the ink's surface tension with temperature [N/(m·K)]: its solvent's, where that is known.
fn tension_slope(line: &Line) -> f64 {
    let at = |deg_c: f64| {
        let tension = line
            .ink
            .solvent?
            .surface_tension(Temperature::from_deg_c(deg_c))?;
        Some(tension.n_per_m())
    };
    match (at(20.0), at(30.0)) {
        (Some(cold), Some(warm)) => (warm - cold) / 10.0,
        (_, None) | (None, _) => TENSION_SLOPE_N_PER_M_K,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_of_a_range_lie_at_two_standard_deviations() {
        // Definition of the range of an assumed input; by hand.
        let range = (0.3e-3, 2e-3);
        for (score, value) in [
            (-2.0, 0.3e-3),
            (0.0, 1e-3),
            (2.0, 2e-3),
            (1.0, 1.414_213_562e-3),
        ] {
            assert!((assumed_at(1e-3, range, score) / value - 1.0).abs() < 1e-9);
        }
        // Without a logarithm: porosity assumed as 0, up to a half.
        for (score, value) in [(-2.0, 0.0), (0.0, 0.0), (1.0, 0.25), (2.0, 0.5)] {
            assert!((assumed_at(0.0, (0.0, 0.5), score) - value).abs() < 1e-15);
        }
    }

    #[test]
    fn normal_spread_is_cut_off_above_zero() {
        // Quantiles of the truncated normal distribution by scipy 1.17 (truncnorm.ppf).
        for (nominal, sd, score, value) in [
            (1.0, 0.5, -2.0, 0.152_209_848_987_726_7),
            (1.0, 0.5, 2.0, 2.004_839_722_252_305),
            (1.0, 1.0, -1.0, 0.452_853_424_886_353),
            (1.0, 1.0, 0.0, 1.200_173_686_166_890_8),
            (2.0, 1.0, 1.0, 3.015_029_738_384_271),
        ] {
            let drawn = Spread::Absolute(sd).at(nominal, score);
            assert!((drawn / value - 1.0).abs() < 1e-13, "{drawn} for {value}");
        }
        for score in [-40.0, -8.0, 8.0, 40.0] {
            let drawn = Spread::Absolute(1.0).at(0.5, score);
            assert!(drawn > 0.0 && drawn.is_finite());
        }
    }

    #[test]
    fn spread_far_from_zero_is_the_plain_normal_one() {
        // The cut is felt by less than a part in 1e14 where the plain formula takes over.
        let (near, far) = (Spread::Absolute(1.0 / 7.999), Spread::Absolute(1.0 / 8.001));
        assert!((near.at(1.0, 1.0) - (1.0 + 1.0 / 7.999)).abs() < 1e-13);
        assert!((far.at(1.0, 1.0) - (1.0 + 1.0 / 8.001)).abs() < 1e-15);
        assert!((Spread::Relative(0.1).at(2.0, 1.0) / 2.0 - 1.105_170_918).abs() < 1e-9);
    }

    #[test]
    fn both_sides_of_the_dryer_share_a_stream() {
        let above = Stream::of_input(Input::DryerHeatTransferAbove);
        assert_eq!(above, Stream::of_cause(Cause::DryerHeatTransfer));
        assert_eq!(above, Stream::of_input(Input::DryerHeatTransferBelow));
        assert_ne!(above, Stream::of_input(Input::OpenPath));
        // Every cause has a coordinate of its own.
        let mut streams: Vec<Stream> = Cause::ALL.map(Stream::of_cause).to_vec();
        streams.dedup();
        assert_eq!(streams.len(), Cause::COUNT);
    }
}
