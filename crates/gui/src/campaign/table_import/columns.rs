//! Which column is what, and columns of labels and of plain numbers.

use super::super::table_cell::Cell;
use super::super::table_problem::{CellPlace, RowPlace, listed};
use super::super::table_text::{Row, Table};
use super::{CategorySpec, ColumnUse, FactorSpec, Found, ImportFault, ImportRequest, ResponseSpec};

/// The columns of a request by their places.
#[derive(Debug)]
pub(super) struct Columns<'r> {
    pub(super) factors: Vec<(&'r FactorSpec, usize)>,
    pub(super) categories: Vec<(&'r CategorySpec, usize)>,
    pub(super) responses: Vec<(&'r ResponseSpec, usize)>,
    pub(super) block: Option<(&'r str, usize)>,
    /// True if the block is a sample of many, and so a layer outside all others.
    pub(super) is_block_random: bool,
    pub(super) layers: Vec<(&'r str, usize)>,
    pub(super) place: Option<usize>,
    pub(super) hard: Vec<&'r str>,
    pub(super) order: Option<usize>,
    pub(super) positions: Vec<(&'r str, usize)>,
    pub(super) fault: Option<usize>,
    pub(super) area: Option<usize>,
    /// Columns without a use.
    pub(super) unused: Vec<usize>,
}

/// Finds columns by name and refuses a second use of one.
struct Finder<'t, 'f> {
    table: &'t Table,
    uses: Vec<Vec<ColumnUse>>,
    found: &'f mut Found,
}

impl Finder<'_, '_> {
    fn find(&mut self, name: &str, role: ColumnUse) -> Option<usize> {
        let Some(column) = self.table.find_column(name) else {
            let heads = self.table.listed_heads();
            self.found.add(
                CellPlace::TABLE,
                ImportFault::NoColumn {
                    name: name.to_owned(),
                    role,
                    heads,
                },
            );
            return None;
        };
        let uses = self.uses.get_mut(column)?;
        if let Some(earlier) = uses.iter().find(|earlier| !earlier.goes_with(role)) {
            let fault = ImportFault::TwoUses {
                one: *earlier,
                other: role,
            };
            self.found
                .add(CellPlace::column(self.table.column_place(column)), fault);
            return None;
        }
        uses.push(role);
        Some(column)
    }

    fn find_all<'r>(
        &mut self,
        names: impl IntoIterator<Item = &'r String>,
        role: ColumnUse,
    ) -> Vec<(&'r str, usize)> {
        names
            .into_iter()
            .filter_map(|name| self.find(name, role).map(|column| (name.as_str(), column)))
            .collect()
    }

    fn find_specs<'r, S>(
        &mut self,
        specs: &'r [S],
        name: impl Fn(&S) -> &str,
        role: ColumnUse,
    ) -> Vec<(&'r S, usize)> {
        specs
            .iter()
            .filter_map(|spec| self.find(name(spec), role).map(|column| (spec, column)))
            .collect()
    }
}

impl<'r> Columns<'r> {
    /// Finds every column that the request names.
    pub(super) fn find(table: &Table, request: &'r ImportRequest, found: &mut Found) -> Self {
        if request.factors.is_empty()
            && request.categories.is_empty()
            && request.responses.is_empty()
        {
            found.add(
                CellPlace::TABLE,
                ImportFault::NothingSaid {
                    heads: table.listed_heads(),
                },
            );
        }
        let is_setting = |name: &str| {
            request.factors.iter().any(|factor| factor.name == name)
                || request
                    .categories
                    .iter()
                    .any(|category| category.name == name)
        };
        for name in request.hard.iter().filter(|name| !is_setting(name)) {
            found.add(
                CellPlace::TABLE,
                ImportFault::HardNoSetting { name: name.clone() },
            );
        }
        let mut finder = Finder {
            table,
            uses: vec![Vec::new(); table.columns().len()],
            found,
        };
        let find_one = |finder: &mut Finder<'_, '_>, name: &Option<String>, role| {
            name.as_ref().and_then(|name| finder.find(name, role))
        };
        let mut columns = Self {
            factors: finder.find_specs(&request.factors, |spec| &spec.name, ColumnUse::Factor),
            categories: finder.find_specs(
                &request.categories,
                |spec| &spec.name,
                ColumnUse::Category,
            ),
            responses: finder.find_specs(
                &request.responses,
                |spec| &spec.name,
                ColumnUse::Response,
            ),
            block: finder
                .find_all(
                    request.block.as_ref().map(|block| &block.name),
                    ColumnUse::Block,
                )
                .first()
                .copied(),
            is_block_random: request.block.as_ref().is_some_and(|block| block.random),
            layers: finder.find_all(&request.layers, ColumnUse::Layer),
            place: find_one(&mut finder, &request.place, ColumnUse::Place),
            hard: request.hard.iter().map(String::as_str).collect(),
            order: find_one(&mut finder, &request.order, ColumnUse::Order),
            positions: finder.find_all(&request.positions, ColumnUse::Position),
            fault: find_one(&mut finder, &request.fault, ColumnUse::Fault),
            area: find_one(&mut finder, &request.area, ColumnUse::Area),
            unused: Vec::new(),
        };
        columns.unused = finder
            .uses
            .iter()
            .enumerate()
            .filter(|(_, uses)| uses.is_empty())
            .map(|(index, _)| index)
            .collect();
        columns
    }

    /// Columns that hold numbers whatever the data are.
    pub(super) fn numbers(&self) -> impl Iterator<Item = usize> {
        let factors = self.factors.iter().map(|(_, column)| *column);
        factors
            .chain(self.order)
            .chain(self.positions.iter().map(|(_, column)| *column))
            .chain(self.area)
    }
}

/// The rows that hold anything, and what is wrong with them.
pub(super) struct Rows<'t, 'f> {
    pub(super) table: &'t Table,
    pub(super) filled: Vec<&'t Row>,
    pub(super) found: &'f mut Found,
}

impl<'t, 'f> Rows<'t, 'f> {
    pub(super) fn new(table: &'t Table, found: &'f mut Found) -> Self {
        Self {
            table,
            filled: table.rows().iter().filter(|row| !row.is_empty()).collect(),
            found,
        }
    }

    /// Where the rows stand.
    pub(super) fn places(&self) -> Vec<RowPlace> {
        self.filled.iter().map(|row| row.place).collect()
    }

    pub(super) fn add(&mut self, row: RowPlace, column: usize, fault: impl Into<ImportFault>) {
        self.found
            .add(CellPlace::cell(row, self.table.column_place(column)), fault);
    }

    pub(super) fn add_to_column(&mut self, column: usize, fault: impl Into<ImportFault>) {
        self.found
            .add(CellPlace::column(self.table.column_place(column)), fault);
    }

    /// The texts of a column, nothing for a word that stands for missing.
    pub(super) fn texts(&self, column: usize) -> impl Iterator<Item = (RowPlace, &'t str)> {
        self.filled
            .iter()
            .map(move |row| (row.place, self.table.text(row, column)))
    }

    /// The cells of a column as numbers, problems noted.
    pub(super) fn cells(&mut self, column: usize) -> Vec<Cell<'static>> {
        let (cells, problems) = self.table.numbers(column);
        for problem in problems {
            self.found.add(problem.place, problem.fault);
        }
        cells
            .into_iter()
            .zip(self.table.rows())
            .filter(|(_, row)| !row.is_empty())
            .map(|(cell, _)| cell)
            .collect()
    }

    /// Plain numbers of a column, `None` where there is none.
    pub(super) fn plain_numbers(&mut self, column: usize) -> Vec<Option<f64>> {
        let cells = self.cells(column);
        let rows = self.filled.clone();
        rows.iter()
            .zip(cells)
            .map(|(row, cell)| match cell {
                Cell::Number(number) => Some(number),
                Cell::Empty | Cell::Text(_) => None,
                Cell::Below(_) | Cell::Above(_) => {
                    let text = self.table.text(row, column).to_owned();
                    self.add(row.place, column, ImportFault::LimitHere { text });
                    None
                }
            })
            .collect()
    }

    /// Labels of a column, none of them empty.
    pub(super) fn labels(&mut self, column: usize, role: ColumnUse) -> Vec<String> {
        let texts: Vec<(RowPlace, &str)> = self.texts(column).collect();
        texts
            .into_iter()
            .map(|(row, text)| {
                if text.is_empty() {
                    self.add(row, column, ImportFault::NoLabel { role });
                } else if text.contains(['\n', '\t']) {
                    self.add(
                        row,
                        column,
                        ImportFault::BrokenName {
                            text: text.to_owned(),
                        },
                    );
                }
                text.to_owned()
            })
            .collect()
    }
}

/// What the rows share, where they stand, and what else is said about them; every list has one entry a row.
#[derive(Debug, Default)]
pub(super) struct Labels {
    pub(super) block: Option<Vec<String>>,
    /// Layer by layer, outermost first.
    pub(super) layers: Vec<Vec<String>>,
    pub(super) place: Option<Vec<String>>,
    pub(super) order: Option<Vec<f64>>,
    /// Position by position.
    pub(super) positions: Vec<Vec<Option<f64>>>,
    /// Texts of unused columns.
    pub(super) remarks: Vec<Vec<(String, String)>>,
    pub(super) warnings: Vec<String>,
}

impl Labels {
    pub(super) fn read(rows: &mut Rows<'_, '_>, columns: &Columns<'_>) -> Self {
        let mut labels = Self {
            block: columns
                .block
                .map(|(_, column)| rows.labels(column, ColumnUse::Block)),
            layers: columns
                .layers
                .iter()
                .map(|(_, column)| rows.labels(*column, ColumnUse::Layer))
                .collect(),
            place: columns
                .place
                .map(|column| rows.labels(column, ColumnUse::Place)),
            order: columns.order.map(|column| read_order(rows, column)),
            positions: columns
                .positions
                .iter()
                .map(|(_, column)| rows.plain_numbers(*column))
                .collect(),
            remarks: remarks_of(rows, &columns.unused),
            warnings: Vec::new(),
        };
        labels.warn(rows, columns);
        labels
    }

    fn warn(&mut self, rows: &Rows<'_, '_>, columns: &Columns<'_>) {
        let n_empty = rows.table.rows().len() - rows.filled.len();
        if n_empty > 0 {
            let empty = rows
                .table
                .rows()
                .iter()
                .filter(|row| row.is_empty())
                .map(|row| row.place.to_string());
            let empty: Vec<String> = empty.take(10).collect();
            self.warnings.push(format!(
                "Empty rows were skipped: {}{}.",
                empty.join(", "),
                if n_empty > 10 { ", …" } else { "" }
            ));
        }
        if columns.place.is_some() && columns.layers.is_empty() {
            self.warnings.push(
                "There are places but no layer, so every row is a run of its own. If several rows were read on one film, \
                 name the column of run numbers as a layer."
                    .to_owned(),
            );
        }
        if let (Some((name, _)), Some(block)) = (columns.block, &self.block)
            && block.iter().all(|label| Some(label) == block.first())
        {
            self.warnings.push(format!(
                "The block {} has one level only; it takes nothing away.",
                listed([name])
            ));
        }
    }
}

fn read_order(rows: &mut Rows<'_, '_>, column: usize) -> Vec<f64> {
    let numbers = rows.plain_numbers(column);
    let texts: Vec<(RowPlace, &str)> = rows.texts(column).collect();
    for (row, _) in texts.into_iter().filter(|(_, text)| text.is_empty()) {
        rows.add(row, column, ImportFault::OrderMissing);
    }
    numbers.into_iter().map(Option::unwrap_or_default).collect()
}

/// Head and text of the unused columns, row by row, without empty cells.
fn remarks_of(rows: &Rows<'_, '_>, unused: &[usize]) -> Vec<Vec<(String, String)>> {
    let remark = |row: &Row, column: usize| {
        let text = rows.table.text(row, column);
        let head = rows
            .table
            .columns()
            .get(column)
            .map(|column| column.head.clone())?;
        (!text.is_empty()).then(|| (head, text.to_owned()))
    };
    rows.filled
        .iter()
        .map(|row| {
            unused
                .iter()
                .filter_map(|column| remark(row, *column))
                .collect()
        })
        .collect()
}
