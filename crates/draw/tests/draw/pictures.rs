//! Every picture, at a phone's and a screen's width, in every mode: well-formed, inside its frame, and showing what it
//! was given.

use crate::{scene, xml};
use ovenfall_draw::fall::{self, FallPicture, ReadingMark, Trace};
use ovenfall_draw::ledger::{self, LedgerRow};
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_draw::{Table, past_day, profile, section, terminal, touch_oven};
use ovenfall_engine::description::{Form, Quantity, Under};

fn looks() -> Vec<Look> {
    let widths = [320.0, 390.0, 768.0, 1280.0];
    let of = |w: f64| [Mode::Light, Mode::Dark, Mode::Page].map(|m| Look::new(w, m, "p1"));
    widths.into_iter().flat_map(of).collect()
}

#[test]
fn all_pictures_are_sound_at_all_widths_and_modes() {
    for look in looks() {
        xml::check_words_apart(&xml::check_picture(&fall::svg(&scene::evening(), &look)));
        xml::check_words_apart(&xml::check_picture(&fall::svg(&scene::demo::day(), &look)));
        xml::check_words_apart(&xml::check_picture(&ledger::svg(&scene::heat(), &look)));
        xml::check_words_apart(&xml::check_picture(&section::svg(&scene::oven::dome(), &look)));
        xml::check_words_apart(&xml::check_picture(&section::svg(&scene::oven::vault(), &look)));
    }
}

#[test]
fn a_picture_that_leaves_the_house_has_literal_colours() {
    for mode in [Mode::Light, Mode::Dark] {
        let svg = fall::svg(&scene::evening(), &Look::new(390.0, mode, "a"));
        assert!(!svg.contains("var("));
        assert!(!svg.contains("style=") && !svg.contains("<script"));
    }
    assert!(fall::svg(&scene::evening(), &Look::new(390.0, Mode::Page, "a")).contains("fill=\"var(--draw-paper, #"));
}

#[test]
fn text_is_large_enough_to_read_on_a_phone() {
    let look = Look::new(390.0, Mode::Light, "a").without_heading();
    let elements = xml::check_picture(&fall::svg(&scene::evening(), &look));
    for text in elements.iter().filter(|e| e.name == "text") {
        assert!(text.number("font-size") >= 13.0, "{text:?}");
    }
    assert!(elements[0].number("height") <= 844.0, "fits a phone's screen");
}

fn probe_line(elements: &[xml::Element]) -> Vec<(f64, f64)> {
    let line = elements.iter().find(|e| e.name == "path" && e.has("stroke-width", "3.5")).unwrap();
    xml::points(&line.attributes["d"])
}

#[test]
fn time_runs_to_the_right_and_heat_upward() {
    let picture = scene::evening();
    for width in [390.0, 1280.0] {
        let elements = xml::check_picture(&fall::svg(&picture, &Look::new(width, Mode::Light, "a")));
        let line = probe_line(&elements);
        assert!(line.windows(2).all(|w| w[0].0 < w[1].0));
        // The scene's oven falls all night: y only grows.
        assert!(line.windows(2).all(|w| w[0].1 < w[1].1));
    }
}

/// Distance of a point from a line of points.
fn off_the_line(point: (f64, f64), line: &[(f64, f64)]) -> f64 {
    let from = |a: (f64, f64), b: (f64, f64)| {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let share = ((point.0 - a.0) * dx + (point.1 - a.1) * dy) / (dx * dx + dy * dy);
        let share = share.clamp(0.0, 1.0);
        (point.0 - a.0 - share * dx).hypot(point.1 - a.1 - share * dy)
    };
    line.windows(2).map(|w| from(w[0], w[1])).fold(f64::INFINITY, f64::min)
}

#[test]
fn a_real_day_is_drawn_with_fewer_points_than_it_has_and_none_is_visibly_off() {
    let picture = scene::demo::day();
    for (width, most_bytes) in [(390.0, 25_000), (960.0, 40_000)] {
        for mode in [Mode::Light, Mode::Dark, Mode::Page] {
            let svg = fall::svg(&picture, &Look::new(width, mode, "fall"));
            assert!(svg.len() <= most_bytes, "{mode:?} at {width}: {} bytes", svg.len());
            let line = probe_line(&xml::check_picture(&svg));
            assert!(line.len() < picture.times_min.len() * 3 / 4, "{} points", line.len());
            // The panel's own scale: zero at the bottom, 700 °C at the top, found from where the line begins and ends.
            let ends = (picture.times_min[0], picture.times_min[picture.times_min.len() - 1]);
            let (first, last) = (line[0], line[line.len() - 1]);
            let per_c =
                (last.1 - first.1) / (picture.probe_c.p50[picture.times_min.len() - 1] - picture.probe_c.p50[0]);
            for (t, c) in picture.times_min.iter().zip(&picture.probe_c.p50) {
                let x = first.0 + (t - ends.0) / (ends.1 - ends.0) * (last.0 - first.0);
                let y = first.1 + (c - picture.probe_c.p50[0]) * per_c;
                assert!(off_the_line((x, y), &line) < 0.6, "{t} min: {}", off_the_line((x, y), &line));
            }
        }
    }
}

#[test]
fn panels_share_one_axis_and_the_line_of_now() {
    let elements = xml::check_picture(&fall::svg(&scene::evening(), &Look::new(390.0, Mode::Light, "a")));
    let panels: Vec<_> = elements.iter().filter(|e| e.attributes.contains_key("data-from-min")).collect();
    assert_eq!(panels.len(), 4);
    for key in ["data-from-min", "data-to-min", "data-left-px", "data-right-px"] {
        assert!(panels.windows(2).all(|w| w[0].attributes[key] == w[1].attributes[key]), "{key}");
    }
    let now: Vec<f64> = elements
        .iter()
        .filter(|e| {
            e.name == "line" && e.has("stroke-width", "1.75") && e.number("x1").to_bits() == e.number("x2").to_bits()
        })
        .map(|e| e.number("x1"))
        .collect();
    assert_eq!(now.len(), 4);
    assert!(now.windows(2).all(|w| (w[0] - w[1]).abs() < 1e-9));
}

#[test]
fn hours_are_whole_do_not_touch_and_midnight_names_the_new_day() {
    for look in looks() {
        let elements = xml::check_picture(&fall::svg(&scene::evening(), &look));
        let hours: Vec<_> = elements.iter().filter(|e| e.name == "text" && e.text.ends_with(":00")).collect();
        assert!(hours.len() >= 6);
        for pair in hours.windows(2).filter(|w| w[0].number("y").to_bits() == w[1].number("y").to_bits()) {
            assert!(xml::text_ends(pair[0]).1 < xml::text_ends(pair[1]).0, "{pair:?}");
        }
        let days: String = elements.iter().filter(|e| e.name == "text").map(|e| format!("{} ", e.text)).collect();
        assert!(days.contains("Sat") && days.contains("Sun") && days.contains("00:00"));
    }
}

#[test]
fn names_at_the_ends_of_lines_do_not_overlap() {
    for look in looks() {
        let elements = xml::check_picture(&fall::svg(&scene::evening(), &look));
        let mut ends: Vec<f64> =
            elements.iter().filter(|e| e.name == "text" && e.text.ends_with('°')).map(|e| e.number("y")).collect();
        assert_eq!(ends.len(), 3);
        ends.sort_by(f64::total_cmp);
        assert!(ends.windows(2).all(|w| w[1] - w[0] >= 13.0));
    }
}

#[test]
fn a_hole_in_the_figures_is_a_gap_in_the_line() {
    let mut picture = scene::evening();
    picture.probe_c.p50[30] = f64::NAN;
    let elements = xml::check_picture(&fall::svg(&picture, &Look::new(390.0, Mode::Light, "a")));
    let lines = elements.iter().filter(|e| e.name == "path" && e.has("stroke-width", "3.5")).count();
    assert_eq!(lines, 2);
}

#[test]
fn an_empty_picture_says_so() {
    let mut picture = scene::evening();
    picture.times_min.clear();
    let svg = fall::svg(&picture, &Look::new(390.0, Mode::Light, "a"));
    xml::check_picture(&svg);
    assert!(svg.contains("There is no forecast to draw."));
    assert!(fall::tables(&picture).iter().all(|t| t.caption != "The fall: middle value (9 chances in 10)"));
    assert!(terminal::fall(&picture, 80).contains("There is no forecast to draw."));
}

#[test]
fn names_and_titles_from_outside_cannot_break_a_picture() {
    let mut picture = scene::evening();
    let odd = "\"><script>&amp;\u{0}\u{1b}[31m very long name of a dish that nobody would ever write on a slate";
    picture.title = odd.to_owned();
    picture.clock.zone = odd.to_owned();
    picture.placings[0].name = odd.to_owned();
    picture.windows[0].dish = odd.to_owned();
    let mut oven = scene::oven::dome();
    oven.name = odd.to_owned();
    oven.dome[0].material.name = odd.to_owned();
    let mut heat = scene::heat();
    heat.rows[0].label = odd.to_owned();
    for look in looks() {
        xml::check_picture(&fall::svg(&picture, &look));
        xml::check_picture(&section::svg(&oven, &look));
        xml::check_picture(&ledger::svg(&heat, &look));
    }
    for text in [terminal::fall(&picture, 80), terminal::ledger(&heat, 80)] {
        assert!(!text.contains(['\u{1b}', '\0']));
        assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    }
}

#[test]
fn names_of_dishes_are_never_cut() {
    let mut picture = scene::evening();
    let long = "slow tomatoes with garlic and thyme for the harbour supper on Sunday evening";
    picture.placings[0].name = long.to_owned();
    picture.windows[0].dish = long.to_owned();
    for look in looks() {
        let elements = xml::check_picture(&fall::svg(&picture, &look));
        xml::check_words_apart(&elements);
        let bold = elements.iter().filter(|e| e.name == "text" && e.has("font-weight", "bold"));
        let words: Vec<&str> = bold.map(|e| e.text.as_str()).collect();
        assert_eq!(words.join(" ").matches(long).count(), 2, "{words:?}");
    }
}

#[test]
fn a_reading_far_off_still_lies_inside() {
    let mut picture = scene::evening();
    picture.readings.push(ReadingMark { at_min: -3.0, value_c: 892.0, what: Trace::Gas });
    picture.readings.push(ReadingMark { at_min: -3.0, value_c: f64::INFINITY, what: Trace::Floor });
    picture.readings.push(ReadingMark { at_min: 1e9, value_c: 200.0, what: Trace::Floor });
    let svg = fall::svg(&picture, &Look::new(390.0, Mode::Light, "a"));
    xml::check_picture(&svg);
    assert!(svg.contains("air, read"));
}

#[test]
fn the_tables_give_the_figures_of_the_picture() {
    let picture = scene::evening();
    let tables = fall::tables(&picture);
    let text: Vec<String> = tables.iter().map(Table::to_text).collect();
    assert_eq!(text.join("\n"), include_str!("golden/tables.txt"));
    assert!(tables.iter().all(|t| t.rows.iter().all(|r| r.len() == t.head.len())));
    let now = tables[0].rows.iter().find(|r| r[0].ends_with("(now)")).unwrap();
    let index = picture.times_min.iter().position(|t| *t >= 0.0).unwrap();
    let (middle, low) = (picture.probe_c.p50[index], picture.probe_c.p05[index]);
    assert!(now[1].starts_with(&format!("{middle:.0} ({low:.0} to ")), "{now:?}");
}

#[test]
fn the_terminal_picture_is_eighty_columns_of_plain_text() {
    let text = terminal::fall(&scene::evening(), 80);
    assert_eq!(text, include_str!("golden/fall.txt"));
    for columns in [0, 48, 60, 80, 120, 5000] {
        let widest = terminal::fall(&scene::evening(), columns).lines().map(|l| l.chars().count()).max().unwrap();
        assert!(widest <= columns.clamp(48, 200), "{columns}: {widest}");
    }
}

#[test]
fn the_ledger_is_the_same_everywhere() {
    let heat = scene::heat();
    assert_eq!(terminal::ledger(&heat, 80), include_str!("golden/heat.txt"));
    assert_eq!(ledger::svg(&heat, &Look::new(390.0, Mode::Light, "heat")), include_str!("golden/heat390.svg"));
    let table = ledger::table(&heat);
    assert_eq!(table.rows.len(), heat.rows.len());
    let shares: f64 = table.rows.iter().filter_map(|r| r[2].parse::<f64>().ok()).sum();
    assert!((shares - 100.0).abs() < 0.5, "{shares}");
}

#[test]
fn bars_are_as_long_as_their_energy() {
    let heat = scene::heat();
    let elements = xml::check_picture(&ledger::svg(&heat, &Look::new(1280.0, Mode::Light, "a")));
    let bars: Vec<f64> = elements
        .iter()
        .filter(|e| e.name == "rect" && e.attributes.contains_key("stroke"))
        .map(|e| e.number("width"))
        .collect();
    let px_per_kwh = bars[0] / heat.rows[0].energy_kwh;
    for (bar, row) in bars.iter().zip(&heat.rows) {
        assert!((bar - row.energy_kwh.abs() * px_per_kwh).abs() < 0.11, "{row:?}");
    }
}

#[test]
fn a_ledger_without_rows_or_with_rubbish_is_still_a_picture() {
    let mut heat = scene::heat();
    heat.rows = vec![LedgerRow { label: "x".to_owned(), energy_kwh: f64::NAN }];
    xml::check_picture(&ledger::svg(&heat, &Look::new(390.0, Mode::Light, "a")));
    heat.rows = vec![LedgerRow { label: "x".to_owned(), energy_kwh: 0.0 }];
    xml::check_picture(&ledger::svg(&heat, &Look::new(390.0, Mode::Light, "a")));
    assert!(terminal::ledger(&heat, 80).contains("0.0 kWh"));
}

/// Pixels across of a line with strokes at its ends whose length is written beside it.
fn longest_level_line(elements: &[xml::Element]) -> f64 {
    let level = elements.iter().filter(|e| e.name == "line" && e.number("y1").to_bits() == e.number("y2").to_bits());
    level
        .filter(|e| e.has("stroke-width", "1") && !e.in_pattern)
        .map(|e| e.number("x2") - e.number("x1"))
        .fold(0.0, f64::max)
}

#[test]
fn the_section_is_to_scale() {
    for width in [390.0, 1280.0] {
        let elements = xml::check_picture(&section::svg(&scene::oven::dome(), &Look::new(width, Mode::Light, "a")));
        let px_per_m = longest_level_line(&elements) / 1.0;
        let hot_layer = elements.iter().find(|e| e.has("fill", "url(#a-layer1)") && e.name == "path").unwrap();
        let firebrick = elements.iter().find(|e| e.has("fill", "url(#a-layer4)") && e.name == "path").unwrap();
        let ys = |e: &xml::Element| xml::points(&e.attributes["d"]).iter().map(|p| p.1).collect::<Vec<f64>>();
        let span = |v: &[f64]| v.iter().fold(f64::MIN, |a, b| a.max(*b)) - v.iter().fold(f64::MAX, |a, b| a.min(*b));
        assert!((span(&ys(firebrick)) - 0.064 * px_per_m).abs() < 0.1);
        // From the floor to the outside of the hot layer at the crown: 42 cm and 6 cm.
        assert!((span(&ys(hot_layer)) - 0.48 * px_per_m).abs() < 0.3);
    }
}

#[test]
fn the_section_names_every_layer_and_marks_what_was_not_measured() {
    let oven = scene::oven::dome();
    let svg = section::svg(&oven, &Look::new(1280.0, Mode::Light, "a"));
    assert!(looks().iter().all(|look| !section::svg(&oven, look).contains('…')), "no name is cut");
    for layer in oven.dome.iter().chain(&oven.floor).chain(&oven.mouth.door) {
        assert!(svg.contains(&format!(">{}, ", layer.material.name)), "{}", layer.material.name);
    }
    assert!(svg.contains("ceramic fibre blanket, ≈ 75\u{a0}mm"));
    assert!(svg.contains("cast refractory, 60\u{a0}mm"));
    assert!(section::description(&oven).contains("Mouth 48\u{a0}cm wide, 26\u{a0}cm high."));
    assert!(svg.contains("Below the floor: free air"));
}

#[test]
fn an_oven_with_impossible_sizes_is_refused_in_words() {
    for size in [f64::NAN, 0.0, -1.0, 1e9] {
        let mut oven = scene::oven::vault();
        oven.form = Form::Dome { inner_diameter_m: Quantity::stated(1.0, 0.1), rise_m: Quantity::stated(size, 0.1) };
        let svg = section::svg(&oven, &Look::new(390.0, Mode::Light, "a"));
        xml::check_picture(&svg);
        assert!(svg.contains("These sizes cannot be drawn to scale."), "{size}");
    }
    let mut bare = scene::oven::vault();
    bare.dome.clear();
    bare.floor.clear();
    bare.under = Under::Ground;
    xml::check_picture(&section::svg(&bare, &Look::new(390.0, Mode::Light, "a")));
}

#[test]
fn tall_low_and_wide_mouthed_ovens_can_be_drawn() {
    for (span, rise, mouth) in [(0.6, 0.5, 0.49), (3.5, 0.3, 0.25), (1.0, 0.9, 1.5), (0.3, 0.15, 0.1)] {
        let mut oven = scene::oven::dome();
        let stated = |v: f64| Quantity::stated(v, 0.02);
        oven.form = Form::Dome { inner_diameter_m: stated(span), rise_m: stated(rise) };
        oven.mouth.height_m = stated(mouth);
        for look in looks() {
            xml::check_picture(&section::svg(&oven, &look));
        }
    }
}

#[test]
fn every_picture_has_words_and_tables_for_a_page() {
    let (oven, shown) = (scene::oven::vault(), touch_oven::TouchOven::default());
    let all = [
        (fall::description(&scene::demo::day()), fall::tables(&scene::demo::day())),
        (past_day::description(&scene::past_day::day()), past_day::tables(&scene::past_day::day())),
        (ledger::description(&scene::heat()), ledger::tables(&scene::heat())),
        (section::description(&oven), section::tables(&oven)),
        (profile::description(&scene::walls::walls()), profile::tables(&scene::walls::walls())),
        (touch_oven::description(&oven, &shown), touch_oven::tables(&shown)),
    ];
    for (said, tables) in all {
        assert!(said.len() > 40, "{said}");
        assert!(!tables.is_empty());
        for table in tables {
            assert!(!table.rows.is_empty() && table.rows.iter().all(|r| r.len() == table.head.len()), "{table:?}");
            xml::read(table.to_html().trim()).unwrap();
        }
    }
    let layers = &section::tables(&oven)[1];
    assert_eq!(layers.rows[1], ["2", "vault", "ceramic fibre blanket", "≈ 75\u{a0}mm"]);
}

fn with_times(from_min: f64, step_min: f64, count: u32) -> FallPicture {
    let mut picture = scene::evening();
    picture.times_min = (0..count).map(|i| from_min + f64::from(i) * step_min).collect();
    let times = picture.times_min.clone();
    picture.probe_c = scene::bands(&times, |t| 200.0 - t * 0.01, |_| 5.0);
    picture.placings.clear();
    picture
}

#[test]
fn short_long_past_and_far_pictures_keep_their_shape() {
    let cases = [(0.0, 1.0, 10), (0.0, 10.0, 500), (-600.0, 10.0, 40), (300.0, 10.0, 40), (0.0, 0.5, 9000)];
    for (from, step, count) in cases {
        let picture = with_times(from, step, count);
        for look in looks() {
            let svg = fall::svg(&picture, &look);
            xml::check_picture(&svg);
            assert!(svg.len() < 200_000, "{} bytes", svg.len());
        }
        assert!(terminal::fall(&picture, 80).lines().all(|l| l.chars().count() <= 80));
    }
}
