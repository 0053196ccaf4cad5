//! Ids of ovens and days: short plain text, so that they can be part of an address and of a file name.

use crate::error::StoreError;
use std::fmt;

/// Longest id, in characters.
pub const LONGEST: usize = 64;

fn checked(given: &str) -> Result<String, StoreError> {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
    if given.is_empty() || given.len() > LONGEST || !given.chars().all(plain) || given.starts_with('.') {
        return Err(StoreError::Id { given: given.to_owned(), longest: LONGEST });
    }
    Ok(given.to_owned())
}

macro_rules! id {
    ($name:ident, $what:literal) => {
        #[doc = concat!("Id of ", $what, ".")]
        #[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub struct $name(String);

        impl $name {
            /// Takes a text as an id.
            ///
            /// # Errors
            /// [`StoreError::Id`] when it cannot be one.
            pub fn new(given: &str) -> Result<Self, StoreError> {
                checked(given).map(Self)
            }

            /// The text.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

id!(OvenId, "an oven");
id!(DayId, "a day");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_short_and_plain() {
        assert!(OvenId::new("quay-oven_2").is_ok());
        for bad in ["", "a b", "../x", "é", "x/y", ".hidden", &"x".repeat(65)] {
            assert!(DayId::new(bad).is_err(), "{bad}");
        }
    }
}
