//! Changes of the run order by hand, and what they do to the shuffle.

use wetlane_stats::Value;
use wetlane_stats::design::{Purpose, RandomStream, Seed};

use super::command::Command;
use super::factors::{coded_point, factor_space};
use super::project::{Project, Run};
use super::roll::{Roll, lay_out, lay_out_runs};

/// Orders over which a full shuffle is averaged; its mean is then known to a few per cent.
const SHUFFLES: u32 = 40;
/// Streams of these orders start here, so that none of them is the stream of a plan's own order.
const FIRST_SHUFFLE: u32 = 1_000_000;

/// Moves the run at place `from` to place `to`, both counted from 0.
pub fn move_run(project: &Project, from: usize, to: usize) -> Option<Command> {
    let run = project.runs.get(from)?;
    (from != to).then_some(Command::MoveRun {
        run: run.number,
        to,
    })
}

/// Moves the set-up at place `from` (its bar and all runs up to the next bar) to place `to`, counted among the set-ups
/// of the roll from 0. The stretch before the first bar counts as a set-up of its own.
pub fn move_set_up(roll: &Roll, from: usize, to: usize) -> Option<Command> {
    let mut stretches: Vec<Vec<u32>> = Vec::new();
    for run in &roll.runs {
        if run.set_up.is_some() || stretches.is_empty() {
            stretches.push(Vec::new());
        }
        stretches.last_mut()?.push(run.run);
    }
    // Bars stand before every stretch but the first.
    let (from, to) = (from + 1, to + 1);
    if from >= stretches.len() || to >= stretches.len() || from == to {
        return None;
    }
    let moved = stretches.remove(from);
    stretches.insert(to, moved);
    let order: Vec<u32> = stretches.into_iter().flatten().collect();
    Some(order_command("moved a set-up", &order))
}

/// The command that brings the runs into this order, with its name for the list of steps.
pub(super) fn order_command(label: &str, order: &[u32]) -> Command {
    let commands = order
        .iter()
        .enumerate()
        .map(|(to, run)| Command::MoveRun { run: *run, to })
        .collect();
    Command::Together {
        label: label.to_owned(),
        commands,
    }
}

/// True if the runs do not stand in the order of their numbers: the order was changed by hand after the shuffle.
pub fn is_changed_by_hand(project: &Project) -> bool {
    project
        .runs
        .windows(2)
        .any(|pair| matches!(pair, [a, b] if a.number > b.number))
}

/// Minutes and stops that the order as shuffled would take, for comparison: (minutes, stops).
pub fn as_shuffled(project: &Project) -> (Option<f64>, usize) {
    let mut shuffled = project.clone();
    shuffled.runs.sort_by_key(|run: &Run| run.number);
    let roll = lay_out(&shuffled);
    (roll.totals.hours.map(|hours| 60.0 * hours), n_stops(&roll))
}

/// Number of stops at which something is set up.
pub fn n_stops(roll: &Roll) -> usize {
    roll.runs.iter().filter(|run| run.set_up.is_some()).count()
}

/// What all runs would take in an order without any set-ups kept together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FullShuffle {
    /// Minutes; `None` if the time of some run is not known.
    pub minutes: Option<f64>,
    /// Stops at which something is set up.
    pub n_stops: f64,
    /// Stops at which something is stripped down.
    pub n_strip_downs: f64,
}

/// The mean over orders drawn from the project's seed; `None` without runs.
pub fn full_shuffle(project: &Project) -> Option<FullShuffle> {
    if project.runs.is_empty() {
        return None;
    }
    let (mut minutes, mut stops, mut strip_downs) = (Some(0.0), 0, 0);
    for shuffle in 0..SHUFFLES {
        let mut runs: Vec<&Run> = project.runs.iter().collect();
        let stream = FIRST_SHUFFLE + shuffle;
        RandomStream::new(Seed(project.seed), Purpose::RunOrder, stream).shuffle(&mut runs);
        let roll = lay_out_runs(project, &runs);
        minutes = minutes
            .zip(roll.totals.hours)
            .map(|(sum, hours)| sum + 60.0 * hours);
        stops += n_stops(&roll);
        strip_downs += n_strip_downs(&roll);
    }
    let mean = |sum: usize| sum as f64 / f64::from(SHUFFLES);
    Some(FullShuffle {
        minutes: minutes.map(|sum| sum / f64::from(SHUFFLES)),
        n_stops: mean(stops),
        n_strip_downs: mean(strip_downs),
    })
}

/// Number of stops at which something is stripped down.
pub fn n_strip_downs(roll: &Roll) -> usize {
    let is_strip_down = |bar: &super::roll::SetUpBar| bar.is_strip_down;
    let bars = roll.runs.iter().filter_map(|run| run.set_up.as_ref());
    bars.filter(|bar| is_strip_down(bar)).count()
}

/// The correlation of each varied number with the place of the runs along the roll, strongest first: what drifts
/// along the roll looks like an effect of a setting that follows it. Runs that are no point are left out.
pub fn drift_correlations(project: &Project) -> Vec<(String, f64)> {
    let Ok(space) = factor_space(project) else {
        return Vec::new();
    };
    let points: Vec<(f64, Vec<Value>)> = project
        .runs
        .iter()
        .enumerate()
        .filter_map(|(place, run)| {
            let point = coded_point(&space, &project.settings_of(run)).ok()?;
            Some((place as f64, point.0))
        })
        .collect();
    let mut all: Vec<(String, f64)> = space
        .factors()
        .iter()
        .enumerate()
        .filter_map(|(index, factor)| {
            let pairs = points.iter().filter_map(|(place, values)| {
                let Value::Number(coded) = values.get(index)? else {
                    return None;
                };
                Some((*place, *coded))
            });
            Some((factor.name().to_owned(), correlation(pairs.collect())?))
        })
        .collect();
    all.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    all
}

/// Pearson's correlation; `None` where one of the two does not vary.
fn correlation(pairs: Vec<(f64, f64)>) -> Option<f64> {
    let n = pairs.len() as f64;
    let mean_x = pairs.iter().map(|(x, _)| x).sum::<f64>() / n;
    let mean_y = pairs.iter().map(|(_, y)| y).sum::<f64>() / n;
    let (mut xx, mut yy, mut xy) = (0.0, 0.0, 0.0);
    for (x, y) in pairs {
        let (x, y) = (x - mean_x, y - mean_y);
        xx += x * x;
        yy += y * y;
        xy += x * y;
    }
    let r = xy / (xx * yy).sqrt();
    r.is_finite().then_some(r)
}
