//! Documents as HTML that can be read without this program: one file, no scripts, nothing fetched.
//!
//! The page is also well-formed XML, so that tests can read it back. Text reaches the page only through [`Html::text`]
//! and its relatives, which escape it; tags, classes and styles are constants of the program.

use std::fmt::Write as _;

use crate::figure::drawing::Drawing;
use crate::figure::markup::escaped;
use crate::figure::svg;

/// A page in the making.
#[derive(Debug, Clone)]
pub struct Html {
    text: String,
}

/// A document may show what is in it and nothing else (W3C, Content Security Policy Level 3).
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:";

/// A whole document: head with title and style, and a body written by `fill`.
pub fn document(title: &str, style: &'static str, fill: impl FnOnce(&mut Html)) -> String {
    let mut page = Html {
        text: "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n".to_owned(),
    };
    page.push(format_args!(
        "<meta http-equiv=\"Content-Security-Policy\" content=\"{}\"/>\n",
        escaped(POLICY)
    ));
    page.text
        .push_str("<meta name=\"viewport\" content=\"width=device-width\"/>\n");
    page.leaf("title", "", title);
    page.push(format_args!(
        "\n<style>\n{style}</style>\n</head>\n<body>\n"
    ));
    fill(&mut page);
    page.text.push_str("\n</body>\n</html>\n");
    page.text
}

impl Html {
    fn push(&mut self, arguments: std::fmt::Arguments<'_>) {
        // Writing into a string cannot fail.
        self.text.write_fmt(arguments).unwrap_or_default();
    }

    /// An element with a class (none if empty) around what `fill` writes.
    pub fn element(
        &mut self,
        tag: &'static str,
        class: &'static str,
        fill: impl FnOnce(&mut Self),
    ) {
        self.element_with(tag, class, &[], fill);
    }

    /// As [`Self::element`] with further attributes; their values are escaped.
    pub fn element_with(
        &mut self,
        tag: &'static str,
        class: &'static str,
        attributes: &[(&'static str, &str)],
        fill: impl FnOnce(&mut Self),
    ) {
        self.push(format_args!("<{tag}"));
        if !class.is_empty() {
            self.push(format_args!(" class=\"{class}\""));
        }
        for (name, value) in attributes {
            self.push(format_args!(" {name}=\"{}\"", escaped(value)));
        }
        self.text.push('>');
        fill(self);
        self.push(format_args!("</{tag}>"));
    }

    /// An element around plain text.
    pub fn leaf(&mut self, tag: &'static str, class: &'static str, text: &str) {
        self.element(tag, class, |element| element.text(text));
    }

    /// Plain text.
    pub fn text(&mut self, text: &str) {
        self.text.push_str(&escaped(text));
    }

    /// Plain text that someone typed, in the midst of other text: its writing direction stays its own.
    pub fn typed(&mut self, text: &str) {
        self.leaf("bdi", "", text);
    }

    /// A line break.
    pub fn line_break(&mut self) {
        self.text.push_str("<br/>");
    }

    /// Starts a new line of the file; means nothing on the page.
    pub fn new_line(&mut self) {
        self.text.push('\n');
    }

    /// A drawing at the size at which it prints.
    pub fn drawing(&mut self, drawing: &Drawing) {
        self.text.push_str(&svg::element(drawing));
    }
}

/// A table that is written row by row.
#[derive(Debug, Clone, Default)]
pub struct Table {
    columns: Vec<Column>,
    rows: Vec<Vec<Cell>>,
}

/// A column of a table.
#[derive(Debug, Clone)]
struct Column {
    heading: String,
    unit: String,
    is_number: bool,
}

/// A cell of a table.
#[derive(Debug, Clone, Default)]
pub struct Cell {
    text: String,
    class: &'static str,
}

impl Cell {
    /// A cell with a class of its own.
    pub fn classed(text: impl Into<String>, class: &'static str) -> Self {
        let text = text.into();
        Self { text, class }
    }
}

impl<T: Into<String>> From<T> for Cell {
    fn from(text: T) -> Self {
        Self::classed(text, "")
    }
}

impl Table {
    /// A table without columns.
    pub fn new() -> Self {
        Self::default()
    }

    /// One more column of words.
    #[must_use]
    pub fn words(mut self, heading: impl Into<String>) -> Self {
        self.columns.push(Column {
            heading: heading.into(),
            unit: String::new(),
            is_number: false,
        });
        self
    }

    /// One more column of numbers, with the unit under the heading.
    #[must_use]
    pub fn numbers(mut self, heading: impl Into<String>, unit: impl Into<String>) -> Self {
        self.columns.push(Column {
            heading: heading.into(),
            unit: unit.into(),
            is_number: true,
        });
        self
    }

    /// One more row; cells beyond the columns are left out, missing ones stay empty.
    pub fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// Whether it has no rows.
    pub const fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Writes it, with a class.
    pub fn write(&self, page: &mut Html, class: &'static str) {
        page.element("table", class, |page| {
            let has_headings = self.columns.iter().any(|column| !column.heading.is_empty());
            if has_headings {
                self.write_head(page);
            }
            page.new_line();
            page.element("tbody", "", |page| {
                for row in &self.rows {
                    self.write_row(page, row);
                }
            });
        });
        page.new_line();
    }

    fn write_head(&self, page: &mut Html) {
        page.element("thead", "", |page| {
            page.element("tr", "", |page| {
                for column in &self.columns {
                    column.write(page);
                }
            });
        });
    }

    fn write_row(&self, page: &mut Html, row: &[Cell]) {
        page.element("tr", "", |page| {
            let empty = Cell::default();
            for (index, column) in self.columns.iter().enumerate() {
                let cell = row.get(index).unwrap_or(&empty);
                let is_marked = column.is_number && !cell.class.starts_with("number");
                let class = match (is_marked, cell.class) {
                    (true, "") => "number".to_owned(),
                    (true, own) => format!("number {own}"),
                    (false, own) => own.to_owned(),
                };
                let classes = [("class", class.as_str())];
                let attributes = if class.is_empty() {
                    &[][..]
                } else {
                    &classes[..]
                };
                page.element_with("td", "", attributes, |page| page.text(&cell.text));
            }
        });
        page.new_line();
    }
}

impl Column {
    fn write(&self, page: &mut Html) {
        let class = if self.is_number { "number" } else { "" };
        page.element("th", class, |page| {
            page.text(&self.heading);
            if !self.unit.is_empty() {
                page.line_break();
                page.leaf("span", "unit", &self.unit);
            }
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_and_attribute_values_cannot_break_out() {
        let page = document("</title><script>", "", |page| {
            page.element_with("p", "", &[("title", "\"><script>")], |page| {
                page.typed("<b>&");
            });
        });
        assert!(!page.contains("<script"), "{page}");
        assert!(
            page.contains("<p title=\"&quot;&gt;&lt;script&gt;\"><bdi>&lt;b&gt;&amp;</bdi></p>"),
            "{page}"
        );
    }

    #[test]
    fn short_rows_are_filled_up() {
        let mut table = Table::new().words("what").numbers("value", "µm");
        table.row([Cell::from("gap")]);
        let page = document("t", "", |page| table.write(page, ""));
        assert!(
            page.contains("<tr><td>gap</td><td class=\"number\"></td></tr>"),
            "{page}"
        );
    }
}
