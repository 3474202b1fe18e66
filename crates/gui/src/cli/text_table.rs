//! Tables for people: columns side by side in at most 100 characters, numbers to the right.

use super::console::visible;

/// Widest line of a table \[characters\].
pub const WIDEST: usize = 100;
/// Blanks between two columns.
const GAP: usize = 2;
/// Narrowest a column of words is made before lines get longer than they should.
const NARROWEST: usize = 8;

/// How a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words: to the left; a long cell goes over several lines.
    Left,
    /// Numbers: to the right, whole; only their head goes over several lines.
    Right,
}

/// A table of texts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextTable {
    heads: Vec<(String, Align)>,
    rows: Vec<Vec<String>>,
}

impl TextTable {
    /// A table with these heads and no rows.
    pub fn new(heads: &[(&str, Align)]) -> Self {
        Self {
            heads: heads
                .iter()
                .map(|(head, align)| (visible(head), *align))
                .collect(),
            rows: Vec::new(),
        }
    }

    /// One more column.
    pub fn add_column(&mut self, head: &str, align: Align) {
        self.heads.push((visible(head), align));
    }

    /// One more row; missing cells are empty.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        let mut cells: Vec<String> = cells.into_iter().map(|cell| visible(&cell)).collect();
        cells.resize(self.heads.len(), String::new());
        self.rows.push(cells);
    }

    /// True without rows.
    pub const fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The lines of the table, heads first.
    pub fn lines(&self) -> Vec<String> {
        let widths = self.widths();
        let heads: Vec<String> = self.heads.iter().map(|(head, _)| head.clone()).collect();
        std::iter::once(&heads)
            .chain(&self.rows)
            .flat_map(|row| self.row_lines(row, &widths))
            .collect()
    }

    /// Widest cell of a column, its head left out.
    fn widest_cell(&self, column: usize) -> usize {
        let cells = self.rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| width(cell)).max().unwrap_or(0)
    }

    /// Widths of the columns: as wide as their cells, the widest columns made narrower until all fit. Numbers stay whole.
    fn widths(&self) -> Vec<usize> {
        let mut widths: Vec<usize> = (0..self.heads.len())
            .map(|column| {
                let head = self.heads.get(column).map_or(0, |(head, _)| width(head));
                head.max(self.widest_cell(column))
            })
            .collect();
        let narrowest: Vec<usize> = self
            .heads
            .iter()
            .enumerate()
            .map(|(column, (_, align))| match align {
                Align::Left => NARROWEST,
                Align::Right => self.widest_cell(column).max(1),
            })
            .collect();
        let room = WIDEST.saturating_sub(GAP * widths.len().saturating_sub(1));
        while widths.iter().sum::<usize>() > room {
            let widest = widths
                .iter()
                .zip(&narrowest)
                .enumerate()
                .filter(|(_, (width, narrowest))| width > narrowest)
                .max_by_key(|(index, (width, _))| (**width, usize::MAX - index))
                .map(|(index, _)| index);
            let Some(place) = widest.and_then(|index| widths.get_mut(index)) else {
                break;
            };
            *place -= 1;
        }
        widths
    }

    fn row_lines(&self, row: &[String], widths: &[usize]) -> Vec<String> {
        let cells: Vec<Vec<String>> = row
            .iter()
            .zip(widths)
            .map(|(cell, width)| wrap(cell, *width))
            .collect();
        let n_lines = cells.iter().map(Vec::len).max().unwrap_or(1);
        (0..n_lines)
            .map(|line| {
                let parts: Vec<String> = cells
                    .iter()
                    .zip(widths)
                    .zip(&self.heads)
                    .map(|((cell, width), (_, align))| {
                        let text = cell.get(line).map_or("", String::as_str);
                        pad(text, *width, *align)
                    })
                    .collect();
                parts.join(&" ".repeat(GAP)).trim_end().to_owned()
            })
            .collect()
    }
}

fn width(text: &str) -> usize {
    text.chars().count()
}

fn pad(text: &str, to: usize, align: Align) -> String {
    let blanks = " ".repeat(to.saturating_sub(width(text)));
    match align {
        Align::Left => format!("{text}{blanks}"),
        Align::Right => format!("{blanks}{text}"),
    }
}

/// Breaks a text between words into lines of at most `to` characters; longer words are cut.
pub fn wrap(text: &str, to: usize) -> Vec<String> {
    let to = to.max(1);
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        for piece in pieces(word, to) {
            let Some(last) = lines.last_mut() else { break };
            if last.is_empty() {
                last.push_str(&piece);
            } else if width(last) + 1 + width(&piece) <= to {
                last.push(' ');
                last.push_str(&piece);
            } else {
                lines.push(piece);
            }
        }
    }
    lines
}

fn pieces(word: &str, to: usize) -> Vec<String> {
    let characters: Vec<char> = word.chars().collect();
    characters
        .chunks(to)
        .map(|chunk| chunk.iter().collect())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_words_and_many_columns_stay_within_the_width() {
        let mut table = TextTable::new(&[
            ("limit", Align::Left),
            ("value", Align::Right),
            ("what happens", Align::Left),
        ]);
        let long = "streaks across the web ".repeat(12);
        table.row(["x".repeat(70), "1.5".to_owned(), long]);
        let lines = table.lines();
        assert!(lines.iter().all(|line| width(line) <= WIDEST), "{lines:?}");
        let joined: String = lines.concat();
        assert_eq!(joined.matches("streaks").count(), 12);
    }

    #[test]
    fn long_heads_of_numbers_go_over_several_lines() {
        let heads: Vec<String> = (0..9).map(|i| format!("temperature {i} (°C)")).collect();
        let columns: Vec<(&str, Align)> =
            heads.iter().map(|h| (h.as_str(), Align::Right)).collect();
        let mut table = TextTable::new(&columns);
        table.row((0..9).map(|_| "123.456".to_owned()));
        let lines = table.lines();
        assert!(lines.iter().all(|line| width(line) <= WIDEST), "{lines:?}");
        assert_eq!(
            lines.last().map(|line| line.matches("123.456").count()),
            Some(9)
        );
    }

    #[test]
    fn numbers_stand_to_the_right() {
        let mut table = TextTable::new(&[("a", Align::Left), ("n", Align::Right)]);
        table.row(["one".to_owned(), "1".to_owned()]);
        table.row(["ten".to_owned(), "10".to_owned()]);
        assert_eq!(table.lines(), ["a     n", "one   1", "ten  10"]);
    }

    #[test]
    fn terminal_codes_are_shown_not_obeyed() {
        let mut table = TextTable::new(&[("a", Align::Left)]);
        table.row(["\u{1b}[2J".to_owned()]);
        assert!(table.lines().iter().all(|line| !line.contains('\u{1b}')));
    }
}
