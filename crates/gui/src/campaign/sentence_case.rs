//! Names that people gave, in the midst of a sentence.

/// A name as it stands inside a sentence: a capital that only opens the name becomes small ("Gap" → "gap"), letters
/// that belong to it stay ("UV dose", "pH", "N₂ flow").
pub fn in_sentence(name: &str) -> String {
    let mut characters = name.chars();
    match (characters.next(), characters.clone().next()) {
        (Some(first), Some(second)) if first.is_uppercase() && second.is_lowercase() => {
            first.to_lowercase().chain(characters).collect()
        }
        _ => name.to_owned(),
    }
}

/// Words that open a sentence: the first letter is a capital.
pub fn capitalized(words: &str) -> String {
    let mut characters = words.chars();
    characters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(characters).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_opening_capitals_become_small() {
        for (name, inside) in [
            ("Gap", "gap"),
            ("Air temperature", "air temperature"),
            ("UV dose", "UV dose"),
            ("pH", "pH"),
            ("N₂ flow", "N₂ flow"),
            ("", ""),
            ("W", "W"),
        ] {
            assert_eq!(in_sentence(name), inside);
        }
    }

    #[test]
    fn a_sentence_opens_with_a_capital() {
        assert_eq!(capitalized("run 4 breaks"), "Run 4 breaks");
        assert_eq!(capitalized(""), "");
    }
}
