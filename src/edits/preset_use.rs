//! Where a preset of the user's own is used: on the bench, and by other presets.

use crate::scenario::presets::{Kind, Library, named_by, names_medium};
use crate::scenario::{Climate, CropChoice, Lane, Scenario, resolve};

/// In words.
#[must_use]
pub fn words(kind: Kind, name: &str, library: &Library, scenario: &Scenario) -> String {
    if let Some(setup) = library.setups.iter().find(|s| kind == Kind::Setup && s.name == name) {
        let crop = resolve::crop(&setup.lane.crop, library).map_or_else(|_| setup.lane.name.clone(), |crop| crop.name);
        return format!("{crop} in {}; copied where it is used", setup.lane.container.name);
    }
    let mut used = on_bench(kind, name, library, scenario);
    used.extend(named_by(kind, name, library));
    if used.is_empty() { "not used on this bench".to_owned() } else { format!("used by {}", used.join(", ")) }
}

/// Why the bench would be left without what it names, if so: media and crops are named by scenarios, everything else is copied.
#[must_use]
pub fn held(kind: Kind, name: &str, library: &Library, scenario: &Scenario) -> Option<String> {
    let by = on_bench(kind, name, library, scenario);
    let named = matches!(kind, Kind::Medium | Kind::Crop);
    (named && !by.is_empty()).then(|| {
        format!(
            "\"{name}\" is used by {} of the bench, which would be left without it. Choose another {} there first.",
            by.join(", "),
            kind.one()
        )
    })
}

fn on_bench(kind: Kind, name: &str, library: &Library, scenario: &Scenario) -> Vec<String> {
    let lanes = |uses: &dyn Fn(&Lane) -> bool| {
        scenario.lanes.iter().enumerate().filter(|(_, lane)| uses(lane)).map(|(i, _)| format!("lane {}", i + 1)).collect()
    };
    let bench = |used: bool| if used { vec!["this bench".to_owned()] } else { Vec::new() };
    match kind {
        Kind::Medium => lanes(&|l| l.container.parts.iter().any(|p| names_medium(&p.medium, name))),
        Kind::Container => lanes(&|l| l.container.name == name),
        Kind::Crop => lanes(&|l| matches!(&l.crop, CropChoice::Preset(n) if n == name)),
        Kind::Targets => {
            let targets = library.targets.iter().find(|p| p.name == name).map(|p| p.targets);
            lanes(&|l| Some(l.targets) == targets)
        }
        Kind::Climate => bench(scenario.climate.as_ref().is_some_and(|c: &Climate| c.name() == name)),
        Kind::Feed => bench(library.feeds.iter().any(|f| f.name == name && f.ec.to_bits() == scenario.feed.ec.to_bits())),
        Kind::Schedule => {
            let stands = |events: Result<Vec<_>, _>| events.is_ok_and(|e| scenario.valves.iter().any(|v| e == v.schedule));
            bench(library.schedules.iter().any(|s| s.name == name && stands(s.under(&scenario.usual_light()))))
        }
        Kind::Setup => Vec::new(),
    }
}
