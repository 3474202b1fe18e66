//! The window of a slot die at one setting, of all draws side by side.

#![expect(
    clippy::needless_range_loop,
    reason = "loops over lanes of several arrays side by side are vectorized"
)]

use crate::evaluation::{Drying, Walk, WorstHard};
use crate::input_errors::{DrawnLine, ErrorAt};
use crate::limit::LimitId;
use crate::prepared::{Knobs, MethodValues, SlotDieValues};
use crate::slot_die::lanes::{LANES, LaneBead, LaneFilm, LaneLaws, lane_entrainment};
use crate::slot_die::{BeadCosines, FilmFraction, Lips, WETTING_ASSISTANCE, upstream_gap};
use crate::uncertainty::Spread;
use crate::widest_vectors::{Loops, with_widest_vectors};

/// A number in every lane of a block.
pub(super) type Lanes = [f64; LANES];

/// The limits that lanes judge, one bit each from the lowest.
pub(super) const LANE_LIMITS: [LimitId; 6] = [
    LimitId::LowFlow,
    LimitId::BeadHold,
    LimitId::Flood,
    LimitId::WettingFailure,
    LimitId::DryAtExit,
    LimitId::Blister,
];
/// Bits of the limits of drying.
pub(super) const DRY_AT_EXIT: u64 = 1 << 4;
pub(super) const BLISTER: u64 = 1 << 5;

/// What one knob really is in the draws of a block.
#[derive(Debug, Clone)]
struct KnobLanes {
    spread: Spread,
    scores: Lanes,
    /// Factors of a relative spread, differences of an absolute one.
    errors: Lanes,
    real: Lanes,
}

impl KnobLanes {
    fn new(draws: &[DrawnLine], error: impl Fn(&DrawnLine) -> ErrorAt) -> Self {
        // One cause gives all draws one spread; a draw that was pulled back to the stated line has a score of zero.
        let spreads = draws.iter().map(|draw| error(draw).spread);
        let spread = spreads
            .max_by(|a, b| a.standard_deviation().total_cmp(&b.standard_deviation()))
            .unwrap_or(Spread::Relative(0.0));
        let scores = lanes_of(draws, |draw| error(draw).score);
        Self {
            spread,
            errors: scores.map(|score| match spread {
                Spread::Relative(_) => spread.at(1.0, score),
                Spread::Absolute(sd) => sd * score,
            }),
            scores,
            real: [0.0; LANES],
        }
    }

    fn set(&mut self, to: f64) {
        let lanes = self.real.iter_mut().zip(&self.errors);
        match self.spread {
            Spread::Relative(_) => lanes.for_each(|(real, factor)| *real = to * factor),
            Spread::Absolute(_) if self.spread.is_far_from_zero(to) => {
                lanes.for_each(|(real, difference)| *real = to + difference);
            }
            Spread::Absolute(_) => {
                for (real, score) in self.real.iter_mut().zip(&self.scores) {
                    *real = self.spread.at(to, *score);
                }
            }
        }
    }
}

/// A number of each draw; lanes without a draw repeat the last one.
pub(super) fn lanes_of(draws: &[DrawnLine], number: impl Fn(&DrawnLine) -> f64) -> Lanes {
    let last = draws.last();
    std::array::from_fn(|lane| draws.get(lane).or(last).map_or(0.0, &number))
}

/// A block of drawn dies with the ink in them, and what they do at the setting of the moment.
#[derive(Debug, Clone)]
struct Block {
    speed: KnobLanes,
    flow: KnobLanes,
    gap: KnobLanes,
    width: Lanes,
    sigma: Lanes,
    rho: Lanes,
    downstream: Lanes,
    upstream: Lanes,
    gap_ratio: Lanes,
    cosines: [BeadCosines; LANES],
    factors: [Lanes; 4],
    foil_cosine: Lanes,
    laws: LaneLaws,
    wet: Lanes,
    two_thirds: Lanes,
    dynamic: Lanes,
    /// Viscosity and entrainment speed of a Newtonian ink, whatever the setting.
    mu: Lanes,
    entrainment: Lanes,
}

/// A block at a setting.
struct BlockAt<'a> {
    block: &'a mut Block,
    gap: f64,
    vacuum: f64,
    is_film_new: bool,
}

impl Loops for BlockAt<'_> {
    type Output = [u64; LANES];

    #[expect(clippy::inline_always, reason = "compiled for each width of vector")]
    #[inline(always)]
    fn run(self) -> Self::Output {
        self.block.judge((self.gap, self.vacuum), self.is_film_new)
    }
}

/// What the blocks were set to last, by its bits, so that what stays is not computed again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Stand {
    speed: Option<u64>,
    flow: Option<u64>,
    gap: Option<u64>,
    ink: Option<u64>,
    plasma: Option<u64>,
}

impl Stand {
    fn of(knobs: &Knobs) -> Self {
        let bits = |knob: Option<f64>| knob.map(f64::to_bits);
        Self {
            speed: bits(knobs.speed),
            flow: bits(knobs.flow),
            gap: bits(knobs.head.gap),
            ink: bits(knobs.ink_k),
            plasma: bits(knobs.plasma_power),
        }
    }
}

/// The window of all draws.
#[derive(Debug, Clone)]
pub(super) struct BeadLanes {
    blocks: Vec<Block>,
    /// `None` before the first setting.
    stand: Option<Stand>,
}

impl Block {
    /// `None` on any other head, and without a flow law.
    fn new(draws: &[DrawnLine]) -> Option<Self> {
        let dies: Vec<&SlotDieValues> = draws.iter().map_while(die).collect();
        let last = *dies.last()?;
        let of_die = |number: fn(&SlotDieValues) -> f64| {
            std::array::from_fn(|lane| number(dies.get(lane).copied().unwrap_or(last)))
        };
        let factor = |id: LimitId| lanes_of(draws, |draw| draw.calibration.factor(id));
        Some(Self {
            speed: KnobLanes::new(draws, |draw| draw.knobs.speed),
            flow: KnobLanes::new(draws, |draw| draw.knobs.flow),
            gap: KnobLanes::new(draws, |draw| draw.knobs.gap),
            width: lanes_of(draws, |draw| draw.values.head.width.unwrap_or(1.0)),
            sigma: lanes_of(draws, |draw| draw.values.ink.sigma),
            rho: lanes_of(draws, |draw| draw.values.ink.rho),
            downstream: of_die(|die| die.lips.downstream),
            upstream: of_die(|die| die.lips.upstream),
            gap_ratio: of_die(|die| die.lips.upstream_gap_ratio),
            cosines: std::array::from_fn(|lane| dies.get(lane).copied().unwrap_or(last).cosines),
            factors: [
                factor(LimitId::LowFlow),
                factor(LimitId::BeadHold),
                factor(LimitId::Flood),
                factor(LimitId::WettingFailure).map(|factor| WETTING_ASSISTANCE * factor),
            ],
            foil_cosine: [1.0; LANES],
            laws: LaneLaws::uniform(draws.last()?.values.flow_law_at(None).ok()?),
            wet: [0.0; LANES],
            two_thirds: [0.0; LANES],
            dynamic: [0.0; LANES],
            mu: [0.0; LANES],
            entrainment: [0.0; LANES],
        })
    }

    /// Takes over the inks at the temperature of the head.
    fn fill(&mut self, draws: &[DrawnLine], knobs: &Knobs) {
        for lane in 0..LANES {
            let law = draws
                .get(lane)
                .or(draws.last())
                .map(|draw| draw.values.flow_law(knobs));
            if let Some(Ok(law)) = law {
                self.laws.put(lane, law);
            }
        }
        if self.laws.is_newtonian() {
            self.mu = self.laws.viscosities(&self.speed.real, &self.wet);
            self.entrainment = self.entrainment_at(&self.mu);
        }
    }

    #[expect(clippy::inline_always, reason = "compiled for each width of vector")]
    #[inline(always)]
    fn entrainment_at(&self, mu: &Lanes) -> Lanes {
        let mut entrainment = [0.0; LANES];
        for lane in 0..LANES {
            entrainment[lane] = lane_entrainment(mu[lane], self.rho[lane], self.sigma[lane]);
        }
        entrainment
    }

    /// Judges the knobs as they are set; the film of a Newtonian ink only if it is new.
    #[expect(clippy::inline_always, reason = "compiled for each width of vector")]
    #[inline(always)]
    fn judge(&mut self, (gap, vacuum): (f64, f64), is_film_new: bool) -> [u64; LANES] {
        if self.laws.is_newtonian() {
            if is_film_new {
                let mu = self.mu;
                self.film(&mu);
            }
            self.broken(&self.mu, &self.entrainment, (gap, vacuum))
        } else {
            let in_film = self.laws.viscosities(&self.speed.real, &self.wet);
            self.film(&in_film);
            let in_gap = self.laws.viscosities(&self.speed.real, &self.gap.real);
            self.broken(&in_gap, &self.entrainment_at(&in_gap), (gap, vacuum))
        }
    }

    fn wet_thicknesses(&mut self) {
        for lane in 0..LANES {
            self.wet[lane] = self.flow.real[lane] / (self.speed.real[lane] * self.width[lane]);
        }
    }

    /// What the film decides, from its viscosity.
    #[expect(clippy::inline_always, reason = "compiled for each width of vector")]
    #[inline(always)]
    fn film(&mut self, mu: &Lanes) {
        for lane in 0..LANES {
            let ca = mu[lane] * self.speed.real[lane] / self.sigma[lane];
            let film = LaneFilm::new(ca, self.foil_cosine[lane]);
            self.two_thirds[lane] = film.two_thirds;
            self.dynamic[lane] = film.dynamic;
        }
    }

    /// Which limits of the window break, from the viscosity in the gap, the entrainment speed, the gap as it is set and the
    /// vacuum.
    #[expect(clippy::inline_always, reason = "compiled for each width of vector")]
    #[inline(always)]
    fn broken(&self, mu: &Lanes, entrainment: &Lanes, (gap, vacuum): (f64, f64)) -> [u64; LANES] {
        let mut broken = [0; LANES];
        for lane in 0..LANES {
            let (real_gap, speed) = (self.gap.real[lane], self.speed.real[lane]);
            let films = LaneBead {
                lips: Lips {
                    gap: real_gap,
                    upstream_gap: upstream_gap(self.gap_ratio[lane], real_gap, real_gap - gap),
                    downstream: self.downstream[lane],
                    upstream: self.upstream[lane],
                },
                cosines: self.cosines[lane],
                sigma: self.sigma[lane],
                drag: mu[lane] * speed,
                film: LaneFilm {
                    two_thirds: self.two_thirds[lane],
                    dynamic: self.dynamic[lane],
                },
                vacuum,
            }
            .films::<false>();
            let [low_flow, bead_hold, flood, wetting] = &self.factors;
            let wet = self.wet[lane];
            let over = |factor: f64, film: FilmFraction| factor * film.over - wet * film.under;
            broken[lane] = u64::from(over(low_flow[lane], films.low_flow) > 0.0)
                | u64::from(over(bead_hold[lane], films.held) > 0.0) << 1
                | u64::from(over(flood[lane], films.not_flooding) < 0.0) << 2
                | u64::from(speed > wetting[lane] * entrainment[lane]) << 3;
        }
        broken
    }
}

const fn die(draw: &DrawnLine) -> Option<&SlotDieValues> {
    match &draw.values.head.method {
        MethodValues::SlotDie(die) => Some(die),
        MethodValues::Knife(_)
        | MethodValues::WireBar(_)
        | MethodValues::Gravure(_)
        | MethodValues::Flexo(_) => None,
    }
}

impl BeadLanes {
    /// `None` on any other head, and without a flow law.
    pub(super) fn new(draws: &[DrawnLine]) -> Option<Self> {
        Some(Self {
            blocks: draws.chunks(LANES).map(Block::new).collect::<Option<_>>()?,
            stand: None,
        })
    }

    /// Sets all draws to a setting and judges them. A setting without speed, flow or gap breaks nothing here.
    pub(super) fn judge(
        &mut self,
        draws: &[DrawnLine],
        knobs: &Knobs,
        broken: &mut [[u64; LANES]],
    ) {
        let (Some(speed), Some(flow), Some(gap)) = (knobs.speed, knobs.flow, knobs.head.gap) else {
            return;
        };
        let (now, before) = (Stand::of(knobs), self.stand);
        let is_new =
            |knob: fn(&Stand) -> Option<u64>| before.is_none_or(|b| knob(&b) != knob(&now));
        let is_speed_new = is_new(|stand| stand.speed);
        let is_flow_new = is_new(|stand| stand.flow);
        let is_ink_new = is_new(|stand| stand.ink);
        let is_gap_new = is_new(|stand| stand.gap);
        // The dose of a plasma, and with it the angle on the foil, follows the speed.
        let is_foil_new = is_new(|stand| stand.plasma) || now.plasma.is_some() && is_speed_new;
        let is_film_new = is_speed_new || is_ink_new || is_foil_new;
        let blocks = self.blocks.iter_mut().zip(draws.chunks(LANES));
        for ((block, draws), broken) in blocks.zip(broken) {
            if is_ink_new {
                block.fill(draws, knobs);
            }
            if is_foil_new {
                block.foil_cosine = lanes_of(draws, |draw| foil_cosine(draw, knobs));
            }
            if is_speed_new {
                block.speed.set(speed);
            }
            if is_flow_new {
                block.flow.set(flow);
            }
            if is_gap_new {
                block.gap.set(gap);
            }
            if is_speed_new || is_flow_new {
                block.wet_thicknesses();
            }
            *broken = with_widest_vectors(BlockAt {
                block,
                gap,
                vacuum: knobs.vacuum,
                is_film_new,
            });
        }
        self.stand = Some(now);
    }

    /// Speeds and wet thicknesses of a block at the setting judged last.
    pub(super) fn films(&self, block: usize) -> Option<(&Lanes, &Lanes)> {
        let block = self.blocks.get(block)?;
        Some((&block.speed.real, &block.wet))
    }
}

/// Cosine of the static angle on the foil of a draw, which a plasma may have treated.
fn foil_cosine(draw: &DrawnLine, set: &Knobs) -> f64 {
    let knobs = draw.knobs_set_to(set);
    let sink = WorstHard::default();
    Walk::new(
        &draw.values,
        &draw.calibration,
        &knobs,
        Drying::LeaveOut,
        sink,
    )
    .foil_cosine()
}
