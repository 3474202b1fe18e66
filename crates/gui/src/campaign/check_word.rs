//! A short word by which a sheet of paper and a file can be seen to belong together.

use sha2::{Digest, Sha256};

use super::project::Project;

/// Everyday words of five letters that are hard to mishear.
const WORDS: [&str; 64] = [
    "AMBER", "APPLE", "BIRCH", "BRICK", "BRUSH", "CABIN", "CANDY", "CEDAR", "CHALK", "CLOUD",
    "CORAL", "CROWN", "DAISY", "DRIFT", "EAGLE", "EARTH", "FABLE", "FIELD", "FLINT", "FRUIT",
    "GLASS", "GRAIN", "GRAPE", "HAZEL", "HONEY", "HORSE", "IVORY", "JOLLY", "KNIFE", "LEMON",
    "LIGHT", "LINEN", "MAPLE", "METAL", "MOUSE", "NIGHT", "NORTH", "OCEAN", "OLIVE", "OTTER",
    "PAPER", "PEARL", "PLANT", "QUIET", "RAVEN", "RIVER", "ROBIN", "SALAD", "SHELL", "SPOON",
    "STONE", "SUGAR", "TABLE", "TIGER", "TOAST", "TULIP", "UNCLE", "VALVE", "VIOLA", "WATER",
    "WHEAT", "WHALE", "YEAST", "ZEBRA",
];

/// The check word of a project's plan: it changes when a run, its settings, the order or the seed change, and stays
/// when readings come in.
///
/// A word and a number of two digits from the SHA-256 digest (NIST, FIPS 180-4) of the frozen plan and the settings of
/// its runs: one of 5760, enough to notice a wrong sheet, no proof against forgery.
pub fn check_word(project: &Project) -> String {
    let mut digest = Sha256::new();
    let mut feed = |text: &str| {
        digest.update(text.as_bytes());
        // A separator that text does not hold keeps neighbors apart.
        digest.update([0x1f]);
    };
    feed(&project.id);
    feed(&project.seed.to_string());
    if let Some(plan) = &project.plan {
        feed(&plan.kind);
        feed(&plan.seed.to_string());
        feed(&plan.algorithm_version.to_string());
        feed(&plan.frozen_at);
    }
    for run in &project.runs {
        feed(&run.number.to_string());
        for (id, value) in run.planned.iter().chain(&run.pulled) {
            feed(id);
            feed(&value.to_string());
        }
    }
    let bytes = digest.finalize();
    let [first, second, ..] = bytes.as_slice() else {
        return WORDS[0].to_owned();
    };
    let word = WORDS[usize::from(*first) % WORDS.len()];
    format!("{word}-{}", 10 + u32::from(*second) % 90)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_all_different() {
        let mut words = WORDS.to_vec();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), WORDS.len());
    }

    #[test]
    fn readings_leave_the_word_and_another_seed_changes_it() {
        let mut project = Project::new("film", "id".into(), "2026-05-04T09:30:00Z".into(), 7);
        let before = check_word(&project);
        project.title = "another title".into();
        assert_eq!(check_word(&project), before);
        project.seed = 8;
        assert_ne!(check_word(&project), before);
    }
}
