//! Values on touch: what the script reads is what the picture shows, and its data are sound.

use crate::{json, scene, xml};
use ovenfall_draw::fall;
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_draw::touch::{MOST_COLUMNS, TOUCH_JS};

fn page(width_px: f64) -> Look {
    Look::new(width_px, Mode::Page, "a")
}

#[test]
fn columns_say_what_the_tables_say() {
    let picture = scene::demo::day();
    let touch = fall::touch(&picture);
    assert!(touch.rows.len() > 60 && touch.rows.len() <= MOST_COLUMNS);
    let hourly = &fall::tables(&picture)[0];
    let noon = touch.rows.iter().find(|row| row.time == "Sat 12:00").unwrap();
    let in_table = hourly.rows.iter().find(|row| row[0] == "Sat 12:00").unwrap();
    assert_eq!(noon.cells[0], in_table[1], "probe with its range");
    for (cell, column) in [(1, 3), (2, 4), (3, 5)] {
        assert!(in_table[column].starts_with(&format!("{} (", noon.cells[cell])), "{in_table:?} {noon:?}");
    }
    let inside = touch.lanes.iter().find(|lane| lane.label == "in the oven").unwrap();
    assert_eq!(inside.spans.len(), picture.placings.len());
    let read = touch.lanes.iter().find(|lane| lane.label == "read").unwrap();
    let reads = |name: &str| read.spans.iter().any(|s| s.name == name && s.from_min <= 0.0 && s.to_min >= 0.0);
    assert!(reads("probe 288\u{a0}°C at 09:25"), "{read:?}");
}

#[test]
fn the_picture_carries_a_hidden_line_in_pages_only() {
    let picture = scene::demo::day();
    let elements = xml::check_picture(&fall::svg(&picture, &page(390.0)));
    let cursor = elements.iter().find(|e| e.has("class", "draw-cursor")).unwrap();
    assert!(cursor.has("visibility", "hidden"));
    let panel = elements.iter().find(|e| e.has("class", "fall-temperatures")).unwrap();
    for name in ["data-from-min", "data-to-min", "data-left-px", "data-right-px"] {
        assert_eq!(cursor.attributes[name], panel.attributes[name], "{name}");
    }
    assert!(!fall::svg(&picture, &Look::new(390.0, Mode::Light, "a")).contains("draw-cursor"));
}

#[test]
fn the_data_are_json_that_cannot_end_their_element() {
    let mut picture = scene::demo::day();
    picture.placings[0].name = "</script><b>\"\\ \u{1}\u{2028}".to_owned();
    picture.placings[0].out_min = None;
    let touch = fall::touch(&picture);
    let json = touch.json();
    json::check(&json);
    assert!(!json.contains('<') && !json.contains('\u{2028}'));
    assert!(json.len() < 9000, "{} bytes", json.len());
    let look = page(390.0).without_heading();
    let html = touch.html("The fall, \"Saturday\"", &fall::svg(&picture, &look), None);
    assert!(html.contains("aria-label=\"The fall, &quot;Saturday&quot;\""));
    assert_eq!(html.matches("</script>").count(), 1);
    assert!(!html.contains("style="), "a strict policy forbids it");
    assert!(html.find("</svg>").unwrap() < html.find("aria-live=\"polite\"").unwrap(), "the readout is outside");
}

#[test]
fn both_widths_and_the_data_leave_room_in_a_page() {
    let picture = scene::demo::day();
    let svg = |width_px: f64, id: &str| fall::svg(&picture, &Look::new(width_px, Mode::Page, id).without_heading());
    let html = fall::touch(&picture).html("The fall", &svg(390.0, "n"), Some(&svg(960.0, "w")));
    assert!(html.len() + TOUCH_JS.len() < 65_000, "{} bytes", html.len());
}

#[test]
fn the_script_sets_attributes_and_text_only() {
    for forbidden in ["innerHTML", "outerHTML", ".style", "eval", "import", "fetch", "new Function", "insertAdjacent"] {
        assert!(!TOUCH_JS.contains(forbidden), "{forbidden}");
    }
    for key in ["ArrowLeft", "ArrowRight", "Home", "End", "Escape", "pointerdown", "pointermove", "keydown"] {
        assert!(TOUCH_JS.contains(key), "{key}");
    }
}

#[test]
fn a_picture_of_nothing_has_no_columns() {
    let mut picture = scene::evening();
    picture.times_min.clear();
    let touch = fall::touch(&picture);
    assert!(touch.rows.is_empty() && touch.lanes.is_empty());
    json::check(&touch.json());
}
