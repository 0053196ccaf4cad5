//! What an oven holds, loses and weighs at a glance, and its figures as tables for a page.

use crate::appraised::{Appraised, HOT_C, LOSSES_AT_C, STORE_ABOVE_C};
use crate::board::Figures;
use crate::error::AnswerError;
use crate::oven_words::{heat_words, layer_table, loss_table};
use comfy_table::Table;
use ovenfall_draw::section;
use ovenfall_record::oven_file::OvenFile;
use serde::Serialize;

/// Which of [`LOSSES_AT_C`] is told at a glance.
const LOSS_AT: usize = 1;

/// One figure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Glance {
    /// What it is.
    pub what: String,
    /// The figure with its unit; in brackets 9 chances in 10.
    pub value: String,
}

/// What is told at a glance, and the same short enough for one line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AtAGlance {
    /// The figures.
    pub figures: Vec<Glance>,
    /// In one line.
    pub line: String,
}

/// The figures that tell one oven from another.
///
/// # Errors
/// When the engine cannot work with the oven.
pub fn at_a_glance(oven: &OvenFile, appraised: &Appraised) -> AtAGlance {
    let row = |what: String, value: String| Glance { what, value };
    let store = appraised.range(|figures| figures.store_kwh);
    let loss = appraised.range(|figures| figures.shut.get(LOSS_AT).map_or(f64::NAN, |loss| loss.total_w() / 1000.0));
    let kg: f64 = appraised.masonry().map(|layer| layer.mass_kg).sum();
    let loss_c = LOSSES_AT_C.get(LOSS_AT).copied().unwrap_or(f64::NAN);
    let mut figures = vec![
        row(
            format!("Hot right through at {HOT_C:.0} °C it holds, above {STORE_ABOVE_C:.0} °C"),
            store.with_unit(0, "kWh"),
        ),
        row(format!("Kept at {loss_c:.0} °C with the door shut it loses"), loss.with_unit(1, "kW")),
        row("Masonry weighs".to_owned(), format!("{kg:.0} kg")),
    ];
    if oven.description.mouth.door.is_empty()
        && let Some(figure) = figures.get_mut(1)
    {
        figure.what = format!("Kept at {loss_c:.0} °C with a sheet of iron for a door it loses");
    }
    let line = format!("Holds {:.0} kWh, loses {:.1} kW", store.p50, loss.p50);
    AtAGlance { figures, line }
}

/// All figures of an oven: a sentence on the heat it takes, and tables.
#[must_use]
pub fn in_full(oven: &OvenFile, appraised: &Appraised) -> (String, Vec<Figures>) {
    let is = &oven.description;
    let mut tables = vec![figures("What it is built of", &layer_table(is, appraised))];
    tables.push(figures("What it loses with the door shut, W", &loss_table(is, appraised)));
    let sizes = section::tables(is).into_iter().next().map(Figures::from);
    tables.extend(sizes);
    (heat_words(is, appraised), tables)
}

/// Appraises an oven that is being described.
///
/// # Errors
/// When the engine cannot work with it.
pub fn appraise(oven: &OvenFile) -> Result<Appraised, AnswerError> {
    Appraised::new(&oven.description, "the oven")
}

/// A table of the terminal as one of a page: a cell left blank there says what is above it.
fn figures(caption: &str, table: &Table) -> Figures {
    let cells = |row: &comfy_table::Row| row.cell_iter().map(|cell| cell.content()).collect::<Vec<String>>();
    let head = table.header().map(cells).unwrap_or_default();
    let mut rows: Vec<Vec<String>> = Vec::new();
    for mut row in table.row_iter().map(cells) {
        let above = rows.last().and_then(|above| above.first()).cloned();
        if let (Some(first), Some(above)) = (row.first_mut().filter(|first| first.is_empty()), above) {
            *first = above;
        }
        rows.push(row);
    }
    Figures { caption: caption.to_owned(), head, rows }
}

#[cfg(test)]
mod tests {
    use super::*;
    use ovenfall_record::oven_file::read_oven;

    const BARE: &str = "ovenfall = 1\nkind = \"oven\"\n";

    #[test]
    fn a_larger_oven_holds_and_loses_more() {
        let of = |cm: u32| {
            let oven = read_oven("oven", &format!("{BARE}diameter_cm = {cm}\n")).unwrap();
            let appraised = appraise(&oven).unwrap();
            (at_a_glance(&oven, &appraised), appraised.figures.store_kwh)
        };
        let ((small, small_kwh), (large, large_kwh)) = (of(60), of(120));
        assert!(large_kwh > 2.0 * small_kwh);
        assert_ne!(small.line, large.line);
        assert!(small.figures[0].value.contains(&format!("{small_kwh:.0} kWh")), "{small:?}");
    }

    #[test]
    fn tables_are_whole() {
        let oven = read_oven("oven", BARE).unwrap();
        let (_, tables) = in_full(&oven, &appraise(&oven).unwrap());
        assert_eq!(tables.len(), 3);
        for table in tables {
            assert!(table.rows.iter().all(|row| row.len() == table.head.len() && !row[0].is_empty()), "{table:?}");
        }
    }
}
