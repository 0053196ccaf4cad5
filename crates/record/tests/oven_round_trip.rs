//! Printing and reading an oven gives the same oven; nothing that is read makes the reader panic.
use ovenfall_engine::description::{DoorFit, FirePlace, Under};
use ovenfall_record::catalogue::Catalogue;
use ovenfall_record::oven_file::{OvenSheet, Shape, SheetLayer, read_oven, write_oven};
use proptest::option;
use proptest::prelude::*;

fn a_material() -> impl Strategy<Value = String> {
    let rows = Catalogue::built_in().map(Catalogue::materials).unwrap_or_default();
    let names: Vec<String> =
        rows.iter().flat_map(|row| row.aliases.iter().chain([&row.material.name])).cloned().collect();
    proptest::sample::select(names)
}

fn a_stack(least: usize) -> impl Strategy<Value = Vec<SheetLayer>> {
    let thickness = prop_oneof![0.01..200.0f64, (1..100u32).prop_map(|mm| f64::from(mm) / 10.0)];
    let layer = (option::of(a_material()), option::of(thickness))
        .prop_map(|(material, thickness_cm)| SheetLayer { material, thickness_cm });
    proptest::collection::vec(layer, least..6)
}

prop_compose! {
    fn chamber()(
        form in option::of(prop_oneof![Just(Shape::Dome), Just(Shape::Vault)]),
        across in option::of(60.0..600.0f64),
        length in option::of(60.0..800.0f64),
        rise in option::of(30.0..60.0f64),
        mouth_width in option::of(8.0..60.0f64),
        mouth_height in option::of(5.0..29.0f64),
        vault in any::<bool>(),
    ) -> OvenSheet {
        let vault = form.map_or(vault, |form| form == Shape::Vault);
        OvenSheet {
            form,
            diameter_cm: across.filter(|_| !vault),
            width_cm: across.filter(|_| vault),
            length_cm: length.filter(|_| vault),
            rise_cm: rise,
            mouth_width_cm: mouth_width,
            mouth_height_cm: mouth_height,
            ..OvenSheet::default()
        }
    }
}

prop_compose! {
    fn a_sheet()(
        chamber in chamber(),
        name in option::of("[a-zA-Z0-9é'\"\\\\ #=]{1,40}".prop_filter("says unknown", |name| !name.trim().is_empty())),
        construction in option::of(prop_oneof![Just("cob"), Just("heavy bakery vault"), Just("Cast refractory with blanket")]),
        stacks in (option::of(a_stack(0)), option::of(a_stack(1)), option::of(a_stack(1))),
        door_fit in option::of(prop_oneof![Just(DoorFit::Tight), Just(DoorFit::Ordinary), Just(DoorFit::Loose)]),
        under in option::of(prop_oneof![Just(Under::Air), Just(Under::Ground)]),
        fire in option::of(prop_oneof![Just(FirePlace::Left), Just(FirePlace::Right), Just(FirePlace::Back), Just(FirePlace::Centre)]),
        new_or_damp in option::of(any::<bool>()),
        place in (option::of(-430.0..5500.0f64), option::of(-60.0..60.0f64), option::of(0.0..40.0f64)),
        time_zone in option::of(prop_oneof![Just("Europe/Lisbon"), Just("UTC"), Just("America/Argentina/Salta")]),
        probe in (option::of(0.02..3.0f64), option::of(0.02..1.0f64)),
        infrared in (option::of(0.1..1.0f64), option::of(100.0..3000.0f64)),
    ) -> OvenSheet {
        OvenSheet {
            name,
            construction: construction.map(str::to_owned),
            door: stacks.0,
            dome: stacks.1,
            floor: stacks.2,
            door_fit,
            under,
            fire,
            new_or_damp,
            altitude_m: place.0,
            outdoor_c: place.1,
            wind_m_s: place.2,
            time_zone: time_zone.map(str::to_owned),
            probe_cm: probe.0,
            probe_emissivity: probe.1,
            infrared_emissivity: infrared.0,
            infrared_top_c: infrared.1,
            ..chamber
        }
    }
}

proptest! {
    #[test]
    fn a_sheet_comes_back_as_it_went(sheet in a_sheet()) {
        let printed = sheet.to_toml();
        let oven = read_oven("o.toml", &printed).map_err(|problems| {
            let list: Vec<String> = problems.iter().map(ToString::to_string).collect();
            TestCaseError::fail(format!("{}\n{printed}", list.join("\n")))
        })?;
        prop_assert_eq!(&oven.sheet, &sheet);
        let again = read_oven("o.toml", &write_oven(&oven)).unwrap();
        prop_assert_eq!(&oven, &again);
        let d = &oven.description;
        for quantity in [d.mouth.width_m, d.mouth.height_m, d.mouth.gap_m2] {
            prop_assert!(quantity.value.is_finite() && quantity.value > 0.0);
            prop_assert!(quantity.rel_sigma > 0.0 && quantity.rel_sigma < 1.0);
        }
        for layer in d.dome.iter().chain(&d.floor).chain(&d.mouth.door) {
            prop_assert!(layer.thickness_m.value > 0.0 && layer.thickness_m.rel_sigma <= 0.5);
        }
        prop_assert!(!d.dome.is_empty() && !d.floor.is_empty());
    }

    #[test]
    fn no_text_panics(text in any::<String>()) {
        let _ = read_oven("o.toml", &text);
    }

    #[test]
    fn no_bytes_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = read_oven("o.toml", &String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn nothing_near_an_oven_file_panics(
        lines in proptest::collection::vec(("[a-z_]{0,4}|diameter_cm|rise|dome|floor|door|probe_mm|outdoor_f|kind|form", " ?=? ?", ".{0,20}|-?[0-9.e]{0,9}|\"[0-9 /½a-z'\"]{0,9}\"|\\[\\{ ?material ?= ?\"clay\", thickness ?= ?.{0,6}\\}\\]"), 0..12)
    ) {
        let text: String = lines.iter().map(|(key, equals, value)| format!("{key}{equals}{value}\n")).collect();
        let _ = read_oven("o.toml", &format!("ovenfall = 1\nkind = \"oven\"\n{text}"));
    }

    #[test]
    fn a_damaged_oven_file_does_not_panic(sheet in a_sheet(), at in any::<proptest::sample::Index>(), put in ".{0,3}") {
        let mut text = sheet.to_toml();
        let places: Vec<usize> = text.char_indices().map(|(place, _)| place).collect();
        text.insert_str(places[at.index(places.len())], &put);
        let _ = read_oven("o.toml", &text);
    }
}
