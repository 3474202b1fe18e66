//! Derived state of the window: judgements, roll, window, fits, maps. Each result knows what it was made from.
//!
//! Three stamps tell which inputs changed: those of physics (cards, settings, limits), the runs with their settings
//! and the readings. A result is asked for with the stamps it depends on and recomputed only when one of them moves.

use std::sync::Arc;

use crate::campaign::analysis::{QualityFit, fit_all};
use crate::campaign::answers::{QualityMap, quality_map};
use crate::campaign::feasibility::{
    Depth, Judge, JudgeError, Judgement, RunJudgement, judge_runs_until,
};
use crate::campaign::project::{Project, Settings};
use crate::campaign::roll::{Roll, lay_out};
use crate::campaign::window_map::{MapAxis, WindowMap, window_map};

use super::background::{Available, Background, Watch};

/// Fits of all qualities, errors in words.
pub type Fits = Vec<(String, Result<QualityFit, String>)>;

/// Which inputs a result was made from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Stamps {
    /// Cards, settings, limits, budget.
    pub physics: u64,
    /// Runs with their settings and order.
    pub runs: u64,
    /// Readings, outcomes, analysis choices, qualities.
    pub readings: u64,
}

/// What a window map was made for.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowKey {
    /// Physics stamp.
    pub physics: u64,
    /// Settings held, those of the axes left out.
    pub held: Settings,
    /// Axis across.
    pub x: MapAxis,
    /// Axis up.
    pub y: MapAxis,
}

/// What a quality map was made for.
#[derive(Debug, Clone, PartialEq)]
pub struct MapKey {
    /// Stamps.
    pub stamps: Stamps,
    /// Quality.
    pub quality: String,
    /// Settings held, those of the axes left out.
    pub held: Settings,
    /// Axis across.
    pub x: MapAxis,
    /// Axis up.
    pub y: MapAxis,
}

/// Everything derived.
#[derive(Debug)]
pub struct Derived {
    stamps: Stamps,
    snapshot: Option<Arc<Project>>,
    revision: u64,
    roll: Option<Roll>,
    shown: Option<(Stamps, Settings, Result<Judgement, JudgeError>)>,
    judged: Background<Stamps, Vec<RunJudgement>>,
    doubts: Background<(Stamps, Settings), Option<Judgement>>,
    window: Background<WindowKey, Option<WindowMap>>,
    answer_window: Background<WindowKey, Option<WindowMap>>,
    fits: Background<Stamps, Arc<Fits>>,
    map: Background<MapKey, Option<QualityMap>>,
}

impl Default for Derived {
    fn default() -> Self {
        Self {
            stamps: Stamps::default(),
            snapshot: None,
            revision: 0,
            roll: None,
            shown: None,
            judged: Background::new("limits of the runs"),
            doubts: Background::new("what the verdict rests on"),
            window: Background::new("coating window"),
            answer_window: Background::new("window of the map"),
            fits: Background::new("fits"),
            map: Background::new("map"),
        }
    }
}

impl Derived {
    /// Takes in a revision of the project: moves the stamps of what has changed, and starts the work that every
    /// screen needs.
    pub fn follow(&mut self, project: &Project, revision: u64, ctx: &egui::Context) {
        if self.revision != revision || self.snapshot.is_none() {
            self.move_stamps(project, revision);
            self.revision = revision;
            self.snapshot = Some(Arc::new(project.clone()));
            self.roll = None;
        }
        let Some(snapshot) = self.snapshot.clone() else {
            return;
        };
        self.roll.get_or_insert_with(|| lay_out(project));
        let without_readings = Stamps {
            readings: 0,
            ..self.stamps
        };
        let for_runs = Arc::clone(&snapshot);
        self.judged.ask(without_readings, ctx, move |watch| {
            judge_runs_until(&for_runs, Depth::WithDoubts, |share| {
                watch.report(share);
                watch.is_stopped()
            })
        });
        if snapshot
            .runs
            .iter()
            .any(crate::campaign::project::Run::has_results)
        {
            self.fits.ask(self.stamps, ctx, move |_| {
                Arc::new(fits_in_words(&snapshot))
            });
        }
        self.poll();
    }

    fn move_stamps(&mut self, project: &Project, revision: u64) {
        let Some(before) = &self.snapshot else {
            self.stamps = Stamps {
                physics: revision,
                runs: revision,
                readings: revision,
            };
            return;
        };
        if !same_physics(before, project) {
            self.stamps.physics = revision;
        }
        if !same_runs(before, project) {
            self.stamps.runs = revision;
        }
        if before.runs != project.runs
            || before.qualities != project.qualities
            || before.analyses != project.analyses
            || before.settings != project.settings
        {
            self.stamps.readings = revision;
        }
    }

    fn poll(&mut self) {
        self.judged.poll();
        self.doubts.poll();
        self.window.poll();
        self.answer_window.poll();
        self.fits.poll();
        self.map.poll();
    }

    /// The stamps of the present revision.
    pub const fn stamps(&self) -> Stamps {
        self.stamps
    }

    /// The project of the present revision, for work in the background.
    pub fn snapshot(&self) -> Option<Arc<Project>> {
        self.snapshot.clone()
    }

    /// The runs on the roll.
    pub const fn roll(&self) -> Option<&Roll> {
        self.roll.as_ref()
    }

    /// The judgement of some settings, computed at once (nominal) and remembered for the next frames.
    pub fn judge(
        &mut self,
        project: &Project,
        settings: &Settings,
    ) -> &Result<Judgement, JudgeError> {
        let is_known = self
            .shown
            .as_ref()
            .is_some_and(|(stamps, known, _)| *stamps == self.stamps && known == settings);
        if !is_known {
            let judged = Judge::new(project).judge(settings, Depth::Nominal);
            self.shown = Some((self.stamps, settings.clone(), judged));
        }
        match &self.shown {
            Some((_, _, judged)) => judged,
            // Set just above.
            None => &Err(JudgeError::Resolve(
                crate::campaign::resolve::ResolveError::NoLine,
            )),
        }
    }

    /// The last judgement asked for by [`Derived::judge`].
    pub fn judged_settings(&self) -> Option<(&Settings, &Result<Judgement, JudgeError>)> {
        self.shown
            .as_ref()
            .map(|(_, settings, judged)| (settings, judged))
    }

    /// The judgement with what it rests on, from the background.
    pub fn judge_with_doubts(
        &mut self,
        settings: &Settings,
        ctx: &egui::Context,
    ) -> Available<'_, Option<Judgement>> {
        let key = (self.stamps, settings.clone());
        if let Some(project) = self.snapshot.clone() {
            let settings = settings.clone();
            self.doubts.ask(key.clone(), ctx, move |_| {
                Judge::new(&project)
                    .judge(&settings, Depth::WithDoubts)
                    .ok()
            });
        }
        self.doubts.get(&key)
    }

    /// What [`Derived::judge_with_doubts`] was last asked for, fresh if it belongs to these settings.
    pub fn judged_with_doubts(&self, settings: &Settings) -> Available<'_, Option<Judgement>> {
        self.doubts.get(&(self.stamps, settings.clone()))
    }

    /// Judgements of all runs.
    pub fn judged_runs(&self) -> Available<'_, Vec<RunJudgement>> {
        self.judged.get(&Stamps {
            readings: 0,
            ..self.stamps
        })
    }

    /// The judgement of one run.
    pub fn judged_run(&self, run: u32) -> Option<&RunJudgement> {
        self.judged_runs()
            .any()?
            .iter()
            .find(|judged| judged.run == run)
    }

    /// The coating window of the Line screen.
    pub fn window(
        &mut self,
        held: &Settings,
        axes: (&MapAxis, &MapAxis),
        ctx: &egui::Context,
    ) -> Available<'_, Option<WindowMap>> {
        let key = window_key(self.stamps, held, axes);
        ask_window(&mut self.window, self.snapshot.clone(), key.clone(), ctx);
        self.window.get(&key)
    }

    /// The window behind the map of the Answers screen and the plan over two settings.
    pub fn answer_window(
        &mut self,
        held: &Settings,
        axes: (&MapAxis, &MapAxis),
        ctx: &egui::Context,
    ) -> Available<'_, Option<WindowMap>> {
        let key = window_key(self.stamps, held, axes);
        ask_window(
            &mut self.answer_window,
            self.snapshot.clone(),
            key.clone(),
            ctx,
        );
        self.answer_window.get(&key)
    }

    /// The fits of all qualities.
    pub fn fits(&self) -> Available<'_, Arc<Fits>> {
        self.fits.get(&self.stamps)
    }

    /// The map of one quality over two settings.
    pub fn map(
        &mut self,
        quality: &str,
        held: &Settings,
        axes: (&MapAxis, &MapAxis),
        ctx: &egui::Context,
    ) -> Available<'_, Option<QualityMap>> {
        let (x, y) = axes;
        let key = MapKey {
            stamps: self.stamps,
            quality: quality.to_owned(),
            held: without_axes(held, axes),
            x: x.clone(),
            y: y.clone(),
        };
        if let Some(fits) = self.fits().any().cloned() {
            let work = key.clone();
            let held = held.clone();
            self.map.ask(key.clone(), ctx, move |watch| {
                let fit = fits
                    .iter()
                    .find(|(id, _)| *id == work.quality)?
                    .1
                    .as_ref()
                    .ok()?;
                quality_map(fit, &held, &work.x, &work.y, &stopper(watch))
            });
        }
        self.map.get(&key)
    }

    /// Names of work under way with the share done.
    pub fn under_way(&self) -> Vec<(&'static str, f64)> {
        let all = [
            (self.judged.name(), self.judged.share()),
            (self.window.name(), self.window.share()),
            (self.answer_window.name(), self.answer_window.share()),
            (self.fits.name(), self.fits.share()),
            (self.map.name(), self.map.share()),
        ];
        all.into_iter()
            .filter_map(|(name, share)| Some((name, share?)))
            .collect()
    }

    /// Ends all work under way.
    pub fn stop_work(&mut self) {
        self.judged.cancel();
        self.doubts.cancel();
        self.window.cancel();
        self.answer_window.cancel();
        self.fits.cancel();
        self.map.cancel();
    }
}

fn stopper(watch: &Watch) -> impl Fn(f64) -> bool + '_ {
    |share| {
        watch.report(share);
        watch.is_stopped()
    }
}

fn without_axes(held: &Settings, (x, y): (&MapAxis, &MapAxis)) -> Settings {
    let mut held = held.clone();
    held.remove(&x.id);
    held.remove(&y.id);
    held
}

/// What a window over two axes is kept under.
pub fn window_key(stamps: Stamps, held: &Settings, axes: (&MapAxis, &MapAxis)) -> WindowKey {
    WindowKey {
        physics: stamps.physics,
        held: without_axes(held, axes),
        x: axes.0.clone(),
        y: axes.1.clone(),
    }
}

fn ask_window(
    window: &mut Background<WindowKey, Option<WindowMap>>,
    project: Option<Arc<Project>>,
    key: WindowKey,
    ctx: &egui::Context,
) {
    let Some(project) = project else { return };
    let work = key.clone();
    window.ask(key, ctx, move |watch| {
        window_map(&project, &work.held, &work.x, &work.y, &stopper(watch))
    });
}

fn fits_in_words(project: &Project) -> Fits {
    fit_all(project)
        .into_iter()
        .map(|(id, fit)| (id, fit.map_err(|error| error.to_string())))
        .collect()
}

fn same_physics(a: &Project, b: &Project) -> bool {
    let same_settings = a.settings.len() == b.settings.len()
        && a.settings.iter().zip(&b.settings).all(|(a, b)| {
            a.id == b.id
                && a.role == b.role
                && a.unit == b.unit
                && (a.now == b.now || a.is_varied())
        });
    same_settings
        && a.ink == b.ink
        && a.foil == b.foil
        && a.line == b.line
        && a.limits == b.limits
        && a.budget == b.budget
}

fn same_runs(a: &Project, b: &Project) -> bool {
    a.runs.len() == b.runs.len()
        && a.runs.iter().zip(&b.runs).all(|(a, b)| {
            a.number == b.number
                && a.planned == b.planned
                && a.pulled == b.pulled
                && a.as_run == b.as_run
        })
}
