//! The line as a picture: the web from unwinder to rewinder with its stations standing on it, in outline.

use super::drawing::{Anchor, Drawing, Frame, Look, Point, Step, Stroke, Words};
use super::paper::{HATCH, INK, INK2, PAPER};
use super::text_width::{fitted, text_width};

/// What stands on the web.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Station {
    /// The roll that the web comes from.
    Unwinder,
    /// Plasma pre-treatment.
    Plasma,
    /// Slot die over a backing roller.
    SlotDie,
    /// Knife over a backing roller with its bank.
    Knife,
    /// Wire-wound bar on the web.
    WireBar,
    /// Engraved roll with its doctor blade.
    EngravedRoll,
    /// Heated roller under the web.
    HeatedRoller,
    /// Infrared lamps over the web.
    Infrared,
    /// Hot-gas dryer.
    HotGasDryer,
    /// Nip of a laminator with the foil that it lays on.
    Laminator,
    /// Ultraviolet lamp under its shade.
    Ultraviolet,
    /// The roll that takes the web up.
    Rewinder,
    /// An end of a foil that is clamped on a single roll.
    Clamp,
}

/// A station with the words under it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stop {
    /// Its picture.
    pub station: Station,
    /// Its name, in bold letters.
    pub name: String,
    /// Lines under the name.
    pub lines: Vec<String>,
}

const WEB_Y: f64 = 46.0;
const NAME_Y: f64 = 94.0;
const LINE_PITCH: f64 = 14.5;
const NAME_SIZE: f64 = 12.5;
const LINE_SIZE: f64 = 11.5;
/// Gap between the words of neighboring stations.
const GAP: f64 = 18.0;
/// Length of a drawn dryer.
const DRYER: f64 = 150.0;
const OUTLINE: Stroke = Stroke::new(INK, 1.4);
const WEB: Stroke = Stroke::new(INK, 1.8);

impl Station {
    fn is_head(self) -> bool {
        matches!(
            self,
            Self::SlotDie | Self::Knife | Self::WireBar | Self::EngravedRoll
        )
    }

    /// Room the picture needs across.
    const fn width(self) -> f64 {
        match self {
            Self::Unwinder | Self::Rewinder => 34.0,
            Self::Plasma => 50.0,
            Self::SlotDie | Self::Knife | Self::WireBar | Self::EngravedRoll => 46.0,
            Self::HeatedRoller => 30.0,
            Self::Infrared => 54.0,
            Self::Laminator => 44.0,
            Self::Ultraviolet => 40.0,
            Self::HotGasDryer => DRYER,
            Self::Clamp => 16.0,
        }
    }
}

/// Draws the stations in web order on a page of some width.
pub fn draw(title: &str, stops: &[Stop], width: f64) -> Drawing {
    let n_lines = stops.iter().map(|stop| stop.lines.len()).max().unwrap_or(0) as f64;
    let height = NAME_Y + n_lines * LINE_PITCH + 6.0;
    let mut drawing = Drawing::new(width, height, title);
    drawing.description = stops.iter().map(spoken).collect::<Vec<_>>().join("; ");
    let columns = columns(stops, width);
    let centers: Vec<(Station, f64)> = stops
        .iter()
        .zip(&columns)
        .map(|(stop, column)| (stop.station, center(stop.station, column)))
        .collect();
    web(&mut drawing, &centers);
    wet_film(&mut drawing, &centers);
    for (station, x) in &centers {
        picture(&mut drawing, *station, *x);
    }
    for (stop, column) in stops.iter().zip(&columns) {
        words(&mut drawing, stop, column);
    }
    drawing
}

fn spoken(stop: &Stop) -> String {
    format!("{} {}", stop.name, stop.lines.join(" "))
        .trim()
        .to_owned()
}

/// The columns of the words: each as wide as its longest line or its picture, spread over the page.
fn columns(stops: &[Stop], width: f64) -> Vec<Frame> {
    let needs: Vec<f64> = stops
        .iter()
        .map(|stop| {
            let lines = stop
                .lines
                .iter()
                .map(|line| text_width(line, LINE_SIZE, false));
            lines
                .fold(text_width(&stop.name, NAME_SIZE, true), f64::max)
                .max(stop.station.width())
        })
        .collect();
    let n_gaps = stops.len().saturating_sub(1) as f64;
    let room = width - n_gaps * GAP;
    let needed: f64 = needs.iter().sum();
    // Too many words shrink in proportion and are cut; too few are spread by wider gaps.
    let shrink = (room / needed).min(1.0);
    let gap = if n_gaps > 0.0 {
        (width - needed * shrink) / n_gaps
    } else {
        0.0
    };
    let mut x = 0.0;
    needs
        .iter()
        .map(|need| {
            let column = Frame::new(x, NAME_Y, need * shrink, 0.0);
            x += column.width + gap;
            column
        })
        .collect()
}

fn center(station: Station, column: &Frame) -> f64 {
    match station {
        Station::Unwinder => column.x + 18.0,
        Station::Rewinder => column.right() - 16.0,
        Station::Clamp => column.x + column.width.min(8.0),
        _ => column.x + column.width.min(station.width().max(60.0)) / 2.0,
    }
}

fn words(drawing: &mut Drawing, stop: &Stop, column: &Frame) {
    // Words at the right end of the page end there, however wide the reader's face is.
    let is_last = column.right() > drawing.width - 1.0 && column.x > 0.0;
    let (x, anchor) = if is_last {
        (column.right(), Anchor::End)
    } else {
        (column.x, Anchor::Start)
    };
    let room = column.width + GAP / 2.0;
    let name = fitted(&stop.name, NAME_SIZE, true, room);
    drawing.words(
        Words::new([x, NAME_Y], name, NAME_SIZE, INK)
            .bold()
            .anchored(anchor),
    );
    let mut y = NAME_Y;
    for line in &stop.lines {
        y += LINE_PITCH;
        let line = fitted(line, LINE_SIZE, false, room);
        drawing.words(Words::new([x, y], line, LINE_SIZE, INK2).anchored(anchor));
    }
}

fn web(drawing: &mut Drawing, centers: &[(Station, f64)]) {
    if let (Some((_, from)), Some((_, to))) = (centers.first(), centers.last()) {
        drawing.line([*from, WEB_Y], [*to, WEB_Y], WEB);
    }
}

/// The wet film from the head, thinning out in the dryer.
fn wet_film(drawing: &mut Drawing, centers: &[(Station, f64)]) {
    let find = |is_wanted: &dyn Fn(Station) -> bool| {
        centers
            .iter()
            .find(|(station, _)| is_wanted(*station))
            .map(|(_, x)| *x)
    };
    let (Some(head), Some((_, end))) = (find(&Station::is_head), centers.last()) else {
        return;
    };
    let (entry, exit) = find(&|station| station == Station::HotGasDryer)
        .map_or((*end, *end), |x| (x - DRYER / 2.0, x + DRYER / 2.0));
    let (thick, thin) = (WEB_Y - 4.4, WEB_Y - 1.9);
    let outline = [
        [head + 8.0, thick],
        [entry, thick],
        [exit.min(*end), thin],
        [*end, thin],
        [*end, WEB_Y - 0.9],
        [head + 8.0, WEB_Y - 0.9],
    ];
    if head + 8.0 < entry {
        drawing.polygon(outline, Look::filled(HATCH));
    }
}

fn picture(drawing: &mut Drawing, station: Station, x: f64) {
    match station {
        Station::Unwinder => roll(drawing, [x, WEB_Y + 16.0], 16.0),
        Station::Rewinder => roll(drawing, [x, WEB_Y + 13.0], 13.0),
        Station::Plasma => plasma(drawing, x),
        Station::SlotDie => slot_die(drawing, x),
        Station::Knife => knife(drawing, x),
        Station::WireBar => wire_bar(drawing, x),
        Station::EngravedRoll => engraved_roll(drawing, x),
        Station::HeatedRoller => heated_roller(drawing, x),
        Station::Infrared => infrared(drawing, x),
        Station::HotGasDryer => dryer(drawing, x),
        Station::Laminator => laminator(drawing, x),
        Station::Ultraviolet => ultraviolet(drawing, x),
        Station::Clamp => drawing.line([x, WEB_Y - 8.0], [x, WEB_Y + 8.0], OUTLINE),
    }
}

fn outlined() -> Look {
    Look::both(PAPER, OUTLINE)
}

fn roll(drawing: &mut Drawing, center: Point, radius: f64) {
    drawing.circle(center, radius, outlined());
    for share in [0.82, 0.64, 0.46] {
        drawing.circle(
            center,
            radius * share,
            Look::outlined(Stroke::new(INK, 0.7)),
        );
    }
    drawing.circle(center, 3.5, outlined());
}

/// The foil comes from its own roll, over the upper roller.
fn laminator(drawing: &mut Drawing, x: f64) {
    drawing.circle([x, WEB_Y + 9.5], 9.0, outlined());
    drawing.polyline(
        [
            [x + 15.0, WEB_Y - 33.0],
            [x + 4.0, WEB_Y - 22.0],
            [x - 6.0, WEB_Y - 16.5],
        ],
        Stroke::new(INK, 1.2),
    );
    drawing.circle([x, WEB_Y - 10.0], 9.0, outlined());
    drawing.circle([x + 17.0, WEB_Y - 37.0], 6.5, outlined());
    drawing.circle([x + 17.0, WEB_Y - 37.0], 2.0, outlined());
}

fn plasma(drawing: &mut Drawing, x: f64) {
    drawing.rounded(
        Frame::new(x - 20.0, WEB_Y - 23.0, 40.0, 8.0),
        2.0,
        outlined(),
    );
    for index in 0..6 {
        let left = x - 17.5 + 7.0 * f64::from(index);
        let bolt = [[0.0, 0.0], [2.0, 3.0], [-1.0, 6.0], [1.0, 9.0]];
        let points = bolt.map(|[dx, dy]| [left + dx, WEB_Y - 13.5 + dy]);
        drawing.polyline(points, Stroke::new(INK, 0.9));
    }
    drawing.circle([x, WEB_Y + 9.0], 8.0, outlined());
}

fn slot_die(drawing: &mut Drawing, x: f64) {
    backing_roller(drawing, x);
    for side in [-1.0, 1.0] {
        let half = [
            [1.6, -5.5],
            [8.0, -5.5],
            [19.0, -21.0],
            [19.0, -40.0],
            [1.6, -40.0],
        ];
        let points = half.map(|[dx, dy]| [x + side * dx, WEB_Y + dy]);
        drawing.polygon(points, outlined());
    }
    drawing.line([x, WEB_Y - 40.0], [x, WEB_Y - 2.0], Stroke::new(HATCH, 1.8));
    drawing.circle(
        [x, WEB_Y - 28.0],
        2.8,
        Look::both(HATCH, Stroke::new(INK, 0.9)),
    );
}

/// A blade over the backing roller, the bank of ink before it.
fn knife(drawing: &mut Drawing, x: f64) {
    backing_roller(drawing, x);
    let bank = [[-16.0, -1.2], [-2.0, -1.2], [-2.0, -12.0], [-9.0, -9.0]];
    drawing.polygon(
        bank.map(|[dx, dy]| [x + dx, WEB_Y + dy]),
        Look::both(HATCH, Stroke::new(INK, 0.9)),
    );
    let blade = [
        [-2.0, -3.2],
        [3.0, -3.2],
        [7.0, -16.0],
        [7.0, -38.0],
        [-2.0, -38.0],
    ];
    drawing.polygon(blade.map(|[dx, dy]| [x + dx, WEB_Y + dy]), outlined());
}

/// The wound bar in section, its feed above.
fn wire_bar(drawing: &mut Drawing, x: f64) {
    backing_roller(drawing, x);
    drawing.circle([x, WEB_Y - 13.0], 11.0, outlined());
    drawing.circle([x, WEB_Y - 13.0], 8.0, outlined());
    let feed = Stroke::new(HATCH, 1.8);
    drawing.line([x, WEB_Y - 40.0], [x, WEB_Y - 24.0], feed);
}

/// An engraved roll on the web with ticks for its cells and the blade that doctors it.
fn engraved_roll(drawing: &mut Drawing, x: f64) {
    backing_roller(drawing, x);
    let (center, radius) = ([x, WEB_Y - 16.0], 14.0);
    drawing.circle(center, radius, outlined());
    for index in 0..24 {
        let angle = std::f64::consts::TAU * f64::from(index) / 24.0;
        let at = |r: f64| [center[0] + r * angle.cos(), center[1] + r * angle.sin()];
        drawing.line(at(radius - 2.6), at(radius), Stroke::new(INK, 0.8));
    }
    drawing.line([x - 26.0, WEB_Y - 30.0], [x - 13.2, WEB_Y - 20.0], OUTLINE);
}

fn backing_roller(drawing: &mut Drawing, x: f64) {
    drawing.circle([x, WEB_Y + 14.0], 13.5, outlined());
    drawing.circle([x, WEB_Y + 14.0], 1.6, Look::filled(INK));
}

fn heated_roller(drawing: &mut Drawing, x: f64) {
    let y = WEB_Y + 12.5;
    drawing.circle([x, y], 12.0, outlined());
    for dx in [-5.0, 0.0, 5.0] {
        let steps = vec![
            Step::Move([x + dx, y - 6.0]),
            Step::Curve([x + dx + 4.0, y - 3.0], [x + dx, y]),
            Step::Curve([x + dx - 4.0, y + 3.0], [x + dx, y + 6.0]),
        ];
        drawing.path(steps, Look::outlined(Stroke::new(INK, 0.9)));
    }
}

/// One lamp under a shade that is open to the web.
fn ultraviolet(drawing: &mut Drawing, x: f64) {
    let shade = [[-16.0, -12.0], [-10.0, -34.0], [10.0, -34.0], [16.0, -12.0]];
    drawing.polyline(shade.map(|[dx, dy]| [x + dx, WEB_Y + dy]), OUTLINE);
    drawing.circle([x, WEB_Y - 25.0], 4.5, outlined());
    for ray in [-9.0, -3.0, 3.0, 9.0] {
        let from = [x + 0.5 * ray, WEB_Y - 18.0];
        drawing.line(from, [x + ray, WEB_Y - 5.0], Stroke::new(INK, 0.8));
    }
}

/// Three lamps under a hood with their rays.
fn infrared(drawing: &mut Drawing, x: f64) {
    drawing.rounded(
        Frame::new(x - 25.0, WEB_Y - 34.0, 50.0, 8.0),
        2.0,
        outlined(),
    );
    for lamp in [-15.0, 0.0, 15.0] {
        drawing.circle([x + lamp, WEB_Y - 21.5], 3.2, outlined());
        for ray in [-4.0, 0.0, 4.0] {
            let from = [x + lamp + 0.5 * ray, WEB_Y - 16.5];
            let to = [x + lamp + 1.2 * ray, WEB_Y - 7.0];
            drawing.line(from, to, Stroke::new(INK, 0.8));
        }
    }
}

fn dryer(drawing: &mut Drawing, x: f64) {
    let left = x - DRYER / 2.0;
    let body = Frame::new(left, WEB_Y - 30.0, DRYER, 42.0);
    drawing.rectangle(body, Look::outlined(OUTLINE));
    for index in 0..7 {
        let nozzle = left + 15.0 + 20.0 * f64::from(index);
        let top = WEB_Y - 30.0;
        let shape = [
            [nozzle - 5.0, top],
            [nozzle + 5.0, top],
            [nozzle + 2.0, top + 8.0],
            [nozzle - 2.0, top + 8.0],
        ];
        drawing.polygon(shape, Look::outlined(Stroke::new(INK, 0.9)));
        let (tail, head) = (top + 10.5, top + 19.0);
        drawing.line([nozzle, tail], [nozzle, head - 2.0], Stroke::new(INK, 0.9));
        let arrow = [
            [nozzle - 2.2, head - 3.5],
            [nozzle + 2.2, head - 3.5],
            [nozzle, head],
        ];
        drawing.polygon(arrow, Look::filled(INK));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stop(station: Station, name: &str, line: &str) -> Stop {
        Stop {
            station,
            name: name.into(),
            lines: vec![line.into()],
        }
    }

    #[test]
    fn words_stay_on_the_page_and_apart() {
        for width in [300.0, 800.0] {
            let stops = [
                stop(
                    Station::Unwinder,
                    "Unwinder",
                    "polyester, 125 µm, 40 m on the roll",
                ),
                stop(Station::SlotDie, "Head", "gap 100 µm"),
                stop(Station::HotGasDryer, "Dryer", "1.2 m, air"),
                stop(Station::Rewinder, "Rewinder", "pull 12 N"),
            ];
            let columns = columns(&stops, width);
            for pair in columns.windows(2) {
                assert!(pair[0].right() + GAP <= pair[1].x + 1e-9);
            }
            assert!(columns.last().unwrap().right() <= width + 1e-9);
        }
    }

    #[test]
    fn a_line_without_stations_is_an_empty_picture() {
        let drawing = draw("line", &[], 300.0);
        assert!(drawing.marks.is_empty());
    }
}
