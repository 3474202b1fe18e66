//! The mark of a run on a plot: its number in a shape that says what became of it, the same everywhere.

use super::drawing::{Anchor, Dash, Drawing, Frame, Look, Point, Stroke, Words};
use super::paper::{AMBER, AMBER_LINE, AMBER_SOFT, INK, PAPER};
use super::text_width::text_width;

/// What became of a run, or will.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RunMarkKind {
    /// Sound, or able to run: a circle.
    Sound,
    /// A return run: a double ring.
    Return,
    /// Near a limit: a dashed ring.
    Near,
    /// Faulty, or unable to run: a square.
    Faulty,
}

/// A numbered run.
#[derive(Debug, Clone, PartialEq)]
pub struct RunMark {
    /// Where, in the units of the axes.
    pub at: Point,
    /// Its number.
    pub number: u32,
    /// Its shape.
    pub kind: RunMarkKind,
    /// Words beside it where it differs from the slice that is shown; empty for none.
    pub note: String,
}

/// A run mark with its place on the page.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Placed {
    center: Point,
    text: String,
    kind: Option<RunMarkKind>,
    note: String,
}

impl Placed {
    /// The room it takes.
    pub(super) fn frame(&self) -> Frame {
        Frame::around(self.center, 2.0 * RADIUS + 2.0, 2.0 * RADIUS + 2.0)
    }
}

/// Radius of a run mark.
const RADIUS: f64 = 8.5;
/// Distance between marks of the same place.
const PITCH: f64 = 19.0;
/// Marks side by side before a new row of them is begun.
const N_IN_ROW: usize = 4;
/// Marks drawn at one place; the others are counted.
const N_AT_PLACE: usize = 8;

/// Finds a place on the page for every run; runs of the same settings stand side by side.
///
/// Marks keep clear of the cross, if it is on the page.
pub(super) fn place(
    runs: &[RunMark],
    field: &Frame,
    cross: Option<Point>,
    on_page: impl Fn(Point) -> Option<Point>,
) -> Vec<Placed> {
    let reach = Frame::new(
        field.x - 2.0,
        field.y - 2.0,
        field.width + 4.0,
        field.height + 4.0,
    );
    let mut groups: Vec<(Point, Vec<&RunMark>)> = Vec::new();
    for run in runs {
        let Some(at) = on_page(run.at).filter(|at| reach.contains(*at)) else {
            continue;
        };
        let at = beside_cross(at, cross);
        let near = |place: &Point| (place[0] - at[0]).hypot(place[1] - at[1]) < 2.0 * RADIUS;
        match groups.iter_mut().find(|(place, _)| near(place)) {
            Some((_, members)) => members.push(run),
            None => groups.push((at, vec![run])),
        }
    }
    groups
        .into_iter()
        .flat_map(|(at, members)| spread(at, &members, field))
        .collect()
}

/// A place moved to the side of the cross if it would lie under it.
fn beside_cross(at: Point, cross: Option<Point>) -> Point {
    const CLEAR: f64 = 27.0;
    match cross {
        Some([x, y]) if (at[0] - x).hypot(at[1] - y) < CLEAR => {
            let across = (CLEAR.powi(2) - (at[1] - y).powi(2)).sqrt();
            [if at[0] > x { x + across } else { x - across }, at[1]]
        }
        _ => at,
    }
}

fn spread(at: Point, members: &[&RunMark], field: &Frame) -> Vec<Placed> {
    let n_in_row = members.len().min(N_IN_ROW) as f64;
    let n_rows = members.len().min(N_AT_PLACE).div_ceil(N_IN_ROW) as f64;
    // Rows run to the right and down unless the field ends there.
    let left = at[0] + (n_in_row - 1.0) * PITCH > field.right() + RADIUS;
    let up = at[1] + (n_rows - 1.0) * PITCH > field.bottom() + RADIUS;
    let spot = |index: usize| {
        let (column, row) = ((index % N_IN_ROW) as f64, (index / N_IN_ROW) as f64);
        let across = if left { -column } else { column };
        let down = if up { -row } else { row };
        [at[0] + across * PITCH, at[1] + down * PITCH]
    };
    let n_hidden = members.len().saturating_sub(N_AT_PLACE);
    let n_shown = if n_hidden > 0 {
        N_AT_PLACE - 1
    } else {
        members.len()
    };
    let mut placed: Vec<Placed> = members
        .iter()
        .take(n_shown)
        .enumerate()
        .map(|(index, run)| Placed {
            center: spot(index),
            text: run.number.to_string(),
            kind: Some(run.kind),
            note: if members.len() == 1 {
                run.note.clone()
            } else {
                String::new()
            },
        })
        .collect();
    if n_hidden > 0 {
        let text = format!("+{}", n_hidden + 1);
        placed.push(Placed {
            center: spot(n_shown),
            text,
            kind: None,
            note: String::new(),
        });
    }
    placed
}

/// Draws a placed run mark.
pub(super) fn draw(drawing: &mut Drawing, placed: &Placed) {
    let center = placed.center;
    let ring = Look::both(PAPER, Stroke::new(INK, 1.4));
    match placed.kind {
        Some(RunMarkKind::Sound) => drawing.circle(center, RADIUS, ring),
        Some(RunMarkKind::Return) => {
            drawing.circle(center, RADIUS + 2.0, ring);
            drawing.circle(center, RADIUS - 1.0, Look::outlined(Stroke::new(INK, 1.0)));
        }
        Some(RunMarkKind::Near) => {
            let dashed = Stroke::new(AMBER_LINE, 1.6).dashed(Dash::Short);
            drawing.circle(center, RADIUS, Look::both(PAPER, dashed));
        }
        Some(RunMarkKind::Faulty) => {
            let frame = Frame::around(center, 2.0 * RADIUS, 2.0 * RADIUS);
            drawing.rectangle(frame, Look::both(AMBER_SOFT, Stroke::new(AMBER_LINE, 1.6)));
        }
        None => {}
    }
    let size = match placed.text.chars().count() {
        0..=2 => 11.0,
        3 => 8.5,
        _ => 7.0,
    };
    let color = if placed.kind == Some(RunMarkKind::Faulty) {
        AMBER
    } else {
        INK
    };
    let at = [center[0], center[1] + 0.36 * size];
    let mut words = Words::new(at, placed.text.as_str(), size, color).anchored(Anchor::Middle);
    if placed.kind.is_none() {
        words = words.cased(PAPER);
    } else if placed.kind == Some(RunMarkKind::Faulty) {
        words = words.bold();
    }
    drawing.words(words);
    note(drawing, placed);
}

fn note(drawing: &mut Drawing, placed: &Placed) {
    const SIZE: f64 = 11.0;
    let [x, y] = placed.center;
    let fits_right = x + RADIUS + 4.0 + text_width(&placed.note, SIZE, false) < drawing.width;
    let (at, anchor) = if fits_right {
        ([x + RADIUS + 4.0, y + 0.35 * SIZE], Anchor::Start)
    } else {
        ([x - RADIUS - 4.0, y + 0.35 * SIZE], Anchor::End)
    };
    drawing.words(
        Words::new(at, placed.note.as_str(), SIZE, INK)
            .anchored(anchor)
            .cased(PAPER),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(number: u32, at: Point) -> RunMark {
        RunMark {
            at,
            number,
            kind: RunMarkKind::Sound,
            note: String::new(),
        }
    }

    #[test]
    fn runs_of_one_place_stand_side_by_side_inside() {
        let field = Frame::new(0.0, 0.0, 100.0, 100.0);
        let runs: Vec<RunMark> = (1..=20).map(|number| run(number, [95.0, 95.0])).collect();
        let placed = place(&runs, &field, None, Some);
        assert_eq!(placed.len(), 8);
        assert_eq!(placed.last().unwrap().text, "+13");
        for (index, one) in placed.iter().enumerate() {
            assert!(one.center[0] <= 95.0 && one.center[1] <= 95.0);
            for other in &placed[index + 1..] {
                assert!(
                    (one.center[0] - other.center[0]).hypot(one.center[1] - other.center[1])
                        > 2.0 * RADIUS
                );
            }
        }
    }

    #[test]
    fn runs_outside_the_field_are_left_out() {
        let field = Frame::new(0.0, 0.0, 100.0, 100.0);
        let placed = place(
            &[run(1, [200.0, 50.0]), run(2, [50.0, 50.0])],
            &field,
            None,
            Some,
        );
        assert_eq!(placed.len(), 1);
        assert_eq!(placed[0].text, "2");
    }

    #[test]
    fn runs_keep_clear_of_the_cross() {
        let field = Frame::new(0.0, 0.0, 100.0, 100.0);
        let placed = place(&[run(1, [50.0, 45.0])], &field, Some([50.0, 50.0]), Some);
        let [x, y] = placed[0].center;
        assert!((x - 50.0).hypot(y - 50.0) > 26.9 && x < 50.0);
    }
}
