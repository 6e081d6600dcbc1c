//! What differs between values: by fields, as they are named in a file.

use serde::Serialize;
use serde_json::Value;

use crate::units::Quantity;

/// Longest list that is given whole, values.
const LONGEST: usize = 40;
/// Longest text that is given whole, characters: as long as a name may be.
const LONGEST_TEXT: usize = 80;

/// A field that is not the same everywhere.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Difference {
    /// Where it stands, for example `container.parts[0].height_cm`.
    pub field: String,
    /// The lane that it is of, by its first name; `None` for what all lanes share.
    pub lane: Option<String>,
    /// What growers call it, where it is a number with a name.
    pub words: Option<&'static str>,
    /// Its unit then; empty for a plain number.
    pub unit: Option<&'static str>,
    /// How it is shown then.
    #[serde(skip)]
    pub quantity: Option<Quantity>,
    /// What each file has there; null where it has nothing.
    pub values: Vec<Value>,
}

impl Difference {
    /// A field that has these values.
    #[must_use]
    pub fn new(field: String, values: Vec<Value>) -> Self {
        Self { field, lane: None, words: None, unit: None, quantity: None, values }
    }
}

/// Adds what differs between values of one kind, one per file, with the path to them. Fields that a file leaves out are null; lists of
/// the same length are gone through place by place, and what is a choice of several kinds is told whole where the kinds differ.
pub fn differences(path: &str, values: &[&Value], into: &mut Vec<Difference>) {
    if values.windows(2).all(|w| w[0] == w[1]) {
        return;
    }
    if let Some(fields) = common_fields(values) {
        for field in fields {
            let of: Vec<&Value> = values.iter().map(|v| v.get(&field).unwrap_or(&Value::Null)).collect();
            let path = if path.is_empty() { field } else { format!("{path}.{field}") };
            differences(&path, &of, into);
        }
        return;
    }
    if let Some(length) = common_length(values) {
        for i in 0..length {
            let of: Vec<&Value> = values.iter().map(|v| &v[i]).collect();
            differences(&format!("{path}[{i}]"), &of, into);
        }
        return;
    }
    into.push(Difference::new(path.to_owned(), values.iter().map(|v| shortened(v, values[0])).collect()));
}

/// The fields of values that are all of one kind: records, or the same choice of several kinds.
fn common_fields(values: &[&Value]) -> Option<Vec<String>> {
    let mut fields: Vec<String> = Vec::new();
    for value in values {
        for field in value.as_object()?.keys() {
            if !fields.contains(field) {
                fields.push(field.clone());
            }
        }
    }
    // The kinds of a choice begin with a capital letter, fields do not.
    let kinds = fields.iter().filter(|f| f.starts_with(char::is_uppercase)).count();
    (kinds == 0 || fields.len() == 1).then_some(fields)
}

/// The length of lists that are all as long and hold records.
fn common_length(values: &[&Value]) -> Option<usize> {
    let length = values.first()?.as_array()?.len();
    let alike = |v: &&Value| v.as_array().is_some_and(|a| a.len() == length && a.iter().all(Value::is_object));
    values.iter().all(alike).then_some(length)
}

/// A value; or how long a list or text it is, and from where on it differs from the first file's.
fn shortened(value: &Value, first: &Value) -> Value {
    let told = |count: usize, of: &str, other: Option<usize>| {
        Value::String(match other {
            Some(at) => format!("{count} {of}, other from place {} on", at + 1),
            None => format!("{count} {of}"),
        })
    };
    match value {
        Value::Array(list) if list.len() > LONGEST => {
            let other = first.as_array().and_then(|f| parts_at(list.iter(), f.iter()));
            told(list.len(), "values", other)
        }
        Value::String(text) if text.chars().count() > LONGEST_TEXT => {
            let other = first.as_str().and_then(|f| parts_at(text.chars(), f.chars()));
            told(text.chars().count(), "characters", other)
        }
        _ => value.clone(),
    }
}

/// The place from which on two rows are not the same; that at which one of them ends counts.
fn parts_at<T: PartialEq>(mut a: impl Iterator<Item = T>, mut b: impl Iterator<Item = T>) -> Option<usize> {
    let mut at = 0;
    loop {
        match (a.next(), b.next()) {
            (None, None) => return None,
            (a, b) if a != b => return Some(at),
            _ => at += 1,
        }
    }
}

/// A value on a short line.
#[must_use]
pub fn text(value: &Value) -> String {
    match value {
        Value::Null => "-".to_owned(),
        Value::String(text) => text.clone(),
        // A kind with what it holds: kinds are written with a capital, fields are not.
        Value::Object(fields) if fields.len() == 1 && fields.keys().all(|k| k.starts_with(|c: char| c.is_ascii_uppercase())) => {
            let parts: Vec<String> = fields.iter().map(|(kind, value)| format!("{kind}({})", text(value))).collect();
            parts.join("")
        }
        Value::Object(fields) => fields.iter().map(|(field, value)| format!("{field}: {}", text(value))).collect::<Vec<_>>().join(", "),
        Value::Array(list) => format!("[{}]", list.iter().map(text).collect::<Vec<_>>().join(", ")),
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn of(values: &[Value]) -> Vec<(String, Vec<String>)> {
        let mut found = Vec::new();
        differences("", &values.iter().collect::<Vec<_>>(), &mut found);
        found.into_iter().map(|d| (d.field, d.values.iter().map(text).collect())).collect()
    }

    fn one(field: &str, values: [&str; 2]) -> Vec<(String, Vec<String>)> {
        vec![(field.to_owned(), values.map(str::to_owned).to_vec())]
    }

    #[test]
    fn only_what_differs_is_told_and_where_it_stands() {
        assert_eq!(of(&[json!({"a": 1, "b": [{"c": 2}]}), json!({"a": 1, "b": [{"c": 2}]})]), []);
        assert_eq!(of(&[json!({"a": 1, "b": [{"c": 2}]}), json!({"a": 1, "b": [{"c": 2.5}]})]), one("b[0].c", ["2", "2.5"]));
        assert_eq!(of(&[json!({"a": 1}), json!({"a": 1, "b": "x"})]), one("b", ["-", "x"]));
    }

    #[test]
    fn another_kind_is_told_whole_and_the_same_kind_by_its_fields() {
        let drip = |ml: u32| json!({"give": {"Drip": {"ml": ml}}});
        assert_eq!(of(&[drip(100), drip(120)]), one("give.Drip.ml", ["100", "120"]));
        let flood = json!({"give": {"Flood": {"depth_cm": 3}}});
        assert_eq!(of(&[drip(100), flood]), one("give", ["Drip(ml: 100)", "Flood(depth_cm: 3)"]));
        assert_eq!(of(&[json!({"w": "AsWetted"}), json!({"w": {"Mean": 0.5}})]), one("w", ["AsWetted", "Mean(0.5)"]));
    }

    #[test]
    fn lists_of_other_lengths_are_told_whole_and_long_ones_by_their_length() {
        assert_eq!(of(&[json!([{"a": 1}]), json!([])]), one("", ["[a: 1]", "[]"]));
        assert_eq!(of(&[json!({"t": [1, 2]}), json!({"t": [1, 3]})]), one("t", ["[1, 2]", "[1, 3]"]));
        let long = |at: usize| json!({"rows": (0..100).map(|i| u32::from(i == at)).collect::<Vec<_>>()});
        assert_eq!(of(&[long(7), long(9)]), one("rows", ["100 values", "100 values, other from place 8 on"]));
    }

    #[test]
    fn three_values_are_one_difference() {
        let found = of(&[json!({"a": 1}), json!({"a": 1}), json!({"a": 2})]);
        assert_eq!(found, [("a".to_owned(), ["1", "1", "2"].map(str::to_owned).to_vec())]);
    }
}
