//! Colours of the pictures, and the choice of writing them as literals or as CSS variables.
//!
//! Browsers know CSS variables; many other readers of SVG do not and would draw everything black. So a file that
//! leaves the house carries literal colours ([`Mode::Light`], [`Mode::Dark`]), and a picture inside a page refers to
//! the page's variables ([`Mode::Page`]), which [`page_css`] defines. All colours that text is written in stand at
//! least 7:1 against the paper.
//!
//! For paper: a file to be printed is made with [`Mode::Light`]; a page with [`Mode::Page`] pictures prints light on
//! white by itself, also from a dark screen, because [`page_css`] says so for print. Nothing is told by colour alone, so
//! that a print in black and white can be read.

use std::borrow::Cow;
use std::fmt::Write as _;

/// How colours are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// Literal colours on light paper.
    Light,
    /// Literal colours on dark paper.
    Dark,
    /// CSS variables, with the light colour as the fallback.
    Page,
}

/// How a picture is to be made.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// Width of the picture, px; kept between 320 and 2400. The height follows from what is shown.
    pub width_px: f64,
    /// How colours are written.
    pub mode: Mode,
    /// Prefix of the ids inside, so that several pictures can stand in one page. Letters, digits and `-` are kept.
    pub id: String,
    /// Whether the title and the state in words stand over the picture; a page that says both itself leaves them out.
    pub heading: bool,
}

impl Look {
    /// A look with the prefix made fit for an id and the width brought into range.
    #[must_use]
    pub fn new(width_px: f64, mode: Mode, id: &str) -> Self {
        Self { width_px, mode, id: id.to_owned(), heading: true }.in_range()
    }

    /// The same look without title and words over the picture. They stay in its `<title>` and `<desc>`.
    #[must_use]
    pub fn without_heading(self) -> Self {
        Self { heading: false, ..self }
    }

    pub(crate) fn in_range(&self) -> Self {
        let width_px = if self.width_px.is_finite() { self.width_px.clamp(320.0, 2400.0) } else { 800.0 };
        let kept: String = self.id.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
        let id = if kept.starts_with(|c: char| c.is_ascii_alphabetic()) { kept } else { format!("p{kept}") };
        Self { width_px, mode: self.mode, id, heading: self.heading }
    }

    /// Whether the picture is for a hand-held screen.
    pub(crate) fn narrow(&self) -> bool {
        self.width_px < 640.0
    }

    /// Size of ordinary text, px.
    pub(crate) fn font_px(&self) -> f64 {
        if self.narrow() { 13.0 } else { 14.0 }
    }

    pub(crate) fn paint(&self, ink: Ink) -> Cow<'static, str> {
        let row = ink.row();
        match self.mode {
            Mode::Light => Cow::Borrowed(row.light),
            Mode::Dark => Cow::Borrowed(row.dark),
            Mode::Page => Cow::Owned(format!("var(--draw-{}, {})", row.name, row.light)),
        }
    }
}

/// What a colour is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ink {
    /// The ground everything stands on.
    Paper,
    /// Text and frames.
    Text,
    /// Lesser text.
    Soft,
    /// Grid lines.
    Grid,
    /// Ground of the hours behind us.
    Past,
    /// Chamber probe.
    Probe,
    /// The floor.
    Floor,
    /// The crown.
    Crown,
    /// Heat in store.
    Store,
    /// Dishes and what suits them.
    Dish,
    /// Dense masonry.
    Dense,
    /// Insulation.
    Insulation,
    /// Skins of doors, render.
    Skin,
}

struct Row {
    name: &'static str,
    light: &'static str,
    dark: &'static str,
}

const fn row(name: &'static str, light: &'static str, dark: &'static str) -> Row {
    Row { name, light, dark }
}

impl Ink {
    pub(crate) const ALL: [Self; 13] = [
        Self::Paper,
        Self::Text,
        Self::Soft,
        Self::Grid,
        Self::Past,
        Self::Probe,
        Self::Floor,
        Self::Crown,
        Self::Store,
        Self::Dish,
        Self::Dense,
        Self::Insulation,
        Self::Skin,
    ];

    const fn row(self) -> Row {
        match self {
            Self::Paper => row("paper", "#fcfbf7", "#171512"),
            Self::Text => row("text", "#201b16", "#f5efe6"),
            Self::Soft => row("soft", "#4f463c", "#cfc5b7"),
            Self::Grid => row("grid", "#d9d2c6", "#3d3831"),
            Self::Past => row("past", "#f0ebe1", "#211e1a"),
            Self::Probe => row("probe", "#8c2a0c", "#ff9d76"),
            Self::Floor => row("floor", "#0a4f5e", "#6fd0df"),
            Self::Crown => row("crown", "#57307f", "#d0adff"),
            Self::Store => row("store", "#6b3d00", "#f0b65c"),
            Self::Dish => row("dish", "#2c5212", "#a6d97e"),
            Self::Dense => row("dense", "#8a3d22", "#d98a68"),
            Self::Insulation => row("insulation", "#7a5d00", "#e0c25a"),
            Self::Skin => row("skin", "#54606a", "#a9b6c0"),
        }
    }
}

/// The style sheet that a page with [`Mode::Page`] pictures needs: variables on `:root` for light, for dark by the
/// reader's preference, and for either by `data-theme` on the root element; on paper light on white, whatever the
/// screen shows. Besides, what [`crate::touch`] needs: a figure that can be focused shows it, a finger that moves across
/// reads values while one that moves up scrolls, and neither the line under the finger nor its readout is printed.
#[must_use]
pub fn page_css() -> String {
    let light = variables(|row| row.light);
    let dark = variables(|row| row.dark);
    let print = variables(|row| if row.name == "paper" { PRINT_PAPER } else { row.light });
    format!(
        ":root{{{light}}}\n\
         @media (prefers-color-scheme:dark){{:root:not([data-theme=\"light\"]){{{dark}}}}}\n\
         :root[data-theme=\"dark\"]{{{dark}}}\n\
         @media print{{:root,:root[data-theme],:root:not([data-theme]){{{print}}}\
         .draw-cursor,[data-draw-readout]{{display:none}}svg{{break-inside:avoid}}}}\n\
         [data-draw-touch]{{margin:0}}[data-draw-touch] svg{{max-width:100%;height:auto;touch-action:pan-y}}\n\
         .draw-wide{{display:none}}\n\
         @media print,(min-width:700px){{.draw-wide{{display:block}}.draw-narrow{{display:none}}}}\n\
         [data-draw-touch]:focus-visible,.draw-spot:focus-visible .draw-target{{outline:4px solid var(--draw-text);\
         outline-offset:2px}}\n\
         .draw-spot{{cursor:pointer}}.draw-spot:focus-visible{{outline:none}}\n"
    )
}

/// Paper is white, and ink for a tinted ground is wasted on it.
const PRINT_PAPER: &str = "#ffffff";

fn variables(pick: impl Fn(&Row) -> &'static str) -> String {
    let mut out = String::new();
    for ink in Ink::ALL {
        let row = ink.row();
        let _ = write!(out, "--draw-{}:{};", row.name, pick(&row));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance and contrast as WCAG 2.2 defines them.
    fn luminance(hex: &str) -> f64 {
        let channel = |at: usize| {
            let v = f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
            if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    fn contrast(a: &str, b: &str) -> f64 {
        let (a, b) = (luminance(a) + 0.05, luminance(b) + 0.05);
        (a / b).max(b / a)
    }

    #[test]
    fn text_stands_seven_to_one_on_both_grounds() {
        let written = [Ink::Text, Ink::Soft, Ink::Probe, Ink::Floor, Ink::Crown, Ink::Store, Ink::Dish];
        for mode in [Mode::Light, Mode::Dark] {
            let look = Look::new(390.0, mode, "a");
            for ink in written {
                for ground in [Ink::Paper, Ink::Past] {
                    let ratio = contrast(&look.paint(ink), &look.paint(ground));
                    assert!(ratio >= 7.0, "{mode:?} {ink:?} on {ground:?}: {ratio:.2}");
                }
            }
        }
    }

    #[test]
    fn hatching_stands_three_to_one() {
        for mode in [Mode::Light, Mode::Dark] {
            let look = Look::new(390.0, mode, "a");
            for ink in [Ink::Dense, Ink::Insulation, Ink::Skin] {
                assert!(contrast(&look.paint(ink), &look.paint(Ink::Paper)) >= 3.0, "{mode:?} {ink:?}");
            }
        }
    }

    #[test]
    fn page_mode_refers_to_variables_that_the_style_sheet_defines() {
        let look = Look::new(390.0, Mode::Page, "a");
        let css = page_css();
        for ink in Ink::ALL {
            let paint = look.paint(ink);
            let name = paint.trim_start_matches("var(").split(',').next().unwrap();
            assert_eq!(css.matches(&format!("{name}:")).count(), 4, "{name}");
        }
    }

    #[test]
    fn an_id_is_fit_for_xml_whatever_was_given() {
        assert_eq!(Look::new(390.0, Mode::Light, "1\"<&").id, "p1");
        assert_eq!(Look::new(f64::NAN, Mode::Light, "fall-1").width_px.to_bits(), 800.0_f64.to_bits());
    }
}
