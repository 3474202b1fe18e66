//! Files that are cut, damaged, hostile or newer: a message, nothing written over, no panic.

use std::path::Path;

use proptest::prelude::*;
use wetlane::campaign::project_file::{FileError, from_bytes, open};
use wetlane::campaign::samples::SAMPLES;

fn read(bytes: &[u8]) -> Result<wetlane::campaign::project::Project, FileError> {
    from_bytes(bytes, Path::new("film.json"))
}

#[test]
fn a_file_cut_anywhere_is_refused() {
    let whole = SAMPLES[0].bytes;
    let content = whole.trim_ascii_end().len();
    for length in (0..content).step_by(131) {
        let refused = read(&whole[..length]).unwrap_err().to_string();
        assert!(refused.contains("film.json"), "{length}: {refused}");
    }
}

#[test]
fn a_newer_file_is_refused_with_advice_and_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("newer.json");
    let text = String::from_utf8(SAMPLES[0].bytes.to_vec()).unwrap();
    let newer = text.replacen("\"version\": 1", "\"version\": 4711", 1);
    assert_ne!(newer, text);
    std::fs::write(&path, &newer).unwrap();
    let refused = open(&path).unwrap_err();
    assert!(matches!(refused, FileError::Newer { found: 4711, .. }));
    assert!(refused.to_string().contains("Update the program"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), newer);
}

#[test]
fn what_is_no_project_is_refused() {
    let deep = "[".repeat(200_000);
    let bad: [&[u8]; 7] = [
        b"",
        b"null",
        b"[]",
        b"{}",
        b"\xff\xfe\x00",
        b"{\"format\": \"other\", \"version\": 1}",
        deep.as_bytes(),
    ];
    for bytes in bad {
        assert!(read(bytes).is_err());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    /// Any damage is either refused or leaves a project that can be written and read again.
    #[test]
    fn damage_never_makes_a_panic(place in any::<proptest::sample::Index>(), byte in any::<u8>(), n in 1_usize..40) {
        let mut bytes = SAMPLES[1].bytes.to_vec();
        let at = place.index(bytes.len());
        let end = (at + n).min(bytes.len());
        bytes[at..end].fill(byte);
        if let Ok(project) = read(&bytes) {
            let again = wetlane::campaign::project_file::to_bytes(&project).unwrap();
            prop_assert_eq!(read(&again).unwrap(), project);
        }
    }
}
