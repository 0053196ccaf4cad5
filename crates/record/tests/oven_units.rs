//! Kitchen units against their exact definitions, and never a panic.
use ovenfall_record::kitchen_units::{UnitError, length_cm, mass_kg, temperature_c, volume_l, written_unit};
use proptest::prelude::*;

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * b.abs().max(1.0)
}

/// International yard and pound agreement, 1959 (from memory): 1 in = 25.4 mm, 1 lb = 0.45359237 kg.
#[test]
fn inch_and_pound_are_exact() {
    assert!(near(length_cm("1 in", None).unwrap(), 2.54));
    assert!(near(length_cm("1 ft", None).unwrap(), 30.48));
    assert!(near(length_cm("3 feet", None).unwrap(), 91.44));
    assert!(near(mass_kg("1 lb", None).unwrap(), 0.453_592_37));
    assert!(near(mass_kg("16 oz", None).unwrap(), 0.453_592_37));
    assert!(near(volume_l("231 ml", None).unwrap(), 0.231));
    assert!(near(volume_l("1 US gallon", None).unwrap(), 231.0 * 2.54f64.powi(3) / 1000.0));
    assert!(near(volume_l("8 UK pints", None).unwrap(), 4.546_09));
    assert!(near(volume_l("2 imperial pints", None).unwrap(), 4.546_09 / 4.0));
}

#[test]
fn fractions_and_sums() {
    for (text, cm) in [
        ("24 in", 60.96),
        ("24in.", 60.96),
        ("1 1/2 in", 3.81),
        ("1-1/2 in", 3.81),
        ("1½ in", 3.81),
        ("½\"", 1.27),
        ("3/4 inch", 1.905),
        ("2 ft 6 in", 76.2),
        ("2' 6\"", 76.2),
        ("2ft6in", 76.2),
        ("2 ft, 6 1/2 in", 77.47),
        ("1 m 20 cm", 120.0),
        ("0,5 m", 50.0),
        ("25 mm", 2.5),
        ("-3 cm", -3.0),
    ] {
        let read = length_cm(text, None).unwrap();
        assert!((read - cm).abs() < 1e-9, "{text}: {read}");
    }
    assert!(near(mass_kg("5 lb 4 oz", None).unwrap(), 5.25 * 0.453_592_37));
    assert!(near(length_cm("90", Some("cm")).unwrap(), 90.0));
}

#[test]
fn temperatures() {
    for (text, c) in [
        ("212 F", 100.0),
        ("32°F", 0.0),
        ("-40 F", -40.0),
        ("230 °C", 230.0),
        ("−5C", -5.0),
        ("450 fahrenheit", 232.222_222_222_222_2),
    ] {
        let read = temperature_c(text, None).unwrap();
        assert!((read - c).abs() < 1e-9, "{text}: {read}");
    }
    assert!(near(temperature_c("212", Some("F")).unwrap(), 100.0));
    assert_eq!(temperature_c("200", None), Err(UnitError::NoUnit { found: "200".into(), known: "C, F" }));
}

#[test]
fn what_is_refused_says_why() {
    let say = |error: UnitError| format!("{error}; {}", error.suggestion());
    assert_eq!(say(length_cm("90", None).unwrap_err()), "`90` has no unit; units: m, cm, mm, in, ft");
    assert_eq!(say(length_cm("90 kg", None).unwrap_err()), "`kg` is not a unit of length; units: m, cm, mm, in, ft");
    assert_eq!(
        say(length_cm("1,500 mm", None).unwrap_err()),
        "`1,500` can be read in two ways; use a decimal point and no thousands mark"
    );
    assert_eq!(
        say(volume_l("2 pints", None).unwrap_err()),
        "`pints` means different sizes in different countries; write `UK pint` (0.568 l) or `US pint` (0.473 l)"
    );
    assert_eq!(
        say(length_cm("wide", None).unwrap_err()),
        "`wide` is not a number; write a number and its unit, such as `90 cm`, `5 lb` or `230 C`"
    );
    assert_eq!(length_cm("  ", None), Err(UnitError::Empty));
    assert!(matches!(length_cm("1/0 in", None), Err(UnitError::NotFinite { .. })));
    assert!(matches!(length_cm("1.2.3 m", None), Err(UnitError::NotANumber { .. })));
}

#[test]
fn the_unit_that_was_written() {
    assert_eq!(written_unit("24 in").as_deref(), Some("in"));
    assert_eq!(written_unit("24"), None);
}

proptest! {
    #[test]
    fn never_a_panic(text in ".{0,40}", assumed in proptest::option::of("[a-z]{0,3}")) {
        for read in [length_cm, mass_kg, volume_l, temperature_c] {
            if let Ok(value) = read(&text, assumed.as_deref()) {
                prop_assert!(value.is_finite());
            }
        }
        let _ = written_unit(&text);
    }

    #[test]
    fn near_quantities_never_panic(text in "[-+0-9 ./,½⅞'\"a-zA-Z°]{0,24}") {
        for read in [length_cm, mass_kg, volume_l, temperature_c] {
            if let Ok(value) = read(&text, Some("cm")) {
                prop_assert!(value.is_finite());
            }
        }
    }

    #[test]
    fn decimal_centimetres_read_back(x in -1e6..1e6f64) {
        prop_assert_eq!(length_cm(&format!("{x} cm"), None), Ok(x));
    }
}
