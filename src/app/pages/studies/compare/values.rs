//! What stands in a file, as it is read on the page: kinds, lists and bands without the marks of the file.

use serde_json::Value;

use crate::units::{Quantity, Units};

/// A value, in the units chosen where it is a number, or a band of two, with a name.
pub fn told(value: &Value, quantity: Option<Quantity>, units: Units) -> String {
    let shown = |v: &Value| Some(number(quantity?.shown(v.as_f64()?, units)));
    if let Some(one) = shown(value) {
        return one;
    }
    match value {
        Value::Array(band) if band.len() == 2 && quantity.is_some() => {
            let ends: Vec<String> = band.iter().filter_map(shown).collect();
            if ends.len() == 2 { ends.join(" to ") } else { plain(value) }
        }
        _ => plain(value),
    }
}

/// The same of a field: what people type there, such as a name, is left as it is, though it be written like a kind.
pub fn told_at(field: &str, value: &Value, quantity: Option<Quantity>, units: Units) -> String {
    let is_typed = ["name", "note", "source"].iter().any(|end| field.ends_with(end)) || field.starts_with("changed_from");
    match value.as_str().filter(|_| is_typed) {
        Some(text) => text.to_owned(),
        None => told(value, quantity, units),
    }
}

/// A value of any kind.
fn plain(value: &Value) -> String {
    match value {
        Value::Null => "–".to_owned(),
        Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::String(text) if is_kind(text) => kind_words(text),
        Value::String(text) => text.clone(),
        Value::Array(list) => {
            let named: Vec<&str> = list.iter().filter_map(|v| v.get("name")?.as_str()).collect();
            let parts: Vec<String> =
                if named.len() == list.len() { named.iter().map(|n| (*n).to_owned()).collect() } else { list.iter().map(plain).collect() };
            if list.is_empty() { "none".to_owned() } else { parts.join(", ") }
        }
        Value::Object(fields) => match fields.iter().next() {
            Some((kind, Value::String(name))) if kind == "Preset" => name.clone(),
            Some((kind, of)) if kind == "Custom" => format!("own: {}", of.get("name").and_then(Value::as_str).unwrap_or("without a name")),
            Some((kind, of)) if fields.len() == 1 && is_kind(kind) => format!("{} {}", kind_words(kind), plain(of)),
            _ => match fields.get("percent").zip(fields.get("medium").and_then(Value::as_str)) {
                Some((percent, medium)) => format!("{} % {medium}", plain(percent)),
                None => fields.iter().map(|(field, v)| format!("{} {}", field.replace('_', " "), plain(v))).collect::<Vec<_>>().join(", "),
            },
        },
        Value::Number(_) => value.as_f64().map_or_else(|| value.to_string(), number),
    }
}

/// Whether a text is one of several kinds, as files write them: two words or more without a gap, each with a capital letter.
fn is_kind(text: &str) -> bool {
    let known = [
        "Uniform", "Tapering", "Mean", "Head", "Feed", "Layers", "Ec", "Sun", "Lamps", "Led", "Sodium", "Free", "Closed", "Open",
        "Wrapped", "Fabric", "Mix",
    ];
    let capitals = text.chars().filter(char::is_ascii_uppercase).count();
    let is_word = text.starts_with(|c: char| c.is_ascii_uppercase()) && text.chars().all(|c| c.is_ascii_alphabetic());
    known.contains(&text) || (is_word && capitals > 1 && text.chars().any(|c| c.is_ascii_lowercase()))
}

/// Its words, "as wetted" of "AsWetted".
fn kind_words(kind: &str) -> String {
    if kind == "Ec" {
        return "EC".to_owned();
    }
    let mut out = String::new();
    for letter in kind.chars() {
        if letter.is_ascii_uppercase() && !out.is_empty() {
            out.push(' ');
        }
        out.push(letter.to_ascii_lowercase());
    }
    out
}

/// A number as it was typed, without what arithmetic leaves behind it.
pub fn number(value: f64) -> String {
    let rounded = format!("{value:.6}");
    rounded.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn values_are_read_without_the_marks_of_a_file() {
        let of = |value: Value| told(&value, None, Units::default());
        assert_eq!(of(json!("AsWetted")), "as wetted");
        assert_eq!(of(json!({"Mean": 0.77})), "mean 0.77");
        assert_eq!(of(json!({"Preset": "coir/perlite 70:30"})), "coir/perlite 70:30");
        assert_eq!(of(json!({"Custom": {"name": "peat of ours", "porosity": 0.9}})), "own: peat of ours");
        assert_eq!(of(json!([{"name": "slab"}, {"name": "block"}])), "slab, block");
        assert_eq!(
            of(json!({"Mix": [{"medium": "coir pith", "percent": 70.0}, {"medium": "pumice", "percent": 30.0}]})),
            "Mix: 70 % coir pith, 30 % pumice".replace("Mix: ", "mix ")
        );
        assert_eq!([of(json!([])), of(Value::Null), of(json!(true))], ["none", "–", "yes"].map(str::to_owned));
        assert_eq!(of(json!({"Tapering": {"halves_every_cm": 4.0}})), "tapering halves every cm 4");
        // A name is left as it was typed.
        assert_eq!(of(json!("Row 2, EAST side")), "Row 2, EAST side");
    }

    #[test]
    fn names_that_are_written_like_kinds_are_left_as_they_were_typed() {
        let at = |field, text: &str| told_at(field, &json!(text), None, Units::default());
        for typed in ["BasilNorth", "Open", "Ec", "Sun"] {
            assert_eq!([at("name", typed), at("container.name", typed), at("note", typed)], [typed, typed, typed]);
        }
        assert_eq!(at("start.water", "AsWetted"), "as wetted");
    }

    #[test]
    fn a_band_with_a_name_is_in_the_units_chosen() {
        let of = |value: Value, quantity| told(&value, Some(quantity), Units::default());
        assert_eq!(of(json!([0.7, 0.8]), Quantity::Share), "70 to 80");
        assert_eq!(of(json!(2.4), Quantity::Ec), "2.4");
    }
}
