//! When the oven suits each dish of a menu, as lanes on one axis of clock time.
//!
//! The lanes are those of the fall ([`crate::fall`]), without its temperatures: solid where the chances are 9 in 10, hatched
//! where they are even, dotted where it is possible. Each lane carries the dish's name and its hours in words.

use crate::band::Bands;
use crate::clock::Clock;
use crate::fall::{FallPicture, frame, head, lanes};
use crate::suits::Window;
use crate::svg::{Svg, Type};
use crate::table::Table;
use crate::theme::Look;

/// What the picture shows.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowsPicture {
    /// Title, for example the oven and the hour.
    pub title: String,
    /// What the clock says now.
    pub clock: Clock,
    /// How far ahead it looks, min.
    pub to_min: f64,
    /// The dishes.
    pub windows: Vec<Window>,
}

impl WindowsPicture {
    /// The axis and the lanes of a fall, with nothing above them.
    fn as_fall(&self) -> FallPicture {
        let none = || Bands { p05: Vec::new(), p25: Vec::new(), p50: Vec::new(), p75: Vec::new(), p95: Vec::new() };
        FallPicture {
            title: self.title.clone(),
            clock: self.clock.clone(),
            times_min: vec![0.0, self.to_min],
            probe_c: none(),
            gas_c: none(),
            floor_c: none(),
            crown_c: none(),
            store_kwh: none(),
            store_above_c: 100.0,
            placings: Vec::new(),
            readings: Vec::new(),
            windows: self.windows.clone(),
        }
        .cleaned()
    }
}

/// The picture as SVG.
#[must_use]
pub fn svg(picture: &WindowsPicture, look: &Look) -> String {
    let fall = picture.as_fall();
    let mut svg = Svg::new(&look.in_range());
    let said = description(picture);
    let Some(frame) = frame(&fall, &svg) else {
        let font_px = svg.look().font_px();
        svg.text(12.0, 10.0 + font_px, Type::plain(font_px), "There is nothing to draw.");
        return svg.finish(2.5 * font_px, &picture.title, &said);
    };
    head::patterns(&mut svg);
    let y_px = lanes::windows_under(&mut svg, &fall, &frame, "Suits", 0.0);
    let y_px = frame.hour_labels(&mut svg, y_px, true);
    svg.finish(y_px + 8.0, &picture.title, &said)
}

/// What the picture says, in words.
#[must_use]
pub fn description(picture: &WindowsPicture) -> String {
    let row =
        |window: &Window| format!("{}: {}.", window.dish, window.reads_right.words(&picture.clock, picture.to_min));
    picture.windows.iter().map(row).collect::<Vec<_>>().join(" ")
}

/// The figures of the picture.
#[must_use]
pub fn tables(picture: &WindowsPicture) -> Vec<Table> {
    let mut table = Table::new("When the oven suits each dish", &["dish", "wants", "even chance or better"]);
    for window in &picture.windows {
        let hours = window.reads_right.words(&picture.clock, picture.to_min);
        table.rows.push(vec![window.dish.clone(), lanes::degrees(window), hours]);
    }
    vec![table]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fall::Trace;
    use crate::suits::{Span, Suits};
    use crate::theme::Mode;

    fn picture(names: &[&str]) -> WindowsPicture {
        let span = |from_min: f64, to_min: f64| Span { from_min, to_min };
        let window = |name: &&str| Window {
            dish: (*name).to_owned(),
            low_c: 180.0,
            high_c: 230.0,
            judged_by: Trace::Probe,
            reads_right: Suits {
                nine_in_ten: vec![span(60.0, 120.0)],
                even: vec![span(30.0, 180.0)],
                possible: vec![span(0.0, 240.0)],
            },
        };
        let clock = Clock { now_of_day_min: 720.0, weekday_monday0: None, zone: String::new(), change: None };
        WindowsPicture { title: "t".to_owned(), clock, to_min: 720.0, windows: names.iter().map(window).collect() }
    }

    #[test]
    fn every_dish_has_its_lane_and_its_hours_in_words() {
        let names = ["tin loaf", "a very long name of a dish that hardly fits on a phone <at all> & more"];
        let out = svg(&picture(&names), &Look::new(366.0, Mode::Page, "w"));
        assert!(out.contains("12:30 to 15:00") && out.contains("tin loaf"), "{out}");
        assert!(!out.contains("<at all>"));
        assert_eq!(tables(&picture(&names))[0].rows.len(), 2);
        assert!(description(&picture(&names)).starts_with("tin loaf: 12:30"));
    }

    #[test]
    fn an_empty_menu_is_drawn_too() {
        assert!(svg(&picture(&[]), &Look::new(366.0, Mode::Light, "w")).starts_with("<svg"));
        let none = WindowsPicture { to_min: f64::NAN, ..picture(&["x"]) };
        assert!(svg(&none, &Look::new(366.0, Mode::Light, "w")).contains("nothing to draw"));
    }
}
