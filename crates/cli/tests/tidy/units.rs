//! Every public number says its unit in its name, or is on the list of numbers that have none.

use crate::source::Source;

/// Endings that name a unit. `k` is a difference in kelvin or an absolute temperature, `c` a temperature in °C.
const UNITS: [&str; 6] = [
    "c k f k_s k_h s min h d min_of_day",
    "m mm cm um m2 cm2 m3 l rad deg px",
    "kg g kg_s kg_h kg_m3 kg_m2 kg_kg kg_mol g_mol kg_m2s m_s m2_s m3_s m3_kg m_s2 nm3_kg",
    "j kj mj kwh wh w kw w_m w_m2 w_k w_mk w_m2k w_m2k4",
    "j_k j_kg kj_kg mj_kg j_kgk kj_kgk j_m2 j_m2k j_m3 j_m3k j_mol kj_mol j_molk",
    "pa pa_s mv per_k per_m per_min per_s percent",
];

/// Last words of names of numbers that have no unit, and why.
const WITHOUT_UNIT: [(&str, &str); 7] = [
    (
        "0 to 1",
        "emissivity emissivities moisture water share shares combustion left gap probability chance setting emissivity_range",
    ),
    (
        "relative or a ratio",
        "sigma factor factors weight weights ratio depth_of_heat count coefficient rayleigh percent",
    ),
    (
        "a limit or a place in a distribution; the unit is with what it belongs to",
        "value values min max p05 p25 p50 p75 p95",
    ),
    ("scaled by the tolerance", "error"),
    ("a factor on the described value", "size thickness conductivity capacity area exchange convection masonry energy"),
    ("a factor on the described value", "contact evaporation"),
    ("an operand of pure mathematics", "slope term width other yes no"),
];

/// Names of parameters of functions of pure mathematics: the unit is that of whatever the caller passes.
const OPERANDS: &str = "after before dy forecast high low matrix next out quantity rate seen shift sorted theta";

/// Single numbers that say their unit, or that they have none, in their description, each with the reason.
const SINGLE: [(&str, &str); 18] = [
    ("Accepted.before Accepted.after DayRun.y Work.rate", "the state, whose entries have their own units"),
    ("Column.conductance", "three coefficients of a polynomial in °C"),
    ("ColdFace.natural Outer.natural outer_loss.natural", "W/(m² K^1.25) has no ordinary suffix"),
    ("FREE_PLATE TRAPPED_PLATE UPRIGHT_PLATE DISCHARGE COUNTER_FLOW_DISCHARGE", "published dimensionless coefficients"),
    ("PackedColumn.a PackedColumn.b PackedColumn.g", "coefficients of polynomials, packed"),
    ("Spread.floor Spread.crown Spread.fire_side Spread.mouth", "shares of one"),
    ("stoichiometric_air_kg_kg.carbon", "a mass share"),
    ("stoichiometric_air_kg_kg.hydrogen", "a mass share"),
    ("stoichiometric_air_kg_kg.oxygen", "a mass share"),
    ("FilmCoefficient.mean FilmCoefficient.half_difference", "coefficient, area and a power of a length, multiplied"),
    ("rel_sigma_of.range", "in the unit of the caller"),
    ("JacobianSink.matrix", "entries of mixed units"),
    ("Range.from Range.to", "ends of a range whose name has the unit"),
    ("FoodError.from FoodError.to", "ends of the range that `key` names with its unit"),
    ("Kind.low Kind.high", "bounds of a share"),
    (
        "Conditioned.instruments Conditioned.innovations Hidden.instruments Hidden.innovations of_innovations.innovations",
        "standard normal coordinates",
    ),
    (
        "Readings.sigmas Step.inflation update.members update.predicted",
        "mathematics of the smoother: units are the caller's",
    ),
    ("Habit.radiant Parameters.floor_rim Residual.widened", "a share or a factor"),
];

/// A public number: where its item starts, the item, its own name, and whether it is a parameter of a function.
struct Number {
    at: usize,
    item: String,
    name: String,
    parameter: bool,
}

impl Number {
    /// Whether it says its unit or is known to have none.
    fn says_its_unit(&self) -> bool {
        let name = self.name.to_lowercase();
        let ends = |end: &str| name == end || name.ends_with(&format!("_{end}"));
        let full = format!("{}.{}", self.item, self.name);
        let operand = self.parameter && (name.len() == 1 || OPERANDS.split(' ').any(|word| word == name));
        let listed = |list: &str| list.split(' ').any(|word| word == full || word == self.name);
        operand
            || UNITS.iter().flat_map(|line| line.split(' ')).any(|unit| name.ends_with(&format!("_{unit}")))
            || WITHOUT_UNIT.iter().flat_map(|(_, words)| words.split(' ')).any(ends)
            || SINGLE.iter().any(|(list, _)| listed(list))
    }
}

/// Whether a type is a number, or a plain collection of numbers, that could have a unit.
fn is_number(kind: &str) -> bool {
    let words: Vec<&str> =
        kind.split(|c: char| !(c.is_alphanumeric() || c == '_')).filter(|word| !word.is_empty()).collect();
    let number = |word: &str| matches!(word, "f64" | "f32" | "Quantity" | "R" | "Lane");
    let around = |word: &str| matches!(word, "Vec" | "Option" | "Box" | "String" | "L" | "N");
    let plain = |word: &str| number(word) || around(word) || !word.starts_with(char::is_uppercase);
    words.iter().any(|word| number(word)) && words.iter().all(|word| plain(word))
}

/// Splits at commas that are not inside brackets.
fn split_at_commas(text: &str) -> Vec<&str> {
    let (mut depth, mut start, mut parts) = (0_i32, 0, Vec::new());
    for (i, c) in text.char_indices() {
        match c {
            '(' | '[' | '{' | '<' => depth += 1,
            ')' | ']' | '}' => depth -= 1,
            '>' if !text[..i].ends_with(['-', '=']) => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&text[start..i]);
                start = i + 1;
            }
            _ => {}
        }
    }
    parts.push(&text[start..]);
    parts
}

/// What is between the bracket at the start of `text` (after skipping up to it) and its partner.
fn bracketed(text: &str, open: char, close: char) -> Option<&str> {
    let from = text.find(open)?;
    let mut depth = 0_i32;
    for (i, c) in text[from..].char_indices() {
        depth += i32::from(c == open) - i32::from(c == close);
        if depth == 0 {
            return Some(&text[from + 1..from + i]);
        }
    }
    None
}

/// The `name: type` pairs of a list of fields or parameters, and whether each is public; attributes are left off.
fn pairs(list: &str) -> Vec<(bool, &str, &str)> {
    let clean = |part| -> Option<(bool, &str, &str)> {
        let (name, kind) = str::split_once(part, ':')?;
        let mut words = name.split_whitespace().rev();
        let own = words.next()?.trim_matches(|c: char| !c.is_alphanumeric() && c != '_');
        Some((words.next() == Some("pub"), own, kind.trim()))
    };
    split_at_commas(list).into_iter().filter_map(clean).collect()
}

/// The public numbers of a file.
fn public_numbers(code: &str) -> Vec<Number> {
    let mut found = Vec::new();
    let mut note = |at: usize, item: &str, parameter: bool, (_, name, kind): &(bool, &str, &str)| {
        if is_number(kind) {
            found.push(Number { at, item: item.into(), name: (*name).into(), parameter });
        }
    };
    for (at, item, rest) in items(code, "pub struct ") {
        let head = rest.find(['{', ';', '(']).map_or("", |i| &rest[i..]);
        let fields = if head.starts_with('{') { bracketed(head, '{', '}').unwrap_or_default() } else { "" };
        pairs(fields).iter().filter(|(public, ..)| *public).for_each(|pair| note(at, item, false, pair));
    }
    for (at, item, rest) in items(code, "pub enum ") {
        let variants = bracketed(rest, '{', '}').unwrap_or_default();
        for fields in split_at_commas(variants).into_iter().filter_map(|variant| bracketed(variant, '{', '}')) {
            pairs(fields).iter().for_each(|pair| note(at, item, false, pair));
        }
    }
    for (at, item, rest) in items(code, "pub fn ").chain(items(code, "pub const fn ")) {
        let parameters = bracketed(after_generics(rest), '(', ')').unwrap_or_default();
        pairs(parameters).iter().for_each(|pair| note(at, item, true, pair));
    }
    for (at, item, rest) in items(code, "pub const ").filter(|(_, item, _)| *item != "fn") {
        let kind = rest.split(['=', ';']).next().and_then(|head| head.split_once(':'));
        kind.into_iter().for_each(|(_, kind)| note(at, item, false, &(true, item, kind)));
    }
    found
}

/// Everything that opens with a word: its offset, its name, and the text from its name on.
fn items<'a>(code: &'a str, open: &'static str) -> impl Iterator<Item = (usize, &'a str, &'a str)> {
    code.match_indices(open).map(move |(at, _)| {
        let rest = &code[at + open.len()..];
        let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
        (at, &rest[..end], rest)
    })
}

/// A signature from its parameter list on, with `name<...>` left off.
fn after_generics(signature: &str) -> &str {
    let name_end = signature.find(['(', '<']).unwrap_or(0);
    if !signature[name_end..].starts_with('<') {
        return &signature[name_end..];
    }
    let mut depth = 0_i32;
    for (i, c) in signature[name_end..].char_indices() {
        let arrow = signature[..name_end + i].ends_with('-');
        depth += i32::from(c == '<') - i32::from(c == '>' && !arrow);
        if depth == 0 {
            return &signature[name_end + i + 1..];
        }
    }
    signature
}

/// Public numbers whose name says no unit.
pub fn problems(source: &Source) -> Vec<String> {
    let say = |n: Number| {
        let what = format!("`{}` of `{}`", n.name, n.item);
        format!("{}:{}: the public number {what} says no unit", source.name, source.line_of(n.at))
    };
    public_numbers(&source.code).into_iter().filter(|n| !n.says_its_unit()).map(say).collect()
}

#[test]
fn a_number_without_a_unit_is_found() {
    for bad in [
        "pub struct A {\n    pub height: f64,\n}\n",
        "pub struct A<R> {\n    /// Doc, with a comma: here.\n    pub heights: Vec<R>,\n}\n",
        "pub struct A {\n    #[serde(default)]\n    pub height: Option<f64>,\n}\n",
        "pub enum E {\n    A { height: f64 },\n    B,\n}\n",
        "pub fn f<const L: usize, F: Fn() -> f64>(heat: [f64; L], n: usize) {}\n",
        "impl A {\n    pub const fn new(&self, heat: &[f64]) {}\n}\n",
        "pub const BOLTZMANN: f64 = 1.0;\n",
        "pub struct A {\n    pub floor: f64,\n}\n",
        "pub struct A {\n    pub theta: f64,\n}\n",
    ] {
        assert_eq!(problems(&Source::new("bad.rs", bad)).len(), 1, "{bad}");
    }
}

#[test]
fn numbers_with_a_unit_and_private_ones_are_let_through() {
    for good in [
        "pub struct A {\n    pub height_m: f64,\n    height: f64,\n    pub rel_sigma: f64,\n}\n",
        "pub struct A(pub f64);\n",
        "pub enum E {\n    A { at_s: f64 },\n    B(f64),\n}\n",
        "pub fn f(heat_j: f64, g: impl Fn(f64) -> f64, n: usize) {}\n",
        "pub(crate) fn f(heat: f64) {}\n",
        "pub fn f(x: f64, theta: f64, (from_s, to_s): (f64, f64)) {}\n",
        "pub struct Spread {\n    pub floor: f64,\n}\n",
        "pub const STEFAN_BOLTZMANN_W_M2K4: f64 = 1.0;\n",
        "fn f(heat: f64) {}\n",
        "pub struct A<R> {\n    pub parts: Vec<Part<R>>,\n}\n",
    ] {
        assert!(problems(&Source::new("good.rs", good)).is_empty(), "{good}");
    }
}
