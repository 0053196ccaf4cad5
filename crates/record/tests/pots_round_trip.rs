//! Pots written are the pots read; no text makes the reader panic.
#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use ovenfall_food::properties::foods;
use ovenfall_record::pots::{DishSheet, Pieces, Pots, WoodKind, WoodSheet, fill};
use ovenfall_record::pots_file::{read_pots, write_pots};
use ovenfall_record::vessels::vessels;
use proptest::option::of;
use proptest::prelude::*;

fn one_of<T: Clone + std::fmt::Debug + 'static>(values: Vec<T>) -> impl Strategy<Value = Option<T>> {
    of(prop::sample::select(values))
}

fn composition() -> impl Strategy<Value = Option<[f64; 6]>> {
    of((50.0f64..70.0).prop_map(|water| [water, 20.0, 98.0 - water - 20.0, 0.0, 1.0, 1.0]))
}

fn dish(number: usize) -> impl Strategy<Value = DishSheet> {
    let pots = vessels().unwrap().vessel.into_iter().map(|vessel| vessel.name).collect::<Vec<_>>();
    let foods = foods().into_iter().map(|food| food.name).collect::<Vec<_>>();
    let pieces = Pieces::NAMES.map(|(pieces, _)| pieces).to_vec();
    let words = ("[a-zéß\"'\\\\ =#]{1,12}", of("[a-z \"]{1,9}"), of((0i8..24, 0i8..60)), one_of(pots), one_of(foods));
    let numbers = (
        of(0.05f64..50.0),
        of(2.0f64..100.0),
        of(2.0f64..100.0),
        of(0.0f64..50.0),
        of(0.0f64..50.0),
        of(0.2f64..50.0),
        of(0.5f64..99.0),
    );
    let flags = (of(any::<bool>()), of(any::<bool>()), one_of(pieces), composition());
    (words, numbers, flags).prop_map(move |(words, numbers, flags)| DishSheet {
        name: format!("{number} {}", words.0.trim()).trim().to_owned(),
        kind: words.1.map(|kind| kind.trim().to_owned()).filter(|kind| !kind.is_empty()),
        wanted: words.2.map(|(hour, minute)| jiff::civil::time(hour, minute, 0, 0)),
        pot: words.3,
        mostly: words.4,
        pot_kg: numbers.0,
        diameter_cm: numbers.1,
        height_cm: numbers.2,
        liquid_kg: numbers.3,
        solid_kg: numbers.4,
        piece_cm: numbers.5,
        start_c: numbers.6,
        lid: flags.0,
        trivet: flags.1,
        pieces: flags.2,
        composition_percent: flags.3,
    })
}

fn sheets() -> impl Strategy<Value = (WoodSheet, Vec<DishSheet>)> {
    let kinds = WoodKind::NAMES.map(|(kind, _)| kind).to_vec();
    let wood = (one_of(kinds), of(0.0f64..60.0), of(0.5f64..50.0), of(16.0f64..21.0)).prop_map(
        |(kind, moisture_percent, basket_kg, dry_ncv_mj_kg)| WoodSheet {
            kind,
            moisture_percent,
            basket_kg,
            dry_ncv_mj_kg,
        },
    );
    let dishes = prop_oneof![
        Just(Vec::new()).boxed(),
        dish(1).prop_map(|dish| vec![dish]).boxed(),
        (dish(1), dish(2), dish(3)).prop_map(|(a, b, c)| vec![a, b, c]).boxed(),
    ];
    (wood, dishes)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_is_read((wood, sheets) in sheets()) {
        let (vessels, foods) = (vessels().unwrap(), foods());
        let dishes = sheets.iter().map(|sheet| fill(sheet, &vessels, &foods, 0).unwrap()).collect();
        let pots = Pots { file: "pots.toml".into(), dishes, wood: wood.clone(), warnings: Vec::new() };
        let text = write_pots(&pots);
        let back = read_pots("pots.toml", &text)
            .map_err(|problems| TestCaseError::fail(format!("{problems:?}\n{text}")))?;
        prop_assert_eq!(&back.wood, &wood);
        let read: Vec<DishSheet> = back.dishes.iter().map(|dish| dish.sheet.clone()).collect();
        prop_assert_eq!(read, sheets);
        prop_assert_eq!(back.placings(), pots.placings());
        prop_assert_eq!(write_pots(&back), text);
    }

    /// Whatever is known of a dish, the engine gets numbers it can work with.
    #[test]
    fn a_placing_is_always_sound((_, sheets) in sheets()) {
        let (vessels, foods) = (vessels().unwrap(), foods());
        for sheet in &sheets {
            let placing = fill(sheet, &vessels, &foods, 0).unwrap().placing;
            let (pot, contents) = (placing.pot, placing.contents);
            for positive in [
                pot.mass_kg, pot.heat_capacity_j_kgk, pot.emissivity, pot.diameter_m, pot.height_m, pot.contact_w_m2k,
                pot.lid_gap, contents.piece_m, contents.solid_conductivity_w_mk, contents.solid_heat_capacity_j_kgk,
                contents.solid_density_kg_m3, contents.start_c.value,
            ] {
                prop_assert!(positive.is_finite() && positive > 0.0, "{placing:?}");
            }
            prop_assert!(contents.liquid_kg >= 0.0 && contents.solid_kg >= 0.0 && pot.lid_gap <= 1.0);
            prop_assert!((0.0..=1.0).contains(&contents.solid_water));
        }
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC{0,200}") {
        let _ = read_pots("pots.toml", &text);
    }

    #[test]
    fn no_value_makes_the_reader_panic(
        keys in prop::collection::vec((prop::sample::select(KEYS.to_vec()), prop::sample::select(VALUES.to_vec())), 0..9)
    ) {
        let body: Vec<String> = keys.iter().map(|(key, value)| format!("{key} = {value}")).collect();
        let _ = read_pots("pots.toml", &format!("[[dish]]\n{}", body.join("\n")));
        let _ = read_pots("pots.toml", &body.join("\n"));
    }
}

const KEYS: [&str; 10] =
    ["name", "pot", "pot_kg", "lid", "wanted", "mostly", "composition_percent", "dish", "wood", "start_c"];
const VALUES: [&str; 16] = [
    "\"\"",
    "1",
    "-0.0",
    "nan",
    "inf",
    "1e308",
    "99999999999999999999999999",
    "0x10",
    "true",
    "[]",
    "[1, {}]",
    "{}",
    "{ water = 100 }",
    "{ water = nan }",
    "2026-01-10T08:00:00Z",
    "\"é\\u0000\"",
];
