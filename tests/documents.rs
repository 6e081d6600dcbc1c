//! The documents keep what they promise: links lead somewhere, every field of a file is told, and none is too long to be read.

// A test stops where it fails.
#![allow(clippy::unwrap_used)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use slakeline::help::{Block, CHAPTERS, Span, target};
use slakeline::scenario::presets::Kind;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf()
}

fn read(file: &str) -> String {
    fs::read_to_string(root().join(file)).unwrap()
}

/// What the links of a text lead to.
fn links(text: &str) -> Vec<String> {
    let ends = text.match_indices("](").map(|(at, _)| &text[at + 2..]);
    ends.filter_map(|rest| Some(rest.split_once(')')?.0.to_owned())).collect()
}

fn words(text: &str) -> usize {
    text.split_whitespace().count()
}

/// Every span of a chapter.
fn spans(chapter: usize) -> Vec<Span<'static>> {
    let of = |block: Block<'static>| match block {
        Block::Text(spans) | Block::Item(spans) => spans,
        Block::Row(cells) => cells.into_iter().flatten().collect(),
        Block::Head(..) | Block::Code(_) => Vec::new(),
    };
    CHAPTERS[chapter].blocks().into_iter().flat_map(of).collect()
}

#[test]
fn every_link_of_the_help_leads_to_a_chapter_and_every_chapter_is_shown() {
    let mut followed = 0;
    for (i, chapter) in CHAPTERS.iter().enumerate() {
        assert!(chapter.text.starts_with("# ") && chapter.title().len() > 4, "{}", chapter.file);
        let seen: Vec<&str> = spans(i).into_iter().filter_map(|s| if let Span::Link(_, to) = s { Some(to) } else { None }).collect();
        assert_eq!(seen, links(chapter.text), "{}: a link is not seen as one", chapter.file);
        for to in seen {
            assert!(target(to).is_some(), "{} leads to {to}, which is no chapter", chapter.file);
            followed += 1;
        }
    }
    assert!(followed >= 3, "{followed} links are few");
    let files: BTreeSet<String> =
        fs::read_dir(root().join("assets/help")).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    assert_eq!(files, CHAPTERS.iter().map(|c| c.file.to_owned()).collect(), "every file is a chapter");
}

#[test]
fn links_of_readme_and_guide_lead_to_files_and_to_every_chapter() {
    for file in ["README.md", "DEVELOPERS.md"] {
        let links = links(&read(file));
        assert!(!links.is_empty(), "{file}");
        for link in links.iter().filter(|l| !l.starts_with("http")) {
            assert!(root().join(link.split('#').next().unwrap()).exists(), "{file} leads to {link}, which is not there");
        }
    }
    let readme = links(&read("README.md"));
    for chapter in &CHAPTERS {
        assert!(readme.contains(&format!("assets/help/{}", chapter.file)), "README leads to {}", chapter.file);
    }
}

/// Names of what a file may hold: the public fields of plain data, and those of the kinds of a choice.
fn fields(source: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut within = false;
    for line in source.lines().take_while(|l| !l.starts_with("#[cfg(test)]")) {
        if line.starts_with("pub struct") || line.starts_with("pub enum") {
            within = true;
        } else if line.starts_with('}') {
            within = false;
        }
        let field = line.trim_start();
        let name = field.strip_prefix("pub ").unwrap_or(field).split(':').next().unwrap_or_default();
        let named = !name.is_empty() && name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
        if within && named && field.contains(": ") && !field.starts_with("//") {
            found.insert(name.to_owned());
        }
    }
    found
}

#[test]
fn every_field_of_scenarios_and_presets_is_told_in_the_chapter_of_files() {
    let at = target("files.md").unwrap();
    let mut told = BTreeSet::new();
    for span in spans(at) {
        if let Span::Code(code) = span {
            told.extend(code.split(|c: char| !(c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')).map(str::to_owned));
        }
    }
    let mut asked = BTreeSet::new();
    let plain = [
        "bench",
        "climate",
        "container",
        "crop",
        "lane",
        "medium",
        "plan",
        "rule",
        "schedule",
        "solver",
        "tank",
        "targets",
        "valve",
        "presets/parts",
        "presets/setup",
    ];
    for file in plain {
        let fields = fields(&read(&format!("src/scenario/{file}.rs")));
        assert!(!fields.is_empty(), "{file} has fields");
        asked.extend(fields);
    }
    assert!(
        asked.len() > 100 && asked.contains("ks_cm_per_day") && asked.contains("falls_to"),
        "{} are not all there is: {asked:?}",
        asked.len()
    );
    let missing: Vec<&String> = asked.difference(&told).collect();
    assert!(missing.is_empty(), "not told: {missing:?}");
    for kind in Kind::ALL {
        assert!(told.contains(kind.folder()), "{} are not told", kind.folder());
    }
}

#[test]
fn every_command_is_told_in_the_chapter_of_the_window() {
    let help = std::process::Command::new(env!("CARGO_BIN_EXE_slakeline")).arg("--help").output().unwrap();
    let help = String::from_utf8(help.stdout).unwrap();
    let listed = help.split_once("Commands:").unwrap().1.split("\n\n").next().unwrap();
    let commands: Vec<&str> = listed.lines().filter(|l| l.starts_with("  ")).filter_map(|l| l.split_whitespace().next()).collect();
    assert!(commands.contains(&"simulate") && commands.len() > 4, "{commands:?}");
    let chapter = CHAPTERS[target("window.md").unwrap()].text;
    for command in commands.iter().filter(|c| **c != "help") {
        assert!(chapter.contains(&format!("    slakeline {command} ")), "{command} is not told");
    }
}

#[test]
fn readme_and_guide_are_short_enough_to_be_read() {
    let (readme, guide) = (words(&read("README.md")), words(&read("DEVELOPERS.md")));
    assert!(readme < 700, "README has {readme} words");
    assert!(guide < 1800, "the guide has {guide} words");
}

#[test]
fn every_dependency_is_justified_in_the_guide() {
    let (manifest, guide) = (read("Cargo.toml"), read("DEVELOPERS.md"));
    let mut section = "";
    let mut seen = 0;
    for line in manifest.lines() {
        if line.starts_with('[') {
            section = line;
        }
        if !section.ends_with("dependencies]") {
            continue;
        }
        let Some(name) = line.split(" = ").next().filter(|n| !n.is_empty() && !n.starts_with(['#', '['])) else { continue };
        assert!(guide.contains(&format!("| `{name}` |")), "{name} has no line in DEVELOPERS.md");
        seen += 1;
    }
    assert!(seen > 15, "{seen} dependencies are not all");
}
