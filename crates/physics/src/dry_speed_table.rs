//! Dry speeds of one line by interpolation, for bulk work: searches and maps that ask millions of times.
//!
//! The dry speed depends on wet thickness, gas and roller temperature and infrared irradiance alone, and its logarithm is
//! smooth in the logarithm of the thickness and in the others. A grid of marches is made once; in between, a cubic through the four
//! nearest nodes of each axis stands in. While the grid is made, every midpoint between neighboring nodes is marched as
//! well, and the axis that misses most is refined until none misses by more than 0.15 %.

use thiserror::Error;

use crate::assess::Prepared;
use crate::drying::{DRY_SPEED_REACH, DrySpeed};
use crate::elementary::{exp, ln};
use crate::head::Head;
use crate::input_error::InputError;
use crate::line::{Setting, Span};
use crate::quantity::{Irradiance, Length, Speed, Temperature};

/// Largest relative error of a finished table, against marches at random places (tested; common choice).
pub const STATED_ERROR: f64 = 0.005;
/// Largest relative error at the midpoints between nodes; errors of the axes add up, the grid of dry speeds adds 1.5e-4.
const MIDPOINT_ERROR: f64 = 0.0015;
/// Nodes of an axis to begin with, and the most that refining may make of all axes together.
const FIRST_NODES: usize = 5;
const GREATEST_NODES: usize = 1500;
/// Nodes that a cubic runs through.
const CUBIC: usize = 4;
/// Steps of the thickness over which a slope is taken to either side.
const SLOPE_STEP: f64 = 0.05;

/// Where a table shall hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableRange {
    /// Wet thicknesses.
    pub wet_thickness: Span<Length>,
    /// Gas temperatures.
    pub gas: Span<Temperature>,
    /// Roller temperatures; `None` for a line without a heated roller, or with it switched off.
    pub roller: Option<Span<Temperature>>,
    /// Infrared irradiances; `None` for a line without infrared lamps.
    pub infrared: Option<Span<Irradiance>>,
}

/// Why a table cannot be made; the march still can.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum TableError {
    /// The range or the line holds a number that cannot be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// An input of drying is missing, or the line has no dryer.
    #[error("the line says too little about drying for a table of dry speeds")]
    NothingToDry,
    /// A span is reversed.
    #[error("a span of the table is reversed")]
    SpanReversed,
    /// Some films of the range never dry while others do; the dry speed jumps there.
    #[error(
        "some films of the range never dry at any speed, so that dry speeds cannot be interpolated"
    )]
    NeverDry,
    /// Refining did not bring the error down.
    #[error("dry speeds bend too sharply in this range to be interpolated; the error is still {} %", 100.0 * .error)]
    NotSmooth {
        /// Relative error that is left.
        error: f64,
    },
}

/// One axis of the grid: equal steps of a coordinate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Axis {
    least: f64,
    greatest: f64,
    n: usize,
}

impl Axis {
    fn new(least: f64, greatest: f64) -> Result<Self, TableError> {
        match least.partial_cmp(&greatest) {
            Some(std::cmp::Ordering::Less) => Ok(Self {
                least,
                greatest,
                n: FIRST_NODES,
            }),
            Some(std::cmp::Ordering::Equal) => Ok(Self {
                least,
                greatest,
                n: 1,
            }),
            Some(std::cmp::Ordering::Greater) | None => Err(TableError::SpanReversed),
        }
    }

    /// The same axis with so many nodes, if it has any length.
    pub(crate) fn with_nodes(self, n: usize) -> Self {
        Self {
            n: if self.n > 1 { n } else { 1 },
            ..self
        }
    }

    fn step(&self) -> f64 {
        if self.n > 1 {
            (self.greatest - self.least) / (self.n - 1) as f64
        } else {
            1.0
        }
    }

    /// Coordinate at a place counted in steps.
    pub(crate) fn at(&self, place: f64) -> f64 {
        self.least + place * self.step()
    }

    /// Place in steps, if the coordinate lies on the axis. A hair beyond the ends still counts, for coordinates that come
    /// back from a division.
    fn place(&self, coordinate: f64) -> Option<f64> {
        let last = (self.n - 1) as f64;
        let place = (coordinate - self.least) / self.step();
        (place > -1e-9 && place < last + 1e-9).then(|| place.clamp(0.0, last))
    }

    /// First node and weights of the polynomial through the nearest nodes.
    fn weights(&self, place: f64) -> (usize, usize, [f64; CUBIC]) {
        let m = self.n.min(CUBIC);
        let before = (place.floor() - 1.0).max(0.0).min((self.n - m) as f64);
        let mut weights = [0.0; CUBIC];
        for (j, weight) in weights.iter_mut().enumerate().take(m) {
            *weight = 1.0;
            for k in (0..m).filter(|k| *k != j) {
                *weight *= (place - before - k as f64) / (j as f64 - k as f64);
            }
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a node of the axis"
        )]
        let first = before as usize;
        (first, m, weights)
    }
}

/// Number of axes.
const N_AXES: usize = 4;
/// Axes of thickness (its logarithm), gas temperature, roller temperature and infrared irradiance.
pub(crate) type Axes = [Axis; N_AXES];
/// A place counted in steps of each axis.
pub(crate) type Places = [f64; N_AXES];
/// A coordinate on each axis; zero for a station that the line does not have.
pub(crate) type Coordinates = [f64; N_AXES];

impl TableRange {
    /// The axes with as many nodes as a table begins with.
    pub(crate) fn axes(&self) -> Result<Axes, TableError> {
        let thickness = (
            self.wet_thickness.least.m(),
            self.wet_thickness.greatest.m(),
        );
        if !(thickness.0 > 0.0 && thickness.1.is_finite()) {
            return Err(TableError::SpanReversed);
        }
        let roller = self
            .roller
            .map_or((0.0, 0.0), |span| (span.least.k(), span.greatest.k()));
        let infrared = self.infrared.map_or((0.0, 0.0), |span| {
            (span.least.w_per_m2(), span.greatest.w_per_m2())
        });
        Ok([
            Axis::new(ln(thickness.0), ln(thickness.1))?,
            Axis::new(self.gas.least.k(), self.gas.greatest.k())?,
            Axis::new(roller.0, roller.1)?,
            Axis::new(infrared.0, infrared.1)?,
        ])
    }
}

/// Places of the nodes of a grid, half a step further on one axis if one is given (and then without its last); the last axis
/// runs fastest.
pub(crate) fn node_places(axes: &Axes, half_step_on: Option<usize>) -> Vec<Places> {
    let shifted = |axis: usize| half_step_on == Some(axis);
    let n = |axis: usize| axes[axis].n - usize::from(shifted(axis));
    let place = |axis: usize, i: usize| i as f64 + if shifted(axis) { 0.5 } else { 0.0 };
    let mut places = Vec::with_capacity((0..N_AXES).map(n).product());
    for i in 0..n(0) {
        for j in 0..n(1) {
            for k in 0..n(2) {
                for l in 0..n(3) {
                    places.push([place(0, i), place(1, j), place(2, k), place(3, l)]);
                }
            }
        }
    }
    places
}

/// Calls with the index and the weight of every node that the value at a place is read from.
pub(crate) fn each_node(axes: &Axes, places: Places, mut each: impl FnMut(usize, f64)) {
    let [a, b, c, d] = axes;
    let [x, y, z, u] = places;
    let (i0, n0, w0) = a.weights(x);
    let (i1, n1, w1) = b.weights(y);
    let (i2, n2, w2) = c.weights(z);
    let (i3, n3, w3) = d.weights(u);
    for (i, weight_a) in w0.iter().enumerate().take(n0) {
        for (j, weight_b) in w1.iter().enumerate().take(n1) {
            for (k, weight_c) in w2.iter().enumerate().take(n2) {
                let row = (((i0 + i) * b.n + i1 + j) * c.n + i2 + k) * d.n + i3;
                for (l, weight_d) in w3.iter().enumerate().take(n3) {
                    each(row + l, weight_a * weight_b * weight_c * weight_d);
                }
            }
        }
    }
}

/// Places of coordinates, or `None` outside the grid.
pub(crate) fn places_of(axes: &Axes, coordinates: Coordinates) -> Option<Places> {
    let mut places = [0.0; N_AXES];
    for ((place, axis), coordinate) in places.iter_mut().zip(axes).zip(coordinates) {
        *place = axis.place(coordinate)?;
    }
    Some(places)
}

/// Dry speeds of one line over a range; see the module.
#[derive(Debug, Clone, PartialEq)]
pub struct DrySpeedTable {
    axes: Axes,
    has_roller: bool,
    has_infrared: bool,
    /// Coated width of a slot die, whose films follow from the pump flow.
    width_m: Option<f64>,
    /// Logarithm of the dry speed at each node, the last axis running fastest.
    nodes: Vec<f64>,
    midpoint_error: f64,
}

impl DrySpeedTable {
    /// Makes the table; some fifty marches of dry speeds for a smooth range, a few hundred with a roller.
    ///
    /// # Errors
    /// [`TableError`] says why dry speeds cannot be interpolated.
    pub fn new(prepared: &Prepared, range: TableRange) -> Result<Self, TableError> {
        let mut table = Self {
            axes: range.axes()?,
            has_roller: range.roller.is_some(),
            has_infrared: range.infrared.is_some(),
            width_m: match prepared.line().head {
                Head::SlotDie(die) => die.coated_width.map(Length::m),
                Head::Knife(_) | Head::WireBar(_) | Head::Gravure(_) | Head::Flexo(_) => None,
            },
            nodes: Vec::new(),
            midpoint_error: 0.0,
        };
        table.refine(prepared)?;
        Ok(table)
    }

    /// Largest relative error found at the midpoints between nodes.
    pub const fn midpoint_error(&self) -> f64 {
        self.midpoint_error
    }

    /// Number of nodes.
    pub const fn n_nodes(&self) -> usize {
        self.nodes.len()
    }

    /// Dry speed of the film of a slot-die setting, or `None` outside the range. Within [`STATED_ERROR`] of
    /// [`Prepared::dry_speed`], but where that lies beyond its reach of 2 m/s. For any other head see
    /// [`Self::dry_speed_of_film`].
    pub fn dry_speed(&self, setting: &Setting) -> Option<Speed> {
        let t = setting.flow?.m3_per_s() / (setting.speed?.m_per_s() * self.width_m?);
        self.dry_speed_of_film(setting, Length::from_m(t))
    }

    /// Dry speed of a film of a wet thickness ([`Prepared::wet_thickness`] tells that of a setting) at the temperatures of
    /// a setting, or `None` outside the range.
    pub fn dry_speed_of_film(&self, setting: &Setting, wet_thickness: Length) -> Option<Speed> {
        let coordinates = self.coordinates(
            ln(wet_thickness.m()),
            [
                setting.gas_temperature.map(Temperature::k),
                setting.roller_temperature.map(Temperature::k),
                setting.infrared_power.map(Irradiance::w_per_m2),
            ],
        )?;
        let logarithm = self.logarithm_at(coordinates)?;
        Some(Speed::from_m_per_s(exp(logarithm).min(DRY_SPEED_REACH.1)))
    }

    /// Coordinates of a film: logarithm of its wet thickness, and gas temperature \[K\], roller temperature \[K\] and infrared
    /// irradiance [W/m²] as far as they are set; `None` if a station of the table is not set or one beyond it is.
    pub(crate) fn coordinates(
        &self,
        ln_wet: f64,
        [gas, roller, infrared]: [Option<f64>; N_AXES - 1],
    ) -> Option<Coordinates> {
        let of_station = |is_there: bool, set: Option<f64>| match (is_there, set) {
            (true, Some(set)) => Some(set),
            (false, None) => Some(0.0),
            (true, None) | (false, Some(_)) => None,
        };
        Some([
            ln_wet,
            gas?,
            of_station(self.has_roller, roller)?,
            of_station(self.has_infrared, infrared)?,
        ])
    }

    /// Logarithm of the dry speed [m/s], or `None` outside the range.
    pub(crate) fn logarithm_at(&self, coordinates: Coordinates) -> Option<f64> {
        Some(self.interpolate(places_of(&self.axes, coordinates)?))
    }

    /// Slope of that logarithm with the logarithm of the thickness, or `None` outside the range; zero if the range holds one
    /// thickness.
    pub(crate) fn slope_at(&self, coordinates: Coordinates) -> Option<f64> {
        let [thickness, ..] = &self.axes;
        let places = places_of(&self.axes, coordinates)?;
        let moved = |by: f64| {
            let mut moved = places;
            moved[0] = (places[0] + by).clamp(0.0, (thickness.n - 1) as f64);
            (moved[0], self.interpolate(moved))
        };
        let (before, after) = (moved(-SLOPE_STEP), moved(SLOPE_STEP));
        let run = (after.0 - before.0) * thickness.step();
        Some(if run > 0.0 {
            (after.1 - before.1) / run
        } else {
            0.0
        })
    }

    fn interpolate(&self, places: Places) -> f64 {
        let mut sum = 0.0;
        each_node(&self.axes, places, |node, weight| {
            sum += weight * self.nodes.get(node).copied().unwrap_or(0.0);
        });
        sum
    }

    /// Logarithm of the dry speed by march at a place.
    fn march(&self, prepared: &Prepared, places: Places) -> Result<f64, TableError> {
        let wet_thickness = Length::from_m(exp(self.axes[0].at(places[0])));
        let setting = Setting {
            gas_temperature: Some(Temperature::from_k(self.axes[1].at(places[1]))),
            roller_temperature: self
                .has_roller
                .then(|| Temperature::from_k(self.axes[2].at(places[2]))),
            infrared_power: self
                .has_infrared
                .then(|| Irradiance::from_w_per_m2(self.axes[3].at(places[3]))),
            ..Setting::default()
        };
        match prepared.dry_speed_of_film(&setting, wet_thickness)? {
            None => Err(TableError::NothingToDry),
            Some(DrySpeed::Never) => Err(TableError::NeverDry),
            Some(found @ (DrySpeed::At(_) | DrySpeed::BeyondReach)) => {
                Ok(ln(found.speed().m_per_s()))
            }
        }
    }

    fn fill(&mut self, prepared: &Prepared) -> Result<(), TableError> {
        self.nodes = node_places(&self.axes, None)
            .into_iter()
            .map(|places| self.march(prepared, places))
            .collect::<Result<_, _>>()?;
        Ok(())
    }

    /// Largest relative error at the midpoints along an axis. What dries beyond the reach is left out: it is faster than
    /// any web, and its bend cannot be followed.
    fn error_along(&self, prepared: &Prepared, axis: usize) -> Result<f64, TableError> {
        let top = ln(DRY_SPEED_REACH.1);
        let mut worst: f64 = 0.0;
        for places in node_places(&self.axes, Some(axis)) {
            let marched = self.march(prepared, places)?;
            let interpolated = self.interpolate(places);
            if marched < top && interpolated < top {
                worst = worst.max((exp(interpolated - marched) - 1.0).abs());
            }
        }
        Ok(worst)
    }

    fn refine(&mut self, prepared: &Prepared) -> Result<(), TableError> {
        loop {
            self.fill(prepared)?;
            let mut worst = (0, 0.0);
            for axis in (0..self.axes.len()).filter(|axis| self.axes[*axis].n > 1) {
                let error = self.error_along(prepared, axis)?;
                if error > worst.1 {
                    worst = (axis, error);
                }
            }
            self.midpoint_error = worst.1;
            if worst.1 <= MIDPOINT_ERROR {
                return Ok(());
            }
            self.axes[worst.0].n = 2 * self.axes[worst.0].n - 1;
            if self.axes.iter().map(|axis| axis.n).product::<usize>() > GREATEST_NODES {
                return Err(TableError::NotSmooth { error: worst.1 });
            }
        }
    }
}
