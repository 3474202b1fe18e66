//! Reader of the reference cases in `tests/data/statistics`: data tables, expected values and their tolerances.
//!
//! Each expected entry carries its value, its origin and `abs_tol` or `rel_tol`; meeting either is enough. A list of
//! tolerances goes element by element, `rel_tol_NAME` overrides for one part. A wanted zero, or a number below 1e-9
//! of the largest of its entry, is compared with 1e-9 of that largest (at least 1).

use serde_json::Value;

/// One reference case.
pub(crate) struct Reference {
    name: String,
    json: Value,
}

/// One expected value, or one part of it.
pub(crate) struct Entry<'a> {
    label: String,
    part: Option<String>,
    /// The JSON object that holds the tolerances.
    tolerances: &'a Value,
    value: &'a Value,
}

impl Reference {
    /// Opens `tests/data/statistics/NAME.json`.
    pub(crate) fn open(name: &str) -> Self {
        let path = super::support::workspace_file(&format!("tests/data/statistics/{name}.json"));
        let text = std::fs::read_to_string(&path)
            .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        let json = serde_json::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
        Self {
            name: name.to_owned(),
            json,
        }
    }

    /// A named part of the file outside `expected`.
    pub(crate) fn data(&self, key: &str) -> &Value {
        let value = &self.json[key];
        assert!(!value.is_null(), "{} has no \"{key}\"", self.name);
        value
    }

    /// True if the file has a part of this name.
    pub(crate) fn has(&self, key: &str) -> bool {
        !self.json[key].is_null()
    }

    /// The numbers of a table given row by row under `key`.
    pub(crate) fn table(&self, key: &str) -> Vec<Vec<f64>> {
        list(self.data(key)).iter().map(numbers).collect()
    }

    /// One column of the table `rows`, by its name in `columns`.
    pub(crate) fn column(&self, name: &str) -> Vec<f64> {
        self.column_of("columns", "rows", name)
    }

    /// One column of any table, by its name in the list of heads.
    pub(crate) fn column_of(&self, heads: &str, rows: &str, name: &str) -> Vec<f64> {
        let index = self.head_index(heads, name);
        list(self.data(rows))
            .iter()
            .map(|row| number(&row[index]))
            .collect()
    }

    /// As [`Reference::column_of`] for a column of text.
    pub(crate) fn text_column(&self, heads: &str, rows: &str, name: &str) -> Vec<String> {
        let index = self.head_index(heads, name);
        list(self.data(rows))
            .iter()
            .map(|row| row[index].as_str().unwrap().to_owned())
            .collect()
    }

    fn head_index(&self, heads: &str, name: &str) -> usize {
        list(self.data(heads))
            .iter()
            .position(|head| head == name)
            .unwrap_or_else(|| panic!("{} has no column {name}", self.name))
    }

    /// The expected entry at a path such as `yield/coefficients`.
    pub(crate) fn expected(&self, path: &str) -> Entry<'_> {
        let entry = path
            .split('/')
            .fold(&self.json["expected"], |value, key| &value[key]);
        assert!(!entry["value"].is_null(), "{}: no {path}", self.name);
        Entry {
            label: format!("{}: {path} ({})", self.name, entry["origin"]),
            part: None,
            tolerances: entry,
            value: &entry["value"],
        }
    }
}

impl<'a> Entry<'a> {
    /// A named part of the value.
    pub(crate) fn part(&self, name: &str) -> Self {
        let value = &self.value[name];
        assert!(!value.is_null(), "{} has no part {name}", self.label);
        Self {
            label: format!("{}, {name}", self.label),
            part: Some(name.to_owned()),
            tolerances: self.tolerances,
            value,
        }
    }

    /// The value as it stands in the file.
    pub(crate) fn json(&self) -> &'a Value {
        self.value
    }

    /// The names and numbers of a map, in the order of the file's sorted keys.
    pub(crate) fn named_numbers(&self) -> Vec<(String, f64)> {
        let map = self.value.as_object().unwrap();
        map.iter()
            .map(|(name, value)| (name.clone(), number(value)))
            .collect()
    }

    /// Compares a single number.
    pub(crate) fn check(&self, actual: f64) {
        self.check_element(0, number(self.value), actual, number(self.value).abs());
    }

    /// Compares a list element by element.
    pub(crate) fn check_all(&self, actual: &[f64]) {
        let wanted = numbers(self.value);
        assert_eq!(wanted.len(), actual.len(), "{}: length", self.label);
        let largest = wanted.iter().fold(0.0_f64, |size, v| size.max(v.abs()));
        for (index, (wanted, actual)) in wanted.iter().zip(actual).enumerate() {
            self.check_element(index, *wanted, *actual, largest);
        }
    }

    /// Compares one named number of a map.
    pub(crate) fn check_named(&self, name: &str, actual: f64) {
        self.part(name).check(actual);
    }

    /// The fewest correct significant digits among the numbers, for sets that state how many must be reached.
    pub(crate) fn digits(&self, actual: &[f64]) -> f64 {
        let wanted = match self.value {
            Value::Array(_) => numbers(self.value),
            single => vec![number(single)],
        };
        assert_eq!(wanted.len(), actual.len(), "{}: length", self.label);
        wanted
            .iter()
            .zip(actual)
            .map(|(w, a)| {
                let error = if *w == 0.0 {
                    a.abs()
                } else {
                    ((a - w) / w).abs()
                };
                -error.max(1e-16).log10()
            })
            .fold(f64::INFINITY, f64::min)
    }

    fn tolerance(&self, kind: &str, index: usize) -> Option<f64> {
        let named = self
            .part
            .as_ref()
            .and_then(|part| self.tolerances.get(format!("{kind}_{part}")));
        match named.or_else(|| self.tolerances.get(kind))? {
            Value::Array(each) => each.get(index).map(number),
            single => Some(number(single)),
        }
    }

    fn check_element(&self, index: usize, wanted: f64, actual: f64, largest: f64) {
        let absolute = self.tolerance("abs_tol", index);
        let relative = self.tolerance("rel_tol", index).map(|r| r * wanted.abs());
        let is_zero = wanted == 0.0 || wanted.abs() < 1e-9 * largest;
        let zero = is_zero.then(|| 1e-9 * largest.max(1.0));
        let allowed = [absolute, relative, zero]
            .into_iter()
            .flatten()
            .fold(0.0, f64::max);
        assert!(
            (actual - wanted).abs() <= allowed,
            "{}, number {index}: got {actual:e}, wanted {wanted:e} within {allowed:e}",
            self.label
        );
    }
}

pub(crate) fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

pub(crate) fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

pub(crate) fn numbers(value: &Value) -> Vec<f64> {
    list(value).iter().map(number).collect()
}
