//! A dish as a form: which fields there are, and how they are asked.

/// How a field is asked.
#[derive(Debug, Clone, Copy)]
pub enum Asks {
    /// A text.
    Text,
    /// An hour.
    Hour,
    /// A number, or a text with its unit; the unit shown.
    Number(&'static str),
    /// One of these; the value, and its words.
    OneOf(&'static [(&'static str, &'static str)]),
    /// A kind of the table of dishes.
    Kind,
    /// A vessel of the table.
    Pot,
    /// A food of the table.
    Food,
}

/// A field of the form.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Key of the pots file.
    pub key: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// How it is asked.
    pub asks: Asks,
    /// What helps to answer.
    pub hint: &'static str,
}

const fn field(key: &'static str, label: &'static str, asks: Asks, hint: &'static str) -> Field {
    Field { key, label, asks, hint }
}

const YES_NO: &[(&str, &str)] = &[("yes", "Yes"), ("no", "No")];
const PIECES: &[(&str, &str)] = &[
    ("one", "One piece: a joint, a bird"),
    ("round", "Round pieces"),
    ("long", "Long pieces, loaves"),
    ("flat", "Flat"),
];
const WOODS: &[(&str, &str)] =
    &[("hardwood", "Hardwood: beech, oak, ash, fruit trees"), ("softwood", "Softwood: spruce, pine, larch")];

/// What everybody knows of a dish.
pub const SHORT: &[Field] = &[
    field("kind", "What kind of dish", Asks::Kind, "From it follow the temperatures it wants, and for how long."),
    field("name", "What you call it", Asks::Text, "What is written down calls it so. Must not be left blank."),
    field("wanted", "Wanted at", Asks::Hour, ""),
    field("solid_kg", "Food, without liquid", Asks::Number("kg"), "Dough, meat, beans, fruit."),
    field("liquid_kg", "Liquid", Asks::Number("kg"), "A litre is a kilogram."),
];
/// More about pot and contents.
pub const MORE: &[Field] = &[
    field("pot", "Pot", Asks::Pot, ""),
    field("pot_kg", "Weight of the pot, with lid", Asks::Number("kg"), "A heavy cold pot takes a good deal of heat."),
    field("lid", "Lid on", Asks::OneOf(YES_NO), ""),
    field("trivet", "On a trivet", Asks::OneOf(YES_NO), ""),
    field("diameter_cm", "Across, outside", Asks::Number("cm"), ""),
    field("height_cm", "Height, outside", Asks::Number("cm"), ""),
    field("pieces", "Pieces", Asks::OneOf(PIECES), ""),
    field("piece_cm", "Thickness of a piece", Asks::Number("cm"), "The least way through one."),
    field("start_c", "Temperature when it goes in", Asks::Number("°C"), ""),
    field("mostly", "Mostly made of", Asks::Food, ""),
];
/// The wood of a day.
pub const WOOD: &[Field] = &[
    field("kind", "Kind of wood", Asks::OneOf(WOODS), ""),
    field(
        "moisture_percent",
        "Moisture",
        Asks::Number("% of the whole"),
        "Air-dry under a roof: about 18 (common practice, no source).",
    ),
    field("basket_kg", "A basket of it weighs", Asks::Number("kg"), "Weigh one, where feeds are counted in baskets."),
];
