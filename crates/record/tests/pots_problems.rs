//! What a wrong pots file is told, word for word; what is not known gets a usual value and a wider spread.
#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use ovenfall_engine::description::{DoorFit, FirePlace, Form, Layer, Mouth, OvenDescription, Probe, Quantity, Under};
use ovenfall_engine::drive::Piece;
use ovenfall_record::day_file::read_day;
use ovenfall_record::pots::Pots;
use ovenfall_record::pots_file::{MAX_POTS_FILE_BYTES, read_pots};
use ovenfall_record::problem::Problem;
use ovenfall_record::together::check_together;

const HEAD: &str = "ovenfall = 1\nkind = \"pots\"\n";

fn printed(problems: &[Problem]) -> String {
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn errors(body: &str) -> String {
    printed(&read_pots("pots.toml", &format!("{HEAD}{body}")).unwrap_err())
}

fn pots(body: &str) -> Pots {
    let pots =
        read_pots("pots.toml", &format!("{HEAD}{body}")).unwrap_or_else(|problems| panic!("{}", printed(&problems)));
    assert_eq!(printed(&pots.warnings), "");
    pots
}

#[test]
fn a_name_is_enough() {
    let pots = pots("[[dish]]\nname = \"stew\"\npot_kg = \"don't know\"\nlid = \"don’t know\"\n");
    let dish = &pots.dishes[0];
    assert_eq!((dish.placing.name.as_str(), dish.line), ("stew", 3));
    let spread = &dish.spread;
    for quantity in [spread.pot_mass_kg, spread.diameter_m, spread.height_m, spread.liquid_kg, spread.solid_kg] {
        assert!(quantity.value > 0.0 && !quantity.stated && quantity.rel_sigma >= 0.15, "{quantity:?}");
    }
    let pot = &dish.placing.pot;
    assert!((1.0..8.0).contains(&pot.mass_kg), "{pot:?}");
    assert!((0.12..0.35).contains(&pot.diameter_m), "{pot:?}");
    assert!(pot.lid && pot.lid_gap < 0.1, "{pot:?}");
    assert!(!dish.placing.contents.start_c.stated);
}

#[test]
fn what_is_known_is_kept() {
    let pots = pots(
        "[wood]\nkind = \"softwood\"\nmoisture_percent = 15\nbasket_kg = \"14 lb\"\n\
         [[dish]]\nname = \"stew\"\npot = \"cast iron\"\npot_kg = \"10 lb\"\nlid = true\ntrivet = true\n\
         diameter_cm = \"11 in\"\nheight_cm = 13\nliquid_kg = 1.2\nsolid_kg = 1.9\npieces = \"round\"\npiece_cm = 4.5\n\
         start_c = \"140 F\"\nmostly = \"beef\"\nwanted = \"18:30\"\nkind = \"braise\"\n",
    );
    let dish = &pots.dishes[0];
    let (pot, contents) = (&dish.placing.pot, &dish.placing.contents);
    assert!((pot.mass_kg - 4.535_923_7).abs() < 1e-9 && dish.spread.pot_mass_kg.stated);
    assert!((pot.diameter_m - 0.2794).abs() < 1e-12);
    assert!((contents.start_c.value - 60.0).abs() < 1e-9 && contents.start_c.stated);
    assert_eq!(contents.piece, Piece::Sphere);
    assert!((contents.piece_m - 0.045).abs() < 1e-12);
    assert!(pot.contact_w_m2k < 10.0, "a trivet lowers contact");
    assert!((contents.solid_water - 0.6123 / 1.0).abs() < 0.001, "beef chuck, from the food table");
    assert!((0.40..0.52).contains(&contents.solid_conductivity_w_mk));
    let wood = pots.wood.values();
    assert!((wood.basket_kg.unwrap().value - 6.350_293).abs() < 1e-5);
    assert!((wood.moisture.value - 0.15).abs() < 1e-12 && wood.moisture.stated);
    assert!(wood.dry_ncv_mj_kg.value > 18.9);
    let usual = ovenfall_record::pots::WoodSheet::default().values();
    assert!((usual.moisture.value - 0.18).abs() < 1e-12 && (usual.dry_ncv_mj_kg.value - 18.785).abs() < 1e-12);
}

#[test]
fn one_piece_is_the_ball_of_its_mass_and_no_piece_is_larger() {
    let joint =
        pots("[[dish]]\nname = \"j\"\nsolid_kg = 2.0\nliquid_kg = 0\npieces = \"one\"\nmostly = \"lean pork\"\n");
    let contents = &joint.dishes[0].placing.contents;
    let ball = (6.0 * 2.0 / contents.solid_density_kg_m3 / std::f64::consts::PI).cbrt();
    assert!((contents.piece_m - ball).abs() < 1e-12);
    let small = pots("[[dish]]\nname = \"s\"\nsolid_kg = 0.02\nliquid_kg = 1\npieces = \"round\"\npiece_cm = 30\n");
    assert!(small.dishes[0].placing.contents.piece_m < 0.04);
}

#[test]
fn bare_on_the_floor_has_no_lid() {
    let loaf = pots("[[dish]]\nname = \"loaf\"\npot = \"none\"\nlid = true\nsolid_kg = 0.9\nmostly = \"dough\"\n");
    let dish = &loaf.dishes[0];
    assert!(!dish.placing.pot.lid);
    assert!(dish.placing.pot.mass_kg < 0.3, "{:?}", dish.placing.pot);
    assert!(dish.placing.contents.liquid_kg.abs() < 1e-12);
}

#[test]
fn every_problem_is_told_at_once() {
    let said = errors(
        "[wood]\nmoisture_percent = nan\nbasket = 6\n[[dish]]\nname = \"stew\"\npot = \"irom\"\npot_kg = -1\n\
         wanted = \"25:00\"\n[[dish]]\nname = \"Stew\"\nmostly = \"chickpaes\"\npot_kg = \"4 stone\"\n[[dish]]\nlid = 3\n",
    );
    let expected = "error: pots.toml:4:20: `moisture_percent` is not a number\n  allowed: 0 to 65 % of the whole mass\n  \
         try: write \"don't know\" if it is not known\n\
         error: pots.toml:5:1: unknown key `basket`\n  allowed: kind, moisture_percent, basket_kg, dry_ncv_mj_kg\n\
         error: pots.toml:8:7: unknown pot `irom`\n  allowed: iron, enamelled iron, steel polished, steel dark, clay, \
         glass, aluminium, tin, none\n  try: did you mean `iron`?\n\
         error: pots.toml:9:10: `pot_kg = -1` is outside the limits\n  allowed: 0.01 to 60 kg\n\
         error: pots.toml:10:10: `25:00` is not a time of day\n  \
         allowed: hour and minute of the wall clock, as \"18:30\"\n\
         error: pots.toml:12:8: the name `Stew` is used already in line 6\n  try: give every dish its own name\n";
    assert!(said.starts_with(expected), "{said}");
    for part in [
        "pots.toml:13:10: unknown mostly `chickpaes`",
        "did you mean `chickpeas`?",
        "pots.toml:14:10: `pot_kg`: `stone` is not a unit of mass",
        "pots.toml:15:1: the dish has no name",
        "pots.toml:16:7: `lid` is neither true nor false",
    ] {
        assert!(said.contains(part), "{part} is missing in\n{said}");
    }
}

#[test]
fn an_empty_pot_is_no_dish() {
    assert_eq!(
        errors("[[dish]]\nname = \"stew\"\nliquid_kg = 0\nsolid_kg = 0\n"),
        "error: pots.toml:4:8: `stew` has neither liquid nor solids\n  try: weigh what is in it, or write \"don't know\""
    );
    assert!(errors("[[dish]]\nname = \"ice\"\nstart_c = -18\n").contains("`start_c = -18` is outside the limits"));
}

#[test]
fn files_that_are_not_pots() {
    assert_eq!(
        printed(&read_pots("pots.toml", "kind = \"oven\"\n").unwrap_err()),
        "warning: pots.toml: no version of the format is given; version 1 is assumed\n  \
         try: put `ovenfall = 1` into the first line\n\
         error: pots.toml:1:8: this is a file of kind `oven`\n  allowed: pots"
    );
    let broken = printed(&read_pots("pots.toml", "ovenfall = 1\n[[dish]\nname = \"stew\"\n").unwrap_err());
    assert!(broken.starts_with("error: pots.toml:2:"), "{broken}");
    let big = "#".repeat(MAX_POTS_FILE_BYTES + 1);
    assert_eq!(
        printed(&read_pots("pots.toml", &big).unwrap_err()),
        "error: pots.toml: the file is 1048577 bytes long\n  allowed: up to 1 MB\n  \
         try: keep the dishes of one day in a file"
    );
    let empty = read_pots("pots.toml", "").unwrap();
    assert_eq!(empty.dishes.len(), 0, "a day without dishes is a day");
    assert_eq!(
        errors("dish = 3\nwood = []\n"),
        "error: pots.toml:3:8: `dish` is not a list of tables\n  allowed: [[dish]]\n\
         error: pots.toml:4:8: `wood` is not a table\n  allowed: [wood]"
    );
}

fn oven() -> OvenDescription {
    let size = |value: f64| Quantity::stated(value, 0.05);
    let catalogue = ovenfall_record::oven_file::read_oven("oven.toml", "ovenfall = 1\nkind = \"oven\"\n").unwrap();
    let brick = catalogue.description.dome[0].material.clone();
    let layer = |thickness: f64| Layer { material: brick.clone(), thickness_m: size(thickness) };
    OvenDescription {
        name: "test".into(),
        form: Form::Dome { inner_diameter_m: size(0.8), rise_m: size(0.4) },
        dome: vec![layer(0.1)],
        floor: vec![layer(0.06)],
        under: Under::Air,
        mouth: Mouth {
            width_m: size(0.36),
            height_m: size(0.24),
            door: Vec::new(),
            fit: DoorFit::Tight,
            gap_m2: size(0.001),
        },
        fire_place: FirePlace::Left,
        altitude_m: 0.0,
        ambient_c: 10.0,
        ambient_sigma_k: 3.0,
        wind_m_s: 1.0,
        new_or_damp: false,
        probe: Probe { diameter_m: 0.003, emissivity: 0.8 },
    }
}

#[test]
fn oven_day_and_pots_together() {
    let pots = pots(
        "[[dish]]\nname = \"stew\"\ndiameter_cm = 60\nheight_cm = 13\n[[dish]]\nname = \"beans\"\ndiameter_cm = 37\n\
         height_cm = 12\n[[dish]]\nname = \"custard\"\ndiameter_cm = 30\nheight_cm = 10\n",
    );
    let day = read_day(
        "day.csv",
        "# ovenfall day 1\nid,at,kind,what,value,unit\n1,2026-01-10T08:00:00Z,wood on,,2,baskets\n\
         2,2026-01-10T08:10:00Z,placed,stwe,,\n3,2026-01-10T08:20:00Z,masonry,floor 75 mm,200,C\n\
         4,2026-01-10T08:30:00Z,placed,stew,,\n5,2026-01-10T08:30:00Z,placed,beans,,\n\
         6,2026-01-10T08:30:00Z,placed,custard,,\n",
    )
    .unwrap();
    let said = printed(&check_together(&oven(), &day, &pots));
    assert_eq!(
        said,
        "error: pots.toml:3: the pot of `stew` is 60 cm wide, the mouth 36 cm\n  \
         try: measure the pot and the clear mouth again\n\
         warning: pots.toml:7: the pot of `beans` is 37 cm wide, the mouth 36 cm\n  \
         try: measure the pot and the clear mouth again\n\
         error: day.csv:4: unknown dish `stwe`\n  allowed: stew, beans, custard\n  try: did you mean `stew`?\n\
         error: day.csv:3: wood in baskets, but no mass of a basket is known\n  \
         try: weigh one and write `basket_kg` into the pots file, or `basket 6 kg` into `what`\n\
         error: day.csv:5: a depth of 75 mm, but the floor is 60 mm thick"
    );
    let wide = pots_wide();
    let said = printed(&check_together(&oven(), &day_of(&["stew", "beans"]), &wide));
    assert!(said.contains("the pots inside cover 0.57 m² of a floor of 0.50 m²"), "{said}");
}

fn pots_wide() -> Pots {
    pots("[[dish]]\nname = \"stew\"\ndiameter_cm = 60\n[[dish]]\nname = \"beans\"\ndiameter_cm = 60\n")
}

fn day_of(dishes: &[&str]) -> ovenfall_record::day::Day {
    let rows: Vec<String> =
        dishes.iter().enumerate().map(|(row, dish)| format!("{row},2026-01-10T08:0{row}:00Z,placed,{dish}")).collect();
    read_day("day.csv", &format!("# ovenfall day 1\nid,at,kind,what\n{}", rows.join("\n"))).unwrap()
}
