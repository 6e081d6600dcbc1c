//! The table as a plot: time of a day over error, both in powers of ten, a panel for water and one for EC. Plain SVG.

use std::fmt::Write as _;

use crate::work::{MEASURES, Row};

/// Size of a panel's frame and its place in the picture, px.
const PANEL: (f64, f64) = (430.0, 380.0);
const LEFT: f64 = 70.0;
const TOP: f64 = 90.0;
const BETWEEN: f64 = 80.0;
/// What is drawn: which of the measures, and the limit that the engine is held to there.
const PANELS: [(usize, f64); 2] = [(1, 0.1), (2, 0.5)];
/// Colours that stay apart for colour-blind readers, in the order of the solvers.
const COLOURS: [&str; 4] = ["#0072b2", "#d55e00", "#009e73", "#cc79a7"];

/// Powers of ten that a set of values spans.
fn decades(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for v in values.filter(|v| *v > 0.0) {
        low = low.min(v.log10().floor());
        high = high.max(v.log10().ceil());
    }
    if low < high { (low, high) } else { (low.min(0.0), low.min(0.0) + 1.0) }
}

/// A power of ten as it is read.
fn power(exponent: f64) -> String {
    let decimals = if exponent < 0.0 { -exponent } else { 0.0 };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let decimals = decimals as usize;
    format!("{:.decimals$}", 10.0_f64.powf(exponent))
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

/// One panel's axes.
struct Frame {
    left: f64,
    x: (f64, f64),
    y: (f64, f64),
}

impl Frame {
    fn x(&self, value: f64) -> f64 {
        self.left + PANEL.0 * (value.log10() - self.x.0) / (self.x.1 - self.x.0)
    }

    fn y(&self, value: f64) -> f64 {
        TOP + PANEL.1 * (1.0 - (value.log10() - self.y.0) / (self.y.1 - self.y.0))
    }

    /// Grid, names and numbers.
    fn draw(&self, out: &mut String, title: &str) {
        let (bottom, right) = (TOP + PANEL.1, self.left + PANEL.0);
        let mut exponent = self.x.0;
        while exponent <= self.x.1 {
            let x = self.x(10.0_f64.powf(exponent));
            let _ = writeln!(out, r##"<line x1="{x:.1}" y1="{TOP}" x2="{x:.1}" y2="{bottom}" stroke="#ddd"/>"##);
            let _ = writeln!(out, r#"<text x="{x:.1}" y="{:.1}" text-anchor="middle">{}</text>"#, bottom + 18.0, power(exponent));
            exponent += 1.0;
        }
        let mut exponent = self.y.0.ceil();
        while exponent <= self.y.1 {
            let y = self.y(10.0_f64.powf(exponent));
            let _ = writeln!(out, r##"<line x1="{:.1}" y1="{y:.1}" x2="{right:.1}" y2="{y:.1}" stroke="#ddd"/>"##, self.left);
            let _ = writeln!(out, r#"<text x="{:.1}" y="{:.1}" text-anchor="end">{}</text>"#, self.left - 6.0, y + 4.0, power(exponent));
            exponent += 1.0;
        }
        let (width, height) = PANEL;
        let _ = writeln!(out, r##"<rect x="{}" y="{TOP}" width="{width}" height="{height}" fill="none" stroke="#444"/>"##, self.left);
        let (middle, below) = (self.left + 0.5 * PANEL.0, bottom + 40.0);
        let _ = writeln!(out, r#"<text x="{middle:.1}" y="{below:.1}" text-anchor="middle">{}</text>"#, escaped(title));
    }
}

/// A mark of the solver's own shape.
fn mark(out: &mut String, solver: usize, x: f64, y: f64) {
    let colour = COLOURS[solver % COLOURS.len()];
    let _ = match solver % COLOURS.len() {
        0 => writeln!(out, r#"<circle cx="{x:.1}" cy="{y:.1}" r="4" fill="{colour}"/>"#),
        1 => writeln!(out, r#"<rect x="{:.1}" y="{:.1}" width="8" height="8" fill="{colour}"/>"#, x - 4.0, y - 4.0),
        2 => {
            let (left, right, up, down) = (x - 5.0, x + 5.0, y - 5.0, y + 4.0);
            writeln!(out, r#"<path d="M{left:.1} {down:.1}L{right:.1} {down:.1}L{x:.1} {up:.1}Z" fill="{colour}"/>"#)
        }
        _ => {
            let (left, right, up, down) = (x - 5.0, x + 5.0, y - 5.0, y + 5.0);
            writeln!(out, r#"<path d="M{left:.1} {y:.1}L{x:.1} {up:.1}L{right:.1} {y:.1}L{x:.1} {down:.1}Z" fill="{colour}"/>"#)
        }
    };
}

/// The picture.
pub fn svg(rows: &[Row], title: &str) -> String {
    let mut solvers: Vec<&str> = Vec::new();
    for row in rows {
        if !solvers.contains(&row.solver.as_str()) {
            solvers.push(&row.solver);
        }
    }
    let width = LEFT + 2.0 * PANEL.0 + BETWEEN + 30.0;
    let height = TOP + PANEL.1 + 60.0;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" font-family=\"sans-serif\" font-size=\"12\" fill=\"#222\">\n"
    );
    let _ = writeln!(out, r##"<rect width="{width}" height="{height}" fill="#fff"/>"##);
    let _ = writeln!(out, r#"<text x="{LEFT}" y="24" font-size="15">{}</text>"#, escaped(title));
    let mut x = LEFT;
    for (i, solver) in solvers.iter().enumerate() {
        mark(&mut out, i, x + 5.0, 50.0);
        let _ = writeln!(out, r#"<text x="{:.1}" y="54">{}</text>"#, x + 15.0, escaped(solver));
        #[allow(clippy::cast_precision_loss)]
        let long = solver.chars().count() as f64;
        x += 40.0 + 6.5 * long;
    }
    let _ = writeln!(out, r#"<text x="{LEFT}" y="{}">ms a day (median)</text>"#, TOP - 10.0);
    // A little room for the labels of the fastest.
    let (low, high) = decades(rows.iter().map(|r| r.median_ms));
    let times = (low - 0.35, high);
    let mut left = LEFT;
    for (measure, limit) in PANELS {
        let (name, unit, of) = MEASURES[measure];
        let frame = Frame { left, x: decades(rows.iter().map(|r| of(&r.errors)).chain([limit])), y: times };
        frame.draw(&mut out, &format!("largest error through the day: {name}, {unit}"));
        let (x, bottom) = (frame.x(limit), TOP + PANEL.1);
        let _ = writeln!(out, r##"<line x1="{x:.1}" y1="{TOP}" x2="{x:.1}" y2="{bottom}" stroke="#444" stroke-dasharray="4 4"/>"##);
        let _ = writeln!(out, r#"<text x="{:.1}" y="{:.1}" text-anchor="end">limit {limit} {unit}</text>"#, x - 4.0, TOP + 14.0);
        for (i, solver) in solvers.iter().enumerate() {
            let own: Vec<(f64, f64, &str)> = rows
                .iter()
                .filter(|r| r.solver == *solver && of(&r.errors) > 0.0)
                .map(|r| (frame.x(of(&r.errors)), frame.y(r.median_ms), r.setting.as_str()))
                .collect();
            let points: Vec<String> = own.iter().map(|(x, y, _)| format!("{x:.1},{y:.1}")).collect();
            let colour = COLOURS[i % COLOURS.len()];
            let _ = writeln!(out, r#"<polyline points="{}" fill="none" stroke="{colour}"/>"#, points.join(" "));
            for (x, y, setting) in own {
                mark(&mut out, i, x, y);
                // Every other solver's labels stand below its line.
                let (x, y, anchor) = if i % 2 == 0 { (x - 4.0, y + 15.0, "end") } else { (x + 4.0, y - 8.0, "start") };
                let _ = writeln!(out, r#"<text x="{x:.1}" y="{y:.1}" font-size="9" text-anchor="{anchor}">{}</text>"#, escaped(setting));
            }
        }
        left += PANEL.0 + BETWEEN;
    }
    out.push_str("</svg>\n");
    out
}
