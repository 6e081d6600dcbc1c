//! Colours, type and spacing of the window, read from one data file per theme.

use std::path::Path;
use std::sync::{Arc, OnceLock};

use eframe::egui::{
    self, Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Stroke, TextStyle, Theme, ThemePreference, Visuals,
    vec2,
};
use serde::{Deserialize, Deserializer};

use super::ramp::Ramp;
use crate::scenario::disk::special::small_text;
use crate::scenario::disk::whole::write_file;

const LIGHT: &str = include_str!("../../../assets/theme-light.ron");
const DARK: &str = include_str!("../../../assets/theme-dark.ron");
const REGULAR: &[u8] = include_bytes!("../../../assets/fonts/Inter-Regular.otf");
const SEMIBOLD: &[u8] = include_bytes!("../../../assets/fonts/Inter-SemiBold.otf");

/// The colours of one theme; see `assets/theme-*.ron` for what each is for.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs)] // the data files say it
pub struct Tokens {
    pub dark: bool,
    #[serde(deserialize_with = "hex")]
    pub paper: Color32,
    #[serde(deserialize_with = "hex")]
    pub panel: Color32,
    #[serde(deserialize_with = "hex")]
    pub card: Color32,
    #[serde(deserialize_with = "hex")]
    pub ink: Color32,
    #[serde(deserialize_with = "hex")]
    pub quiet: Color32,
    #[serde(deserialize_with = "hex")]
    pub rule: Color32,
    #[serde(deserialize_with = "hex")]
    pub day: Color32,
    #[serde(deserialize_with = "hex")]
    pub night: Color32,
    #[serde(deserialize_with = "hex")]
    pub grid: Color32,
    #[serde(deserialize_with = "hex")]
    pub event: Color32,
    #[serde(deserialize_with = "hex")]
    pub event_strong: Color32,
    #[serde(deserialize_with = "hex")]
    pub chip: Color32,
    #[serde(deserialize_with = "hex")]
    pub chip_ink: Color32,
    #[serde(deserialize_with = "hex")]
    pub good: Color32,
    #[serde(deserialize_with = "hex")]
    pub attention: Color32,
    #[serde(deserialize_with = "hex")]
    pub wet: Color32,
    #[serde(deserialize_with = "hex")]
    pub dry: Color32,
    #[serde(deserialize_with = "hex")]
    pub root: Color32,
    #[serde(deserialize_with = "hex")]
    pub leaf: Color32,
    #[serde(deserialize_with = "hexes")]
    lanes: Vec<Color32>,
    #[serde(deserialize_with = "ramp")]
    pub ramp: Ramp,
    #[serde(deserialize_with = "air_ramp")]
    pub air_ramp: Ramp,
    band: u8,
    ghost: u8,
}

fn hex<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Color32, D::Error> {
    let text = String::deserialize(deserializer)?;
    Color32::from_hex(&text).map_err(|_| serde::de::Error::custom(format!("\"{text}\" is not a colour like \"#F6F4EE\"")))
}

fn hexes<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Color32>, D::Error> {
    let texts = Vec::<String>::deserialize(deserializer)?;
    texts.iter().map(|t| Color32::from_hex(t).map_err(|_| serde::de::Error::custom(format!("\"{t}\" is not a colour")))).collect()
}

fn ramp<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Ramp, D::Error> {
    hexes(deserializer).map(|anchors| Ramp::through(&anchors))
}

/// Named from much to little, kept from least to most as every ramp is.
fn air_ramp<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Ramp, D::Error> {
    ramp(deserializer).map(Ramp::reversed)
}

impl Tokens {
    /// The colours of a theme. The embedded files are checked by a test.
    #[must_use]
    pub fn of(theme: Theme) -> &'static Self {
        static BOTH: OnceLock<[Tokens; 2]> = OnceLock::new();
        let [light, dark] = BOTH.get_or_init(|| [LIGHT, DARK].map(|text| ron::from_str(text).unwrap_or_default()));
        match theme {
            Theme::Light => light,
            Theme::Dark => dark,
        }
    }

    /// The colours of the theme in use.
    #[must_use]
    pub fn now(ctx: &egui::Context) -> &'static Self {
        Self::of(ctx.theme())
    }

    /// The colour of a lane; lanes past the palette's end begin it again.
    #[must_use]
    pub fn lane(&self, index: usize) -> Color32 {
        self.lanes.get(index % self.lanes.len().max(1)).copied().unwrap_or(self.ink)
    }

    /// A lane's colour as a faint area.
    #[must_use]
    pub fn band(&self, colour: Color32) -> Color32 {
        faded(colour, self.band)
    }

    /// A lane's colour as the curve before a change.
    #[must_use]
    pub fn ghost(&self, colour: Color32) -> Color32 {
        faded(colour, self.ghost)
    }

    /// A lane's colour as the pinned reference: dashes need more of it than a curve does.
    #[must_use]
    pub fn pinned(&self, colour: Color32) -> Color32 {
        faded(colour, self.ghost.saturating_add(70))
    }
}

fn faded(colour: Color32, alpha: u8) -> Color32 {
    Color32::from_rgba_unmultiplied(colour.r(), colour.g(), colour.b(), alpha)
}

/// Semibold type of a size.
#[must_use]
pub fn strong(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("strong".into()))
}

/// Ordinary type of a size.
#[must_use]
pub fn plain(size: f32) -> FontId {
    FontId::new(size, FontFamily::Proportional)
}

/// Size of ordinary text.
pub const TEXT: f32 = 13.0;
/// Size of units, notes and axis marks.
pub const NOTE: f32 = 11.5;
/// Size of the head of a card or panel.
pub const HEAD: f32 = 13.5;

/// The words a choice of theme is kept by.
const CHOICES: [(&str, ThemePreference); 3] =
    [("system", ThemePreference::System), ("light", ThemePreference::Light), ("dark", ThemePreference::Dark)];

/// The choice of theme that a file keeps.
#[must_use]
pub fn kept(file: &Path) -> Option<ThemePreference> {
    let word = small_text(file)?;
    CHOICES.iter().find(|c| c.0 == word.trim()).map(|c| c.1)
}

/// Keeps the choice of theme in a file.
///
/// # Errors
/// What the system says when it cannot write it.
pub fn keep(file: &Path, choice: ThemePreference) -> std::io::Result<()> {
    let word = CHOICES.iter().find(|c| c.1 == choice).map_or("system", |c| c.0);
    if let Some(folder) = file.parent() {
        std::fs::create_dir_all(folder)?;
    }
    write_file(file, word.as_bytes())
}

/// Gives a context both themes and the fonts.
pub fn install(ctx: &egui::Context) {
    let mut fonts = FontDefinitions::default();
    fonts.font_data.insert("inter".to_owned(), Arc::new(FontData::from_static(REGULAR)));
    fonts.font_data.insert("inter-strong".to_owned(), Arc::new(FontData::from_static(SEMIBOLD)));
    let fallback = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let family = |own: &str| std::iter::once(own.to_owned()).chain(fallback.iter().cloned()).collect::<Vec<_>>();
    fonts.families.insert(FontFamily::Name("strong".into()), family("inter-strong"));
    fonts.families.insert(FontFamily::Proportional, family("inter"));
    ctx.set_fonts(fonts);
    ctx.options_mut(|o| {
        o.fallback_theme = Theme::Light;
        // The size of text is an action with keys of its own.
        o.zoom_with_keyboard = false;
    });
    for theme in [Theme::Light, Theme::Dark] {
        ctx.style_mut_of(theme, |style| shape_style(style, Tokens::of(theme)));
    }
}

fn shape_style(style: &mut egui::Style, t: &Tokens) {
    style.text_styles = [
        (TextStyle::Small, plain(NOTE)),
        (TextStyle::Body, plain(TEXT)),
        (TextStyle::Button, plain(TEXT)),
        (TextStyle::Heading, strong(16.0)),
        (TextStyle::Monospace, FontId::new(12.0, FontFamily::Monospace)),
    ]
    .into();
    style.spacing.item_spacing = vec2(8.0, 4.0);
    style.spacing.button_padding = vec2(8.0, 3.0);
    style.spacing.interact_size.y = 22.0;
    style.spacing.menu_margin = Margin::same(6);
    style.spacing.window_margin = Margin::same(16);
    // What goes on below an edge shows that it does.
    style.spacing.scroll.dormant_handle_opacity = 0.35;
    style.visuals = visuals(t);
}

fn visuals(t: &Tokens) -> Visuals {
    let mut v = if t.dark { Visuals::dark() } else { Visuals::light() };
    v.panel_fill = t.paper;
    v.window_fill = t.card;
    v.window_stroke = Stroke::new(1.0, t.rule);
    v.window_corner_radius = CornerRadius::same(8);
    v.menu_corner_radius = CornerRadius::same(6);
    v.extreme_bg_color = t.card;
    v.faint_bg_color = t.night;
    v.code_bg_color = t.night;
    v.weak_text_color = Some(t.quiet);
    v.hyperlink_color = t.event_strong;
    v.warn_fg_color = t.attention;
    v.error_fg_color = t.attention;
    v.selection.bg_fill = faded(t.event, 90);
    v.selection.stroke = Stroke::new(1.0, t.ink);
    let radius = CornerRadius::same(4);
    let w = &mut v.widgets;
    w.noninteractive.bg_stroke = Stroke::new(1.0, t.rule);
    w.noninteractive.bg_fill = t.paper;
    w.noninteractive.weak_bg_fill = t.paper;
    for (visuals, fill, line) in [
        (&mut w.inactive, t.card, t.rule),
        (&mut w.hovered, t.night, t.quiet),
        (&mut w.active, t.rule, t.ink),
        (&mut w.open, t.night, t.quiet),
    ] {
        visuals.bg_fill = fill;
        visuals.weak_bg_fill = fill;
        visuals.bg_stroke = Stroke::new(1.0, line);
        visuals.corner_radius = radius;
        visuals.expansion = 0.0;
    }
    for visuals in [&mut w.noninteractive, &mut w.inactive, &mut w.hovered, &mut w.active, &mut w.open] {
        visuals.fg_stroke = Stroke::new(visuals.fg_stroke.width, t.ink);
    }
    v
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_theme_files_are_whole() {
        for text in [LIGHT, DARK] {
            let tokens: Tokens = ron::from_str(text).unwrap();
            assert!(tokens.lanes.len() >= 4);
        }
    }

    /// Relative luminance after WCAG 2.
    fn luminance(c: Color32) -> f32 {
        let lin = |v: u8| {
            let v = f32::from(v) / 255.0;
            if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * lin(c.r()) + 0.7152 * lin(c.g()) + 0.0722 * lin(c.b())
    }

    fn contrast(a: Color32, b: Color32) -> f32 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn text_can_be_read_and_lines_told_from_their_ground() {
        for theme in [Theme::Light, Theme::Dark] {
            let t = Tokens::of(theme);
            for ground in [t.paper, t.panel, t.card, t.day, t.night] {
                for ink in [t.ink, t.quiet, t.good, t.attention] {
                    assert!(contrast(ink, ground) >= 4.5, "{ink:?} on {ground:?}: {}", contrast(ink, ground));
                }
                for lane in &t.lanes {
                    assert!(contrast(*lane, ground) >= 2.4, "{lane:?} on {ground:?}: {}", contrast(*lane, ground));
                }
            }
        }
    }
}
