//! Reading a preset file of any kind into the user's own presets: what it is is told from its fields.

use std::path::{Path, PathBuf};

use super::kind::Kind;
use super::library::Library;
use super::own::{Denied, place, retitled};
use super::preset::{Preset, with_kind};
use super::shelf::{is_shipped, own_file, parsed, read};
use crate::scenario::file;

/// What was taken in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Imported {
    /// Which kind it is.
    pub kind: Kind,
    /// The name it has now.
    pub name: String,
    /// Its file among the user's own.
    pub path: PathBuf,
}

/// What a file's fields say it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Content {
    Preset(Kind),
    Scenario,
}

/// Whether the file holds a preset, so far as its fields say. A file that cannot be read holds none.
#[must_use]
pub fn is_preset(path: &Path) -> bool {
    read(path).is_ok_and(|text| matches!(content(&fields(&text)), Some(Content::Preset(_))))
}

/// Reads a preset file of any kind, at most [`file::MAX_BYTES`], checks every value and saves it among the user's own. `name`: under
/// another name than the file gives. `over`: one of the user's own of that name is replaced, and kept beside as `.bak`.
///
/// # Errors
/// [`Denied::Shipped`] or [`Denied::Taken`] for its name; [`Denied::Other`]: it is no preset, a value cannot be, or what the system said.
pub fn import(path: &Path, name: Option<&str>, over: bool, folder: &Path, library: &Library) -> Result<Imported, Denied> {
    let text = read(path).map_err(|e| Denied::Other(format!("{e}. {}", "Choose a preset, a text file that ends in .ron.")))?;
    let found = fields(&text);
    match content(&found) {
        Some(Content::Preset(kind)) => with_kind!(kind, T => import_as::<T>(path, &text, name, over, folder, library)),
        Some(Content::Scenario) => {
            Err(Denied::Other(format!("{} is a whole bench, not a preset. Open it with File, Open.", path.display())))
        }
        None => Err(Denied::Other(format!("{} is no preset: {}", path.display(), unknown(&text, &found)))),
    }
}

fn unknown(text: &str, found: &[String]) -> String {
    if text.trim().is_empty() {
        return "it is empty.".to_owned();
    }
    let marks = "A medium has `curve`, a container `parts`, a crop `uptake_ec`, a climate `climate`, a feed `ec`, targets `targets`, a \
        schedule `events`, a preset per crop `lane`.";
    if found.is_empty() {
        return format!("it has no fields in brackets, like (name: \"…\"). {marks}");
    }
    let shown: Vec<String> = found.iter().take(8).map(|f| file::printable(f, 30)).collect();
    format!("its fields ({}) are those of no kind. {marks}", shown.join(", "))
}

fn import_as<T: Preset>(
    path: &Path,
    text: &str,
    name: Option<&str>,
    over: bool,
    folder: &Path,
    library: &Library,
) -> Result<Imported, Denied> {
    let mut preset = parsed::<T>(text).map_err(|e| {
        let at = e.span.start;
        let cause = file::printable(&e.code.to_string(), 300);
        Denied::Other(format!(
            "{}:{}:{}: as a {}, {cause}. Mend that place in a text editor.",
            path.display(),
            at.line,
            at.col,
            T::KIND.one()
        ))
    })?;
    let mut text = text.to_owned();
    if let Some(name) = name.map(str::trim).filter(|n| *n != preset.name()) {
        (preset, text) = retitled(preset, &text, name)?;
    }
    let name = preset.name().to_owned();
    if !over && own_file::<T>(&name, folder).is_some() && !is_shipped::<T>(&name) {
        return Err(Denied::Taken(name));
    }
    if let Some(problem) = preset.problems(library).first() {
        return Err(Denied::Other(format!("{}: {}.", path.display(), file::printable(&problem.to_string(), 400))));
    }
    let path = place(&preset, &text, folder, library)?;
    Ok(Imported { kind: T::KIND, name, path })
}

/// What fields of the outermost brackets belong to: each kind has one that no other has.
fn content(fields: &[String]) -> Option<Content> {
    let has = |name: &str| fields.iter().any(|f| f == name);
    // A setup has much in common with a whole bench.
    let marks = [
        ("lane", Kind::Setup),
        ("curve", Kind::Medium),
        ("parts", Kind::Container),
        ("uptake_ec", Kind::Crop),
        ("events", Kind::Schedule),
        ("targets", Kind::Targets),
        ("climate", Kind::Climate),
        ("ec", Kind::Feed),
    ];
    if has("format") || has("lanes") {
        return Some(Content::Scenario);
    }
    marks.into_iter().find(|(mark, _)| has(mark)).map(|(_, kind)| Content::Preset(kind))
}

/// The names of the fields in the outermost brackets, whatever else may be wrong. Text and comments are passed over.
fn fields(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let (mut depth, mut word) = (0_i32, String::new());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '"' => {
                while let Some(c) = chars.next() {
                    match c {
                        '\\' => {
                            chars.next();
                        }
                        '"' => break,
                        _ => {}
                    }
                }
            }
            '/' if chars.peek() == Some(&'/') => {
                let _ = chars.by_ref().find(|c| *c == '\n');
                continue;
            }
            '/' if chars.peek() == Some(&'*') => {
                let mut before = ' ';
                chars.next();
                let _ = chars.by_ref().find(|c| std::mem::replace(&mut before, *c) == '*' && *c == '/');
                continue;
            }
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' => depth -= 1,
            ':' if depth == 1 && !word.is_empty() => found.push(std::mem::take(&mut word)),
            _ => {}
        }
        if c == '_' || c.is_alphanumeric() {
            word.push(c);
        } else if !c.is_whitespace() {
            word.clear();
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_of_the_outermost_brackets_are_found_whatever_stands_in_between() {
        let text = "// lane: (\n/* curve: */ (name: \"a: (b\", parts: [(ec: 1)], own /* x */ : Some(2), ec: 2)";
        assert_eq!(fields(text), ["name", "parts", "own", "ec"]);
        assert_eq!(fields("not a preset: at all"), [""; 0]);
        assert_eq!(fields("((((\"\\\""), [""; 0]);
    }
}
