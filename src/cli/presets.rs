//! `slakeline presets`: what there is, and one of them as it is written.

use std::io::{self, Write};

use super::failure::Failure;
use super::output;
use crate::scenario::presets::{Library, Preset, demo_text, demos, text_of, user_folder};
use crate::scenario::{ClimatePreset, Container, Crop, Medium};

const DEMOS: &str = "demos";

/// Runs the command.
pub fn run(kind: Option<&str>, name: Option<&str>) -> Result<(), Failure> {
    let library = super::library();
    let kinds = [Medium::KIND, Container::KIND, Crop::KIND, ClimatePreset::KIND, DEMOS];
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
    let folder = user_folder();
    let folder = folder.as_deref();
    let text = match kind {
        Medium::KIND => text_of::<Medium>(name, folder),
        Container::KIND => text_of::<Container>(name, folder),
        Crop::KIND => text_of::<Crop>(name, folder),
        ClimatePreset::KIND => text_of::<ClimatePreset>(name, folder),
        _ => demo_text(name).map(str::to_owned),
    };
    match text {
        Some(text) => output::to_standard(|out| out.write_all(text.as_bytes())),
        None => Err(Failure::input(format!("no preset of {kind} is named \"{name}\""), format!("There are: {}.", names.join("; ")))),
    }
}

fn names(library: &Library, kind: &str) -> Vec<String> {
    fn of<T: Preset>(library: &Library) -> Vec<String> {
        T::of(library).iter().map(|p| p.name().to_owned()).collect()
    }
    match kind {
        Medium::KIND => of::<Medium>(library),
        Container::KIND => of::<Container>(library),
        Crop::KIND => of::<Crop>(library),
        ClimatePreset::KIND => of::<ClimatePreset>(library),
        _ => demos().into_iter().map(|(name, _)| name.trim_end_matches(".ron").to_owned()).collect(),
    }
}

fn list(out: &mut dyn Write, kind: &str, names: &[String]) -> io::Result<()> {
    writeln!(out, "{kind}")?;
    names.iter().try_for_each(|name| writeln!(out, "  {name}"))
}
