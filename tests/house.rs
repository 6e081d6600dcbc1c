//! The house, held by what its files import: a lower room never names a higher one, and nothing goes round in a circle.
//!
//! Read are the `use` lines and the paths in code that begin with `crate`, `super`, `self` or a module within, without comments, texts
//! and test modules. A method that is called without being imported is not seen.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::fs;
use std::path::Path;

/// Rooms of the crate and their floors.
const FLOORS: [(&str, u8); 17] = [
    ("physics", 0),
    ("numerics", 0),
    ("units", 0),
    ("jobs", 0),
    ("scenario", 1),
    ("edits", 1),
    ("engine", 2),
    ("figures", 3),
    ("readings", 3),
    ("studies", 4),
    ("lessons", 4),
    ("projection", 5),
    ("sheet", 5),
    ("cli", 6),
    ("app", 6),
    ("main", 6),
    // The crate's front page: it declares and shows all.
    ("", 7),
];

/// Rooms within the window and their floors.
const WINDOW: [(&str, u8); 10] = [
    ("state", 0),
    ("actions", 1),
    ("look", 2),
    ("pages", 3),
    ("windows", 4),
    ("frame", 5),
    ("window", 6),
    ("carry_out", 7),
    ("each_frame", 8),
    // The window's front page.
    ("", 9),
];

/// Rooms within the engine and their floors.
const ENGINE: [(&str, u8); 6] = [
    ("column", 0),
    ("demand", 0),
    ("supply", 1),
    ("step", 2),
    ("run", 3),
    // The engine's front page.
    ("", 4),
];

/// A module by the names on the way to it; none is the crate's root.
type Module = Vec<String>;
/// What each file's module imports.
type Arrows = BTreeMap<Module, BTreeSet<Module>>;

/// The module that a file under `src` is.
fn module_of(file: &str) -> Module {
    let stem = file.strip_suffix(".rs").unwrap_or(file);
    let mut module: Module = stem.split('/').map(str::to_owned).collect();
    if matches!(module.last().map(String::as_str), Some("mod" | "lib")) {
        module.pop();
    }
    module
}

/// The code without comments and without what stands in quotation marks.
fn bare(source: &str) -> String {
    let s: Vec<char> = source.chars().collect();
    let mut out = String::new();
    let mut i = 0;
    let at = |i: usize| s.get(i).copied().unwrap_or('\0');
    while i < s.len() {
        match (s[i], at(i + 1)) {
            ('/', '/') => {
                while i < s.len() && s[i] != '\n' {
                    i += 1;
                }
            }
            ('/', '*') => {
                let mut depth = 0;
                loop {
                    match (at(i), at(i + 1)) {
                        ('/', '*') => (depth, i) = (depth + 1, i + 2),
                        ('*', '/') => (depth, i) = (depth - 1, i + 2),
                        _ => i += 1,
                    }
                    if depth == 0 || i >= s.len() {
                        break;
                    }
                }
            }
            ('r', '"' | '#') if i == 0 || !(s[i - 1].is_alphanumeric() || s[i - 1] == '_') => {
                let marks = s[i + 1..].iter().take_while(|c| **c == '#').count();
                if at(i + 1 + marks) != '"' {
                    out.push('r');
                    i += 1;
                    continue;
                }
                i += marks + 2;
                while i < s.len() && !(s[i] == '"' && s[i + 1..].iter().take_while(|c| **c == '#').count() >= marks) {
                    i += 1;
                }
                i += 1 + marks;
            }
            ('"', _) => {
                i += 1;
                while i < s.len() && s[i] != '"' {
                    i += if s[i] == '\\' { 2 } else { 1 };
                }
                i += 1;
            }
            // A letter in quotation marks, but no lifetime.
            ('\'', '\\') => {
                i += 3;
                while i < s.len() && s[i] != '\'' {
                    i += 1;
                }
                i += 1;
            }
            ('\'', _) if at(i + 2) == '\'' => i += 3,
            (c, _) => {
                out.push(c);
                i += 1;
            }
        }
    }
    out
}

/// The code without modules that are compiled for tests only, and the names of those that have files of their own.
fn without_tests(code: &str) -> (String, Vec<String>) {
    let (mut out, mut rest, mut elsewhere) = (String::new(), code, Vec::new());
    while let Some(at) = rest.find("#[cfg(test)]") {
        out.push_str(&rest[..at]);
        let from = &rest[at..];
        let end = from.find(['{', ';']).unwrap_or(from.len() - 1);
        if from[end..].starts_with(';') {
            elsewhere.extend(from[..end].split_whitespace().last().map(str::to_owned));
            rest = &from[end + 1..];
            continue;
        }
        let mut depth = 0_usize;
        let close = from[end..].char_indices().find(|(_, c)| {
            depth = match c {
                '{' => depth + 1,
                '}' => depth - 1,
                _ => depth,
            };
            depth == 0
        });
        rest = close.map_or("", |(k, _)| &from[end + k + 1..]);
    }
    out.push_str(rest);
    (out, elsewhere)
}

/// The paths of a `use` tree, whole.
fn leaves(tree: &str) -> Vec<String> {
    let tree = tree.trim();
    let Some(open) = tree.find('{') else {
        return vec![tree.split(" as ").next().unwrap_or_default().split_whitespace().collect()];
    };
    let (before, inner) = (&tree[..open], tree[open + 1..].trim_end().trim_end_matches('}'));
    // What was trimmed may have closed an inner tree.
    let missing = inner.matches('{').count() - inner.matches('}').count();
    let inner = format!("{inner}{}", "}".repeat(missing));
    let (mut depth, mut part, mut parts) = (0, String::new(), Vec::new());
    for c in inner.chars() {
        match c {
            ',' if depth == 0 => parts.push(std::mem::take(&mut part)),
            _ => {
                depth += i32::from(c == '{') - i32::from(c == '}');
                part.push(c);
            }
        }
    }
    parts.push(part);
    let whole = |part: &String| leaves(part).into_iter().map(|leaf| format!("{}{leaf}", before.trim()));
    parts.iter().filter(|p| !p.trim().is_empty()).flat_map(whole).collect()
}

/// Where a path that is written in a module leads, from the crate's root; `None` for another crate's and for local names.
fn resolved(path: &str, from: &[String]) -> Option<Module> {
    let mut names = path.split("::").filter(|n| !n.is_empty()).peekable();
    let mut module: Module = match names.next()? {
        "crate" | "slakeline" => Vec::new(),
        "self" => from.to_vec(),
        "super" => from[..from.len().checked_sub(1)?].to_vec(),
        _ => return None,
    };
    while names.next_if_eq(&"super").is_some() {
        module.pop()?;
    }
    module.extend(names.filter(|n| *n != "self" && *n != "*").map(str::to_owned));
    Some(module)
}

/// Every path that code names, in `use` lines and elsewhere. `children` are modules within this one: their names lead to them.
fn paths(code: &str, children: &[&str]) -> Vec<String> {
    let mut found = Vec::new();
    let is_name = |c: char| c.is_alphanumeric() || c == '_';
    let mut at = 0;
    while at < code.len() {
        let rest = &code[at..];
        // What follows `pub(in ` says who may look, and imports nothing.
        let starts = at == 0 || !(code[..at].ends_with(|c| is_name(c) || c == ':' || c == '$') || code[..at].ends_with("(in "));
        if starts && rest.starts_with("use ") {
            let end = rest.find(';').unwrap_or(rest.len());
            let whole = leaves(&rest[4..end]).into_iter();
            let of_child = |leaf: &String| children.contains(&leaf.split("::").next().unwrap_or_default());
            found.extend(whole.map(|leaf| if of_child(&leaf) { format!("self::{leaf}") } else { leaf }));
            at += end;
        } else if starts && ["crate::", "super::", "self::", "slakeline::"].iter().any(|p| rest.starts_with(p)) {
            let end = rest.find(|c| !(is_name(c) || c == ':')).unwrap_or(rest.len());
            found.push(rest[..end].trim_end_matches(':').to_owned());
            at += end;
        } else if starts && rest.starts_with(is_name) {
            let end = rest.find(|c| !is_name(c)).unwrap_or(rest.len());
            if rest[end..].starts_with("::") && children.contains(&&rest[..end]) {
                found.push(format!("self::{}", &rest[..end]));
            }
            at += end;
        } else {
            at += rest.chars().next().map_or(1, char::len_utf8);
        }
    }
    found
}

/// What each file imports of the others.
fn arrows(files: &[(String, String)]) -> Arrows {
    let mut read: BTreeMap<Module, String> = BTreeMap::new();
    let mut only_tests: Vec<Module> = Vec::new();
    for (file, source) in files {
        let (code, elsewhere) = without_tests(&bare(source));
        let module = module_of(file);
        only_tests.extend(elsewhere.into_iter().map(|name| [module.clone(), vec![name]].concat()));
        read.insert(module, code);
    }
    read.retain(|module, _| !only_tests.contains(module));
    let known: Vec<Module> = read.keys().cloned().collect();
    let mut arrows = Arrows::new();
    for (module, code) in &read {
        let to = arrows.entry(module.clone()).or_default();
        let inside = known.iter().filter(|k| k.len() == module.len() + 1 && k.starts_with(module));
        let children: Vec<&str> = inside.filter_map(|k| k.last().map(String::as_str)).collect();
        for path in paths(code, &children) {
            let Some(whole) = resolved(&path, module) else { continue };
            let file = (0..=whole.len()).rev().map(|n| &whole[..n]).find(|m| known.iter().any(|k| k == m));
            to.extend(file.filter(|m| m != module && !m.is_empty()).map(<[String]>::to_vec));
        }
    }
    arrows
}

fn name(module: &[String]) -> String {
    module.join("::")
}

/// The floor of a room, by its table.
fn floor(table: &[(&str, u8)], room: &str) -> Option<u8> {
    table.iter().find(|r| r.0 == room).map(|r| r.1)
}

/// Arrows from a lower room to a higher one, where `room` gives the room that a module of the part looked at stands in.
fn upward(arrows: &Arrows, table: &[(&str, u8)], room: impl Fn(&Module) -> Option<String>) -> Vec<String> {
    let mut faults = Vec::new();
    for (from, to) in arrows {
        let Some(here) = room(from) else { continue };
        let Some(low) = floor(table, &here) else {
            faults.push(format!("{} stands in a room without a floor: give \"{here}\" one", name(from)));
            continue;
        };
        for to in to {
            let Some(there) = room(to) else { continue };
            if let Some(high) = floor(table, &there).filter(|high| *high > low) {
                faults.push(format!("{} (floor {low}) names {} (floor {high})", name(from), name(to)));
            }
        }
    }
    faults
}

/// What can be reached from a place by at least one arrow.
fn reached<T: Ord + Clone>(arrows: &BTreeMap<T, BTreeSet<T>>, from: &T) -> BTreeSet<T> {
    let mut seen = BTreeSet::new();
    let mut next: VecDeque<T> = arrows.get(from).into_iter().flatten().cloned().collect();
    while let Some(at) = next.pop_front() {
        if seen.insert(at.clone()) {
            next.extend(arrows.get(&at).into_iter().flatten().cloned());
        }
    }
    seen
}

/// Everything that goes round, each circle once.
fn circles<T: Ord + Clone>(arrows: &BTreeMap<T, BTreeSet<T>>) -> Vec<Vec<T>> {
    let all: BTreeMap<&T, BTreeSet<T>> = arrows.keys().map(|k| (k, reached(arrows, k))).collect();
    let mut found: BTreeSet<Vec<T>> = BTreeSet::new();
    for (from, there) in &all {
        if there.contains(*from) {
            found.insert(there.iter().filter(|to| all.get(to).is_some_and(|back| back.contains(*from))).cloned().collect());
        }
    }
    found.into_iter().collect()
}

/// All that is wrong with a tree of files: their names under `src`, and their sources.
fn faults(files: &[(String, String)]) -> Vec<String> {
    let arrows = arrows(files);
    let room = |m: &Module| Some(m.first().cloned().unwrap_or_default());
    let within = |whole: &'static str| move |m: &Module| (m.first()? == whole).then(|| m.get(1).cloned().unwrap_or_default());
    let mut faults = upward(&arrows, &FLOORS, room);
    faults.extend(upward(&arrows, &WINDOW, within("app")));
    faults.extend(upward(&arrows, &ENGINE, within("engine")));
    let mut rooms: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (from, to) in &arrows {
        let here = room(from).unwrap_or_default();
        let others = to.iter().filter_map(&room).filter(|there| *there != here && floor(&FLOORS, there) == floor(&FLOORS, &here));
        rooms.entry(here.clone()).or_default().extend(others.collect::<Vec<_>>());
    }
    faults.extend(circles(&rooms).into_iter().map(|c| format!("rooms in a circle: {}", c.join(", "))));
    for circle in circles(&arrows) {
        let ties = circle.iter().flat_map(|from| arrows[from].iter().filter(|to| circle.contains(to)).map(move |to| (from, to)));
        let ties: Vec<String> = ties.map(|(from, to)| format!("{} → {}", name(from), name(to))).collect();
        faults.push(format!("{} files in a circle: {}", circle.len(), ties.join(", ")));
    }
    faults
}

/// Files that know the toolkit though they stand below the window, or draw though they only remember: those of `state` know the context
/// alone, which they wake up.
fn drawing(files: &[(String, String)]) -> Vec<String> {
    let told = |(file, source): &(String, String)| {
        let code = without_tests(&bare(source)).0;
        let named: Vec<String> = paths(&code, &[]).into_iter().filter(|p| p.starts_with("eframe") || p.starts_with("egui")).collect();
        let fine = match file {
            f if f.starts_with("app/state/") => named.iter().all(|n| n == "eframe::egui::Context"),
            f if f.starts_with("app/") => true,
            _ => named.is_empty() && !code.contains("eframe") && !code.contains("egui"),
        };
        (!fine).then(|| format!("{file} names {}", named.join(", ")))
    };
    files.iter().filter_map(told).collect()
}

/// Every source under a folder, by its name from there.
fn sources(folder: &Path, under: &str, into: &mut Vec<(String, String)>) {
    for entry in fs::read_dir(folder).expect("the sources are there") {
        let path = entry.expect("an entry").path();
        let file = path.file_name().expect("a name").to_string_lossy().into_owned();
        let whole = if under.is_empty() { file.clone() } else { format!("{under}/{file}") };
        if path.is_dir() {
            sources(&path, &whole, into);
        } else if file.ends_with(".rs") {
            into.push((whole, fs::read_to_string(&path).expect("a source")));
        }
    }
}

#[test]
fn the_house_stands() {
    let mut files = Vec::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), "", &mut files);
    let read = arrows(&files);
    let many: usize = read.values().map(BTreeSet::len).sum();
    assert!(read.len() > 100 && many > 400, "{} files with {many} arrows are not all there is", read.len());
    let faults = faults(&files);
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
    assert_eq!(drawing(&files), Vec::<String>::new());
}

#[test]
fn what_draws_where_nothing_may_is_found() {
    let file = |name: &str, source: &str| drawing(&[(name.to_owned(), source.to_owned())]);
    assert_eq!(file("app/state/days.rs", "use eframe::egui::Context;"), Vec::<String>::new());
    assert_eq!(file("app/pages/depth.rs", "use eframe::egui::{Context, Ui};"), Vec::<String>::new());
    assert_eq!(
        file("app/state/days.rs", "use eframe::egui::{Context, Ui};"),
        ["app/state/days.rs names eframe::egui::Context, eframe::egui::Ui"]
    );
    assert_eq!(file("edits/lanes.rs", "use eframe::egui::Context;"), ["edits/lanes.rs names eframe::egui::Context"]);
}

/// The faults of a made-up tree.
fn of(files: &[(&str, &str)]) -> Vec<String> {
    faults(&files.iter().map(|(f, s)| ((*f).to_owned(), (*s).to_owned())).collect::<Vec<_>>())
}

#[test]
fn a_sound_tree_has_no_fault() {
    let tree = [
        ("lib.rs", "pub mod physics; pub mod scenario; pub mod app;"),
        ("physics/mod.rs", "pub mod light;"),
        ("physics/light.rs", "// use crate::app::App;\nconst TEXT: &str = \"use crate::app::App;\"; fn f<'a>(x: &'a str) -> char { 'x' }"),
        (
            "scenario/mod.rs",
            "use crate::physics::light;\n#[cfg(test)]\nmod tests { use crate::app::App; fn f() { if true {} } }\nmod lane;",
        ),
        ("scenario/lane.rs", "use super::Scenario;"),
        ("app/mod.rs", "pub use self::window::App;"),
        ("app/window.rs", "pub(in crate::app) struct S; use super::state::Kept; use crate::scenario::{Scenario, lane::{Lane}};"),
        ("app/state/mod.rs", "pub struct Kept;\n#[cfg(test)]\nmod tests;"),
        ("app/state/tests.rs", "use crate::app::window::App;"),
    ];
    assert_eq!(of(&tree), Vec::<String>::new());
}

#[test]
fn what_is_wrong_is_found() {
    let one = |files: &[(&str, &str)], said: &str| {
        let faults = of(files);
        assert!(faults.len() == 1 && faults[0].contains(said), "{faults:?} is not {said}");
    };
    one(&[("physics/light.rs", "use crate::engine::Run;"), ("engine/mod.rs", "")], "physics::light (floor 0) names engine (floor 2)");
    one(
        &[("scenario/mod.rs", "use crate::{physics::light, app::{state::{Kept}}};"), ("app/state/mod.rs", "")],
        "scenario (floor 1) names app::state (floor 6)",
    );
    one(&[("units.rs", "fn f() { crate::scenario::Clock::hm(1, 2); }"), ("scenario/mod.rs", "")], "units (floor 0) names scenario");
    one(&[("app/state/mod.rs", "use super::look::theme;"), ("app/look/theme.rs", "")], "app::state (floor 0) names app::look::theme");
    one(&[("engine/step/mod.rs", "use crate::engine::run::Run;"), ("engine/run/mod.rs", "")], "engine::step (floor 2) names engine::run");
    one(&[("app/attic/mod.rs", "")], "give \"attic\" one");
    one(
        &[
            ("figures/day.rs", "use crate::readings::Log;"),
            ("figures/mod.rs", ""),
            ("readings/mod.rs", ""),
            ("readings/log.rs", "fn f() -> crate::figures::Day { g() }"),
        ],
        "rooms in a circle: figures, readings",
    );
    one(
        &[
            ("app/pages/a.rs", "use super::b::B;"),
            ("app/pages/b.rs", "use super::c::C;"),
            ("app/pages/c.rs", "use crate::app::pages::a::A;"),
        ],
        "3 files in a circle",
    );
    one(&[("app/pages/mod.rs", "use self::a::A;"), ("app/pages/a.rs", "use super::B;")], "2 files in a circle");
    one(&[("app/pages/mod.rs", "mod a; fn f() { a::show(); }"), ("app/pages/a.rs", "use super::B;")], "2 files in a circle");
}
