//! A drawing: a page of a given size and the marks on it, in the order in which they are put down.
//!
//! Figures are composed into this list once; each way of putting it on paper (SVG today) only walks it. Lengths are
//! figure units: points of the screen figures, y downwards. On paper one unit is [`MM_PER_UNIT`] wide, so that a bound
//! of 1.6 units prints 0.35 mm thick and the smallest lettering of 12.5 units 7.8 pt high.

/// Width of one figure unit on paper (mm).
pub const MM_PER_UNIT: f64 = 0.35 / 1.6;

/// A place on the page.
pub type Point = [f64; 2];

/// A color as sRGB bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Color(pub [u8; 3]);

/// How a line is broken up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Dash {
    /// Not at all.
    #[default]
    Solid,
    /// Dashes of 7 with gaps of 4.
    Long,
    /// Dashes of 3 with gaps of 3.
    Short,
    /// Dots of 2 with gaps of 4.
    Dots,
}

impl Dash {
    /// Lengths of dash and gap in figure units; `None` for a solid line.
    pub const fn lengths(self) -> Option<[f64; 2]> {
        match self {
            Self::Solid => None,
            Self::Long => Some([7.0, 4.0]),
            Self::Short => Some([3.0, 3.0]),
            Self::Dots => Some([2.0, 4.0]),
        }
    }
}

/// A line's look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Color.
    pub color: Color,
    /// Weight in figure units.
    pub weight: f64,
    /// How it is broken up.
    pub dash: Dash,
}

impl Stroke {
    /// A solid line.
    pub const fn new(color: Color, weight: f64) -> Self {
        Self {
            color,
            weight,
            dash: Dash::Solid,
        }
    }

    /// The same line, broken up.
    #[must_use]
    pub const fn dashed(self, dash: Dash) -> Self {
        Self { dash, ..self }
    }
}

/// What a closed shape is filled with and drawn round with.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Look {
    /// Color inside.
    pub fill: Option<Color>,
    /// Line around.
    pub stroke: Option<Stroke>,
}

impl Look {
    /// Only a color inside.
    pub const fn filled(color: Color) -> Self {
        Self {
            fill: Some(color),
            stroke: None,
        }
    }

    /// Only a line around.
    pub const fn outlined(stroke: Stroke) -> Self {
        Self {
            fill: None,
            stroke: Some(stroke),
        }
    }

    /// A color inside and a line around.
    pub const fn both(fill: Color, stroke: Stroke) -> Self {
        Self {
            fill: Some(fill),
            stroke: Some(stroke),
        }
    }
}

/// An upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

impl Frame {
    /// A rectangle from its left upper corner and its size.
    pub const fn new(x: f64, y: f64, width: f64, height: f64) -> Self {
        Self {
            x,
            y,
            width,
            height,
        }
    }

    /// A rectangle around a point.
    pub const fn around([x, y]: Point, width: f64, height: f64) -> Self {
        Self {
            x: x - width / 2.0,
            y: y - height / 2.0,
            width,
            height,
        }
    }

    /// Right edge.
    pub const fn right(&self) -> f64 {
        self.x + self.width
    }

    /// Lower edge.
    pub const fn bottom(&self) -> f64 {
        self.y + self.height
    }

    /// Whether a point lies in it or on its edge.
    pub fn contains(&self, [x, y]: Point) -> bool {
        self.x <= x && x <= self.right() && self.y <= y && y <= self.bottom()
    }

    /// Whether it lies in another one.
    pub fn is_within(&self, other: &Self) -> bool {
        other.contains([self.x, self.y]) && other.contains([self.right(), self.bottom()])
    }

    /// Whether the two share more than an edge.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.x < other.right()
            && other.x < self.right()
            && self.y < other.bottom()
            && other.y < self.bottom()
    }
}

/// Which end of the words stands at their place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Anchor {
    /// The words start there.
    #[default]
    Start,
    /// The words are centered there.
    Middle,
    /// The words end there.
    End,
}

/// Words on the page.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    /// Where the base line of the anchor lies.
    pub at: Point,
    /// What is written.
    pub text: String,
    /// Height of the lettering in figure units.
    pub size: f64,
    /// Whether the letters are bold.
    pub is_bold: bool,
    /// Color.
    pub color: Color,
    /// Which end stands at `at`.
    pub anchor: Anchor,
    /// Turn around `at` in degrees, clockwise.
    pub turn: f64,
    /// Color of a casing that keeps the words readable on lines and maps.
    pub casing: Option<Color>,
}

impl Words {
    /// Upright regular words that start at a place.
    pub fn new(at: Point, text: impl Into<String>, size: f64, color: Color) -> Self {
        let anchor = Anchor::Start;
        Self {
            at,
            text: text.into(),
            size,
            is_bold: false,
            color,
            anchor,
            turn: 0.0,
            casing: None,
        }
    }

    /// The same words in bold letters.
    #[must_use]
    pub fn bold(self) -> Self {
        Self {
            is_bold: true,
            ..self
        }
    }

    /// The same words with another end at their place.
    #[must_use]
    pub fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// The same words with a casing.
    #[must_use]
    pub fn cased(self, casing: Color) -> Self {
        Self {
            casing: Some(casing),
            ..self
        }
    }

    /// The same words, turned clockwise by some degrees.
    #[must_use]
    pub fn turned(self, degrees: f64) -> Self {
        Self {
            turn: degrees,
            ..self
        }
    }
}

/// One step of an outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Step {
    /// Lift the pen and go there.
    Move(Point),
    /// Draw straight to a place.
    Line(Point),
    /// Draw a curve of second degree by way of the first point to the second.
    Curve(Point, Point),
    /// Draw back to where the pen was put down.
    Close,
}

/// One mark.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// An outline of one or more parts; inside is where a ray crosses it an odd number of times.
    Path {
        /// The steps.
        steps: Vec<Step>,
        /// The look.
        look: Look,
    },
    /// A rectangle.
    Box {
        /// Where.
        frame: Frame,
        /// Radius of its corners.
        radius: f64,
        /// The look.
        look: Look,
    },
    /// A circle.
    Circle {
        /// Center.
        center: Point,
        /// Radius.
        radius: f64,
        /// The look.
        look: Look,
    },
    /// Words.
    Words(Words),
    /// Marks of which only what lies in a rectangle is seen.
    Clipped {
        /// The rectangle.
        frame: Frame,
        /// The marks, in the same units and from the same corner as outside.
        marks: Vec<Self>,
    },
}

/// A page with its marks.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Width in figure units.
    pub width: f64,
    /// Height in figure units.
    pub height: f64,
    /// What it is, in a few words, for people who hear it.
    pub title: String,
    /// What it shows, in a sentence or two, for people who hear it.
    pub description: String,
    /// The marks, lowest first.
    pub marks: Vec<Mark>,
}

impl Drawing {
    /// An empty page.
    pub fn new(width: f64, height: f64, title: impl Into<String>) -> Self {
        Self {
            width,
            height,
            title: title.into(),
            description: String::new(),
            marks: Vec::new(),
        }
    }

    /// Puts down a straight line.
    pub fn line(&mut self, from: Point, to: Point, stroke: Stroke) {
        self.polyline([from, to], stroke);
    }

    /// Puts down a line through some points; fewer than two leave no mark.
    pub fn polyline(&mut self, points: impl IntoIterator<Item = Point>, stroke: Stroke) {
        let steps = steps_through(points);
        if steps.len() > 1 {
            self.path(steps, Look::outlined(stroke));
        }
    }

    /// Puts down a closed shape with straight edges.
    pub fn polygon(&mut self, points: impl IntoIterator<Item = Point>, look: Look) {
        let mut steps = steps_through(points);
        if steps.len() > 2 {
            steps.push(Step::Close);
            self.path(steps, look);
        }
    }

    /// Puts down an outline.
    pub fn path(&mut self, steps: Vec<Step>, look: Look) {
        if !steps.is_empty() {
            self.marks.push(Mark::Path { steps, look });
        }
    }

    /// Puts down a rectangle with sharp corners.
    pub fn rectangle(&mut self, frame: Frame, look: Look) {
        self.rounded(frame, 0.0, look);
    }

    /// Puts down a rectangle with round corners.
    pub fn rounded(&mut self, frame: Frame, radius: f64, look: Look) {
        self.marks.push(Mark::Box {
            frame,
            radius,
            look,
        });
    }

    /// Puts down a circle.
    pub fn circle(&mut self, center: Point, radius: f64, look: Look) {
        self.marks.push(Mark::Circle {
            center,
            radius,
            look,
        });
    }

    /// Writes words.
    pub fn words(&mut self, words: Words) {
        if !words.text.is_empty() {
            self.marks.push(Mark::Words(words));
        }
    }

    /// Puts down marks of which only what lies in `frame` is seen.
    pub fn clipped(&mut self, frame: Frame, draw: impl FnOnce(&mut Self)) {
        let mut inner = Self::new(self.width, self.height, "");
        draw(&mut inner);
        if !inner.marks.is_empty() {
            self.marks.push(Mark::Clipped {
                frame,
                marks: inner.marks,
            });
        }
    }
}

/// The steps of a line through some points.
pub fn steps_through(points: impl IntoIterator<Item = Point>) -> Vec<Step> {
    points
        .into_iter()
        .enumerate()
        .map(|(index, point)| {
            if index == 0 {
                Step::Move(point)
            } else {
                Step::Line(point)
            }
        })
        .collect()
}
