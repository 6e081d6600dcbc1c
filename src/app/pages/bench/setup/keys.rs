//! A key for each lane that follows it when lanes change places: what is unfolded stays unfolded.

use eframe::egui::{Id, Ui};

use crate::scenario::Scenario;

/// Names of the lanes drawn last, with their keys.
#[derive(Clone, Debug, Default)]
struct Known {
    lanes: Vec<(String, u64)>,
    next: u64,
}

/// The keys of a scenario's lanes, in their order.
pub fn of(ui: &Ui, scenario: &Scenario) -> Vec<u64> {
    let id = Id::unique("keys of lanes");
    let mut known = ui.data(|d| d.get_temp::<Known>(id)).unwrap_or_default();
    let names: Vec<&str> = scenario.lanes.iter().map(|l| l.name.as_str()).collect();
    if known.lanes.iter().map(|l| l.0.as_str()).ne(names.iter().copied()) {
        known = follow(&known, &names);
        ui.data_mut(|d| d.insert_temp(id, known.clone()));
    }
    known.lanes.into_iter().map(|l| l.1).collect()
}

/// A lane is known by its name; a name that is new at the place of one that is gone is a lane renamed; the rest are new.
fn follow(known: &Known, names: &[&str]) -> Known {
    let mut next = known.next;
    let lanes = names.iter().enumerate().map(|(i, name)| {
        let same = known.lanes.iter().find(|k| k.0 == *name);
        let renamed = || known.lanes.get(i).filter(|k| !names.contains(&k.0.as_str()) && known.lanes.len() == names.len());
        let key = if let Some(known) = same.or_else(renamed) {
            known.1
        } else {
            next += 1;
            next - 1
        };
        ((*name).to_owned(), key)
    });
    Known { lanes: lanes.collect(), next }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_follow_lanes() {
        let keys = |k: &Known| k.lanes.iter().map(|l| l.1).collect::<Vec<_>>();
        let a = follow(&Known::default(), &["slab", "pot"]);
        assert_eq!(keys(&a), [0, 1]);
        assert_eq!(keys(&follow(&a, &["pot", "slab"])), [1, 0], "moved");
        assert_eq!(keys(&follow(&a, &["slab", "tub"])), [0, 1], "renamed");
        assert_eq!(keys(&follow(&a, &["slab", "slab copy", "pot"])), [0, 2, 1], "one more in between");
        assert_eq!(keys(&follow(&a, &["pot"])), [1], "one less");
    }
}
