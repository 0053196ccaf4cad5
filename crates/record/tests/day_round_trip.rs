//! A day written is the day read; a spreadsheet's habits change nothing; no text makes the reader panic.
#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use jiff::{Timestamp, tz::Offset};
use ovenfall_engine::description::FirePlace;
use ovenfall_record::day::{Day, Done, DoorSet, Entry, What, WoodAmount};
use ovenfall_record::day_file::{read_day, write_day};
use ovenfall_record::moment::Moment;
use ovenfall_record::reading::{Mass, MassUnit, Part, Reading, Spot, Temperature, TemperatureUnit};
use proptest::prelude::*;

fn temperature(low_c: f64, high_c: f64) -> impl Strategy<Value = Temperature> {
    (low_c..high_c, any::<bool>()).prop_map(|(c, fahrenheit)| {
        if fahrenheit { Temperature::new(c * 1.8 + 32.0, TemperatureUnit::Fahrenheit) } else { Temperature::celsius(c) }
    })
}

/// A reading may be over the range of its display.
fn shown(low_c: f64, high_c: f64) -> impl Strategy<Value = Temperature> {
    (temperature(low_c, high_c), any::<bool>()).prop_map(|(t, at_least)| Temperature { at_least, ..t })
}

fn mass(low_kg: f64, high_kg: f64) -> impl Strategy<Value = Mass> {
    let units = [MassUnit::Kilogram, MassUnit::Gram, MassUnit::Pound, MassUnit::Ounce, MassUnit::Litre];
    (low_kg..high_kg, prop::sample::select(units.to_vec())).prop_map(|(kg, unit)| Mass { value: kg / unit.kg(), unit })
}

fn note() -> impl Strategy<Value = String> {
    "[a-zäß ,;\"'.!=+0-9\n]{0,30}".prop_map(|text| text.trim().to_owned())
}

fn name() -> impl Strategy<Value = String> {
    prop::sample::select(vec!["stew", "two tin loaves", "Kichererbsen; groß", "pie, \"grandmother's\""])
        .prop_map(str::to_owned)
}

fn done() -> impl Strategy<Value = What> {
    let places = vec![FirePlace::Left, FirePlace::Right, FirePlace::Back, FirePlace::Centre];
    let amount = prop_oneof![
        mass(0.1, 100.0).prop_map(WoodAmount::Weighed),
        (0.1f64..40.0, prop::option::of(mass(0.5, 50.0)))
            .prop_map(|(count, basket)| WoodAmount::Baskets { count, basket }),
    ];
    prop_oneof![
        (amount, prop::option::of(0.0f64..60.0))
            .prop_map(|(amount, moisture_percent)| Done::WoodOn { amount, moisture_percent }),
        prop::sample::select(places).prop_map(Done::FireMoved),
        Just(Done::EmbersSpread),
        Just(Done::RakedOut),
        Just(Done::Swept),
        prop::option::of(mass(0.01, 10.0)).prop_map(|water| Done::Swabbed { water }),
        Just(Done::Door(DoorSet::Shut)),
        Just(Done::Door(DoorSet::Open)),
        prop::option::of(1.5f64..98.0).prop_map(|free_percent| Done::Door(DoorSet::Ajar { free_percent })),
    ]
    .prop_map(What::Done)
}

fn reading() -> impl Strategy<Value = What> {
    let spots: Vec<Spot> = Spot::NAMES.iter().map(|(spot, _)| *spot).collect();
    let parts = vec![Part::Dome, Part::Floor];
    prop_oneof![
        (prop::sample::select(spots), shown(-30.0, 1000.0))
            .prop_map(|(spot, temperature)| Reading::Spot { spot, temperature }),
        shown(-30.0, 1000.0).prop_map(|temperature| Reading::Probe { temperature }),
        (prop::sample::select(parts), 1.5f64..900.0, shown(-30.0, 1000.0))
            .prop_map(|(part, depth_mm, temperature)| Reading::Masonry { part, depth_mm, temperature }),
        (name(), shown(-20.0, 300.0)).prop_map(|(dish, temperature)| Reading::Liquid { dish, temperature }),
        (name(), shown(-20.0, 300.0)).prop_map(|(dish, temperature)| Reading::Core { dish, temperature }),
        (0.0f64..60.0).prop_map(|count_s| Reading::HandCount { count_s }),
        temperature(-50.0, 55.0).prop_map(|temperature| Reading::Outdoor { temperature }),
    ]
    .prop_map(What::Reading)
}

/// A dish's way through the oven, in one go.
fn stay() -> impl Strategy<Value = Vec<What>> {
    (name(), mass(0.1, 5.0), prop::option::of(temperature(5.0, 100.0))).prop_map(|(dish, amount, temperature)| {
        vec![
            What::Done(Done::Placed { dish: dish.clone() }),
            What::Done(Done::Turned { dish: dish.clone() }),
            What::Done(Done::ToppedUp { dish: dish.clone(), amount, temperature }),
            What::Done(Done::TakenOut { dish }),
        ]
    })
}

fn day() -> impl Strategy<Value = Day> {
    let block = prop_oneof![done().prop_map(|what| vec![what]), reading().prop_map(|what| vec![what]), stay()];
    let offsets = prop::sample::select(vec![0, 3600, 7200, -34_200, 20_700]);
    (prop::collection::vec((block, note(), 1i64..3600), 0..30), offsets, any::<bool>()).prop_map(
        |(blocks, offset_s, strike)| {
            let offset = Offset::from_seconds(offset_s).unwrap();
            let mut second = 1_768_032_000;
            let mut entries: Vec<Entry> = Vec::new();
            for (block, note, step) in blocks {
                for what in block {
                    second += step;
                    let at = Moment::new(Timestamp::new(second, 250_000_000).unwrap(), offset);
                    let written = Moment::new(Timestamp::from_second(second + 20).unwrap(), offset);
                    let id = format!("e{}", entries.len());
                    entries.push(Entry { id, at, written, what, note: note.clone(), line: 0 });
                }
            }
            let last_reading = entries.iter().rfind(|entry| entry.reading().is_some()).map(|entry| entry.id.clone());
            if let (true, Some(id)) = (strike, last_reading) {
                let at = Moment::new(Timestamp::from_second(second + 60).unwrap(), offset);
                let what = What::Strike { id };
                entries.push(Entry { id: "s".into(), at, written: at, what, note: String::new(), line: 0 });
            }
            Day { file: "day.csv".into(), entries, warnings: Vec::new() }
        },
    )
}

fn without_lines(day: &Day) -> Vec<Entry> {
    day.entries.iter().map(|entry| Entry { line: 0, ..entry.clone() }).collect()
}

/// The same file as a spreadsheet of a country with decimal commas saves it.
fn with_semicolons(text: &str) -> String {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let mut writer = csv::WriterBuilder::new()
        .flexible(true)
        .delimiter(b';')
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    for record in reader.records() {
        let record = record.unwrap();
        let is_number = |cell: &str| cell.parse::<f64>().is_ok();
        let cells = record.iter().enumerate().map(|(column, cell)| {
            if column == 5 && is_number(cell) { cell.replace('.', ",") } else { cell.to_owned() }
        });
        // A spreadsheet fills every row up to the widest.
        let mut cells: Vec<String> = cells.collect();
        cells.resize(9, String::new());
        writer.write_record(cells).unwrap();
    }
    format!("\u{feff}{}", String::from_utf8(writer.into_inner().unwrap()).unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_is_read(day in day()) {
        let text = write_day(&day);
        let back = read_day("day.csv", &text).map_err(|problems| TestCaseError::fail(format!("{problems:?}")))?;
        prop_assert_eq!(without_lines(&back), day.entries);
        prop_assert_eq!(write_day(&back), text);
    }

    #[test]
    fn a_spreadsheet_changes_nothing(day in day()) {
        let text = with_semicolons(&write_day(&day));
        let back = read_day("day.csv", &text).map_err(|problems| TestCaseError::fail(format!("{problems:?}")))?;
        prop_assert_eq!(without_lines(&back), day.entries);
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC{0,200}") {
        let _ = read_day("day.csv", &text);
    }

    #[test]
    fn no_row_makes_the_reader_panic(rows in prop::collection::vec(prop::collection::vec(cell(), 0..11), 0..12)) {
        let body: Vec<String> = rows.iter().map(|cells| cells.join(",")).collect();
        let text = format!("id,at,written,kind,what,value,unit,note,strikes\n{}", body.join("\n"));
        if let Ok(day) = read_day("day.csv", &text) {
            let again = read_day("day.csv", &write_day(&day));
            prop_assert!(again.is_ok(), "{:?}\n{text}\n{}", again, write_day(&day));
        }
    }
}

/// Cells that come near to being right.
fn cell() -> impl Strategy<Value = String> {
    let near = vec![
        "1",
        "2",
        "2026-01-10T08:00:00+01:00",
        "2026-01-10T08:00:00Z",
        "2026-01-10",
        "-9999-01-01T00:00:00+00:00",
        "wood on",
        "door",
        "probe",
        "spot",
        "placed",
        "taken out",
        "strike",
        "masonry",
        "topped up",
        "swept",
        "stew",
        "stew @ 95 C",
        "stew @",
        "@",
        "dome 25 mm",
        "dome mm",
        "floor 1e9 mm",
        "shut",
        "ajar",
        "crown",
        "NaN",
        "-0",
        "392",
        "1,5",
        "\"1,5\"",
        "1e308",
        "baskets",
        "basket 6 kg",
        "moisture 15 %",
        "kg",
        "°F",
        "C",
        "\"",
        "\"\"",
        "#",
        "",
        "\u{feff}",
        "\u{0}",
    ];
    prop_oneof![9 => prop::sample::select(near).prop_map(str::to_owned), 1 => "\\PC{0,12}"]
}

/// Entry by entry, from the fields a form would send: the same as from the file; and a bad field is named.
#[test]
fn an_entry_is_read_from_its_fields() {
    use ovenfall_record::day_file::{FIELDS, read_entry};
    let mut fields = ["7", "2026-06-13T09:25:00+01:00", "", "probe", "", "288", "C", "hung at the back", ""];
    let entry = read_entry(&fields).unwrap();
    let text = format!("{}\n{}\n", FIELDS.join(","), fields.join(","));
    let day = read_day("day.csv", &text).unwrap();
    assert_eq!(entry, ovenfall_record::day::Entry { line: 0, ..day.entries[0].clone() });
    fields[5] = "a lot";
    fields[1] = "noon";
    let wrong: Vec<&str> = read_entry(&fields).unwrap_err().iter().map(|problem| problem.field).collect();
    assert_eq!(wrong, ["at", "value"]);
}
