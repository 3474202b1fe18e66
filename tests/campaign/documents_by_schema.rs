//! The JSON documents of the command line against their schemas in `docs/schemas`, by a general-purpose validator; and
//! against what every document promises: keys in the order of the schema, none that the schema does not know, and a
//! reason beside every null.

use std::fmt;
use std::path::Path;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::Value;

use wetlane::campaign::samples::{SAMPLES, Sample};

use crate::command_line::answer;
use crate::support::workspace_file;

/// A JSON value whose keys keep their order.
#[derive(Debug)]
enum Ordered {
    Null,
    Plain,
    List(Vec<Self>),
    Object(Vec<(String, Self)>),
}

struct OrderedVisitor;

impl<'de> Visitor<'de> for OrderedVisitor {
    type Value = Ordered;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("any JSON value")
    }

    fn visit_unit<E>(self) -> Result<Ordered, E> {
        Ok(Ordered::Null)
    }

    fn visit_bool<E>(self, _: bool) -> Result<Ordered, E> {
        Ok(Ordered::Plain)
    }

    fn visit_u64<E>(self, _: u64) -> Result<Ordered, E> {
        Ok(Ordered::Plain)
    }

    fn visit_i64<E>(self, _: i64) -> Result<Ordered, E> {
        Ok(Ordered::Plain)
    }

    fn visit_f64<E>(self, _: f64) -> Result<Ordered, E> {
        Ok(Ordered::Plain)
    }

    fn visit_str<E>(self, _: &str) -> Result<Ordered, E> {
        Ok(Ordered::Plain)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Ordered, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element()? {
            list.push(item);
        }
        Ok(Ordered::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Ordered, A::Error> {
        let mut object = Vec::new();
        while let Some(entry) = entries.next_entry()? {
            object.push(entry);
        }
        Ok(Ordered::Object(object))
    }
}

impl<'de> Deserialize<'de> for Ordered {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(OrderedVisitor)
    }
}

impl Ordered {
    fn get(&self, key: &str) -> Option<&Self> {
        match self {
            Self::Object(entries) => entries.iter().find(|(name, _)| name == key).map(|(_, v)| v),
            Self::Null | Self::Plain | Self::List(_) => None,
        }
    }

    fn keys(&self) -> Vec<&str> {
        match self {
            Self::Object(entries) => entries.iter().map(|(name, _)| name.as_str()).collect(),
            Self::Null | Self::Plain | Self::List(_) => Vec::new(),
        }
    }
}

/// A schema, parsed both for the validator and with its keys in order.
struct Schema {
    name: String,
    value: Value,
    ordered: Ordered,
}

impl Schema {
    fn open(name: &str) -> Self {
        let path = workspace_file(&format!("docs/schemas/{name}.json"));
        let text = std::fs::read_to_string(path).unwrap();
        Self {
            name: name.to_owned(),
            value: serde_json::from_str(&text).unwrap(),
            ordered: serde_json::from_str(&text).unwrap(),
        }
    }

    fn check(&self, text: &str) {
        let document: Value = serde_json::from_str(text).unwrap();
        let validator = jsonschema::validator_for(&self.value).unwrap();
        let errors: Vec<String> = validator
            .iter_errors(&document)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{}: {errors:#?}", self.name);
        let ordered: Ordered = serde_json::from_str(text).unwrap();
        let keys = ordered.keys();
        assert_eq!(keys.get(..2), Some(&["document", "version"][..]));
        assert_eq!(keys.last(), Some(&"warnings"));
        self.check_keys(&ordered, &self.ordered, &self.name);
        check_reasons(&document, &self.name);
    }

    /// Keys must stand in the order in which the schema lists them, and every key must be listed.
    fn check_keys(&self, document: &Ordered, schema: &Ordered, place: &str) {
        let schema = self.chosen(document, schema);
        match document {
            Ordered::Object(entries) => {
                let Some(listed) = schema.get("properties") else {
                    let any = schema.get("additionalProperties");
                    let any =
                        any.unwrap_or_else(|| panic!("{place} has keys that no schema knows"));
                    for (key, value) in entries {
                        self.check_keys(value, any, &format!("{place}.{key}"));
                    }
                    return;
                };
                let order = listed.keys();
                let at = |key: &str| {
                    let index = order.iter().position(|listed| *listed == key);
                    index.unwrap_or_else(|| panic!("{place}: the schema does not know {key}"))
                };
                let places: Vec<usize> = entries.iter().map(|(key, _)| at(key)).collect();
                assert!(places.is_sorted(), "{place}: {:?}", document.keys());
                for (key, value) in entries {
                    self.check_keys(value, listed.get(key).unwrap(), &format!("{place}.{key}"));
                }
            }
            Ordered::List(items) => {
                let of_items = schema.get("items").unwrap();
                for (index, item) in items.iter().enumerate() {
                    self.check_keys(item, of_items, &format!("{place}[{index}]"));
                }
            }
            Ordered::Null | Ordered::Plain => {}
        }
    }

    /// The part of a schema that speaks of this document: through references and choices.
    fn chosen<'s>(&'s self, document: &Ordered, schema: &'s Ordered) -> &'s Ordered {
        if schema.get("$ref").is_some() {
            let name = self.target_of(schema);
            let target = self.ordered.get("$defs").unwrap().get(&name).unwrap();
            return self.chosen(document, target);
        }
        let Some(Ordered::List(choices)) = schema.get("anyOf") else {
            return schema;
        };
        let fits = |choice: &&Ordered| match document {
            Ordered::Object(entries) => choice.get("properties").is_some_and(|listed| {
                entries
                    .iter()
                    .all(|(key, _)| listed.keys().contains(&key.as_str()))
            }),
            Ordered::List(_) => choice.get("items").is_some(),
            Ordered::Null | Ordered::Plain => true,
        };
        let choice = choices.iter().find(fits);
        choice.unwrap_or_else(|| panic!("{}: no choice fits {:?}", self.name, document.keys()))
    }

    /// The name behind a reference; its text is only in the plain value, so that it is found by place.
    fn target_of(&self, schema: &Ordered) -> String {
        fn find(ordered: &Ordered, value: &Value, wanted: *const Ordered) -> Option<String> {
            if std::ptr::eq(ordered, wanted) {
                return value["$ref"].as_str().map(ToOwned::to_owned);
            }
            match ordered {
                Ordered::Object(entries) => entries
                    .iter()
                    .find_map(|(key, part)| find(part, &value[key], wanted)),
                Ordered::List(items) => items
                    .iter()
                    .enumerate()
                    .find_map(|(index, part)| find(part, &value[index], wanted)),
                Ordered::Null | Ordered::Plain => None,
            }
        }
        let target = find(&self.ordered, &self.value, schema).unwrap();
        target.strip_prefix("#/$defs/").unwrap().to_owned()
    }
}

/// Keys whose null says something by itself, as the schema explains.
const TELLING_NULLS: [&str; 13] = [
    "why",
    "block",
    "whole_plot",
    "levels",
    "scale",
    "decimal_sign",
    "censored",
    "run",
    "field",
    "row",
    "column",
    "transform",
    // Of a limit: nobody asked for it.
    "probability",
];

/// A null needs a reason beside it.
fn check_reasons(value: &Value, place: &str) {
    match value {
        Value::Object(object) => {
            for (key, part) in object {
                let is_category = object.get("kind").is_some_and(|kind| kind == "category");
                let is_telling = TELLING_NULLS.contains(&key.as_str())
                    || (is_category && ["low", "high"].contains(&key.as_str()));
                if part.is_null() && !is_telling {
                    let why = object.get("why").and_then(Value::as_str);
                    assert!(
                        why.is_some_and(|why| !why.is_empty()),
                        "{place}.{key} has no reason"
                    );
                }
                check_reasons(part, &format!("{place}.{key}"));
            }
        }
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                check_reasons(item, &format!("{place}[{index}]"));
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

fn sample(name: &str) -> String {
    let path = workspace_file(&format!("sample-projects/{name}.json"));
    path.to_str().unwrap().to_owned()
}

/// Every sample project.
fn samples() -> Vec<String> {
    let name = |known: &Sample| known.file_name.trim_end_matches(".json").to_owned();
    SAMPLES.iter().map(|known| sample(&name(known))).collect()
}

/// Checks a document that the program prints with this exit status.
fn check(folder: &Path, schema: &str, arguments: &[&str], status: i32) {
    let arguments = [arguments, &["--json"]].concat();
    Schema::open(schema).check(&answer(folder, &arguments, status));
}

/// Settings, a category, blocks, readings of several kinds, some missing: everything invented.
const TABLE: &str = "speed (m/min),gas,day,haze (%),film,pinholes\n\
    1,air,mon,3.1,sound,2\n\
    2,air,mon,4.0,sound,0\n\
    3,argon,mon,5.5,faulty: streaks,1\n\
    1,argon,tue,2.9,sound,5\n\
    2,argon,tue,,sound,3\n\
    3,air,tue,6.1,sound,<1\n\
    1,air,tue,3.3,sound,0\n";

fn import(folder: &Path) {
    std::fs::write(folder.join("table.csv"), TABLE).unwrap();
    let arguments = [
        "import",
        "table.csv",
        "--factor",
        "speed",
        "--category",
        "gas",
        "--block",
        "day",
        "--response",
        "haze",
        "--response",
        "film",
        "--response",
        "pinholes",
        "--out",
        "film.json",
    ];
    check(folder, "import", &arguments, 0);
}

#[test]
fn schemas_are_schemas() {
    for name in [
        "import", "plan", "limits", "readings", "fit", "predict", "check",
    ] {
        let schema = Schema::open(name);
        assert!(jsonschema::meta::is_valid(&schema.value), "{name}");
        // Version and name are fixed, so that a document of another kind does not pass.
        let validator = jsonschema::validator_for(&schema.value).unwrap();
        assert!(!validator.is_valid(&serde_json::json!({"document": "other", "version": 1})));
    }
}

#[test]
fn imports_and_readings_follow_their_schemas() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    import(folder);
    std::fs::write(folder.join("more.csv"), "run;haze (%);colour\n5;4,75;red\n").unwrap();
    let arguments = [
        "readings",
        "film.json",
        "--from",
        "more.csv",
        "--out",
        "film.json",
    ];
    check(folder, "readings", &arguments, 0);
}

#[test]
fn plans_follow_their_schema() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let factors = [
        "--factor",
        "a=0..1mm",
        "--factor",
        "b=1..2",
        "--category",
        "gas=air,argon,nitrogen",
    ];
    for options in [
        &[
            "--kind",
            "full-factorial",
            "--blocks",
            "2",
            "--replicates",
            "2",
        ][..],
        &["--kind", "latin-hypercube", "--runs", "7"],
        &[
            "--kind",
            "face-centred",
            "--hard",
            "b",
            "--return-runs",
            "2",
        ],
    ] {
        check(
            folder,
            "plan",
            &[&["plan"], options, &factors[..]].concat(),
            0,
        );
    }
    let sample = sample("a-silver-nanowire-electrode");
    let arguments = [
        "plan",
        sample.as_str(),
        "--kind",
        "fractional-factorial",
        "--runs",
        "16",
    ];
    check(folder, "plan", &arguments, 0);
}

#[test]
fn limits_follow_their_schema() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    import(folder);
    check(folder, "limits", &["limits", "film.json"], 0);
    check(
        folder,
        "limits",
        &["limits", "film.json", "--at", "speed=1"],
        0,
    );
    for sample in samples() {
        check(folder, "limits", &["limits", &sample], 0);
        check(folder, "limits", &["limits", &sample, "--run", "2"], 0);
        check(
            folder,
            "limits",
            &["limits", &sample, "--run", "2", "--free"],
            0,
        );
    }
    let sample = sample("a-silver-nanowire-electrode");
    let far = [
        "limits",
        sample.as_str(),
        "--at",
        "speed=2.4m/min",
        "--at",
        "wet_thickness=10um",
    ];
    check(folder, "limits", &far, 0);
}

#[test]
fn fits_follow_their_schema() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    import(folder);
    for options in [
        &[][..],
        &["--natural"],
        &["--transform", "log", "--response", "haze"],
        &["--terms", "1"],
        &["--reference", "argon"],
        &["--no-intercept", "--natural", "--model", "linear"],
        // As many terms as runs and more: aliases, no error df, leverage 1.
        &["--terms", "speed, gas, speed*gas, speed^2, speed^2*gas"],
        &["--model", "quadratic", "--level", "0.9"],
    ] {
        check(folder, "fit", &[&["fit", "film.json"], options].concat(), 0);
    }
    for sample in samples() {
        check(folder, "fit", &["fit", &sample], 0);
        check(
            folder,
            "fit",
            &["fit", &sample, "--natural", "--model", "quadratic"],
            0,
        );
    }
    check(
        folder,
        "fit",
        &["fit", "film.json", "--response", "film"],
        1,
    );
}

#[test]
fn predictions_follow_their_schema() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    import(folder);
    check(
        folder,
        "predict",
        &["predict", "film.json", "--at", "speed=9"],
        0,
    );
    std::fs::write(
        folder.join("points.csv"),
        "speed (m/min),gas,note\n1.5,argon,x\n2,,y\n",
    )
    .unwrap();
    check(
        folder,
        "predict",
        &["predict", "film.json", "--table", "points.csv"],
        0,
    );
    let sample = sample("b-hole-transport-layer");
    let project = wetlane::campaign::project_file::open(Path::new(&sample))
        .unwrap()
        .project;
    let first = project.varied().next().unwrap();
    let at = format!("{}={}", first.id, first.now);
    check(folder, "predict", &["predict", &sample, "--at", &at], 0);
}

#[test]
fn checks_follow_their_schema() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    import(folder);
    check(folder, "check", &["check", "film.json"], 0);
    for sample in samples() {
        check(folder, "check", &["check", &sample], 0);
    }
    std::fs::write(folder.join("cut.json"), "{").unwrap();
    check(folder, "check", &["check", "cut.json"], 1);
}
