//! The data files load, hold to their own ranges, and a row that hides where it comes from is refused.
use ovenfall_engine::material::MaterialRole;
use ovenfall_record::catalogue::Catalogue;

const ROW: &str = r#"
[[material]]
name = "firebrick"
role = "dense"
density_kg_m3 = 2150
conductivity_w_mk = [0.972, 2.1e-4, 0]
heat_capacity_j_kgk = [870, 0.41]
emissivity = 0.90
valid_c = [20, 800]
conductivity_rel_sigma = 0.15
capacity_rel_sigma = 0.05
usual_thickness_cm = 6.4
source = "a table"
licence = "fact"
"#;

const CONSTRUCTIONS: &str = r#"
door_fit = [
  { name = "tight", gap_mm = 1, source = "judgement", licence = "fact" },
  { name = "ordinary", gap_mm = 2, source = "judgement", licence = "fact" },
  { name = "loose", gap_mm = 6, source = "judgement", licence = "fact" },
]
[[construction]]
name = "plain"
default = true
form = "dome"
diameter_cm = 80
width_cm = 70
length_cm = 80
rise_cm = 40
mouth_width_cm = 40
mouth_height_cm = 25
door = []
door_fit = "loose"
dome = [{ material = "firebrick", thickness_cm = 10 }]
floor = [{ material = "firebrick", thickness_cm = 6 }]
under = "air"
fire = "left"
size_rel_sigma = 0.15
thickness_rel_sigma = 0.25
source = "common practice, no source"
licence = "fact"
"#;

fn problems(materials: &str, constructions: &str) -> Vec<String> {
    match Catalogue::read(("m.toml", materials), ("c.toml", constructions)) {
        Ok(_) => Vec::new(),
        Err(problems) => problems.iter().map(ToString::to_string).collect(),
    }
}

#[test]
fn the_catalogue_of_the_program_loads() {
    let catalogue = Catalogue::built_in().unwrap_or_else(|problems| {
        let list: Vec<String> = problems.iter().map(ToString::to_string).collect();
        panic!("{}", list.join("\n"))
    });
    assert!(catalogue.materials().len() >= 25);
    for name in [
        "cast refractory with blanket",
        "firebrick with vermiculite concrete",
        "clay or cob",
        "uninsulated garden oven",
        "heavy bakery vault",
    ] {
        assert!(catalogue.construction(name).is_some(), "{name}");
    }
    assert_eq!(catalogue.default_construction().unwrap().name, "firebrick with vermiculite concrete");
}

#[test]
fn everyday_names_are_known() {
    let catalogue = Catalogue::built_in().unwrap();
    for (alias, name) in [
        ("fibre", "ceramic fibre blanket"),
        ("Blanket", "ceramic fibre blanket"),
        ("vermcrete", "vermiculite concrete"),
        ("insulating concrete", "vermiculite concrete"),
        ("calsil", "calcium silicate board"),
        ("cob", "clay"),
        ("firebrick_dense", "dense firebrick"),
        ("loose perlite", "loose perlite"),
        ("Cast Iron", "cast iron"),
        ("timber", "wood"),
    ] {
        assert_eq!(catalogue.material(alias).map(|row| row.material.name.as_str()), Some(name), "{alias}");
    }
}

/// The means of the handbook come back from the local heat capacity: (h(t) - h(20)) / (t - 20), VDI Heat Atlas 2nd ed.
#[test]
fn heat_capacities_are_local_not_mean() {
    let catalogue = Catalogue::built_in().unwrap();
    for (name, t_c, mean) in [
        ("firebrick", 400.0, 956.0),
        ("firebrick", 600.0, 997.0),
        ("dense firebrick", 400.0, 958.0),
        ("dense firebrick", 600.0, 999.0),
        ("insulating firebrick", 400.0, 942.0),
        ("insulating firebrick", 600.0, 979.0),
        ("dense insulating firebrick", 400.0, 954.0),
        ("dense insulating firebrick", 600.0, 994.0),
    ] {
        let material = &catalogue.material(name).unwrap().material;
        let got = (material.enthalpy_j_kg(t_c) - material.enthalpy_j_kg(20.0)) / (t_c - 20.0);
        assert!((got - mean).abs() < 1.0, "{name} at {t_c}: {got}");
    }
}

/// Conductivities of the VDI tables, W/(m K), within the fits' stated distance.
#[test]
fn conductivities_follow_the_tables() {
    let catalogue = Catalogue::built_in().unwrap();
    for (name, table, within) in [
        ("firebrick", [1.05, 1.10, 1.15, 1.18, 1.22], 0.011),
        ("dense firebrick", [1.20, 1.27, 1.33, 1.38, 1.42], 0.001),
        ("insulating firebrick", [0.14, 0.16, 0.18, 0.20, 0.22], 0.001),
        ("dense insulating firebrick", [0.27, 0.30, 0.32, 0.34, 0.36], 0.0045),
    ] {
        let material = &catalogue.material(name).unwrap().material;
        for (t_c, k) in [400.0, 600.0, 800.0, 1000.0, 1200.0].into_iter().zip(table) {
            assert!((material.conductivity_at_w_mk(t_c) - k).abs() <= within, "{name} at {t_c}");
        }
    }
}

#[test]
fn insulation_insulates_and_dense_is_dense() {
    for row in Catalogue::built_in().unwrap().materials() {
        let k = row.material.conductivity_at_w_mk(200.0);
        match row.material.role {
            MaterialRole::Insulation => {
                assert!(k < 0.3 && row.material.density_kg_m3 < 1000.0, "{}", row.material.name)
            }
            MaterialRole::Dense => assert!(row.material.density_kg_m3 > 1300.0, "{}", row.material.name),
            MaterialRole::Skin => assert!(row.usual_thickness_cm < 2.0, "{}", row.material.name),
        }
    }
}

#[test]
fn a_good_row_loads() {
    assert_eq!(problems(ROW, CONSTRUCTIONS), Vec::<String>::new());
}

#[test]
fn a_row_without_source_range_or_licence_does_not_load() {
    for key in ["source", "licence", "valid_c"] {
        let without: String =
            ROW.lines().filter(|line| !line.starts_with(key)).map(|line| format!("{line}\n")).collect();
        assert_eq!(problems(&without, CONSTRUCTIONS)[0], format!("error: m.toml:2:1: material: missing field `{key}`"));
    }
    for key in ["source", "licence"] {
        let without: String =
            CONSTRUCTIONS.lines().filter(|line| !line.starts_with(key)).map(|line| format!("{line}\n")).collect();
        assert_eq!(problems(ROW, &without)[0], format!("error: c.toml:7:1: construction: missing field `{key}`"));
    }
    let blank = ROW.replace("\"a table\"", "\" \"");
    assert_eq!(problems(&blank, CONSTRUCTIONS), ["error: m.toml:2:1: the source is blank"]);
}

#[test]
fn a_row_that_cannot_be_right_does_not_load() {
    let negative = ROW.replace("density_kg_m3 = 2150", "density_kg_m3 = -2150");
    assert_eq!(
        problems(&negative, CONSTRUCTIONS),
        ["error: m.toml:2:1: firebrick: density is `-2150`\n  allowed: above 0, up to 20000"]
    );
    let backwards = ROW.replace("[20, 800]", "[800, 20]");
    assert_eq!(
        problems(&backwards, CONSTRUCTIONS),
        ["error: m.toml:2:1: firebrick: the range `800` to `20` °C is none"]
    );
    let falling = ROW.replace("2.1e-4", "-2.1e-3");
    assert_eq!(problems(&falling, CONSTRUCTIONS).len(), 1);
    let twice = format!("{ROW}{ROW}");
    assert_eq!(problems(&twice, CONSTRUCTIONS), ["error: m.toml:16:1: the name `firebrick` is blank or taken"]);
    let unknown = CONSTRUCTIONS.replace("dome = [{ material = \"firebrick\"", "dome = [{ material = \"cheese\"");
    assert_eq!(problems(ROW, &unknown), ["error: c.toml:7:1: plain: unknown material `cheese`"]);
}
