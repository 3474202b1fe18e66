//! What became of the film, said with large buttons.

use egui::{Ui, vec2};

use super::machine::{GAP, label_ui};
use crate::app::view::{Request, View};
use crate::campaign::command::Command;
use crate::campaign::project::{Outcome, Run};
use crate::campaign::reading_table::known_faults;
use crate::theme::{measure, text_size};
use crate::widgets::button::{ButtonLook, sized_button};

fn set_outcome(run: &Run, outcome: Outcome) -> Request {
    Request::Edit(Command::SetOutcome {
        run: run.number,
        outcome,
    })
}

/// Sound or faulty, in buttons of a height; what was said is filled, and stands above them where there is room.
pub(super) fn verdict_ui(
    ui: &mut Ui,
    run: &Run,
    requests: &mut Vec<Request>,
    (height, is_labeled): (f32, bool),
) {
    let question = match &run.outcome {
        Outcome::NotRun => "How is the film?".to_owned(),
        Outcome::Sound => "How is the film? Said: sound.".to_owned(),
        Outcome::Faulty { .. } => "How is the film? Said: faulty.".to_owned(),
    };
    if is_labeled {
        label_ui(ui, &question);
    }
    let is_judged = run.outcome != Outcome::NotRun;
    let (n_gaps, third) = if is_judged { (2.0, 110.0) } else { (1.0, 0.0) };
    let half = vec2((ui.available_width() - n_gaps * GAP - third) / 2.0, height);
    ui.horizontal(|ui| {
        let is_faulty = matches!(run.outcome, Outcome::Faulty { .. });
        let look = match &run.outcome {
            Outcome::Sound => ButtonLook::Primary,
            Outcome::NotRun => ButtonLook::Accent,
            Outcome::Faulty { .. } => ButtonLook::Outlined,
        };
        let sound = sized_button(ui, "Sound", look, half, text_size::MACHINE_VERDICT);
        if sound.clicked() && run.outcome != Outcome::Sound {
            requests.push(set_outcome(run, Outcome::Sound));
        }
        let look = if is_faulty {
            ButtonLook::Fault
        } else {
            ButtonLook::Hatched
        };
        let faulty = sized_button(ui, "Faulty", look, half, text_size::MACHINE_VERDICT);
        if faulty.clicked() && !is_faulty {
            requests.push(set_outcome(run, Outcome::Faulty { faults: Vec::new() }));
        }
        if is_judged {
            let size = vec2(third, height);
            let look = ButtonLook::Outlined;
            if sized_button(ui, "Not run", look, size, text_size::MACHINE_FAULT).clicked() {
                requests.push(set_outcome(run, Outcome::NotRun));
            }
        }
    });
}

/// Which fault.
pub(super) fn faults_ui(
    ui: &mut Ui,
    view: &View<'_>,
    (run, chosen): (&Run, &[String]),
    is_labeled: bool,
    requests: &mut Vec<Request>,
) {
    if is_labeled {
        label_ui(ui, "Which fault");
    }
    let size = vec2(
        (ui.available_width() - 2.0 * GAP) / 3.0,
        measure::MACHINE_TARGET,
    );
    for row in known_faults(view.project).chunks(3) {
        ui.horizontal(|ui| {
            for fault in row {
                let is_chosen = chosen.contains(fault);
                let look = if is_chosen {
                    ButtonLook::Fault
                } else {
                    ButtonLook::Outlined
                };
                if sized_button(ui, fault, look, size, text_size::MACHINE_FAULT).clicked() {
                    let mut faults = chosen.to_vec();
                    if is_chosen {
                        faults.retain(|known| known != fault);
                    } else {
                        faults.push(fault.clone());
                    }
                    requests.push(set_outcome(run, Outcome::Faulty { faults }));
                }
            }
        });
    }
}
