//! What can be wrong with data about food.

/// A data file that cannot be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FoodError {
    /// The text is not TOML, or a row lacks a key or has one too many.
    #[error("the dishes cannot be read: {0}")]
    Syntax(#[from] toml::de::Error),
    /// There is no row.
    #[error("there is no dish in the file")]
    NoDishes,
    /// A text that must say something is empty.
    #[error("dish `{dish}`: `{key}` is empty")]
    Empty {
        /// The dish.
        dish: String,
        /// The key.
        key: &'static str,
    },
    /// A range whose ends are not finite or stand the wrong way round.
    #[error("dish `{dish}`: `{key}` goes from {from} to {to}; {rule}")]
    Range {
        /// The dish.
        dish: String,
        /// The key.
        key: &'static str,
        /// First end as given, in the unit of the key.
        from: f64,
        /// Last end as given, in the unit of the key.
        to: f64,
        /// What the range must be.
        rule: &'static str,
    },
    /// Two dishes share a name or an alias.
    #[error("`{name}` names both `{first}` and `{second}`")]
    NameTwice {
        /// The name in question.
        name: String,
        /// The dish that has it.
        first: String,
        /// The dish that wants it as well.
        second: String,
    },
}
