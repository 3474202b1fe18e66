//! How the dryer answers to the errors of each draw, by interpolation: dry speeds of all draws for charts and maps.
//!
//! The dry speed of the stated line is read from a table. What a draw's errors do to it is marched at a few nodes of wet
//! thickness and temperatures and interpolated in between, by quadratics in the logarithm of the thickness and the gas
//! temperature and straight lines in the rest: the ratio of two dry speeds of one film hardly changes with the setting, since most errors scale the
//! time that drying takes. Errors of speed and flow act through the wet thickness, with the table's slope.
//!
//! Whether the film boils is judged by the temperature that it keeps while it dries (eq 6.7), the careful side of a march. A
//! dissolved polymer gets hotter than that near its end and is not judged.

#![expect(
    clippy::needless_range_loop,
    reason = "loops over lanes of several arrays side by side are vectorized"
)]

use arrayvec::ArrayVec;

use super::ChanceError;
use super::bead_lanes::{BLISTER, DRY_AT_EXIT, Lanes, lanes_of};
use super::draws::Chances;
use crate::dry_speed_table::{
    Axes, Coordinates, DrySpeedTable, TableError, TableRange, each_node, node_places, places_of,
};
use crate::drying::{BOILING_DISTANCE, DrySpeed};
use crate::elementary::{branchless, exp, ln};
use crate::evaluation::{DryingInputs, calibrated_temperature, hottest_constant_rate};
use crate::input_errors::DrawnLine;
use crate::limit::LimitId;
use crate::line::{Activity, Setting};
use crate::prepared::Knobs;
use crate::quantity::{Irradiance, Speed, Temperature};
use crate::slot_die::lanes::LANES;
use crate::solvent::Solvent;
use crate::widest_vectors::{Loops, with_widest_vectors};

/// Largest error of a chance that interpolated dry speeds make where the stated line dries below 0.5 m/s (tested; common
/// choice). Of the single dry speeds 95 % are as good as 1 %; those of films that dry before the dryer are not.
pub const RESPONSE_ERROR: f64 = 0.02;
/// Nodes of the thickness and of each temperature.
const NODES: [usize; 4] = [3, 3, 2, 2];
/// Most nodes that a value is read from: all of them.
const STENCIL: usize = NODES[0] * NODES[1] * NODES[2] * NODES[3];
/// Draws between two looks at the stop flag; some milliseconds.
const DRAWS_A_SLICE: usize = 16;

/// Dry speeds of all draws over a range of settings; see [`Chances::shade`].
#[derive(Debug, Clone)]
pub struct DryingResponse {
    table: DrySpeedTable,
    axes: Axes,
    n_blocks: usize,
    /// Logarithm of a draw's dry speed over that of the table, a block of draws after the other at each node.
    shifts: Vec<Lanes>,
    /// Hottest wet film \[K\] in the same order; `None` if it is not judged.
    hottest_wet: Option<Vec<Lanes>>,
    /// Logarithms of the calibration factors of the dry speed, and what the wet film may reach \[K\], block by block.
    factors: Vec<Lanes>,
    greatest_wet: Vec<Lanes>,
}

impl DryingResponse {
    /// Marches the draws at the nodes: the table's marches, then two or three more at nine nodes for every draw (18 with a
    /// heated roller), half a second for the draws of a chart. It serves every setting of the line within the range.
    ///
    /// # Errors
    /// [`ChanceError::Table`] says why dry speeds cannot be interpolated, [`ChanceError::Stopped`] once `stop` says so, which
    /// is asked every few milliseconds after the table is made.
    pub fn new(
        chances: &Chances,
        range: TableRange,
        mut stop: impl FnMut() -> bool,
    ) -> Result<Self, ChanceError> {
        let prepared = chances.prepared();
        let table = DrySpeedTable::new(prepared, range)?;
        let mut axes = range.axes().map_err(ChanceError::Table)?;
        for (axis, n) in axes.iter_mut().zip(NODES) {
            *axis = axis.with_nodes(n);
        }
        let draws = &chances.draws;
        let solvent = prepared
            .values()
            .ink
            .solvent
            .ok_or(TableError::NothingToDry)?;
        let is_free = prepared.values().ink.activity == Activity::Free;
        let mut response = Self {
            table,
            axes,
            n_blocks: draws.len().div_ceil(LANES),
            shifts: Vec::new(),
            hottest_wet: is_free.then(Vec::new),
            factors: blocks(draws, |draw| {
                ln(draw.calibration.factor(LimitId::DryAtExit))
            }),
            greatest_wet: blocks(draws, |draw| greatest_wet_k(draw, solvent)),
        };
        for places in node_places(&axes, None) {
            let mut coordinates = [0.0; 4];
            for ((coordinate, axis), place) in coordinates.iter_mut().zip(&axes).zip(places) {
                *coordinate = axis.at(place);
            }
            let setting = setting_at(coordinates, &range);
            let knobs = prepared.knobs(&setting)?;
            response.march_node(draws, coordinates, &knobs, &mut stop)?;
            if let Some(hottest) = &mut response.hottest_wet {
                hottest.extend(blocks(draws, |draw| {
                    hottest_constant_rate(&draw.values, &draw.knobs_set_to(&knobs), solvent)
                }));
            }
        }
        Ok(response)
    }

    /// Marches every draw at a node.
    fn march_node(
        &mut self,
        draws: &[DrawnLine],
        coordinates: Coordinates,
        knobs: &Knobs,
        stop: &mut impl FnMut() -> bool,
    ) -> Result<(), ChanceError> {
        let nominal = self.table.logarithm_at(coordinates);
        let nominal = nominal.ok_or(TableError::NothingToDry)?;
        let near = Speed::from_m_per_s(exp(nominal));
        for block in draws.chunks(LANES) {
            let mut shifts = [0.0; LANES];
            for (place, draw) in block.iter().enumerate() {
                if place % DRAWS_A_SLICE == 0 && stop() {
                    return Err(ChanceError::Stopped);
                }
                let found = drawn_dry_speed(draw, knobs, exp(coordinates[0]), near);
                let found = found.ok_or(TableError::NothingToDry)?;
                shifts[place] = ln(found.speed().m_per_s()) - nominal;
            }
            self.shifts.push(shifts);
        }
        Ok(())
    }

    /// Marks the draws of a setting that do not dry or that boil; `films` are speeds and wet thicknesses of a block of draws,
    /// `set_wet` the wet thickness \[m\] that is set. `None` if the setting lies outside the range.
    pub(super) fn judge<'f>(
        &self,
        knobs: &Knobs,
        set_wet: f64,
        films: impl Fn(usize) -> Option<(&'f Lanes, &'f Lanes)>,
        broken: &mut [[u64; LANES]],
    ) -> Option<()> {
        let ln_wet = ln(set_wet);
        let stations = [knobs.gas_k, knobs.roller_k, knobs.infrared];
        let coordinates = self.table.coordinates(ln_wet, stations)?;
        let nominal = self.table.logarithm_at(coordinates)?;
        let slope = self.table.slope_at(coordinates)?;
        let mut stencil = ArrayVec::<(usize, f64), STENCIL>::new();
        each_node(
            &self.axes,
            places_of(&self.axes, coordinates)?,
            |node, weight| {
                let is_kept = stencil.try_push((node, weight)).is_ok();
                debug_assert!(is_kept, "a stencil holds all nodes");
            },
        );
        for (block, broken) in broken.iter_mut().enumerate() {
            let (speeds, wets) = films(block)?;
            let shifts = self.read(&self.shifts, &stencil, block)?;
            let factors = self.factors.get(block)?;
            let are_wet = with_widest_vectors(LeftWet {
                speeds,
                wets,
                shifts: &shifts,
                factors,
                ln_wet,
                nominal,
                slope,
            });
            for (broken, is_wet) in broken.iter_mut().zip(are_wet) {
                *broken |= is_wet;
            }
            if let Some(hottest) = &self.hottest_wet {
                let hottest = self.read(hottest, &stencil, block)?;
                let greatest = self.greatest_wet.get(block)?;
                for lane in 0..LANES {
                    let boils = hottest[lane] > greatest[lane];
                    broken[lane] |= if boils { BLISTER } else { 0 };
                }
            }
        }
        Some(())
    }

    /// Numbers of a block by its stencil.
    fn read(&self, nodes: &[Lanes], stencil: &[(usize, f64)], block: usize) -> Option<Lanes> {
        let mut sums = [0.0; LANES];
        for (node, weight) in stencil {
            let lanes = nodes.get(node * self.n_blocks + block)?;
            for lane in 0..LANES {
                sums[lane] += weight * lanes[lane];
            }
        }
        Some(sums)
    }
}

/// A block of films at the end of the dryer.
struct LeftWet<'a> {
    speeds: &'a Lanes,
    wets: &'a Lanes,
    shifts: &'a Lanes,
    factors: &'a Lanes,
    ln_wet: f64,
    nominal: f64,
    slope: f64,
}

impl Loops for LeftWet<'_> {
    /// The bit of the limit in the lanes of films that do not dry.
    type Output = [u64; LANES];

    #[expect(clippy::inline_always, reason = "compiled for each width of vector")]
    #[inline(always)]
    fn run(self) -> Self::Output {
        let mut wet = [0; LANES];
        for lane in 0..LANES {
            let thicker = branchless::ln(self.wets[lane]) - self.ln_wet;
            let dry_speed = self.nominal + self.shifts[lane] + self.slope * thicker;
            let is_wet = branchless::ln(self.speeds[lane]) > self.factors[lane] + dry_speed;
            wet[lane] = u64::from(is_wet) * DRY_AT_EXIT;
        }
        wet
    }
}

/// A number of each draw, block by block.
fn blocks(draws: &[DrawnLine], number: impl Fn(&DrawnLine) -> f64) -> Vec<Lanes> {
    draws
        .chunks(LANES)
        .map(|block| lanes_of(block, &number))
        .collect()
}

/// The stations at the coordinates of a node.
fn setting_at([_, gas, roller, infrared]: Coordinates, range: &TableRange) -> Setting {
    Setting {
        gas_temperature: Some(Temperature::from_k(gas)),
        roller_temperature: range.roller.map(|_| Temperature::from_k(roller)),
        infrared_power: range.infrared.map(|_| Irradiance::from_w_per_m2(infrared)),
        ..Setting::default()
    }
}

/// Dry speed of a draw's film of a wet thickness \[m\] at knobs as they are set; `None` if an input is missing.
fn drawn_dry_speed(draw: &DrawnLine, set: &Knobs, wet: f64, near: Speed) -> Option<DrySpeed> {
    let knobs = draw.knobs_set_to(set);
    // The dry speed does not depend on the speed of the web.
    let inputs = DryingInputs::of_film(&draw.values, &knobs, Ok((1.0, wet))).ok()?;
    Some(inputs.case(&draw.values, &knobs).dry_speed_estimate(near))
}

/// What the wet film of a draw may reach \[K\].
fn greatest_wet_k(draw: &DrawnLine, solvent: Solvent) -> f64 {
    calibrated_temperature(
        solvent.boiling_point().k() - BOILING_DISTANCE.k(),
        draw.values.room.temperature,
        draw.calibration.factor(LimitId::Blister),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::{Basis, Prepared};
    use crate::input_errors::InputErrors;
    use crate::line::{Dryer, Ink, Line, Span};
    use crate::quantity::{Fraction, Length};
    use crate::uncertainty::Uncertainties;

    /// An invented ink of which little is known, so that nearly everything about its drying is drawn over wide ranges.
    fn line(solvent: Solvent) -> Line {
        Line {
            ink: Ink {
                solids: Some(Fraction::from_percent(2.0)),
                solvent: Some(solvent),
                ..Ink::default()
            },
            dryer: Some(Dryer {
                length: Some(Length::from_m(1.2)),
                ..Dryer::default()
            }),
            ..Line::default()
        }
    }

    /// Logarithms of the draws' dry speeds at a place, interpolated and marched, of those that dry within the reach.
    fn dry_speeds(
        chances: &Chances,
        response: &DryingResponse,
        range: &TableRange,
        places: [f64; 4],
    ) -> Vec<(f64, f64)> {
        let mut coordinates = [0.0; 4];
        for ((coordinate, axis), place) in coordinates.iter_mut().zip(&response.axes).zip(places) {
            *coordinate = axis.at(place);
        }
        let setting = setting_at(coordinates, range);
        let knobs = chances.prepared().knobs(&setting).expect("valid setting");
        let nominal = response
            .table
            .logarithm_at(coordinates)
            .expect("within the range");
        let mut stencil = Vec::new();
        each_node(&response.axes, places, |node, weight| {
            stencil.push((node, weight));
        });
        let mut pairs = Vec::new();
        for (block, draws) in chances.draws.chunks(LANES).enumerate() {
            let shifts = response.read(&response.shifts, &stencil, block);
            for (shift, draw) in shifts.expect("a block").iter().zip(draws) {
                let near = Speed::from_m_per_s(exp(nominal));
                let marched = drawn_dry_speed(draw, &knobs, exp(coordinates[0]), near);
                if let Some(DrySpeed::At(speed)) = marched {
                    pairs.push((nominal + shift, ln(speed.m_per_s())));
                }
            }
        }
        pairs
    }

    /// Greatest difference of two shares of draws below a common bound (the statistic of Kolmogorov and Smirnov).
    fn greatest_difference(pairs: &[(f64, f64)]) -> f64 {
        let n = pairs.len() as f64;
        let share = |below: &dyn Fn(&(f64, f64)) -> bool| {
            pairs.iter().filter(|pair| below(pair)).count() as f64 / n
        };
        pairs
            .iter()
            .map(|(_, bound)| {
                let read = share(&|(read, _)| read < bound);
                (read - share(&|(_, marched)| marched < bound)).abs()
            })
            .fold(0.0, f64::max)
    }

    fn chances_of(solvent: Solvent) -> Chances {
        let prepared = Prepared::new(&line(solvent), &Basis::default()).expect("valid line");
        let doubts = InputErrors::new(&prepared, &Uncertainties::default());
        Chances::new(&doubts, 256, 5).expect("a number of draws")
    }

    #[test]
    fn interpolated_dry_speeds_give_chances_as_good_as_stated() {
        for (solvent, thinnest) in [(Solvent::Water, 6.0), (Solvent::EthylAcetate, 20.0)] {
            let chances = chances_of(solvent);
            let range = TableRange {
                wet_thickness: Span {
                    least: Length::from_um(thinnest),
                    greatest: Length::from_um(60.0),
                },
                gas: Span {
                    least: Temperature::from_deg_c(60.0),
                    greatest: Temperature::from_deg_c(120.0),
                },
                roller: None,
                infrared: None,
            };
            let response = DryingResponse::new(&chances, range, || false).expect("smooth");
            let mut errors = Vec::new();
            for i in 1..8 {
                let share = |step: f64| 2.0 * (step * f64::from(i)).fract();
                let places = [share(0.618_033_988), share(0.414_213_562), 0.0, 0.0];
                let pairs = dry_speeds(&chances, &response, &range, places);
                assert!(
                    pairs.len() > 200,
                    "{} films dry within the reach",
                    pairs.len()
                );
                let difference = greatest_difference(&pairs);
                assert!(
                    difference < RESPONSE_ERROR,
                    "{difference} for {}",
                    solvent.label()
                );
                errors.extend(pairs.iter().map(|(read, marched)| (read - marched).abs()));
            }
            errors.sort_by(f64::total_cmp);
            let of_most = errors[errors.len() * 95 / 100];
            assert!(of_most < 0.01, "{of_most} for {}", solvent.label());
        }
    }

    #[test]
    fn estimate_of_a_dry_speed_is_that_of_the_grid() {
        let chances = chances_of(Solvent::Water);
        let setting = Setting {
            gas_temperature: Some(Temperature::from_deg_c(80.0)),
            ..Setting::default()
        };
        let knobs = chances.prepared().knobs(&setting).expect("valid setting");
        for (draw, wet) in chances
            .draws
            .iter()
            .zip([5e-6, 12e-6, 25e-6, 60e-6].into_iter().cycle())
        {
            let set = draw.knobs_set_to(&knobs);
            let inputs = DryingInputs::of_film(&draw.values, &set, Ok((1.0, wet)));
            let case = inputs
                .expect("all inputs are there")
                .case(&draw.values, &set);
            let near = Speed::from_m_per_s(0.01);
            let (estimate, found) = (case.dry_speed_estimate(near), case.dry_speed());
            let ratio = estimate.speed().m_per_s() / found.speed().m_per_s();
            // What 200 steps a zone cost is 5e-3.
            assert!((-2e-3..2e-3).contains(&(ratio - 1.0)), "{ratio}");
        }
    }
}
