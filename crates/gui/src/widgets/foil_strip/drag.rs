//! Dragging of runs and set-ups along the roll.

use egui::{Id, Rect, Response, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, pos2};

use super::{FoilEvent, FoilStrip, Place};
use crate::theme::Palette;

/// Half width of what can be taken hold of around a set-up bar.
const GRIP: f32 = 7.0;

/// Where a dragged run is to stand, in the frame in which it is let go; marks the place while it is dragged.
pub(super) fn run_target(
    ui: &Ui,
    response: &Response,
    place: &Place,
    strip: &FoilStrip,
    from: usize,
) -> Option<usize> {
    if !response.dragged() && !response.drag_stopped() {
        return None;
    }
    let starts: Vec<f64> = strip.runs.iter().map(|run| run.from).collect();
    let end = strip.runs.last().map_or(strip.metres, |run| run.to);
    let pointer = response.interact_pointer_pos()?;
    target(ui, response, place, (&starts, end), (from, pointer.x))
}

/// Bars of the set-ups: what was dragged where.
pub(super) fn set_ups_ui(ui: &Ui, id: Id, place: &Place, strip: &FoilStrip) -> Vec<FoilEvent> {
    let starts: Vec<f64> = strip.set_ups.iter().map(|set_up| set_up.at).collect();
    let end = strip.runs.last().map_or(strip.metres, |run| run.to);
    let mut events = Vec::new();
    for (i, set_up) in strip.set_ups.iter().enumerate() {
        let x = place.x(set_up.at);
        let top = place.y(place.rows.set_up_words - 14.0);
        let grip = Rect::from_min_max(
            pos2(x - GRIP, top),
            pos2(x + GRIP, place.y(place.rows.strip_bottom + 8.0)),
        );
        let response = ui.interact(grip, id.with(("set-up", i)), Sense::DRAG);
        response.widget_info(|| {
            let kind = if set_up.is_bottle_change {
                "bottle change"
            } else {
                "set-up"
            };
            WidgetInfo::labeled(
                Role::Splitter,
                true,
                format!("{kind} at {:.1} m, {}", set_up.at, set_up.words),
            )
        });
        if response.hovered() {
            ui.ctx().set_cursor_icon(egui::CursorIcon::Grab);
        }
        if response.dragged() || response.drag_stopped() {
            let Some(pointer) = response.interact_pointer_pos() else {
                continue;
            };
            if let Some(to) = target(ui, &response, place, (&starts, end), (i, pointer.x)) {
                events.push(FoilEvent::MoveSetUp { from: i, to });
            }
        }
    }
    events
}

/// The place after the move of the thing dragged from place `from` to the pointer, when it is let go.
fn target(
    ui: &Ui,
    response: &Response,
    place: &Place,
    bounds: (&[f64], f64),
    drag: (usize, f32),
) -> Option<usize> {
    let (starts, end) = bounds;
    let (from, pointer) = drag;
    let gap = nearest_gap(starts, end, |metre| (place.x(metre) - pointer).abs());
    let to = place_after_move(from, gap);
    if response.dragged() {
        let metre = starts.get(gap).copied().unwrap_or(end);
        let color = if to == from {
            Palette::of(ui).control
        } else {
            Palette::of(ui).accent
        };
        let (top, bottom) = (
            place.y(place.rows.strip_top - 8.0),
            place.y(place.rows.strip_bottom + 8.0),
        );
        ui.painter()
            .vline(place.x(metre), top..=bottom, Stroke::new(4.0, color));
        ui.ctx().set_cursor_icon(egui::CursorIcon::Grabbing);
    }
    (response.drag_stopped() && to != from).then_some(to)
}

/// The gap before which things stand (counted from 0, the last gap is behind the last thing) that is nearest.
fn nearest_gap(starts: &[f64], end: f64, distance: impl Fn(f64) -> f32) -> usize {
    starts
        .iter()
        .copied()
        .chain([end])
        .enumerate()
        .min_by(|a, b| distance(a.1).total_cmp(&distance(b.1)))
        .map_or(0, |(gap, _)| gap)
}

/// Where a thing stands when it is taken out of its place and put into a gap.
fn place_after_move(from: usize, gap: usize) -> usize {
    if gap > from { gap - 1 } else { gap }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thing_dropped_beside_itself_stays() {
        assert_eq!(place_after_move(3, 3), 3);
        assert_eq!(place_after_move(3, 4), 3);
        assert_eq!(place_after_move(3, 6), 5);
        assert_eq!(place_after_move(3, 0), 0);
    }

    #[test]
    fn the_nearest_gap_is_found() {
        let starts = [5.0, 6.5, 8.0];
        let near =
            |metre: f64| move |m: f64| crate::widgets::plot::field::points((m - metre).abs());
        assert_eq!(nearest_gap(&starts, 9.5, near(6.9)), 1);
        assert_eq!(nearest_gap(&starts, 9.5, near(30.0)), 3);
        assert_eq!(nearest_gap(&[], 9.5, near(0.0)), 0);
    }
}
