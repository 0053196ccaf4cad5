//! Any input at all gives a sound picture: holes, disorder, absurd figures, bands of unequal length.

use crate::{json, scene, xml};
use ovenfall_draw::fall::{self, FallPicture, PlacingLane, ReadingMark, Trace};
use ovenfall_draw::past_day::{self, DoorStands, EntryKind, EntryMark, PastDayPicture};
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_draw::{Bands, Clock, ClockChange, Span, Suits, Window, terminal};
use proptest::prelude::*;

fn value() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => 0.0..500.0_f64,
        1 => Just(f64::NAN),
        1 => any::<f64>(),
    ]
}

fn minutes() -> impl Strategy<Value = f64> {
    prop_oneof![9 => -2000.0..2000.0_f64, 1 => any::<f64>()]
}

fn band() -> impl Strategy<Value = Bands> {
    let row = || prop::collection::vec(value(), 0..30);
    (row(), row(), row(), row(), row()).prop_map(|(p05, p25, p50, p75, p95)| Bands { p05, p25, p50, p75, p95 })
}

fn trace() -> impl Strategy<Value = Trace> {
    prop_oneof![Just(Trace::Probe), Just(Trace::Gas), Just(Trace::Floor), Just(Trace::Crown)]
}

fn placing() -> impl Strategy<Value = PlacingLane> {
    (".{0,20}", minutes(), prop::option::of(minutes()), prop::option::of(band()))
        .prop_map(|(name, in_min, out_min, core_c)| PlacingLane { name, in_min, out_min, core_c })
}

fn entry() -> impl Strategy<Value = EntryMark> {
    let door = prop_oneof![Just(DoorStands::Open), Just(DoorStands::Ajar), Just(DoorStands::Shut)];
    let kind = prop_oneof![
        prop::option::of(value()).prop_map(|mass_kg| EntryKind::Wood { mass_kg }),
        Just(EntryKind::Fire),
        door.prop_map(EntryKind::Door),
        Just(EntryKind::Other),
    ];
    (minutes(), kind, ".{0,20}").prop_map(|(at_min, kind, words)| EntryMark { at_min, kind, words })
}

fn reading() -> impl Strategy<Value = ReadingMark> {
    (minutes(), value(), trace()).prop_map(|(at_min, value_c, what)| ReadingMark { at_min, value_c, what })
}

fn spans() -> impl Strategy<Value = Vec<Span>> {
    let span = (minutes(), minutes()).prop_map(|(from_min, to_min)| Span { from_min, to_min });
    prop::collection::vec(span, 0..4)
}

fn reads_right() -> impl Strategy<Value = Suits> {
    (spans(), spans(), spans()).prop_map(|(nine_in_ten, even, possible)| Suits { nine_in_ten, even, possible })
}

fn window() -> impl Strategy<Value = Window> {
    (".{0,20}", value(), value(), trace(), reads_right()).prop_map(|(dish, low_c, high_c, judged_by, reads_right)| {
        Window { dish, low_c, high_c, judged_by, reads_right }
    })
}

fn clock() -> impl Strategy<Value = Clock> {
    let change = (minutes(), minutes()).prop_map(|(after_now_min, by_min)| ClockChange { after_now_min, by_min });
    (minutes(), prop::option::of(any::<u8>()), ".{0,20}", prop::option::of(change)).prop_map(
        |(now_of_day_min, weekday_monday0, zone, change)| Clock { now_of_day_min, weekday_monday0, zone, change },
    )
}

fn times() -> impl Strategy<Value = Vec<f64>> {
    let rising = (minutes(), 0.1..60.0_f64, 0..30_u32)
        .prop_map(|(from, step, n)| (0..n).map(|i| from + step * f64::from(i)).collect::<Vec<f64>>());
    prop_oneof![3 => rising, 1 => prop::collection::vec(minutes(), 0..30)]
}

fn picture() -> impl Strategy<Value = FallPicture> {
    let head = (".{0,60}", clock(), times(), value());
    let bands = (band(), band(), band(), band(), band());
    let lists = (
        prop::collection::vec(placing(), 0..4),
        prop::collection::vec(reading(), 0..4),
        prop::collection::vec(window(), 0..4),
    );
    (head, bands, lists).prop_map(|(head, bands, lists)| FallPicture {
        title: head.0,
        clock: head.1,
        times_min: head.2,
        store_above_c: head.3,
        probe_c: bands.0,
        gas_c: bands.1,
        floor_c: bands.2,
        crown_c: bands.3,
        store_kwh: bands.4,
        placings: lists.0,
        readings: lists.1,
        windows: lists.2,
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_picture_is_sound(picture in picture(), width in any::<f64>(), columns in any::<usize>()) {
        for look in [Look::new(390.0, Mode::Light, "a"), Look::new(1280.0, Mode::Page, "b"), Look::new(width, Mode::Dark, "")] {
            let svg = fall::svg(&picture, &look);
            xml::check_words_apart(&xml::check_picture(&svg));
            prop_assert!(svg.len() < 40_000, "{} bytes", svg.len());
        }
        json::check(&fall::touch(&picture).json());
        for table in fall::tables(&picture) {
            prop_assert!(table.rows.iter().all(|r| r.len() == table.head.len()));
            prop_assert!(!table.to_text().contains("NaN"));
        }
        let text = terminal::fall(&picture, columns);
        let widest = text.lines().map(|l| l.chars().count()).max().unwrap_or(0);
        prop_assert!(widest <= columns.clamp(48, 200), "{widest} of {columns}\n{text}");
    }

    #[test]
    fn every_look_back_is_sound(picture in picture(), entries in prop::collection::vec(entry(), 0..12), width in 320.0..1400.0_f64) {
        let day = PastDayPicture {
            title: picture.title,
            clock: picture.clock,
            times_min: picture.times_min,
            probe_c: picture.probe_c,
            floor_c: picture.floor_c,
            crown_c: picture.crown_c,
            readings: picture.readings,
            entries,
            placings: picture.placings,
        };
        for look in [Look::new(390.0, Mode::Light, "a"), Look::new(width, Mode::Page, "b").without_heading()] {
            let svg = past_day::svg(&day, &look);
            xml::check_words_apart(&xml::check_picture(&svg));
            prop_assert!(svg.len() < 40_000, "{} bytes", svg.len());
        }
        json::check(&past_day::touch(&day).json());
        for table in past_day::tables(&day) {
            prop_assert!(table.rows.iter().all(|r| r.len() == table.head.len()));
            prop_assert!(!table.to_text().contains("NaN"));
        }
    }

    #[test]
    fn a_shape_of_the_scene_shifted_in_time_stays_sound(shift in -1500.0..1500.0_f64) {
        let mut picture = scene::evening();
        picture.times_min.iter_mut().for_each(|t| *t += shift);
        xml::check_picture(&fall::svg(&picture, &Look::new(390.0, Mode::Light, "a")));
    }
}
