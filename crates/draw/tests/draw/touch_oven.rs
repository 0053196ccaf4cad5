//! The oven to tap on: every place of a day file can be tapped with a floury thumb, on any oven.

use crate::{scene, xml};
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_draw::touch_oven::{self, LEAST_TARGET_PX, PLACES, TouchOven};
use ovenfall_engine::description::{FirePlace, Form, OvenDescription, Quantity};
use ovenfall_record::reading::Spot;
use proptest::prelude::*;

fn shown() -> TouchOven {
    let read = |place: &str, words: &str| (place.to_owned(), words.to_owned());
    TouchOven {
        last_read: vec![read("floor centre", "308 °C, 09:41"), read("probe", "288 °C, 09:25"), read("hearth", "1 °C")],
        next: Some("back wall".to_owned()),
        link: None,
    }
}

fn page(width_px: f64) -> Look {
    Look::new(width_px, Mode::Page, "tap")
}

/// A target: the place it belongs to, and its left, top, right and bottom, px.
type Target = (String, [f64; 4]);

fn targets(elements: &[xml::Element]) -> Vec<Target> {
    let mut out: Vec<Target> = Vec::new();
    let mut spot = String::new();
    for element in elements {
        if let Some(name) = element.attributes.get("data-spot") {
            spot.clone_from(name);
        }
        if element.has("class", "draw-target") {
            let [x, y, wide, high] = ["x", "y", "width", "height"].map(|name| element.number(name));
            out.push((spot.clone(), [x, y, x + wide, y + high]));
        }
    }
    out
}

/// Every place has one target, large enough, apart from the others, and its words are inside.
fn check(oven: &OvenDescription, shown: &TouchOven, look: &Look) -> Vec<Target> {
    let elements = xml::check_group(&touch_oven::svg(oven, shown, look));
    let targets = targets(&elements);
    let mut names: Vec<&str> = targets.iter().map(|(name, _)| name.as_str()).collect();
    names.sort_unstable();
    let mut places = PLACES;
    places.sort_unstable();
    assert_eq!(names, places);
    let root = &elements[0];
    for (i, (name, [left, top, right, bottom])) in targets.iter().enumerate() {
        assert!(right - left >= LEAST_TARGET_PX && bottom - top >= LEAST_TARGET_PX, "{name}");
        assert!(*left >= 0.0 && *top >= 0.0 && *right <= root.number("width") && *bottom <= root.number("height"));
        for (other, [l, t, r, b]) in &targets[i + 1..] {
            assert!(right <= l || r <= left || bottom <= t || b <= top, "{name} on {other}");
        }
    }
    words_inside(&elements, &targets);
    targets
}

fn words_inside(elements: &[xml::Element], targets: &[Target]) {
    let mut inside: Option<&Target> = None;
    for element in elements {
        if let Some(name) = element.attributes.get("data-spot") {
            inside = targets.iter().find(|(spot, _)| spot == name);
        }
        let in_a_place = element.has("text-anchor", "middle") && !["mouth", "fire"].contains(&element.text.as_str());
        if let (Some((name, [left, top, right, bottom])), "text", true) = (inside, element.name.as_str(), in_a_place) {
            let (from, to) = xml::text_ends(element);
            let (base, size) = (element.number("y"), element.number("font-size"));
            assert!(
                from >= *left && to <= *right && base <= *bottom && base - size * 0.75 >= *top,
                "{name}: {element:?}"
            );
        }
    }
}

#[test]
fn places_are_those_of_day_files_and_the_probe() {
    let mut words: Vec<&str> = Spot::NAMES.iter().map(|(_, name)| *name).collect();
    words.push("probe");
    assert_eq!(words, PLACES);
}

#[test]
fn every_place_can_be_tapped_on_both_ovens_at_all_widths() {
    for oven in [scene::oven::dome(), scene::oven::vault()] {
        for width in [320.0, 366.0, 390.0, 960.0] {
            check(&oven, &shown(), &page(width));
            check(&oven, &TouchOven::default(), &page(width).without_heading());
        }
    }
}

#[test]
fn the_fire_side_is_where_the_fire_lies() {
    let mut oven = scene::oven::dome();
    for (fire, fire_is_left) in [(FirePlace::Left, true), (FirePlace::Right, false)] {
        oven.fire_place = fire;
        let targets = check(&oven, &shown(), &page(366.0));
        let left_of = |name: &str| targets.iter().find(|(spot, _)| spot == name).unwrap().1[0];
        assert_eq!(left_of("fire side") < left_of("far side"), fire_is_left);
        let svg = touch_oven::svg(&oven, &shown(), &page(366.0));
        let elements = xml::check_group(&svg);
        let flame = elements.iter().find(|e| e.text == "fire").unwrap().number("x");
        assert_eq!(flame < 183.0, fire_is_left);
    }
    oven.fire_place = FirePlace::Back;
    assert!(touch_oven::description(&oven, &shown()).contains("at the back"));
}

#[test]
fn the_floor_lies_with_its_mouth_at_the_bottom() {
    let targets = check(&scene::oven::vault(), &shown(), &page(366.0));
    let top_of = |name: &str| targets.iter().find(|(spot, _)| spot == name).unwrap().1[1];
    assert!(top_of("crown") < top_of("back wall"));
    assert!(top_of("back wall") < top_of("floor back"));
    assert!(top_of("floor back") < top_of("floor centre") && top_of("floor centre") < top_of("floor front"));
}

#[test]
fn places_are_buttons_or_links_and_say_what_was_read() {
    let oven = scene::oven::dome();
    let elements = xml::check_group(&touch_oven::svg(&oven, &shown(), &page(366.0)));
    let spots: Vec<_> = elements.iter().filter(|e| e.attributes.contains_key("data-spot")).collect();
    assert!(spots.iter().all(|e| e.has("role", "button") && e.has("tabindex", "0")));
    let centre = spots.iter().find(|e| e.has("data-spot", "floor centre")).unwrap();
    assert_eq!(centre.attributes["aria-label"], "floor centre 308 °C, 09:41");
    let next: Vec<_> = spots.iter().filter(|e| e.has("aria-current", "step")).collect();
    assert_eq!(next.len(), 1);
    assert!(next[0].has("data-spot", "back wall"));
    let linked = TouchOven { link: Some("/write?a=1&spot=".to_owned()), ..shown() };
    let svg = touch_oven::svg(&oven, &linked, &page(366.0));
    assert!(svg.contains("<a href=\"/write?a=1&amp;spot=floor%20centre\" class=\"draw-spot\""), "{svg}");
    assert!(!svg.contains("tabindex"));
    let table = &touch_oven::tables(&shown())[0];
    assert_eq!(table.rows.len(), PLACES.len());
    assert_eq!(table.rows[1], ["floor centre", "308 °C, 09:41"]);
}

#[test]
fn the_chamber_and_the_floor_are_to_scale() {
    for (oven, across, long, rise) in [(scene::oven::dome(), 1.0, 1.0, 0.42), (scene::oven::vault(), 1.8, 2.4, 0.45)] {
        let elements = xml::check_group(&touch_oven::svg(&oven, &shown(), &page(366.0)));
        let walls: Vec<_> = elements.iter().filter(|e| e.has("stroke-linejoin", "round")).collect();
        let size = |e: &xml::Element| {
            let points = xml::points(&e.attributes["d"]);
            let span =
                |v: Vec<f64>| v.iter().fold(f64::MIN, |a, b| a.max(*b)) - v.iter().fold(f64::MAX, |a, b| a.min(*b));
            (span(points.iter().map(|p| p.0).collect()), span(points.iter().map(|p| p.1).collect()))
        };
        let (chamber, floor) = (size(walls[0]), size(walls[1]));
        assert!((chamber.1 / chamber.0 - rise / across).abs() < 0.005, "{chamber:?}");
        assert!((floor.1 / floor.0 - long / across).abs() < 0.01, "{floor:?}");
    }
}

fn size_m() -> impl Strategy<Value = f64> {
    prop_oneof![8 => 0.2..4.0_f64, 1 => any::<f64>()]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_oven_can_be_tapped(
        sizes in (size_m(), size_m(), size_m(), size_m()),
        round in any::<bool>(),
        words in prop::collection::vec(".{0,60}", 8),
        width in 320.0..1400.0_f64,
        heading in any::<bool>(),
        fire in 0..4_usize,
    ) {
        let stated = |v: f64| Quantity::stated(v, 0.1);
        let mut oven = scene::oven::dome();
        let (wide, long, rise) = (stated(sizes.0), stated(sizes.1), stated(sizes.2));
        oven.form = if round {
            Form::Dome { inner_diameter_m: wide, rise_m: rise }
        } else {
            Form::Vault { width_m: wide, length_m: long, rise_m: rise }
        };
        oven.mouth.width_m = stated(sizes.3);
        oven.fire_place = [FirePlace::Left, FirePlace::Right, FirePlace::Back, FirePlace::Centre][fire];
        let last_read = PLACES.iter().zip(words).map(|(place, words)| ((*place).to_owned(), words)).collect();
        let shown = TouchOven { last_read, next: Some("crown".to_owned()), link: None };
        let look = if heading { page(width) } else { page(width).without_heading() };
        check(&oven, &shown, &look);
        prop_assert!(touch_oven::svg(&oven, &shown, &look).len() < 20_000);
    }
}
