//! Cards of inks, foils and lines as files of their own.

use std::path::Path;

use wetlane::campaign::card_file::{SharedCard, from_bytes, open, save, to_bytes};
use wetlane::campaign::command::CardRef;
use wetlane::campaign::json_file::FileError;
use wetlane::campaign::presets::{foils, inks, lab_coater, new_project};
use wetlane::campaign::project::Project;

fn project() -> Project {
    let (ink, foil) = (inks().remove(0), foils().remove(0));
    new_project("test", 1, String::new(), ink, foil, lab_coater())
}

fn all_cards() -> Vec<SharedCard> {
    let inks = inks().into_iter().map(SharedCard::Ink);
    let foils = foils().into_iter().map(SharedCard::Foil);
    let line = std::iter::once(SharedCard::Line(lab_coater()));
    inks.chain(foils).chain(line).collect()
}

#[test]
fn every_card_comes_back_from_its_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("card.json");
    for card in all_cards() {
        save(&card, &path).unwrap();
        let again = open(&path).unwrap();
        assert_eq!(again, card);
        assert_eq!(std::fs::read(&path).unwrap(), to_bytes(&again).unwrap());
    }
}

#[test]
fn a_card_from_a_file_takes_its_place_in_another_project_and_can_be_undone() {
    let giver = project();
    for which in [CardRef::Ink, CardRef::Foil, CardRef::Line] {
        let card = SharedCard::of(&giver, which).unwrap();
        let mut taker = project();
        taker.ink = inks().remove(2);
        taker.foil = foils().remove(3);
        taker.line = None;
        let before = taker.clone();
        let inverse = card.clone().command().apply(&mut taker).unwrap();
        assert_eq!(SharedCard::of(&taker, which), Some(card));
        assert_ne!(taker, before);
        inverse.apply(&mut taker).unwrap();
        assert_eq!(taker, before);
    }
}

#[test]
fn what_is_no_card_is_refused_with_its_place() {
    let path = Path::new("card.json");
    let text = String::from_utf8(to_bytes(&SharedCard::Ink(inks().remove(0))).unwrap()).unwrap();
    let refused = |text: &str| from_bytes(text.as_bytes(), path).unwrap_err();
    let newer = text.replace("\"version\": 1", "\"version\": 12");
    assert!(matches!(
        refused(&newer),
        FileError::Newer { found: 12, .. }
    ));
    let other = text.replace("wetlane-card", "wetlane-project");
    assert!(refused(&other).to_string().contains("no Wetlane card"));
    let cut = &text[..text.len() / 2];
    assert!(refused(cut).to_string().contains("ends in the middle"));
    let strange = text.replace("\"viscosity\"", "\"vizcosity\"");
    let FileError::Unreadable { line, place, .. } = refused(&strange) else {
        panic!("an unknown field is named with its place");
    };
    assert!(
        line > 5 && place.contains("card.ink.fields"),
        "{line} {place}"
    );
    let wrong_unit = text.replacen("mPa·s", "mN/m", 1);
    let refusal = refused(&wrong_unit);
    assert!(matches!(refusal, FileError::Invalid { .. }), "{refusal}");
    assert!(refusal.to_string().contains("viscosity"), "{refusal}");
}
