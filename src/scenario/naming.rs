//! What is called after a preset without being it, and what names state.

/// Most characters of a name.
const MOST: usize = 80;
const CHANGED: &str = "changed from ";
const OWN: &str = "own ";

/// The name of what began as a preset and was changed by hand.
#[must_use]
pub fn changed_from(name: &str) -> String {
    format!("{CHANGED}{name}").chars().take(MOST).collect()
}

/// The name of values of one's own that are still those of a preset.
#[must_use]
pub fn own(name: &str) -> String {
    format!("{OWN}{name}").chars().take(MOST).collect()
}

/// The name that is proposed for a preset of one's own.
#[must_use]
pub fn mine(name: &str) -> String {
    format!("my {name}").chars().take(MOST).collect()
}

/// Whether a name says that its values were changed.
#[must_use]
pub fn is_changed(name: &str) -> bool {
    name.starts_with(CHANGED)
}

/// The name of the preset that something began as.
#[must_use]
pub fn preset_of(name: &str) -> &str {
    name.strip_prefix(CHANGED).or_else(|| name.strip_prefix(OWN)).unwrap_or(name)
}

/// Litres that a name states ("12 L", "2.5 L"); `None` where it states none.
#[must_use]
pub fn litres(name: &str) -> Option<f64> {
    let words: Vec<&str> = name.split([' ', ',', '(', ')']).filter(|w| !w.is_empty()).collect();
    words.iter().enumerate().find_map(|(i, word)| {
        let number = if *word == "L" { words.get(i.checked_sub(1)?)? } else { word.strip_suffix('L')? };
        number.parse::<f64>().ok().filter(|litres| *litres > 0.0)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_taken_apart() {
        assert_eq!(preset_of(&changed_from("pot, round, 19 L")), "pot, round, 19 L");
        assert_eq!(preset_of(&own("coir pith")), "coir pith");
        assert_eq!(
            ["bag, coir, upright, 12 L", "2.5L pot", "pot (0.75 L)", "slab L 100", "L"].map(litres),
            [Some(12.0), Some(2.5), Some(0.75), None, None]
        );
    }
}
