//! Text on its way into SVG and HTML: nothing a person typed may become markup, or turn the text around it.

/// Text as character data, safe between tags and inside quoted attributes of XML and HTML.
///
/// The five markup characters become references. Characters that XML 1.0 does not allow (W3C, Extensible Markup
/// Language 1.0, fifth edition, production 2) and the invisible characters that force a writing direction on what
/// follows (Unicode Standard Annex #9, embeddings, overrides and isolates) become U+FFFD, so that they are seen instead
/// of obeyed. Line ends and tabs become blanks.
pub fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len() + text.len() / 8);
    for character in text.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            other => safe.push(visible(other)),
        }
    }
    safe
}

/// Text without characters that are obeyed instead of shown: see [`escaped`].
pub fn plain(text: &str) -> String {
    text.chars().map(visible).collect()
}

const fn visible(character: char) -> char {
    match character {
        '\t' | '\n' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => ' ',
        '\u{0}'..='\u{1f}'
        | '\u{7f}'..='\u{9f}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2066}'..='\u{2069}'
        | '\u{fdd0}'..='\u{fdef}'
        | '\u{fffe}'
        | '\u{ffff}' => '\u{fffd}',
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_becomes_text() {
        assert_eq!(
            escaped("<b class=\"x\">a & b's"),
            "&lt;b class=&quot;x&quot;&gt;a &amp; b&#39;s"
        );
        assert_eq!(escaped("]]>"), "]]&gt;");
    }

    #[test]
    fn hidden_characters_are_shown_not_obeyed() {
        assert_eq!(escaped("a\u{0}b\u{1b}c"), "a\u{fffd}b\u{fffd}c");
        assert_eq!(escaped("a\u{202e}b\u{2066}c"), "a\u{fffd}b\u{fffd}c");
        assert_eq!(escaped("one\r\ntwo\tthree"), "one  two three");
        // Letters of right-to-left scripts and the marks that belong to them stay as they are.
        assert_eq!(escaped("שלום\u{200f}"), "שלום\u{200f}");
    }
}
