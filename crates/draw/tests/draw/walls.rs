//! The heat in the walls: sound at every width and mode, showing what it was given, and sound with any input.

use crate::scene::walls::walls;
use crate::xml;
use ovenfall_draw::profile::{self, LayerKind, ProfilePicture, Wall, WallLayer};
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_draw::{Bands, Table, terminal};
use proptest::prelude::*;

fn looks() -> Vec<Look> {
    let of = |w: f64| [Mode::Light, Mode::Dark, Mode::Page].map(|m| Look::new(w, m, "w1"));
    [320.0, 390.0, 768.0, 1280.0].into_iter().flat_map(of).collect()
}

fn middle_lines(elements: &[xml::Element]) -> Vec<Vec<(f64, f64)>> {
    let lines = elements.iter().filter(|e| e.name == "path" && e.has("stroke-width", "3.5"));
    lines.map(|e| xml::points(&e.attributes["d"])).collect()
}

#[test]
fn walls_are_sound_and_readable_at_all_widths_and_modes() {
    for look in looks() {
        let elements = xml::check_picture(&profile::svg(&walls(), &look));
        let texts: Vec<_> = elements.iter().filter(|e| e.name == "text").collect();
        assert!(texts.iter().all(|e| e.number("font-size") >= 13.0));
        for words in ["Floor: ", "Crown: ", "°C", "0 mm", "hot face", "outside", "heat above 100"] {
            assert!(texts.iter().any(|e| e.text.contains(words)), "{words}");
        }
        assert!(texts.iter().any(|e| e.text.starts_with("Take care: ")));
    }
}

#[test]
fn no_two_words_lie_on_each_other() {
    for look in looks() {
        xml::check_words_apart(&xml::check_picture(&profile::svg(&walls(), &look)));
    }
}

#[test]
fn depth_runs_to_the_right_and_heat_upward() {
    for width in [390.0, 1280.0] {
        let lines = middle_lines(&xml::check_picture(&profile::svg(&walls(), &Look::new(width, Mode::Light, "a"))));
        assert_eq!(lines.len(), 2);
        for (line, wall) in lines.iter().zip(&walls().walls) {
            assert_eq!(line.len(), wall.depths_mm.len());
            assert!(line.windows(2).all(|pair| pair[0].0 < pair[1].0));
            for (pair, t) in line.windows(2).zip(wall.temperature_c.p50.windows(2)) {
                assert_eq!(pair[0].1 < pair[1].1, t[0] > t[1], "cooler is lower");
            }
        }
    }
}

#[test]
fn the_words_and_tables_give_the_figures() {
    let said = profile::description(&walls());
    assert!(said.contains("Crown: 495\u{a0}°C at the hot face") && said.contains("190\u{a0}mm further on"), "{said}");
    let tables = profile::tables(&walls());
    assert_eq!(tables.len(), 2);
    assert_eq!(tables[1].rows[0], ["0", "495 (446 to 544)"]);
    assert!(tables.iter().map(Table::to_text).all(|text| !text.contains("NaN")));
}

#[test]
fn the_terminal_shows_both_walls_in_any_number_of_columns() {
    for columns in [0, 48, 80, 5000] {
        let text = terminal::profile(&walls(), columns);
        assert!(text.lines().all(|line| line.chars().count() <= columns.clamp(48, 200)), "{text}");
        assert!(text.contains("Floor: ") && text.contains("Crown: ") && text.contains("mm"), "{text}");
    }
}

#[test]
fn nothing_to_draw_is_said() {
    let bare = ProfilePicture { walls: Vec::new(), ..walls() };
    let svg = profile::svg(&bare, &Look::new(390.0, Mode::Light, "a"));
    xml::check_picture(&svg);
    assert!(svg.contains("There is nothing to draw."));
    assert_eq!(terminal::profile(&bare, 80), "There is nothing to draw.\n");
}

fn value() -> impl Strategy<Value = f64> {
    prop_oneof![8 => 0.0..500.0_f64, 1 => Just(f64::NAN), 1 => any::<f64>()]
}

fn row() -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(value(), 0..20)
}

fn wall() -> impl Strategy<Value = Wall> {
    let kind = prop_oneof![Just(LayerKind::Dense), Just(LayerKind::Insulation), Just(LayerKind::Skin)];
    let layer = (".{0,20}", value(), kind).prop_map(|(name, to_mm, kind)| WallLayer { name, to_mm, kind });
    let bands = (row(), row(), row(), row(), row());
    let bands = bands.prop_map(|(p05, p25, p50, p75, p95)| Bands { p05, p25, p50, p75, p95 });
    (".{0,20}", row(), bands, row(), prop::collection::vec(layer, 0..5)).prop_map(
        |(name, depths_mm, temperature_c, fire_side_c, layers)| Wall {
            name,
            depths_mm,
            temperature_c,
            fire_side_c,
            layers,
        },
    )
}

fn picture() -> impl Strategy<Value = ProfilePicture> {
    let texts = || prop::collection::vec(".{0,60}", 0..3);
    (".{0,60}", texts(), prop::collection::vec(wall(), 0..4), value(), texts()).prop_map(
        |(title, sentences, walls, store_above_c, cautions)| ProfilePicture {
            title,
            sentences,
            walls,
            store_above_c,
            cautions,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_walls_are_sound(picture in picture(), width in any::<f64>(), columns in any::<usize>()) {
        for look in [Look::new(390.0, Mode::Light, "a"), Look::new(width, Mode::Dark, "")] {
            xml::check_picture(&profile::svg(&picture, &look));
        }
        let text = terminal::profile(&picture, columns);
        prop_assert!(text.lines().all(|line| line.chars().count() <= columns.clamp(48, 200)), "{text}");
        prop_assert!(profile::tables(&picture).iter().all(|t| !t.to_text().contains("NaN")));
    }
}
