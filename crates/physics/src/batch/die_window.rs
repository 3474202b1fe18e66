//! The window of one slot die at a block of settings.

#![expect(
    clippy::inline_always,
    clippy::needless_range_loop,
    reason = "compiled for each width of vector, over lanes of several arrays side by side"
)]

use super::Lanes;
use crate::calibration::Calibration;
use crate::evaluation::{clip, ratio_margin};
use crate::limit::{LimitId, Sense};
use crate::prepared::{SlotDieValues, Values};
use crate::rheology::FlowLaw;
use crate::slot_die::lanes::{LANES, LaneBead, LaneFilm, LaneLaws, lane_entrainment};
use crate::slot_die::{
    FEED_SLOT_FILMS, FilmFraction, Lips, WETTING_ASSISTANCE, thinnest_without_vortex_m,
    upstream_gap,
};
use crate::widest_vectors::{Loops, with_widest_vectors};

/// The hard limits of the window.
const HARD: [LimitId; 4] = [
    LimitId::LowFlow,
    LimitId::BeadHold,
    LimitId::Flood,
    LimitId::WettingFailure,
];
/// Its soft limits that follow gap and film alone.
const SOFT: [LimitId; 5] = [
    LimitId::LipWetting,
    LimitId::GapFill,
    LimitId::AirEntrainment,
    LimitId::Recirculation,
    LimitId::FeedSlot,
];

/// Knobs and films of a block of settings, in SI.
#[derive(Debug, Clone)]
pub(super) struct DieKnobs {
    pub(super) speed: Lanes,
    pub(super) flow: Lanes,
    pub(super) gap: Lanes,
    pub(super) vacuum: Lanes,
    /// Cosine of the static contact angle on the foil.
    pub(super) foil_cosine: Lanes,
}

impl Default for DieKnobs {
    fn default() -> Self {
        Self {
            speed: [0.0; LANES],
            flow: [0.0; LANES],
            gap: [0.0; LANES],
            vacuum: [0.0; LANES],
            foil_cosine: [0.0; LANES],
        }
    }
}

/// What the films of a block decide.
struct FilmLanes {
    two_thirds: Lanes,
    dynamic: Lanes,
}

/// Thinnest and thickest films of a block \[m\].
struct BoundLanes {
    low_flow: FractionLanes,
    held: FractionLanes,
    not_flooding: FractionLanes,
    /// Where the soft limits are wanted.
    dry_shoulder: FractionLanes,
}

/// A film thickness in every lane, as a fraction.
struct FractionLanes {
    over: Lanes,
    under: Lanes,
}

impl FractionLanes {
    const ZERO: Self = Self {
        over: [0.0; LANES],
        under: [1.0; LANES],
    };

    #[inline(always)]
    fn put(&mut self, lane: usize, film: FilmFraction) {
        self.over[lane] = film.over;
        self.under[lane] = film.under;
    }

    /// Margins of wet thicknesses that shall be at least a multiple of the films.
    #[inline(always)]
    fn at_least(&self, factor: f64, wet: &Lanes, margins: &mut Lanes) {
        for lane in 0..LANES {
            let used = factor * self.over[lane] / (self.under[lane] * wet[lane]);
            margins[lane] = clip(1.0 - used);
        }
    }

    /// Margins of wet thicknesses that shall be at most a multiple of the films.
    #[inline(always)]
    fn at_most(&self, factor: f64, wet: &Lanes, margins: &mut Lanes) {
        for lane in 0..LANES {
            let used = wet[lane] * self.under[lane] / (factor * self.over[lane]);
            margins[lane] = clip(1.0 - used);
        }
    }
}

/// A slot die with the ink in it.
#[derive(Debug, Clone)]
pub(super) struct DieWindow {
    die: SlotDieValues,
    width: f64,
    sigma: f64,
    rho: f64,
    laws: LaneLaws,
    hard_factors: [f64; 4],
    soft_factors: [f64; 5],
    wants_soft: bool,
    wet: Lanes,
    hard: [Lanes; 4],
    soft: [Lanes; 5],
}

impl DieWindow {
    /// True if a limit is one of these.
    pub(super) fn has(id: LimitId) -> bool {
        HARD.contains(&id) || SOFT.contains(&id)
    }

    pub(super) fn new(
        values: &Values,
        (die, width): (&SlotDieValues, f64),
        law: FlowLaw,
        calibration: &Calibration,
        wants_soft: bool,
    ) -> Self {
        Self {
            die: *die,
            width,
            sigma: values.ink.sigma,
            rho: values.ink.rho,
            laws: LaneLaws::uniform(law),
            hard_factors: HARD.map(|id| calibration.factor(id)),
            soft_factors: SOFT.map(|id| calibration.factor(id)),
            wants_soft,
            wet: [0.0; LANES],
            hard: [[0.0; LANES]; 4],
            soft: [[0.0; LANES]; 5],
        }
    }

    /// Judges a block of settings.
    pub(super) fn judge(&mut self, knobs: &DieKnobs) {
        with_widest_vectors(Judging {
            window: self,
            knobs,
        });
    }

    /// Wet thicknesses of the block judged last \[m\].
    pub(super) const fn wet(&self) -> &Lanes {
        &self.wet
    }

    /// Margins of a limit in the block judged last.
    pub(super) fn margins(&self, id: LimitId) -> Option<&Lanes> {
        let hard = HARD.iter().position(|hard| *hard == id);
        let soft = SOFT.iter().position(|soft| *soft == id);
        match (hard, soft) {
            (Some(place), _) => self.hard.get(place),
            (None, Some(place)) => self.soft.get(place),
            (None, None) => None,
        }
    }

    #[inline(always)]
    fn judge_lanes<const SOFT_TOO: bool>(&mut self, knobs: &DieKnobs) {
        // Each loop writes an array or two of its own, so that it can be vectorized.
        for lane in 0..LANES {
            self.wet[lane] = knobs.flow[lane] / (knobs.speed[lane] * self.width);
        }
        let mu_film = self.laws.viscosities(&knobs.speed, &self.wet);
        let mu_gap = self.laws.viscosities(&knobs.speed, &knobs.gap);
        let films = self.films(knobs, &mu_film);
        let bounds = self.bounds::<SOFT_TOO>(knobs, &mu_gap, &films);
        let entrained = self.entrainment(&mu_gap);
        self.hard_margins(knobs, &bounds, &entrained);
        if SOFT_TOO {
            self.soft_margins(knobs, &bounds, &entrained);
        }
    }

    /// What the films decide, whatever the gap.
    #[inline(always)]
    fn films(&self, knobs: &DieKnobs, mu: &Lanes) -> FilmLanes {
        let mut films = FilmLanes {
            two_thirds: [0.0; LANES],
            dynamic: [0.0; LANES],
        };
        let per_sigma = 1.0 / self.sigma;
        for lane in 0..LANES {
            let ca = mu[lane] * knobs.speed[lane] * per_sigma;
            let film = LaneFilm::new(ca, knobs.foil_cosine[lane]);
            films.two_thirds[lane] = film.two_thirds;
            films.dynamic[lane] = film.dynamic;
        }
        films
    }

    #[inline(always)]
    fn entrainment(&self, mu_gap: &Lanes) -> Lanes {
        if self.laws.is_newtonian() {
            return [lane_entrainment(mu_gap[0], self.rho, self.sigma); LANES];
        }
        let mut entrainment = [0.0; LANES];
        for lane in 0..LANES {
            entrainment[lane] = lane_entrainment(mu_gap[lane], self.rho, self.sigma);
        }
        entrainment
    }

    #[inline(always)]
    fn bounds<const SHOULDER: bool>(
        &self,
        knobs: &DieKnobs,
        mu_gap: &Lanes,
        films: &FilmLanes,
    ) -> BoundLanes {
        let lips = self.die.lips;
        let mut bounds = BoundLanes {
            low_flow: FractionLanes::ZERO,
            held: FractionLanes::ZERO,
            not_flooding: FractionLanes::ZERO,
            dry_shoulder: FractionLanes::ZERO,
        };
        for lane in 0..LANES {
            let gap = knobs.gap[lane];
            let found = LaneBead {
                lips: Lips {
                    gap,
                    upstream_gap: upstream_gap(lips.upstream_gap_ratio, gap, 0.0),
                    downstream: lips.downstream,
                    upstream: lips.upstream,
                },
                cosines: self.die.cosines,
                sigma: self.sigma,
                drag: mu_gap[lane] * knobs.speed[lane],
                film: LaneFilm {
                    two_thirds: films.two_thirds[lane],
                    dynamic: films.dynamic[lane],
                },
                vacuum: knobs.vacuum[lane],
            }
            .films::<SHOULDER>();
            bounds.low_flow.put(lane, found.low_flow);
            bounds.held.put(lane, found.held);
            bounds.not_flooding.put(lane, found.not_flooding);
            if SHOULDER {
                bounds.dry_shoulder.put(lane, found.dry_shoulder);
            }
        }
        bounds
    }

    #[inline(always)]
    fn hard_margins(&mut self, knobs: &DieKnobs, bounds: &BoundLanes, entrained: &Lanes) {
        let [low_flow, bead_hold, flood, wetting] = self.hard_factors;
        let [low_flow_lanes, bead_hold_lanes, flood_lanes, wetting_lanes] = &mut self.hard;
        bounds
            .low_flow
            .at_least(low_flow, &self.wet, low_flow_lanes);
        bounds.held.at_least(bead_hold, &self.wet, bead_hold_lanes);
        bounds.not_flooding.at_most(flood, &self.wet, flood_lanes);
        let fastest = (wetting * WETTING_ASSISTANCE, entrained);
        fill(wetting_lanes, Sense::AtMost, &knobs.speed, fastest);
    }

    #[inline(always)]
    fn soft_margins(&mut self, knobs: &DieKnobs, bounds: &BoundLanes, entrained: &Lanes) {
        let [lip_wetting, gap_fill, air, recirculation, feed_slot] = self.soft_factors;
        let [
            shoulder_lanes,
            gap_fill_lanes,
            air_lanes,
            vortex_lanes,
            slot_lanes,
        ] = &mut self.soft;
        let wet = &self.wet;
        let slot = [self.die.feed_slot_height.unwrap_or(0.0); LANES];
        let mut vortex = [0.0; LANES];
        for lane in 0..LANES {
            vortex[lane] = thinnest_without_vortex_m(knobs.gap[lane]);
        }
        bounds
            .dry_shoulder
            .at_most(lip_wetting, wet, shoulder_lanes);
        fill(gap_fill_lanes, Sense::AtMost, wet, (gap_fill, &knobs.gap));
        fill(air_lanes, Sense::AtMost, &knobs.speed, (air, entrained));
        fill(vortex_lanes, Sense::AtLeast, wet, (recirculation, &vortex));
        fill(
            slot_lanes,
            Sense::AtMost,
            &slot,
            (feed_slot * FEED_SLOT_FILMS, wet),
        );
    }
}

/// Margins of values against bounds times a factor.
#[inline(always)]
fn fill(margins: &mut Lanes, sense: Sense, values: &Lanes, (factor, bounds): (f64, &Lanes)) {
    for lane in 0..LANES {
        margins[lane] = ratio_margin(sense, values[lane], factor * bounds[lane]);
    }
}

/// A window at a block of settings.
struct Judging<'a> {
    window: &'a mut DieWindow,
    knobs: &'a DieKnobs,
}

impl Loops for Judging<'_> {
    type Output = ();

    #[inline(always)]
    fn run(self) {
        if self.window.wants_soft {
            self.window.judge_lanes::<true>(self.knobs);
        } else {
            self.window.judge_lanes::<false>(self.knobs);
        }
    }
}
