//! Every kind of plan from the question to the run sheet, and made again from its record.

use wetlane::campaign::documents::run_sheet_html;
use wetlane::campaign::feasibility::{Depth, judge_runs};
use wetlane::campaign::plan_options::{parse_kind, request_of};
use wetlane::campaign::planning::{PlanRequest, kinds_for, make_plan, take_plan};
use wetlane::campaign::project::{Project, Question};
use wetlane::campaign::validity::problems_of;
use wetlane_physics::HeadKind;
use wetlane_stats::design::{DesignKind, DesignRequest, Progress, SearchBudget, Seed};

use crate::heads::{NOW, project};

fn request(kind: DesignKind) -> DesignRequest {
    let new = DesignRequest::new(kind, Seed(11));
    match kind {
        DesignKind::FractionalFactorial => DesignRequest {
            n_runs: Some(4),
            ..new
        },
        DesignKind::LatinHypercube => DesignRequest {
            n_runs: Some(9),
            search_budget: Some(SearchBudget {
                n_starts: 1,
                n_trials: 100,
            }),
            ..new
        },
        _ => new,
    }
}

fn planned(kind: DesignKind) -> Project {
    let mut project = project(HeadKind::SlotDie);
    let asked = PlanRequest {
        question: Question::WhichMatter,
        model: String::new(),
        design: request(kind),
    };
    let (record, runs) = make_plan(&project, &asked, NOW, &Progress::unwatched()).unwrap();
    take_plan(record, runs).apply(&mut project).unwrap();
    project
}

#[test]
fn every_kind_is_planned_judged_printed_and_made_again_from_its_record() {
    for kind in DesignKind::ALL {
        let project = planned(kind);
        assert_eq!(problems_of(&project), Vec::new(), "{kind}");
        assert_eq!(parse_kind(kind.key()).unwrap(), kind);
        let judged = judge_runs(&project, Depth::Nominal);
        assert_eq!(judged.len(), project.runs.len());
        assert!(judged.iter().all(|run| run.feasible().is_some()), "{kind}");
        let record = project.plan.as_ref().unwrap();
        assert_eq!(record.kind, kind.key());
        assert!(run_sheet_html(&project).contains(kind.key()), "{kind}");
        let mut again = crate::heads::project(HeadKind::SlotDie);
        let asked = request_of(record).unwrap();
        let (record, runs) = make_plan(&again, &asked, NOW, &Progress::unwatched()).unwrap();
        take_plan(record, runs).apply(&mut again).unwrap();
        assert_eq!(again.runs, project.runs, "{kind}");
    }
}

#[test]
fn every_kind_answers_some_question() {
    for kind in DesignKind::ALL {
        let questions = [
            Question::WhichMatter,
            Question::MapTheResponse,
            Question::FindTheBest,
            Question::UnknownWindow,
        ];
        let answers = questions.iter().any(|q| kinds_for(*q).contains(&kind));
        assert!(answers, "{kind}");
    }
}

#[test]
fn a_screening_plan_says_what_is_mixed_up() {
    let project = planned(DesignKind::PlackettBurman);
    let notes = &project.plan.as_ref().unwrap().notes;
    assert!(
        notes.iter().any(|note| note.contains("mixed in part")),
        "{notes:?}"
    );
    let project = planned(DesignKind::DefinitiveScreening);
    let notes = &project.plan.as_ref().unwrap().notes;
    assert!(
        notes.iter().any(|note| note.contains("clear of squares")),
        "{notes:?}"
    );
}
