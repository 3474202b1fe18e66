//! The spine's picture of the present settings: stations in web order with settings, tightest margin and words.

use crate::campaign::sentence_case::in_sentence;
use wetlane_physics::{LimitRecord, Outcome, Severity, Station};

use super::view::SelectedStation;
use crate::campaign::answers::plain;
use crate::campaign::card::Field;
use crate::campaign::feasibility::{JudgeError, Judgement};
use crate::campaign::limit_words::shortfall;
use crate::campaign::project::{Project, Role, Settings, StationKind, WebMode};
use crate::widgets::margin_bar::{LimitState, Margin};
use crate::widgets::spine::{self, SpineModel, StationView, WetLane};

/// A limit nearer than this to its bound counts as near: the models miss real machines by 15 to 30 %, so that a smaller
/// margin is undecided (common practice).
pub const NEAR_MARGIN: f64 = 0.1;

/// The state of a limit by its margin.
pub fn state_of(margin: f64, safety_margin: f64) -> LimitState {
    if margin < safety_margin {
        LimitState::Broken
    } else if margin < safety_margin + NEAR_MARGIN {
        LimitState::Near
    } else {
        LimitState::Holds
    }
}

/// The stations that the spine shows, in web order.
pub fn stations(project: &Project) -> Vec<SelectedStation> {
    let mut all = vec![SelectedStation::Unwind];
    if let Some(line) = &project.line {
        all.extend(
            line.stations
                .iter()
                .map(|station| SelectedStation::OfLine(station.kind)),
        );
    }
    all.push(SelectedStation::Rewind);
    all
}

/// The station of the line for a station of physics.
pub const fn physics_station(station: SelectedStation) -> Station {
    match station {
        SelectedStation::Unwind => Station::Unwind,
        SelectedStation::OfLine(kind) => kind.in_physics(),
        SelectedStation::Rewind => Station::Rewind,
    }
}

/// Draws the project's line at some settings.
pub fn spine_model(
    project: &Project,
    settings: &Settings,
    judged: &Result<Judgement, JudgeError>,
    selected: Option<SelectedStation>,
) -> SpineModel {
    let judgement = judged.as_ref().ok();
    let all = stations(project);
    let shown = Shown {
        project,
        settings,
        judgement,
    };
    let derived = judgement.map(|judgement| &judgement.assessment.derived);
    let card = |kind, field| project.station(kind).and_then(|card| card.si(field));
    let open_path = project
        .line
        .as_ref()
        .and_then(|line| line.card.si(Field::OpenPath));
    let path = |length: Option<f64>, seconds: Option<f64>, word: &str| match (length, seconds) {
        (Some(length), Some(seconds)) => {
            format!("{length:.2} m, {} s{word}", plain_seconds(seconds))
        }
        (Some(length), None) => format!("{length:.2} m"),
        (None, _) => String::new(),
    };
    SpineModel {
        stations: all.iter().map(|station| shown.station(*station)).collect(),
        speed: shown.role(Role::Speed).unwrap_or_default(),
        wet_path: path(open_path, derived.and_then(|d| d.open_time_s), " wet"),
        dryer_path: path(
            card(StationKind::HotGasDryer, Field::DryerLength),
            derived.and_then(|d| d.dryer_time_s),
            "",
        ),
        wet_lane: wet_lane(judgement),
        selected: selected.and_then(|selected| all.iter().position(|station| *station == selected)),
    }
}

fn plain_seconds(seconds: f64) -> String {
    if seconds >= 10.0 {
        format!("{seconds:.0}")
    } else {
        plain(seconds)
    }
}

fn wet_lane(judgement: Option<&Judgement>) -> WetLane {
    let Some(judgement) = judgement else {
        return WetLane::None;
    };
    let derived = &judgement.assessment.derived;
    if derived.wet_thickness_m.is_none() {
        return WetLane::None;
    }
    match (derived.dry_after_s, derived.dryer_time_s) {
        (Some(needs), Some(has)) if needs <= has => WetLane::DryAt {
            share: needs / has,
            words: format!("dry after {} s", plain_seconds(needs)),
        },
        _ => WetLane::StaysWet,
    }
}

struct Shown<'a> {
    project: &'a Project,
    settings: &'a Settings,
    judgement: Option<&'a Judgement>,
}

impl Shown<'_> {
    /// The value of a role with its unit: as set, or as it follows.
    fn role(&self, role: Role) -> Option<String> {
        if let Some(setting) = self.project.setting_of(role) {
            let value = self.settings.get(&setting.id).unwrap_or(&setting.now);
            let number = value.number().map_or_else(|| value.to_string(), plain);
            return Some(format!("{number} {}", setting.unit).trim_end().to_owned());
        }
        let followed = self
            .judgement?
            .resolved
            .followed
            .iter()
            .find(|followed| followed.role == role)?;
        Some(format!(
            "{} {}",
            plain(followed.quantity.value),
            followed.quantity.unit
        ))
    }

    fn words(&self, parts: &[(&str, Role)]) -> String {
        let present: Vec<String> = parts
            .iter()
            .filter_map(|(word, role)| {
                Some(
                    format!("{word} {}", self.role(*role)?)
                        .trim_start()
                        .to_owned(),
                )
            })
            .collect();
        present.join(", ")
    }

    fn station(&self, station: SelectedStation) -> StationView {
        let mut view = match station {
            SelectedStation::Unwind => self.unwind(),
            SelectedStation::Rewind => self.rewind(),
            SelectedStation::OfLine(kind) => self.of_line(kind),
        };
        self.add_margin(&mut view, physics_station(station));
        view
    }

    fn is_single_roll(&self) -> bool {
        self.project
            .line
            .as_ref()
            .is_some_and(|line| line.web == WebMode::SingleRoll)
    }

    fn rewind(&self) -> StationView {
        if self.is_single_roll() {
            return StationView::new(spine::StationKind::Clamp, "Clamp");
        }
        let mut view = StationView::new(spine::StationKind::Rewind, "Rewind");
        view.beside = self.role(Role::Speed).unwrap_or_default();
        view.below = self.words(&[("pull", Role::Tension)]);
        view
    }

    /// A sheet on a single roll: its foil, and how much of it one lap can coat.
    fn sheet(&self) -> StationView {
        let mut view = StationView::new(spine::StationKind::Clamp, "Single roll");
        view.beside.clone_from(&self.project.foil.name);
        let lap = self
            .judgement
            .and_then(|judgement| judgement.assessment.derived.lap_length_m);
        view.below = lap
            .map(|length| format!("{} m in one lap", plain(length)))
            .unwrap_or_default();
        view
    }

    fn unwind(&self) -> StationView {
        if self.is_single_roll() {
            return self.sheet();
        }
        let mut view = StationView::new(spine::StationKind::Unwind, "Unwind");
        view.beside.clone_from(&self.project.foil.name);
        let length = self.project.foil.si(Field::RollLength);
        view.below = length
            .map(|length| format!("{} m on the roll", plain(length)))
            .unwrap_or_default();
        view
    }

    fn of_line(&self, kind: StationKind) -> StationView {
        let look = look_of(kind);
        let mut view = StationView::new(look.picture, look.name);
        view.beside = self.words(look.beside);
        view.below = self.words(look.below);
        if kind == StationKind::HotGasDryer {
            self.say_drying(&mut view);
        } else if kind.head().is_none() {
            let knob = look.beside.first();
            view.is_used = knob.is_some_and(|(_, role)| self.role(*role).is_some());
        }
        view
    }

    /// Gas of the dryer, and the time it has against the time the film needs.
    fn say_drying(&self, view: &mut StationView) {
        let card = self.project.station(StationKind::HotGasDryer);
        let gas = card.and_then(|card| card.word(Field::Gas)).unwrap_or("air");
        if !view.beside.is_empty() {
            view.beside = format!("{}, {gas}", view.beside);
        }
        let derived = self
            .judgement
            .map(|judgement| &judgement.assessment.derived);
        if let Some((needs, has)) = derived.and_then(|d| d.dry_after_s.zip(d.dryer_time_s)) {
            view.below = format!(
                "needs {} s, has {} s",
                plain_seconds(needs),
                plain_seconds(has)
            );
        }
    }

    /// The tightest hard limit of a station as its margin bar.
    fn add_margin(&self, view: &mut StationView, station: Station) {
        let Some(judgement) = self.judgement else {
            return;
        };
        let Some((margin, limit)) = tightest(judgement, station) else {
            return;
        };
        let state = state_of(margin, judgement.safety_margin);
        let name = in_sentence(limit.id.label());
        view.margin = Some(Margin {
            value: margin,
            span: None,
            state,
        });
        view.note = format!("{} {name}", two_digits(margin));
        view.words = match state {
            LimitState::Broken => shortfall(limit, &judgement.assessment),
            LimitState::Near => format!("{name}, near"),
            LimitState::Holds => String::new(),
        };
    }
}

/// Settings with the word before each.
type NamedRoles = &'static [(&'static str, Role)];

/// How a station looks on the spine, and which settings stand beside and below its name.
struct Look {
    picture: spine::StationKind,
    name: &'static str,
    beside: NamedRoles,
    below: NamedRoles,
}

const fn look_of(kind: StationKind) -> Look {
    use spine::StationKind as Picture;
    let (picture, name, beside, below): (_, _, NamedRoles, NamedRoles) = match kind {
        StationKind::Plasma => (
            Picture::Plasma,
            "Plasma",
            &[("", Role::PlasmaPower)],
            &[("", Role::PlasmaDose)],
        ),
        StationKind::SlotDie => (
            Picture::SlotDie,
            "Head, slot die",
            &[("", Role::Flow)],
            &[("wet", Role::WetThickness), ("gap", Role::Gap)],
        ),
        StationKind::Knife => (
            Picture::Knife,
            "Head, knife",
            &[("gap", Role::Gap)],
            &[("wet", Role::WetThickness)],
        ),
        StationKind::WireBar => (
            Picture::WireBar,
            "Head, wire bar",
            &[("wire", Role::WireDiameter)],
            &[("wet", Role::WetThickness)],
        ),
        StationKind::Gravure => (
            Picture::Gravure,
            "Head, gravure",
            &[("cells", Role::CellVolume)],
            &[("wet", Role::WetThickness), ("roll/web", Role::SpeedRatio)],
        ),
        StationKind::Flexo => (
            Picture::Flexo,
            "Head, flexo",
            &[("cells", Role::CellVolume)],
            &[("wet", Role::WetThickness), ("pressed", Role::Impression)],
        ),
        StationKind::HeatedRoller => (
            Picture::HeatedRoller,
            "Roller",
            &[("", Role::RollerTemperature)],
            &[],
        ),
        StationKind::Infrared => (
            Picture::Infrared,
            "Infrared",
            &[("", Role::InfraredPower)],
            &[],
        ),
        StationKind::HotGasDryer => (
            Picture::Dryer,
            "Dryer, hot gas",
            &[("", Role::GasTemperature)],
            &[],
        ),
        StationKind::Laminator => (
            Picture::Lamination,
            "Laminator",
            &[("", Role::NipLoad)],
            &[("", Role::LaminationTemperature)],
        ),
        StationKind::Ultraviolet => (
            Picture::Ultraviolet,
            "UV lamp",
            &[("", Role::UvPower)],
            &[("", Role::UvDose)],
        ),
    };
    Look {
        picture,
        name,
        beside,
        below,
    }
}

fn two_digits(margin: f64) -> String {
    format!("{margin:.2}").replace('-', "\u{2212}")
}

/// The hard limit of a station with the least margin.
fn tightest(judgement: &Judgement, station: Station) -> Option<(f64, &LimitRecord)> {
    judgement
        .assessment
        .limits
        .iter()
        .filter(|limit| limit.station == station && limit.severity == Severity::Hard)
        .filter(|limit| !judgement.switched_off.contains_key(limit.id.key()))
        .filter_map(|limit| match limit.outcome {
            Outcome::Evaluated { margin, .. } => Some((margin, limit)),
            Outcome::NotEvaluated { .. } => None,
        })
        .min_by(|(a, _), (b, _)| a.total_cmp(b))
}
