//! Which lanes of benches stand for each other.

use crate::scenario::Scenario;

/// For each row of a comparison, the place of its lane in each bench; `None` where a bench has none.
///
/// The lanes of the first bench come in their order. Another's lane stands where its name does; one whose name none of the rows has yet
/// stands in the first row that has room and whose name its own bench does not have elsewhere, or else in a row of its own.
#[must_use]
pub fn places(benches: &[&Scenario]) -> Vec<Vec<Option<usize>>> {
    let mut rows: Vec<(String, Vec<Option<usize>>)> = Vec::new();
    for (b, bench) in benches.iter().enumerate() {
        let named = |name: &str| bench.lanes.iter().any(|l| l.name == name);
        let mut left = Vec::new();
        for (i, lane) in bench.lanes.iter().enumerate() {
            match rows.iter_mut().find(|(name, places)| *name == lane.name && places[b].is_none()) {
                Some((_, places)) => places[b] = Some(i),
                None => left.push(i),
            }
        }
        for i in left {
            match rows.iter_mut().find(|(name, places)| places[b].is_none() && !named(name)) {
                Some((_, places)) => places[b] = Some(i),
                None => {
                    let mut places = vec![None; benches.len()];
                    places[b] = Some(i);
                    rows.push((bench.lanes[i].name.clone(), places));
                }
            }
        }
    }
    rows.into_iter().map(|(_, places)| places).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets::demos;

    fn bench(names: &[&str]) -> Scenario {
        let mut scenario = demos().remove(0).1;
        let lane = scenario.lanes[0].clone();
        scenario.lanes = names
            .iter()
            .map(|name| {
                let mut lane = lane.clone();
                (*name).clone_into(&mut lane.name);
                lane
            })
            .collect();
        scenario
    }

    fn of(benches: &[&[&str]]) -> Vec<Vec<Option<usize>>> {
        let benches: Vec<Scenario> = benches.iter().map(|names| bench(names)).collect();
        places(&benches.iter().collect::<Vec<_>>())
    }

    #[test]
    fn the_same_name_is_the_same_lane_wherever_it_stands() {
        assert_eq!(of(&[&["a", "b"], &["b", "a"]]), [[Some(0), Some(1)], [Some(1), Some(0)]]);
    }

    #[test]
    fn what_is_left_over_goes_by_its_place() {
        // A lane that was given another name.
        assert_eq!(of(&[&["a", "b"], &["a", "c"]]), [[Some(0), Some(0)], [Some(1), Some(1)]]);
        assert_eq!(of(&[&["a"], &["c"], &["a"]]), [[Some(0), Some(0), Some(0)]]);
        // One more, and one less.
        assert_eq!(of(&[&["a"], &["a", "b"]]), [[Some(0), Some(0)], [None, Some(1)]]);
        assert_eq!(of(&[&["a", "b"], &["b"]]), [[Some(0), None], [Some(1), Some(0)]]);
    }

    #[test]
    fn a_lane_of_a_row_that_came_later_finds_it() {
        assert_eq!(of(&[&["a"], &["a", "b"], &["b"]]), [[Some(0), Some(0), None], [None, Some(1), Some(0)]]);
    }
}
