//! Numbers as people type and read them: decimal point or comma in, fixed decimals and a true minus sign out.

use thiserror::Error;

/// Why a text is not a number.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NumberError {
    /// Nothing was typed.
    #[error("Type a number.")]
    Empty,
    /// A character that no number holds.
    #[error("{}", character_message(text, *character, *position))]
    Character {
        /// What was typed.
        text: String,
        /// The character that does not belong.
        character: char,
        /// Its place, counted from 1.
        position: usize,
    },
    /// More than one point or comma.
    #[error("\"{text}\" has two decimal signs. Write thousands without a separator, as 1234.5.")]
    TwoDecimalSigns {
        /// What was typed.
        text: String,
    },
    /// A blank or an apostrophe between digits.
    #[error("\"{text}\" has a gap. Write thousands without a separator, as 1234.5.")]
    Gap {
        /// What was typed.
        text: String,
    },
    /// Signs but no digit.
    #[error("\"{text}\" holds no digit.")]
    NoDigit {
        /// What was typed.
        text: String,
    },
    /// Beyond what a number can hold.
    #[error("\"{text}\" is too large.")]
    TooLarge {
        /// What was typed.
        text: String,
    },
}

fn character_message(text: &str, character: char, position: usize) -> String {
    let hint = match character {
        'O' | 'o' => " It looks like a zero.",
        'l' | 'I' => " It looks like a one.",
        '%' => " The unit stands beside the field.",
        _ => "",
    };
    let place = if position == text.chars().count() {
        "the last character".to_owned()
    } else {
        format!("character {position}")
    };
    format!("\"{text}\" is not a number: {place} is \"{character}\".{hint}")
}

/// Reads a number with a decimal point or a decimal comma, a sign (also U+2212) and a power of ten (`1.5e-3`).
///
/// Blanks around the number are dropped; separators between thousands are refused rather than guessed.
///
/// # Errors
/// [`NumberError`] names what was typed and the character that does not belong.
pub fn parse_number(text: &str) -> Result<f64, NumberError> {
    let typed = text.trim();
    if typed.is_empty() {
        return Err(NumberError::Empty);
    }
    let owned = || typed.to_owned();
    let mut plain = String::with_capacity(typed.len());
    let (mut n_decimal_signs, mut has_digit, mut in_power) = (0, false, false);
    for (i, character) in typed.chars().enumerate() {
        let at_start = plain.is_empty() || plain.ends_with('e');
        match character {
            '0'..='9' => {
                has_digit = true;
                plain.push(character);
            }
            '.' | ',' if !in_power => {
                n_decimal_signs += 1;
                plain.push('.');
            }
            '+' if at_start => plain.push('+'),
            '-' | '\u{2212}' if at_start => plain.push('-'),
            'e' | 'E' if has_digit && !in_power => {
                in_power = true;
                plain.push('e');
            }
            c if c.is_whitespace() || c == '\'' || c == '\u{2019}' => {
                return Err(NumberError::Gap { text: owned() });
            }
            _ => {
                return Err(NumberError::Character {
                    text: owned(),
                    character,
                    position: i + 1,
                });
            }
        }
    }
    if n_decimal_signs > 1 {
        return Err(NumberError::TwoDecimalSigns { text: owned() });
    }
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        Ok(_) => Err(NumberError::TooLarge { text: owned() }),
        Err(_) => Err(NumberError::NoDigit { text: owned() }),
    }
}

/// `value` with a fixed number of decimals and U+2212 as minus; a dash-free "no value" is left to the caller.
///
/// A value that rounds to zero loses its sign.
pub fn format_number(value: f64, n_decimals: usize) -> String {
    let text = format!("{:.n_decimals$}", value.abs());
    let is_zero = text.bytes().all(|b| b == b'0' || b == b'.');
    if value < 0.0 && !is_zero {
        format!("\u{2212}{text}")
    } else {
        text
    }
}

/// A number as it is typed: the shortest text that reads back to the same value, with a typographic minus.
pub fn format_typed(value: f64) -> String {
    value.to_string().replace('-', "\u{2212}")
}

/// A number with about three significant digits, without trailing power-of-ten notation between 0.001 and a million.
pub fn format_short(value: f64) -> String {
    let size = value.abs();
    if size == 0.0 {
        return "0".to_owned();
    }
    if !(1e-3..1e6).contains(&size) {
        return format!("{value:.2e}").replace('-', "\u{2212}");
    }
    let n_decimals = [100.0, 10.0, 1.0, 0.1, 0.01]
        .iter()
        .take_while(|bound| size < **bound)
        .count();
    format_number(value, n_decimals)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn point_and_comma_read_alike() {
        for text in ["12.5", "12,5", " 12,5 ", "+12.5", "1,25e1", "1.25E+1"] {
            assert!((parse_number(text).unwrap() - 12.5).abs() < 1e-12, "{text}");
        }
        assert!((parse_number("\u{2212}0,5").unwrap() + 0.5).abs() < 1e-12);
        assert!((parse_number(".5").unwrap() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn wrong_text_is_named() {
        let error = parse_number("12,5O").unwrap_err();
        assert_eq!(
            error,
            NumberError::Character {
                text: "12,5O".into(),
                character: 'O',
                position: 5
            }
        );
        assert_eq!(
            error.to_string(),
            "\"12,5O\" is not a number: the last character is \"O\". It looks like a zero."
        );
        assert_eq!(parse_number("  "), Err(NumberError::Empty));
        assert_eq!(
            parse_number("1.234,5"),
            Err(NumberError::TwoDecimalSigns {
                text: "1.234,5".into()
            })
        );
        for gap in ["12 500", "12\u{a0}500", "12\u{202f}500", "12'500"] {
            assert!(
                matches!(parse_number(gap), Err(NumberError::Gap { .. })),
                "{gap}"
            );
        }
        assert_eq!(
            parse_number("-"),
            Err(NumberError::NoDigit { text: "-".into() })
        );
        assert_eq!(
            parse_number("2e"),
            Err(NumberError::NoDigit { text: "2e".into() })
        );
        assert_eq!(
            parse_number("1e999"),
            Err(NumberError::TooLarge {
                text: "1e999".into()
            })
        );
        assert!(matches!(
            parse_number("inf"),
            Err(NumberError::Character {
                character: 'i',
                position: 1,
                ..
            })
        ));
        assert!(matches!(
            parse_number("1-2"),
            Err(NumberError::Character {
                character: '-',
                position: 2,
                ..
            })
        ));
        assert!(matches!(
            parse_number("5%"),
            Err(NumberError::Character { character: '%', .. })
        ));
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused_without_a_crash(text in ".{0,12}") {
            if let Ok(value) = parse_number(&text) {
                assert!(value.is_finite());
            }
        }

        #[test]
        fn written_numbers_read_back(value in -1e6..1e6_f64, n_decimals in 0_usize..6) {
            let back = parse_number(&format_number(value, n_decimals)).unwrap();
            let half_step = 0.5 * 10_f64.powi(-i32::try_from(n_decimals).unwrap());
            assert!((back - value).abs() <= half_step * (1.0 + 1e-6) + 1e-9);
        }
    }

    #[test]
    fn minus_is_a_true_minus_and_zero_has_none() {
        assert_eq!(format_number(-1.25, 1), "\u{2212}1.2"); // ties go to even in the binary value 1.25
        assert_eq!(format_number(-0.001, 1), "0.0");
        assert_eq!(format_number(3.0, 2), "3.00");
    }

    #[test]
    fn short_form_keeps_three_digits() {
        for (value, text) in [
            (0.0, "0"),
            (1234.5, "1234"),
            (123.4, "123"),
            (12.34, "12.3"),
            (1.234, "1.23"),
            (0.1234, "0.123"),
            (0.01234, "0.0123"),
            (-0.5, "\u{2212}0.500"),
            (1.5e-7, "1.50e\u{2212}7"),
        ] {
            assert_eq!(format_short(value), text, "{value}");
        }
    }
}
