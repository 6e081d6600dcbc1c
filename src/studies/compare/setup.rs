//! What differs in how benches are set up, with the words that growers have for it where there are any.

use serde_json::Value;

use super::differences::{Difference, differences};
use crate::scenario::presets::Library;
use crate::scenario::{Lane, Scenario};

/// What differs in the setup: all fields but what the pump is told; then the order of the lanes, then lane by lane. `rows` are the places of
/// each lane in the benches.
#[must_use]
pub fn setup(scenarios: &[&Scenario], rows: &[Vec<Option<usize>>], library: &Library) -> Vec<Difference> {
    let mut found = Vec::new();
    let values: Vec<Value> = scenarios.iter().map(|s| whole(s)).collect();
    differences("", &values.iter().collect::<Vec<_>>(), &mut found);
    for difference in &mut found {
        let path = difference.field.clone();
        name(difference, scenarios.iter().map(|s| (*s, path.clone())), library);
    }
    found.extend(order(scenarios, rows));
    for places in rows {
        let lanes: Vec<Option<&Lane>> = scenarios.iter().zip(places).map(|(s, place)| s.lanes.get((*place)?)).collect();
        let Some(first) = lanes.iter().flatten().next() else { continue };
        let path = format!("lanes[\"{}\"]", first.name);
        if !lanes.iter().all(Option::is_some) {
            // A lane that a bench has not is told by its name, and not field by field.
            let name = |lane: &Option<&Lane>| lane.map_or(Value::Null, |l| Value::String(l.name.clone()));
            found.push(Difference::new(path, lanes.iter().map(name).collect()));
            continue;
        }
        let values: Vec<Value> = lanes.iter().flatten().map(|l| serde_json::to_value(l).unwrap_or_default()).collect();
        let from = found.len();
        differences(&path, &values.iter().collect::<Vec<_>>(), &mut found);
        for difference in &mut found[from..] {
            difference.lane = Some(first.name.clone());
            let rest = difference.field.strip_prefix(&path).unwrap_or_default().to_owned();
            let own = scenarios.iter().zip(places).filter_map(|(s, place)| Some((*s, format!("lanes[{}]{rest}", (*place)?))));
            name(difference, own, library);
        }
    }
    found
}

/// The order of the lanes, where two benches do not have those that both have in the same one: each one's names.
fn order(scenarios: &[&Scenario], rows: &[Vec<Option<usize>>]) -> Option<Difference> {
    let is_same = |a: usize, b: usize| {
        let mut both: Vec<(usize, usize)> = rows.iter().filter_map(|places| Some((places[a]?, places[b]?))).collect();
        both.sort_unstable();
        both.is_sorted_by_key(|places| places.1)
    };
    let all = || 0..scenarios.len();
    if all().all(|b| (0..b).all(|a| is_same(a, b))) {
        return None;
    }
    let names = |s: &&Scenario| s.lanes.iter().map(|l| Value::String(l.name.clone())).collect();
    let told = Difference::new("lanes".to_owned(), scenarios.iter().map(names).collect());
    Some(Difference { words: Some("Order of the lanes"), ..told })
}

/// A bench without lanes and what the pump is told.
fn whole(scenario: &Scenario) -> Value {
    let mut value = serde_json::to_value(scenario).unwrap_or_default();
    let Some(fields) = value.as_object_mut() else { return value };
    for apart in ["format", "lanes"] {
        fields.remove(apart);
    }
    for valve in fields.get_mut("valves").and_then(Value::as_array_mut).into_iter().flatten() {
        for apart in ["schedule", "rules", "changes"] {
            valve.as_object_mut().and_then(|valve| valve.remove(apart));
        }
    }
    value
}

/// Gives a difference the words of the number that it is, or of the band that it is, from the first bench that has such a number at its path.
fn name<'a>(difference: &mut Difference, paths: impl Iterator<Item = (&'a Scenario, String)>, library: &Library) {
    let is_band = |v: &Value| v.as_array().is_some_and(|a| a.len() == 2 && a.iter().all(Value::is_number));
    let end = match &difference.values {
        values if values.iter().any(Value::is_number) => "",
        values if values.iter().any(is_band) => ".0",
        _ => return,
    };
    let mut numbers = paths.filter_map(|(scenario, path)| scenario.parameter(&format!("{}{end}", without_kinds(&path)), library).ok());
    if let Some(number) = numbers.next() {
        let words = number.label.strip_suffix(", least").filter(|_| !end.is_empty()).unwrap_or(number.label);
        (difference.words, difference.unit, difference.quantity) = (Some(words), Some(number.unit), Some(number.quantity));
    }
}

/// A path without the kinds of choices, which begin with a capital letter: numbers are named as if there was no choice. What counts the places
/// of a kind's list stays.
fn without_kinds(path: &str) -> String {
    let mut out = String::new();
    for part in path.split('.') {
        if part.starts_with(|c: char| c.is_ascii_uppercase()) {
            out.push_str(part.find('[').map_or("", |at| &part[at..]));
        } else {
            out.push_str(if out.is_empty() { "" } else { "." });
            out.push_str(part);
        }
    }
    out
}
