//! Changes of the run order by hand, and what they do to the shuffle.

use super::command::Command;
use super::project::{Project, Run};
use super::roll::{Roll, lay_out};

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
    Some(order_command(&order))
}

/// The command that brings the runs into this order.
fn order_command(order: &[u32]) -> Command {
    let commands = order
        .iter()
        .enumerate()
        .map(|(to, run)| Command::MoveRun { run: *run, to })
        .collect();
    Command::Together {
        label: "moved a set-up".to_owned(),
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
