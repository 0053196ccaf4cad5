//! A forecast against what came: scored as the table says, with what was done on the same axis.

use crate::{json, scene, xml};
use ovenfall_draw::past_day::{self, DoorStands, EntryKind, EntryMark, PastDayPicture};
use ovenfall_draw::theme::{Look, Mode};

fn looks() -> Vec<Look> {
    let of = |w: f64| [Mode::Light, Mode::Dark, Mode::Page].map(|m| Look::new(w, m, "c1"));
    [320.0, 390.0, 768.0, 1280.0].into_iter().flat_map(of).collect()
}

#[test]
fn a_day_is_sound_small_and_readable_at_all_widths_and_modes() {
    for look in looks() {
        let svg = past_day::svg(&scene::past_day::day(), &look);
        let elements = xml::check_picture(&svg);
        xml::check_words_apart(&elements);
        assert!(elements.iter().filter(|e| e.name == "text").all(|e| e.number("font-size") >= 13.0));
        assert!(svg.len() < 30_000, "{} bytes", svg.len());
    }
}

#[test]
fn readings_are_scored_against_the_band_of_their_time() {
    let picture = scene::past_day::day();
    let table = &past_day::tables(&picture)[0];
    let afterwards = picture.readings.iter().filter(|r| r.at_min > 0.0).count();
    assert_eq!(table.rows.len(), afterwards);
    for row in &table.rows {
        let read: f64 = row[2].parse().unwrap();
        let (middle, range) = row[3].split_once(" (").unwrap();
        let (low, high) = range.trim_end_matches(')').split_once(" to ").unwrap();
        let [middle, low, high]: [f64; 3] = [middle, low, high].map(|v| v.parse().unwrap());
        // Figures are rounded to whole degrees; a reading within one of an end may go either way.
        let clear = (read - low).abs() > 1.0 && (read - high).abs() > 1.0;
        assert!(!clear || (row[5] == "yes") == (low < read && read < high), "{row:?}");
        let off = if row[4].ends_with("too cool") { read - middle } else { middle - read };
        let said: f64 = row[4].split('\u{a0}').next().unwrap().parse().unwrap_or(0.0);
        assert!((off - said).abs() <= 1.0, "{row:?}");
    }
    let within = table.rows.iter().filter(|r| r[1] == "probe" && r[5] == "yes").count();
    let said = past_day::description(&picture);
    assert!(said.contains(&format!("probe {within} of 9")) && said.contains("26\u{a0}K too cool at 10:25"), "{said}");
}

#[test]
fn the_door_is_a_strip_that_changes_when_it_was_set() {
    let picture = scene::past_day::day();
    let elements = xml::check_picture(&past_day::svg(&picture, &Look::new(960.0, Mode::Light, "c")));
    let panel = elements.iter().position(|e| e.has("class", "day-door")).unwrap();
    let figure = |name: &str| elements[panel].number(name);
    let x_px = |at: f64| {
        let share = (at - figure("data-from-min")) / (figure("data-to-min") - figure("data-from-min"));
        figure("data-left-px") + share * (figure("data-right-px") - figure("data-left-px"))
    };
    let after: Vec<_> = elements[panel..].iter().take_while(|e| e.text != "In the oven").collect();
    let strip: Vec<f64> = after
        .iter()
        .filter(|e| e.name == "rect" && e.attributes.contains_key("stroke"))
        .map(|e| e.number("x"))
        .collect();
    let set: Vec<f64> =
        picture.entries.iter().filter(|e| matches!(e.kind, EntryKind::Door(_))).map(|e| x_px(e.at_min)).collect();
    // Two more rectangles with a stroke are the swatches of the next key.
    assert!(strip.len() >= set.len());
    for (drawn, wanted) in strip.iter().zip(&set) {
        assert!((drawn - wanted).abs() < 0.11, "{drawn} for {wanted}");
    }
}

fn few(entries: Vec<EntryMark>) -> PastDayPicture {
    PastDayPicture { entries, placings: Vec::new(), ..scene::past_day::day() }
}

fn entry(at_min: f64, kind: EntryKind, words: &str) -> EntryMark {
    EntryMark { at_min, kind, words: words.to_owned() }
}

#[test]
fn words_stand_under_their_ticks_where_there_is_room_and_in_a_list_where_not() {
    let fire = |at: f64, words: &str| entry(at, EntryKind::Fire, words);
    let look = Look::new(960.0, Mode::Light, "c");
    let apart = past_day::svg(&few(vec![fire(-200.0, "moved left"), fire(300.0, "raked out")]), &look);
    assert!(apart.contains(">moved left</text>") && apart.contains(">raked out</text>"));
    let close = past_day::svg(&few(vec![fire(-30.0, "spread"), fire(-28.0, "raked out")]), &look);
    assert!(close.contains("08:55\u{a0}spread, 08:57\u{a0}raked\u{a0}out</text>"), "{close}");
}

#[test]
fn wood_is_summed_where_all_of_it_is_known() {
    let wood = |mass_kg: Option<f64>| entry(-100.0, EntryKind::Wood { mass_kg }, "some");
    let look = Look::new(960.0, Mode::Light, "c");
    assert!(past_day::svg(&few(vec![wood(Some(3.5)), wood(Some(4.0))]), &look).contains("7.5\u{a0}kg in 2"));
    assert!(!past_day::svg(&few(vec![wood(Some(3.5)), wood(None)]), &look).contains("kg in 2"));
}

#[test]
fn what_was_known_is_not_scored_and_nothing_read_is_said() {
    let mut picture = scene::past_day::day();
    picture.readings.retain(|r| r.at_min <= 0.0);
    assert!(past_day::tables(&picture).iter().all(|t| t.caption != "What was read afterwards"));
    assert!(past_day::description(&picture).contains("Nothing that it speaks of was read afterwards."));
    picture.times_min.clear();
    let svg = past_day::svg(&picture, &Look::new(390.0, Mode::Light, "c"));
    xml::check_picture(&svg);
    assert!(svg.contains("There is no forecast to draw."));
}

#[test]
fn touch_says_how_the_door_stood_and_what_was_done() {
    let touch = past_day::touch(&scene::past_day::day());
    json::check(&touch.json());
    let lane = |label: &str| touch.lanes.iter().find(|lane| lane.label == label).unwrap();
    let at = |label: &str, min: f64| {
        let names = lane(label).spans.iter().filter(|s| s.from_min <= min && s.to_min > min);
        names.map(|s| s.name.clone()).collect::<Vec<String>>()
    };
    assert_eq!(at("door", 100.0), [DoorStands::Ajar.name()]);
    assert_eq!(at("door", 200.0), [DoorStands::Shut.name()]);
    assert!(at("done", -40.0).contains(&"fire raked out at 08:45".to_owned()), "{:?}", at("done", -40.0));
    assert!(touch.rows.iter().any(|row| row.time == "Sat 09:25, the forecast is made"));
}
