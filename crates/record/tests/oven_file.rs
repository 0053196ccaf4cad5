//! Oven files: what is read, what is filled in, and what is said when something is wrong, word for word.
use ovenfall_engine::description::{DoorFit, FirePlace, Form, Under};
use ovenfall_record::oven_file::{OvenFile, OvenSheet, SheetLayer, read_oven, resolve_sheet};
use ovenfall_record::problem::Severity;

const HEAD: &str = "ovenfall = 1\nkind = \"oven\"\n";

fn read(rest: &str) -> Result<OvenFile, Vec<String>> {
    let text = format!("{HEAD}{rest}");
    read_oven("o.toml", &text).map_err(|problems| problems.iter().map(ToString::to_string).collect())
}

fn good(rest: &str) -> OvenFile {
    read(rest).unwrap_or_else(|problems| panic!("{}", problems.join("\n")))
}

fn bad(rest: &str) -> Vec<String> {
    read(rest).expect_err("this must be refused")
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

#[test]
fn a_full_file_is_read() {
    let oven = good(
        r#"
name = "harbour bakehouse"
construction = "firebrick with vermiculite concrete"
form = "dome"
diameter = "36 in"
rise_cm = 42
mouth_width_cm = 44
mouth_height_mm = 270
door = [
  { material = "steel", thickness_mm = 2 },
  { material = "fibre", thickness = "1 1/2 in" },
  { material = "steel", thickness_mm = 1.5 },
]
door_fit = "tight"
dome = [
  { material = "firebrick", thickness_cm = 7.5 },
  { material = "vermcrete", thickness_cm = 10 },
  { material = "render", thickness_cm = 1 },
]
floor = [
  { material = "firebrick", thickness_cm = 6 },
  { material = "calsil", thickness_cm = 5 },
]
under = "ground"
fire = "right"
new_or_damp = false
altitude = "300 ft"
time_zone = "Europe/Lisbon"
outdoor_f = 59
wind_m_s = 2
probe_mm = 4.5
probe_emissivity = 0.7
infrared_emissivity = 0.9
infrared_top_f = 986
"#,
    );
    assert!(oven.sheet.infrared_top_c.is_some_and(|top_c| near(top_c, 530.0)));
    let d = &oven.description;
    assert_eq!(d.name, "harbour bakehouse");
    let Form::Dome { inner_diameter_m, rise_m } = d.form else { panic!("a dome") };
    assert!(near(inner_diameter_m.value, 0.9144) && near(inner_diameter_m.rel_sigma, 0.04) && inner_diameter_m.stated);
    assert!(near(rise_m.value, 0.42));
    assert!(near(d.mouth.width_m.value, 0.44) && near(d.mouth.height_m.value, 0.27));
    assert!(near(d.mouth.door[1].thickness_m.value, 0.0381));
    assert_eq!(d.mouth.door[1].material.name, "ceramic fibre blanket");
    assert_eq!((d.mouth.fit, d.under, d.fire_place), (DoorFit::Tight, Under::Ground, FirePlace::Right));
    // Perimeter 1.42 m, 1 mm.
    assert!(near(d.mouth.gap_m2.value, 1.42e-3) && near(d.mouth.gap_m2.rel_sigma, 0.47));
    assert_eq!((d.dome.len(), d.floor.len()), (3, 2));
    assert!(near(d.altitude_m, 91.44) && near(d.ambient_c, 15.0) && near(d.wind_m_s, 2.0));
    assert!(near(d.probe.diameter_m, 0.0045) && near(d.probe.emissivity, 0.7));
    assert_eq!(oven.time_zone.iana_name(), Some("Europe/Lisbon"));
    assert!(near(oven.infrared_setting, 0.9));
    assert_eq!((oven.assumed, oven.warnings), (vec![], vec![]));
}

#[test]
fn nothing_known_is_a_usual_oven() {
    let oven = good("");
    assert_eq!(oven.construction, "firebrick with vermiculite concrete");
    assert_eq!(
        oven.assumed,
        [
            "construction: firebrick with vermiculite concrete, as nothing tells another",
            "inner diameter 90 cm",
            "height of the crown 42 cm",
            "dome: 10 cm firebrick, 10 cm vermiculite concrete, 1 cm render",
            "floor: 6.4 cm firebrick, 10 cm vermiculite concrete, 10 cm concrete",
            "under the floor: air",
            "width of the mouth 42 cm",
            "height of the mouth 27 cm",
            "door: 4 cm wood",
            "the door's fit: ordinary",
            "fire: left",
            "neither new nor damp",
            "altitude 100 m",
            "outdoor temperature 12 °C",
            "wind 1 m/s",
            "sheath of the chamber probe 3 mm",
            "emissivity of that sheath 0.8",
            "time zone UTC",
            "infra-red thermometer set to 0.95",
        ]
    );
    let Form::Dome { inner_diameter_m, .. } = oven.description.form else { panic!("a dome") };
    assert!(!inner_diameter_m.stated && inner_diameter_m.rel_sigma > 0.2);
    assert!(oven.description.dome.iter().all(|layer| !layer.thickness_m.stated && layer.thickness_m.rel_sigma > 0.3));
}

#[test]
fn dont_know_is_legal_everywhere_and_the_same_as_saying_nothing() {
    let keys = [
        "name",
        "construction",
        "form",
        "diameter_cm",
        "width_cm",
        "length_cm",
        "rise_cm",
        "mouth_width_cm",
        "mouth_height_cm",
        "door",
        "door_fit",
        "dome",
        "floor",
        "under",
        "fire",
        "new_or_damp",
        "altitude_m",
        "time_zone",
        "outdoor_c",
        "wind_m_s",
        "probe_mm",
        "probe_emissivity",
        "infrared_emissivity",
        "infrared_top_c",
    ];
    for words in ["don't know", "don’t know", "Dont know", "unknown", "?", ""] {
        let rest: String = keys.iter().map(|key| format!("{key} = \"{words}\"\n")).collect();
        assert_eq!(good(&rest), good(""), "{words}");
    }
    let layers =
        good("dome = [{ material = \"don't know\", thickness_cm = \"don't know\" }, { thickness_cm = 3 }, \"?\"]");
    let names: Vec<&str> = layers.description.dome.iter().map(|layer| layer.material.name.as_str()).collect();
    assert_eq!(names, ["firebrick", "vermiculite concrete", "render"]);
    assert!(near(layers.description.dome[1].thickness_m.value, 0.03) && layers.description.dome[1].thickness_m.stated);
}

#[test]
fn unknown_sizes_are_scaled_with_known_ones() {
    let oven = good("diameter_cm = 120");
    let Form::Dome { rise_m, .. } = oven.description.form else { panic!("a dome") };
    assert!(near(rise_m.value, 0.42 * 120.0 / 90.0));
    assert!(near(oven.description.mouth.height_m.value, 0.27 * 120.0 / 90.0));
    let low = good("mouth_height_cm = 50");
    let Form::Dome { rise_m, inner_diameter_m } = low.description.form else { panic!("a dome") };
    assert!(rise_m.value > 0.50 && inner_diameter_m.value >= rise_m.value);
}

#[test]
fn the_nearest_construction_is_guessed_from_what_is_given() {
    for (rest, name) in [
        ("dome = [{ material = \"cob\", thickness_cm = 12 }]", "clay or cob"),
        ("form = \"vault\"\nwidth_cm = 150", "heavy bakery vault"),
        ("vault = [\"firebrick\", \"sand\"]", "heavy bakery vault"),
        ("dome = [\"castable\", \"blanket\", \"render\"]", "cast refractory with blanket"),
        ("diameter_cm = 80\ndome = [{ material = \"firebrick\", thickness_cm = 7 }]", "uninsulated garden oven"),
        (
            "dome = [{ material = \"firebrick\", thickness_cm = 8 }, { material = \"fibre\", thickness_cm = 8 }]",
            "firebrick with vermiculite concrete",
        ),
    ] {
        let oven = good(rest);
        assert_eq!(oven.construction, name, "{rest}");
        assert_eq!(oven.assumed[0], format!("construction: {name}, the nearest to what is given"));
    }
}

#[test]
fn an_oven_may_have_no_door() {
    for rest in ["door = []", "door = \"none\""] {
        assert!(good(rest).description.mouth.door.is_empty());
    }
    assert!(good("[[dome]]\nmaterial = \"firebrick\"\nthickness_cm = 7\n").description.dome.len() == 1);
}

#[test]
fn every_problem_is_said_at_once() {
    assert_eq!(
        bad(r#"
diamter_cm = 90
rise_cm = -42
dome = [
  { material = "firebrik", thickness_cm = 7.5 },
  { material = "cheese", thickness_cm = -3 },
  { material = "render", thicknes_cm = 1 },
]
mouth_width_cm = nan
door_fit = "tihgt"
time_zone = "Europe/Lisbo"
"#),
        [
            "error: o.toml:4:1: unknown key `diamter_cm`\n  try: did you mean `diameter_cm`?",
            "error: o.toml:5:11: `rise_cm` is `-42`\n  allowed: 8 cm to 300 cm",
            "error: o.toml:7:16: unknown material `firebrik`\n  try: did you mean `firebrick`?",
            "error: o.toml:8:16: unknown material `cheese`\n  allowed: firebrick, dense firebrick, castable, clay, insulating clay, building brick, clay tile, soapstone, granite, sandstone, basalt, concrete, concrete block, sand, rubble, mortar, render, insulating firebrick, dense insulating firebrick, ceramic fibre blanket, calcium silicate board, vermiculite board, vermiculite concrete, perlite concrete, loose perlite, loose vermiculite, foam glass, pumice, expanded clay, mineral wool, wood, steel, stainless steel, cast iron\n  try: \"don't know\", if none of these comes near",
            "error: o.toml:8:41: `thickness_cm` is `-3`\n  allowed: 0.01 cm to 200 cm",
            "error: o.toml:9:26: unknown key `thicknes_cm`\n  try: did you mean `thickness_cm`?",
            "error: o.toml:11:18: `mouth_width_cm` is `nan`, not a finite number\n  allowed: 8 cm to 200 cm",
            "error: o.toml:12:12: `door_fit` is `\"tihgt\"`\n  allowed: tight, ordinary, loose\n  try: did you mean `tight`?",
            "error: o.toml:13:13: unknown time zone `Europe/Lisbo`\n  try: did you mean `Europe/Lisbon`?",
        ]
    );
}

#[test]
fn units_are_said_once_and_agree() {
    assert_eq!(
        bad("diameter = 90"),
        ["error: o.toml:3:12: `diameter` is `90` without a unit\n  try: diameter_cm = 90, or diameter = \"90 cm\""]
    );
    assert_eq!(
        bad("diameter_cm = \"36 in\""),
        ["error: o.toml:3:15: `diameter_cm` is in cm, but its value `36 in` is in in\n  try: diameter = \"36 in\""]
    );
    assert_eq!(
        bad("diameter_cm = 90\ndiameter_mm = 900"),
        [
            "error: o.toml:4:1: `diameter` is given twice, as `diameter_cm` and as `diameter_mm`\n  try: keep one of them"
        ]
    );
    assert_eq!(
        bad("diameter = \"90 kg\""),
        ["error: o.toml:3:12: `diameter`: `kg` is not a unit of length\n  try: units: m, cm, mm, in, ft"]
    );
    assert_eq!(
        bad("outdoor_c = \"59 F\""),
        ["error: o.toml:3:13: `outdoor_c` is in c, but its value `59 F` is in F\n  try: outdoor = \"59 F\""]
    );
    assert_eq!(
        bad("dome = [{ material = \"clay\", thickness_cm = 8, thickness = \"8 cm\" }]"),
        [
            "error: o.toml:3:48: the thickness is given twice, as `thickness_cm` and as `thickness`\n  try: keep one of them"
        ]
    );
    for same in [
        "diameter_cm = 90",
        "diameter_cm = \"90 cm\"",
        "diameter_cm = \"90\"",
        "diameter = \"90cm\"",
        "diameter_m = 0.9",
    ] {
        assert_eq!(good(same).description, good("diameter_mm = 900.0").description, "{same}");
    }
}

#[test]
fn sizes_must_fit_together() {
    assert_eq!(
        bad("diameter_cm = 80\nrise_cm = 90"),
        [
            "error: o.toml:4:1: the crown is 90 cm high, in a chamber 80 cm wide\n  allowed: up to 80 cm\n  try: `rise` is the height of the crown over the floor, inside"
        ]
    );
    assert_eq!(
        bad("rise_cm = 40\nmouth_height_cm = 45"),
        [
            "error: o.toml:4:1: the mouth is 45 cm high, the crown only 40 cm\n  allowed: below 40 cm\n  try: the mouth is usually about 63 % of the crown's height"
        ]
    );
    assert_eq!(
        bad("diameter_cm = 80\nmouth_width_cm = 100"),
        ["error: o.toml:4:1: the mouth is 100 cm wide, in a chamber 80 cm wide\n  allowed: up to 80 cm"]
    );
    assert_eq!(
        bad("form = \"dome\"\nwidth_cm = 80"),
        ["error: o.toml:4:1: the oven is a dome, which has no `width`\n  try: a dome has `diameter_cm`"]
    );
    assert_eq!(
        bad("form = \"dome\"\nvault = [\"clay\"]"),
        ["error: o.toml:4:1: the oven is a dome, but its layers stand under `vault`\n  try: dome = […]"]
    );
    assert_eq!(
        bad("dome = [\"clay\"]\nvault = [\"clay\"]"),
        ["error: o.toml:4:1: an oven has a `dome` or a `vault`, not both\n  try: keep one of them"]
    );
}

#[test]
fn layers_must_be_layers() {
    assert_eq!(bad("floor = []"), ["error: o.toml:3:9: `floor` has no layers\n  try: floor = \"don't know\""]);
    assert_eq!(
        bad("floor = 7"),
        [
            "error: o.toml:3:9: `floor` is `7`, not a list of layers\n  try: floor = [{ material = \"firebrick\", thickness_cm = 6 }]"
        ]
    );
    assert_eq!(
        bad("floor = [7]"),
        ["error: o.toml:3:10: `7` is not a layer\n  try: { material = \"firebrick\", thickness_cm = 6 }"]
    );
    assert_eq!(
        bad("door = [\"steel\", \"air gap\", \"steel\"]"),
        [
            "error: o.toml:3:18: unknown material `air gap`\n  try: leave the air gap out; what it does depends on its width and heat, not on a material"
        ]
    );
    assert_eq!(
        bad(&format!("dome = [{}]", "\"clay\",".repeat(13))),
        ["error: o.toml:3:8: `dome` has 13 layers\n  allowed: up to 12"]
    );
}

#[test]
fn doubts_and_cautions_are_warnings() {
    let oven = good(
        "rise_cm = 40\nmouth_height_cm = 38\ndome = [\"blanket\", \"firebrick\"]\nnew_or_damp = true\ninfrared_emissivity = 0.3\nfloor = [\"foam glass\"]\ndiameter_cm = 200\ndoor = []\ndoor_fit = \"tight\"",
    );
    let said: Vec<String> = oven.warnings.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "warning: o.toml:3:1: the dome rises to 20 % of its diameter, which is unusual\n  try: 40 to 50 % is usual; check `rise` and `diameter`, both inside",
            "warning: o.toml:4:1: the mouth has 95 % of the crown's height, which is unusual\n  try: about 63 % is usual; check `mouth_height` and `rise`",
            "warning: o.toml:5:9: the hot face of `dome` is `blanket`, which insulates\n  try: layers are listed hot face first; is the order the other way round?",
            "warning: o.toml:6:1: water in the masonry: a fast fire can crack or spall a new or damp oven\n  try: dry it with small fires, a little larger each day, as its maker or builder says",
            "warning: o.toml:7:1: an infra-red thermometer set to 0.3 reads brick too hot\n  try: brick and soot are 0.90 to 0.95; is this the setting the readings were taken with?",
            "warning: o.toml:8:10: the hot face of `floor` is `foam glass`, which insulates\n  try: layers are listed hot face first; is the order the other way round?",
            "warning: o.toml:11:1: `door_fit` is given, but there is no door\n  try: door = \"don't know\", if there is one",
        ]
    );
    assert!(oven.warnings.iter().all(|problem| problem.severity == Severity::Warning));
}

fn whole(text: &str) -> Vec<String> {
    let problems = read_oven("o.toml", text).expect_err("this must be refused");
    problems.iter().map(ToString::to_string).collect()
}

#[test]
fn files_that_are_something_else() {
    assert_eq!(
        whole(" \n"),
        [
            "error: o.toml: the file is empty\n  try: begin with `ovenfall = 1` and `kind = \"oven\"`; everything else may be unknown"
        ]
    );
    assert_eq!(
        whole(&"x".repeat(10_000_000)),
        [
            "error: o.toml: the file has 10000000 bytes\n  allowed: up to 1000000 bytes\n  try: this does not look like an oven file; is it the right one?"
        ]
    );
    assert_eq!(
        whole("ovenfall = 2\nkind = \"pots\"\n"),
        [
            "error: o.toml:1:12: version `2` of the format is not known\n  allowed: 1\n  try: use a newer `ovenfall`, or correct the number",
            "error: o.toml:2:8: this is a file of kind `\"pots\"`, not an oven\n  allowed: \"oven\"",
        ]
    );
    assert_eq!(
        whole("name = \"ours\"\n"),
        [
            "error: o.toml: the file does not say which version of the format it is in\n  try: begin it with `ovenfall = 1`",
            "error: o.toml: the file does not say what it describes\n  try: add `kind = \"oven\"`",
        ]
    );
    let long_list: String = (0..5000).map(|n| format!("strange_key_number_{n} = 1\n")).collect();
    let said = whole(&long_list);
    assert_eq!(said[0], "error: o.toml: more than 100 problems; the rest are not listed");
    assert_eq!(said.len(), 101);
    let long_layer: String = (0..5000).map(|n| format!("k{n} = 1, ")).collect();
    assert_eq!(whole(&format!("dome = [{{ {long_layer} }}]")).len(), 101);
}

#[test]
fn torn_toml_is_said_with_its_place_and_the_rest_is_still_checked() {
    let said = bad("name = \"ours\nrise_cm = 5000\n");
    assert_eq!(
        said,
        [
            "error: o.toml:3:13: not TOML: invalid basic string, expected `\"`",
            "error: o.toml:4:11: `rise_cm` is `5000`\n  allowed: 8 cm to 300 cm",
        ]
    );
}

#[test]
fn texts_are_tame() {
    assert_eq!(bad("name = 7"), ["error: o.toml:3:8: `name` is `7`, not a text\n  try: put it in double quotes"]);
    assert_eq!(
        bad("name = \"a\\u001bb\""),
        [
            "error: o.toml:3:8: `name` is `\"a\\u001bb\"`, not on one line\n  try: leave out line breaks and control characters"
        ]
    );
    assert_eq!(
        bad(&format!("name = \"{}\"", "n".repeat(121))),
        ["error: o.toml:3:8: `name` has 121 characters\n  allowed: up to 120"]
    );
}

#[test]
fn a_sheet_with_numbers_that_are_none_is_refused() {
    let sheet = OvenSheet {
        diameter_cm: Some(f64::NAN),
        rise_cm: Some(f64::INFINITY),
        dome: Some(vec![SheetLayer::new("clay", -1e300)]),
        ..OvenSheet::default()
    };
    let problems = resolve_sheet("imported oven", &sheet).expect_err("this must be refused");
    let said: Vec<String> = problems.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "error: imported oven: `diameter_cm` is `nan`, not a finite number\n  allowed: 20 cm to 600 cm",
            "error: imported oven: `rise_cm` is `inf`, not a finite number\n  allowed: 8 cm to 300 cm",
            "error: imported oven: `thickness_cm` is `-1e300`\n  allowed: 0.01 cm to 200 cm",
        ]
    );
}

#[test]
fn byte_order_marks_and_windows_line_ends_do_no_harm() {
    let text = format!("\u{feff}{HEAD}diameter_cm = 85\n").replace('\n', "\r\n");
    let oven = read_oven("o.toml", &text).expect("this is an oven");
    assert_eq!(oven.sheet.diameter_cm, Some(85.0));
}

#[test]
fn the_example_in_the_documentation_is_an_oven() {
    let formats = include_str!("../../../docs/formats.md").replace("\r\n", "\n");
    let section = formats.split_once("## The oven file").expect("the section").1;
    let example = section.split_once("```toml\n").expect("an example").1.split_once("```").expect("its end").0;
    let oven = read_oven("formats.md", example).expect("the example is right");
    assert_eq!(oven.description.name, "harbour bakehouse");
    assert_eq!(oven.warnings, []);
    assert_eq!(
        oven.assumed,
        [
            "dome, layer 2: 10 cm thick",
            "floor, layer 2: vermiculite concrete",
            "wind 1 m/s",
            "sheath of the chamber probe 3 mm",
            "emissivity of that sheath 0.8",
        ]
    );
}
