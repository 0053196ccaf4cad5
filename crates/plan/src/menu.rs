//! The menu beside the pots of the day.
//!
//! A menu is a file of pots. A dish that the day's own file has too is described there: what is in the oven already is
//! in it as that file says, and a name means one pot. Dishes only the menu has come after those of the day, so that the
//! day's entries find theirs where they were.

use ovenfall_food::dish::{Dish, find};
use ovenfall_record::pots::{DishPlacing, DishSheet, Pots};

/// Pots of the day and dishes of the menu in one list.
#[derive(Debug, Clone, PartialEq)]
pub struct Menu {
    /// The pots of the day, then what only the menu has; wood is the day's.
    pub pots: Pots,
    /// Dishes of the menu, in its order: indices into `pots.dishes`.
    pub dishes: Vec<usize>,
    /// Names that both files describe, and not alike.
    pub described_twice: Vec<String>,
}

impl Menu {
    /// A menu joined to the pots of the day.
    #[must_use]
    pub fn new(day: Pots, menu: &Pots) -> Self {
        let mut joined = Self { pots: day, dishes: Vec::new(), described_twice: Vec::new() };
        for dish in &menu.dishes {
            if let Some(there) = joined.pots.index_of(&dish.sheet.name) {
                let own = joined.pots.dishes.get(there).filter(|own| !is_same(own, dish));
                joined.described_twice.extend(own.map(|own| own.sheet.name.clone()));
                joined.dishes.push(there);
            } else {
                joined.dishes.push(joined.pots.dishes.len());
                joined.pots.dishes.push(dish.clone());
            }
        }
        joined
    }

    /// Everything the day has pots for.
    #[must_use]
    pub fn of_the_day(day: Pots) -> Self {
        let dishes = (0..day.dishes.len()).collect();
        Self { pots: day, dishes, described_twice: Vec::new() }
    }
}

/// Whether two dishes are the same but for how their name is written.
fn is_same(a: &DishPlacing, b: &DishPlacing) -> bool {
    (a.placing.pot, a.placing.contents) == (b.placing.pot, b.placing.contents)
}

/// The dish of the table that a sheet is, by its kind or else by its name.
#[must_use]
pub fn kind<'a>(dishes: &'a [Dish], sheet: &DishSheet) -> Option<&'a Dish> {
    sheet.kind.as_deref().and_then(|kind| find(dishes, kind)).or_else(|| find(dishes, &sheet.name))
}

#[cfg(test)]
mod tests {
    use super::*;
    use ovenfall_record::pots_file::read_pots;

    fn pots(names: &[(&str, f64)]) -> Pots {
        let dish = |(name, kg): &(&str, f64)| format!("[[dish]]\nname = \"{name}\"\nsolid_kg = {kg}\n");
        let text: String = names.iter().map(dish).collect();
        read_pots("pots.toml", &format!("ovenfall = 1\nkind = \"pots\"\n{text}")).unwrap()
    }

    #[test]
    fn a_menu_comes_after_the_pots_of_the_day() {
        let menu =
            Menu::new(pots(&[("stew", 1.0), ("loaf", 0.8)]), &pots(&[("pie", 1.0), ("Loaf", 0.8), ("stew", 2.0)]));
        assert_eq!(menu.dishes, [2, 1, 0]);
        assert_eq!(menu.pots.dishes.len(), 3);
        assert!((menu.pots.dishes[0].placing.contents.solid_kg - 1.0).abs() < 1e-12, "the day's own description holds");
        assert_eq!(menu.described_twice, ["stew"]);
    }

    #[test]
    fn a_kind_goes_before_a_name() {
        let dishes = ovenfall_food::dish::standard().unwrap();
        let sheet = DishSheet { name: "pie".into(), kind: Some("braise".into()), ..DishSheet::default() };
        assert_eq!(kind(&dishes, &sheet).unwrap().name, "braise");
        assert_eq!(kind(&dishes, &DishSheet { name: "pie".into(), ..DishSheet::default() }).unwrap().name, "pie");
        assert!(kind(&dishes, &DishSheet::default()).is_none());
    }
}
