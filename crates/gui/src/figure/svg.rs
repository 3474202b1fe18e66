//! Drawings as SVG (W3C, Scalable Vector Graphics 1.1, second edition): UTF-8, no scripts, nothing fetched, no names
//! that could clash when several figures stand in one document.

use std::fmt::Write as _;

use super::drawing::{Anchor, Color, Drawing, Frame, Look, MM_PER_UNIT, Mark, Step, Stroke, Words};
use super::markup::escaped;

/// Faces to try in turn: the program's own, ones of like width, then whatever has no serifs.
pub const FACES: &str = "Lato, Carlito, 'Segoe UI', 'Helvetica Neue', Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif";

/// A whole SVG file.
pub fn file(drawing: &Drawing) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n",
        element(drawing)
    )
}

/// The `svg` element alone, to stand in an HTML document; it is of the size at which the figure prints.
pub fn element(drawing: &Drawing) -> String {
    let mut writer = Writer::default();
    writer.begin(drawing);
    for mark in &drawing.marks {
        writer.mark(mark);
    }
    writer.text.push_str("</svg>");
    writer.text
}

#[derive(Default)]
struct Writer {
    text: String,
}

impl Writer {
    fn begin(&mut self, drawing: &Drawing) {
        self.text
            .push_str("<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\"");
        for (name, units) in [("width", drawing.width), ("height", drawing.height)] {
            self.attribute(name, &format!("{}mm", number(units * MM_PER_UNIT)));
        }
        self.attribute(
            "viewBox",
            &format!("0 0 {} {}", number(drawing.width), number(drawing.height)),
        );
        self.attribute("role", "img");
        self.attribute("aria-label", &drawing.title);
        self.attribute("font-family", FACES);
        self.attribute("fill", "none");
        self.attribute("stroke-linejoin", "round");
        self.text.push('>');
        self.leaf("title", &drawing.title);
        if !drawing.description.is_empty() {
            self.leaf("desc", &drawing.description);
        }
    }

    fn leaf(&mut self, name: &str, text: &str) {
        self.push(format_args!("<{name}>{}</{name}>", escaped(text)));
    }

    fn push(&mut self, arguments: std::fmt::Arguments<'_>) {
        // Writing into a string cannot fail.
        self.text.write_fmt(arguments).unwrap_or_default();
    }

    fn attribute(&mut self, name: &str, value: &str) {
        self.push(format_args!(" {name}=\"{}\"", escaped(value)));
    }

    fn lengths(&mut self, pairs: &[(&str, f64)]) {
        for (name, value) in pairs {
            self.push(format_args!(" {name}=\"{}\"", number(*value)));
        }
    }

    fn mark(&mut self, mark: &Mark) {
        match mark {
            Mark::Path { steps, look } => {
                self.push(format_args!("<path d=\"{}\"", outline(steps)));
                if look.fill.is_some() {
                    self.attribute("fill-rule", "evenodd");
                }
                self.look(*look);
                self.text.push_str("/>");
            }
            Mark::Box {
                frame,
                radius,
                look,
            } => {
                self.text.push_str("<rect");
                self.frame(frame);
                if *radius > 0.0 {
                    self.lengths(&[("rx", *radius)]);
                }
                self.look(*look);
                self.text.push_str("/>");
            }
            Mark::Circle {
                center: [x, y],
                radius,
                look,
            } => {
                self.text.push_str("<circle");
                self.lengths(&[("cx", *x), ("cy", *y), ("r", *radius)]);
                self.look(*look);
                self.text.push_str("/>");
            }
            Mark::Words(words) => self.words(words),
            Mark::Clipped { frame, marks } => self.clipped(frame, marks),
        }
    }

    fn frame(&mut self, frame: &Frame) {
        self.lengths(&[
            ("x", frame.x),
            ("y", frame.y),
            ("width", frame.width.max(0.0)),
            ("height", frame.height.max(0.0)),
        ]);
    }

    /// An inner `svg` element clips at its edges without needing a name of its own.
    fn clipped(&mut self, frame: &Frame, marks: &[Mark]) {
        self.text.push_str("<svg");
        self.frame(frame);
        let numbers = [
            frame.x,
            frame.y,
            frame.width.max(0.0),
            frame.height.max(0.0),
        ]
        .map(number);
        self.attribute("viewBox", &numbers.join(" "));
        self.attribute("overflow", "hidden");
        self.text.push('>');
        for mark in marks {
            self.mark(mark);
        }
        self.text.push_str("</svg>");
    }

    fn look(&mut self, look: Look) {
        if let Some(fill) = look.fill {
            self.attribute("fill", &hex(fill));
        }
        if let Some(stroke) = look.stroke {
            self.stroke(stroke);
        }
    }

    fn stroke(&mut self, stroke: Stroke) {
        self.attribute("stroke", &hex(stroke.color));
        self.lengths(&[("stroke-width", stroke.weight)]);
        if let Some([dash, gap]) = stroke.dash.lengths() {
            self.push(format_args!(
                " stroke-dasharray=\"{} {}\"",
                number(dash),
                number(gap)
            ));
        }
    }

    fn words(&mut self, words: &Words) {
        let [x, y] = words.at;
        self.text.push_str("<text");
        self.lengths(&[("x", x), ("y", y), ("font-size", words.size)]);
        if words.is_bold {
            self.attribute("font-weight", "700");
        }
        match words.anchor {
            Anchor::Start => {}
            Anchor::Middle => self.attribute("text-anchor", "middle"),
            Anchor::End => self.attribute("text-anchor", "end"),
        }
        if words.turn != 0.0 {
            let turn = format!("rotate({} {} {})", number(words.turn), number(x), number(y));
            self.attribute("transform", &turn);
        }
        self.attribute("fill", &hex(words.color));
        if let Some(casing) = words.casing {
            self.attribute("stroke", &hex(casing));
            self.lengths(&[("stroke-width", words.size * CASING)]);
            self.attribute("paint-order", "stroke");
        }
        self.push(format_args!(">{}</text>", escaped(&words.text)));
    }
}

/// Weight of the casing of words, as a share of their size.
const CASING: f64 = 0.3;

fn outline(steps: &[Step]) -> String {
    steps
        .iter()
        .map(|step| match step {
            Step::Move(to) => format!("M{}", pair(*to)),
            Step::Line(to) => format!("L{}", pair(*to)),
            Step::Curve(by, to) => format!("Q{} {}", pair(*by), pair(*to)),
            Step::Close => "Z".to_owned(),
        })
        .collect()
}

fn pair([x, y]: [f64; 2]) -> String {
    // A tenth of a unit is 0.02 mm on paper.
    format!("{} {}", rounded(x, 1), rounded(y, 1))
}

fn hex(Color([red, green, blue]): Color) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// A length with at most two decimals.
fn number(value: f64) -> String {
    rounded(value, 2)
}

/// A length with at most some decimals; what is not a number stands at zero, and nothing lies farther than any page.
fn rounded(value: f64, n_decimals: usize) -> String {
    const FARTHEST: f64 = 1e6;
    let held = if value.is_nan() {
        0.0
    } else {
        value.clamp(-FARTHEST, FARTHEST)
    };
    let text = format!("{held:.n_decimals$}");
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" {
        "0".to_owned()
    } else {
        short.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_short_and_always_numbers() {
        for (value, text) in [
            (1.0, "1"),
            (-0.001, "0"),
            (12.345_6, "12.35"),
            (100.0, "100"),
            (f64::NAN, "0"),
            (f64::NEG_INFINITY, "-1000000"),
        ] {
            assert_eq!(number(value), text);
        }
    }

    #[test]
    fn words_cannot_become_markup() {
        let mut drawing = Drawing::new(10.0, 10.0, "</svg><script>alert(1)</script>");
        drawing.words(Words::new(
            [1.0, 2.0],
            "<script> & \u{0}",
            12.0,
            Color([0, 0, 0]),
        ));
        let text = file(&drawing);
        assert!(!text.contains("<script"), "{text}");
        assert!(text.contains("&lt;script&gt; &amp; \u{fffd}"), "{text}");
    }
}
