//! Names follow values, driven without a display: presets are kept under the name as typed, and what was changed by hand is called so.

use std::path::Path;

use eframe::egui::accesskit::Role;
use eframe::egui::{Event as Input, Key, Modifiers, PointerButton};
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::scenario::presets::{Kind, Library};
use slakeline::scenario::{Climate, CropChoice, MediumChoice};

use crate::hand::{Window, choose, click, open, scenario, type_number};
use crate::presets::says;

/// How the button is pressed once the name is typed.
#[derive(Clone, Copy, Debug)]
enum Pressed {
    /// With the mouse, at once.
    Mouse,
    /// With the mouse, down and up within one frame.
    Tap,
    /// By keys: to it with Tab, then Enter.
    Keys,
    /// By what reads the screen aloud: the field keeps the keyboard.
    Spoken,
}

const WAYS: [Pressed; 4] = [Pressed::Mouse, Pressed::Tap, Pressed::Keys, Pressed::Spoken];

fn write(window: &mut Window, label: &str, text: &str) {
    window.get_all_by_role_and_label(Role::TextInput, label).last().unwrap_or_else(|| panic!("{label}")).focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run();
    if text.is_empty() {
        window.key_press(Key::Backspace);
    } else {
        window.event(Input::Text(text.to_owned()));
    }
    window.run();
}

fn press(window: &mut Window, label: &str, pressed: Pressed) {
    let button = window.get_all_by_role_and_label(Role::Button, label).last().unwrap_or_else(|| panic!("{label}"));
    match pressed {
        Pressed::Mouse => button.click(),
        Pressed::Spoken => button.click_accesskit(),
        Pressed::Tap => {
            let pos = button.rect().center();
            window.hover_at(pos);
            window.step();
            for pressed in [true, false] {
                let event = Input::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE };
                window.input_mut().events.push(event);
            }
        }
        Pressed::Keys => {
            for _ in 0..60 {
                window.key_press(Key::Tab);
                window.run();
                let reached = window.get_all_by_role_and_label(Role::Button, label).last().unwrap().is_focused();
                if reached {
                    break;
                }
            }
            window.key_press(Key::Enter);
        }
    }
    window.run();
}

/// A card that keeps a preset: how it is unfolded, its field of the name, its button, what is kept, and the name on the bench.
struct Card {
    unfold: fn(&mut Window),
    field: &'static str,
    button: &'static str,
    kind: Kind,
    on_bench: fn(&Window) -> String,
}

const CARDS: [Card; 4] = [
    Card {
        unfold: |w| ["Container and medium", "Keep this container"].iter().for_each(|l| click(w, l)),
        field: "Name",
        button: "Save as preset",
        kind: Kind::Container,
        on_bench: |w| scenario(w).lanes[0].container.name.clone(),
    },
    Card {
        unfold: |w| {
            click(w, "Container and medium");
            let slab = w.query_all_by_label_contains(" · ").find(|n| n.accesskit_node().label().is_some_and(|l| l.starts_with("Slab · ")));
            slab.unwrap().click();
            w.run();
            choose(w, "Medium", "own values…");
        },
        field: "Medium's name",
        button: "Save medium as preset",
        kind: Kind::Medium,
        on_bench: |w| match &scenario(w).lanes[0].container.parts[0].medium {
            MediumChoice::Custom(medium) => medium.name.clone(),
            other => panic!("{other:?}"),
        },
    },
    Card {
        unfold: |w| {
            choose(w, "Crop", "own values…");
            click(w, "Own crop values");
        },
        field: "Name",
        button: "Save crop as preset",
        kind: Kind::Crop,
        on_bench: |w| match &scenario(w).lanes[0].crop {
            CropChoice::Custom(crop) => crop.name.clone(),
            other => panic!("{other:?}"),
        },
    },
    Card {
        unfold: |w| {
            choose(w, "Climate", "glasshouse, summer day");
            click(w, "Climate values");
        },
        field: "Name",
        button: "Save climate as preset",
        kind: Kind::Climate,
        on_bench: |w| scenario(w).climate.map(|c| c.name().to_owned()).unwrap_or_default(),
    },
];

fn kept(data: &Path, kind: Kind) -> Vec<String> {
    kind.own_names(&data.join("presets"))
}

#[test]
fn a_card_keeps_the_name_as_typed_however_its_button_is_pressed() {
    for card in &CARDS {
        for way in WAYS {
            let told = format!("{:?} by {way:?}", card.kind);
            let data = tempfile::tempdir().unwrap();
            let mut window = open(data.path());
            (card.unfold)(&mut window);
            write(&mut window, card.field, "house one");
            press(&mut window, card.button, way);
            assert_eq!(kept(data.path(), card.kind), ["house one"], "{told}");
            assert_eq!((card.on_bench)(&window), "house one", "{told}");
            assert!(says(&window, "Saved as preset \"house one\""), "{told}");
            // Another name at once: the one before is neither replaced nor offered to be.
            write(&mut window, card.field, "house two");
            press(&mut window, card.button, way);
            assert!(!says(&window, "You have a preset"), "{told}");
            assert_eq!(kept(data.path(), card.kind), ["house one", "house two"], "{told}");
            // A name that is taken is the one that is asked about.
            write(&mut window, card.field, "house one");
            press(&mut window, card.button, way);
            assert!(says(&window, "You have a preset \"house one\" already"), "{told}");
            click(&mut window, "Cancel");
            assert_eq!((card.on_bench)(&window), "house one", "{told}");
            // A name that cannot be saves nothing, least of all under the one before it. (By keys the field is left long before the button is
            // reached, and shows again what it was.)
            if matches!(way, Pressed::Keys) {
                continue;
            }
            let before = kept(data.path(), card.kind);
            write(&mut window, card.field, "");
            press(&mut window, card.button, way);
            assert!(says(&window, "A name takes 1 to 80 printable characters."), "{told}");
            assert!(!says(&window, "You have a preset"), "{told}");
            assert_eq!(kept(data.path(), card.kind), before, "{told}");
        }
    }
}

/// Kinds without a card are named in a window of their own.
#[test]
fn the_window_for_names_keeps_the_name_as_typed() {
    for way in WAYS {
        let data = tempfile::tempdir().unwrap();
        let mut window = open(data.path());
        click(&mut window, "Targets");
        for (ask, kind) in [
            (("Solution", "save this feed…"), Kind::Feed),
            (("Aims", "save these targets…"), Kind::Targets),
            (("Schedule", "save this schedule…"), Kind::Schedule),
            (("", "Save as a preset per crop…"), Kind::Setup),
        ] {
            for name in ["house one", "house two"] {
                if kind == Kind::Setup {
                    click(&mut window, "Lane 1 menu");
                    click(&mut window, ask.1);
                } else {
                    choose(&mut window, ask.0, ask.1);
                }
                write(&mut window, "Name of the preset", name);
                press(&mut window, "Save", way);
            }
            assert_eq!(kept(data.path(), kind), ["house one", "house two"], "{kind:?} by {way:?}");
        }
    }
}

#[test]
fn what_was_changed_by_hand_is_called_so_and_has_its_name_back_with_its_values() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    click(&mut window, "Container and medium");
    choose(&mut window, "Container", "pot, round, plastic, 12 L");
    let name = |w: &Window| scenario(w).lanes[0].container.name.clone();
    let shown = |w: &Window, label: &str| w.get_all_by_role_and_label(Role::ComboBox, label).next().unwrap().accesskit_node().value();
    let pot = window.query_all_by_label_contains(" · ").find(|n| n.accesskit_node().label().is_some_and(|l| l.starts_with("Pot · ")));
    pot.unwrap().click();
    window.run();
    let height = scenario(&window).lanes[0].container.parts[0].height_cm;
    type_number(&mut window, "Height", &format!("{}", height + 4.0));
    assert_eq!(name(&window), "changed from pot, round, plastic, 12 L");
    assert_eq!(shown(&window, "Container"), Some(name(&window)));
    // Further changes add no more words; the old values give the old name.
    type_number(&mut window, "Height", &format!("{}", height + 5.0));
    assert_eq!(name(&window), "changed from pot, round, plastic, 12 L");
    type_number(&mut window, "Height", &format!("{height}"));
    assert_eq!(name(&window), "pot, round, plastic, 12 L");
    // A medium of one's own is that until a value of it is another.
    choose(&mut window, "Medium", "own values…");
    let medium = |w: &Window| match &scenario(w).lanes[0].container.parts[0].medium {
        MediumChoice::Custom(medium) => medium.name.clone(),
        other => panic!("{other:?}"),
    };
    let own = medium(&window);
    let preset = own.strip_prefix("own ").unwrap().to_owned();
    assert_eq!(name(&window), "changed from pot, round, plastic, 12 L");
    let porosity = Library::shipped().medium(&preset).unwrap().porosity;
    click(&mut window, "Advanced: all its values");
    type_number(&mut window, "All pores", "96.5");
    assert_eq!((medium(&window), shown(&window, "Medium")), (format!("changed from {preset}"), Some(format!("changed from {preset}"))));
    type_number(&mut window, "All pores", &format!("{}", 100.0 * porosity));
    assert_eq!(medium(&window), own);
    // A climate under lamps says how long they burn.
    choose(&mut window, "Climate", "lamps 12/12, LED, 700 µmol");
    let climate = |w: &Window| scenario(w).climate.map(|c: Climate| c.name().to_owned()).unwrap();
    let off = scenario(&window).light.off;
    crate::hand::type_text(&mut window, "Lights off", "23:30");
    assert_eq!(climate(&window), "changed from lamps 12/12, LED, 700 µmol");
    assert_eq!(shown(&window, "Climate"), Some(climate(&window)));
    crate::hand::type_text(&mut window, "Lights off", &off.to_string());
    assert_eq!(climate(&window), "lamps 12/12, LED, 700 µmol");
}

/// A name of the grower's own that states litres goes with them.
#[test]
fn a_name_of_ones_own_never_contradicts_the_volume() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    ["Container and medium", "Keep this container"].iter().for_each(|l| click(&mut window, l));
    choose(&mut window, "Container", "pot, round, plastic, 12 L");
    let name = |w: &Window| scenario(w).lanes[0].container.name.clone();
    crate::hand::type_text(&mut window, "Name", "grandmother's 12 L pot");
    assert_eq!(name(&window), "grandmother's 12 L pot");
    let pot = window.query_all_by_label_contains(" · ").find(|n| n.accesskit_node().label().is_some_and(|l| l.starts_with("Pot · ")));
    pot.unwrap().click();
    window.run();
    let height = scenario(&window).lanes[0].container.parts[0].height_cm;
    type_number(&mut window, "Height", &format!("{}", height + 0.1));
    assert_eq!(name(&window), "grandmother's 12 L pot", "it still holds 12 L");
    type_number(&mut window, "Height", &format!("{}", height + 4.0));
    assert_eq!(name(&window), "changed from grandmother's 12 L pot");
}

/// Shipped containers hold what their names state.
#[test]
fn shipped_names_state_what_is_held() {
    let mut told = 0;
    for container in Library::shipped().containers {
        if let Some(litres) = slakeline::scenario::naming::litres(&container.name) {
            let held = container.volume_per_plant_ml() / 1000.0;
            assert!((held - litres).abs() < 0.1 * litres, "{} holds {held}", container.name);
            told += 1;
        }
    }
    assert!(told > 5, "{told}");
}
