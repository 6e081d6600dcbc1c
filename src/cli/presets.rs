//! `slakeline presets`: what there is, and one of them as it is written.

use std::io::{self, Write};

use super::failure::Failure;
use super::output;
use crate::scenario::presets::{Kind, Library, demo_text, demos, user_folder};

const DEMOS: &str = "demos";

/// Runs the command.
pub fn run(kind: Option<&str>, name: Option<&str>) -> Result<(), Failure> {
    let library = super::input::library();
    let kinds = kinds();
    let Some(kind) = kind else {
        return output::to_standard(|out| kinds.iter().try_for_each(|kind| list(out, kind, &names(&library, kind))));
    };
    if !kinds.contains(&kind) {
        return Err(Failure::input(format!("there are no presets of the kind \"{kind}\""), format!("The kinds are {}.", kinds.join(", "))));
    }
    let names = names(&library, kind);
    let Some(name) = name else {
        return output::to_standard(|out| names.iter().try_for_each(|name| writeln!(out, "{name}")));
    };
    let text = match Kind::of_folder(kind) {
        Some(kind) => kind.text(name, user_folder().as_deref()),
        None => demo_text(name).map(str::to_owned),
    };
    match text {
        Some(text) => output::to_standard(|out| out.write_all(text.as_bytes())),
        None => Err(Failure::input(format!("no preset of {kind} is named \"{name}\""), format!("There are: {}.", names.join("; ")))),
    }
}

/// Every kind, by the word that asks for it.
fn kinds() -> Vec<&'static str> {
    Kind::ALL.into_iter().map(Kind::folder).chain([DEMOS]).collect()
}

/// The kinds as the help lists them.
pub fn kinds_in_words() -> String {
    let kinds = kinds();
    match kinds.split_last() {
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
        None => String::new(),
    }
}

fn names(library: &Library, kind: &str) -> Vec<String> {
    match Kind::of_folder(kind) {
        Some(kind) => kind.names(library),
        None => demos().into_iter().map(|(name, _)| name.trim_end_matches(".ron").to_owned()).collect(),
    }
}

fn list(out: &mut dyn Write, kind: &str, names: &[String]) -> io::Result<()> {
    writeln!(out, "{kind}")?;
    names.iter().try_for_each(|name| writeln!(out, "  {name}"))
}
