//! How wide words will be, so that figures can leave room for them without loading a face.

/// Advance widths of the characters U+0020 to U+007E of the program's regular face in thousandths of the size, from
/// the `hmtx` table of `assets/fonts/Lato-Regular.ttf`.
const REGULAR: [u16; 95] = [
    256, 269, 370, 580, 580, 802, 712, 204, 267, 267, 425, 580, 227, 372, 236, 452, 580, 580, 580,
    580, 580, 580, 580, 580, 580, 580, 250, 262, 580, 580, 580, 448, 836, 677, 646, 668, 760, 578,
    566, 730, 764, 280, 422, 662, 514, 928, 764, 800, 600, 800, 626, 542, 590, 736, 677, 1036, 649,
    624, 602, 306, 452, 306, 580, 459, 400, 497, 560, 478, 560, 528, 350, 520, 558, 240, 240, 508,
    236, 822, 558, 567, 560, 560, 364, 433, 358, 558, 516, 786, 498, 516, 452, 301, 250, 301, 580,
];

/// The bold face is wider by about this factor (mean over the letters of the two faces).
const BOLD: f64 = 1.02;
/// Readers without the program's face see a wider one: room is left for it.
const RESERVE: f64 = 1.04;

/// Width of a line of text in the units of `size`, with a small reserve.
///
/// Characters beyond ASCII count as wide as a digit; the few narrow ones that units use are known.
pub fn text_width(text: &str, size: f64, is_bold: bool) -> f64 {
    let thousandths: f64 = text.chars().map(advance).sum();
    thousandths / 1000.0 * size * RESERVE * if is_bold { BOLD } else { 1.0 }
}

fn advance(character: char) -> f64 {
    let index = (character as usize).checked_sub(0x20);
    if let Some(width) = index.and_then(|index| REGULAR.get(index)) {
        return f64::from(*width);
    }
    match character {
        '²' | '³' | '¹' | '⁰' | '⁻' | '⁴'..='⁹' => 334.0,
        '·' => 260.0,
        '°' => 414.0,
        'µ' | 'Ω' => 700.0,
        // Signs of East Asian scripts fill a square, as the arrow does.
        '→'
        | '\u{1100}'..='\u{11ff}'
        | '\u{2e80}'..='\u{a4cf}'
        | '\u{ac00}'..='\u{d7a3}'
        | '\u{f900}'..='\u{faff}'
        | '\u{ff00}'..='\u{ff60}'
        | '\u{20000}'..='\u{3fffd}' => 1000.0,
        _ => 600.0,
    }
}

/// The text, cut at the end with "…" so that it is no wider than `room`.
pub fn fitted(text: &str, size: f64, is_bold: bool, room: f64) -> String {
    if text_width(text, size, is_bold) <= room {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        let cut: String = kept.iter().collect::<String>().trim_end().to_owned() + "…";
        if text_width(&cut, size, is_bold) <= room || kept.is_empty() {
            return cut;
        }
    }
    String::new()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_of_equal_width() {
        // 580 of 1000 units each in the face; four of them at size 10 with the reserve.
        let expected = 4.0 * 5.8 * RESERVE;
        for text in ["0000", "1111", "2026"] {
            assert!(
                (text_width(text, 10.0, false) - expected).abs() < 1e-9,
                "{text}"
            );
        }
    }

    #[test]
    fn long_words_are_cut_to_the_room() {
        assert_eq!(fitted("gap", 10.0, false, 100.0), "gap");
        let cut = fitted("a setting with a very long name", 10.0, false, 60.0);
        assert!(
            cut.ends_with('…') && text_width(&cut, 10.0, false) <= 60.0,
            "{cut}"
        );
        assert_eq!(fitted("anything", 10.0, false, 0.0), "…");
    }
}
