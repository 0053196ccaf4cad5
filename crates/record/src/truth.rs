//! What really came of a day, from a simulation or a better logger: the text of a CSV that only a scorer may read.
//!
//! Columns by name, in any order, others ignored: `t_min` (minutes after the first entry of the day, rounded to the whole
//! minute), `T_probe` (the chamber probe without errors of its own, °C), and where they exist `open` (free share of the mouth, 0 shut)
//! and `kWh100` (heat in masonry above 100 °C, kWh). `nan` or an empty cell is a value nobody knows.

use crate::day_file::cells::{Cell, cut, delimiter_of};
use crate::day_file::error_at;
use crate::problem::Problem;
use crate::wording::short;

/// Most rows read.
pub const MAX_ROWS: usize = 200_000;
/// Most problems told of one file.
const MOST_PROBLEMS: usize = 20;
/// Times may lie so far from the first entry, min: ten days.
const FURTHEST_MIN: f64 = 14_400.0;
/// A mouth with a larger free share is not shut.
const SHUT_SHARE: f64 = 0.001;

/// One row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TruthRow {
    /// Minutes after the first entry of the day.
    pub t_min: f64,
    /// The chamber probe, °C.
    pub probe_c: Option<f64>,
    /// Whether the door is shut, where the file knows.
    pub shut: Option<bool>,
    /// Heat in store above 100 °C, kWh.
    pub store_kwh: Option<f64>,
}

/// Reads the rows, in order of time.
///
/// # Errors
/// Every problem found, up to twenty.
pub fn read_truth(file: &str, text: &str) -> Result<Vec<TruthRow>, Vec<Problem>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let rows = cut(text, delimiter_of(text), MAX_ROWS + 1);
    if rows.more {
        let limits = Some(format!("up to {MAX_ROWS} rows"));
        return Err(vec![Problem {
            limits,
            ..error_at(file, 0, 0, format!("the file has more than {MAX_ROWS} rows"))
        }]);
    }
    let Some((header, body)) = rows.rows.split_first() else {
        return Err(vec![error_at(file, 0, 0, "the file is empty".to_owned())]);
    };
    let columns = Columns::find(file, header)?;
    let mut problems = Vec::new();
    let mut found: Vec<TruthRow> = body.iter().filter_map(|row| columns.row(file, row, &mut problems)).collect();
    if found.is_empty() && problems.is_empty() {
        problems.push(error_at(file, 0, 0, "the file has a header but no row".to_owned()));
    }
    if !problems.is_empty() {
        problems.truncate(MOST_PROBLEMS);
        return Err(problems);
    }
    found.sort_by(|a, b| a.t_min.total_cmp(&b.t_min));
    Ok(found)
}

struct Columns {
    t: usize,
    probe: usize,
    open: Option<usize>,
    store: Option<usize>,
}

impl Columns {
    fn find(file: &str, header: &[Cell]) -> Result<Self, Vec<Problem>> {
        let of = |name: &str| header.iter().position(|cell| cell.text.eq_ignore_ascii_case(name));
        let missing = |name: &str| {
            let line = header.first().map_or(0, |cell| cell.line);
            let limits = Some("`t_min` and `T_probe`; `open` and `kWh100` where they are known".to_owned());
            Problem { limits, ..error_at(file, line, 0, format!("there is no column `{name}`")) }
        };
        match (of("t_min"), of("T_probe")) {
            (Some(t), Some(probe)) => Ok(Self { t, probe, open: of("open"), store: of("kWh100") }),
            (t, probe) => {
                let names = [("t_min", t), ("T_probe", probe)];
                Err(names.iter().filter(|(_, found)| found.is_none()).map(|(name, _)| missing(name)).collect())
            }
        }
    }

    fn row(&self, file: &str, row: &[Cell], problems: &mut Vec<Problem>) -> Option<TruthRow> {
        let mut value = |column: Option<usize>, (min, max): (f64, f64)| {
            let cell = row.get(column?)?;
            let number = match cell.text.to_lowercase().as_str() {
                "" | "nan" => return None,
                text => text.parse::<f64>().ok().filter(|number| (min..=max).contains(number)),
            };
            if number.is_none() {
                let what = format!("`{}` cannot be used here", short(&cell.text));
                let limits = Some(format!("a number from {min} to {max}, or `nan`"));
                problems.push(Problem { limits, ..error_at(file, cell.line, cell.column, what) });
            }
            number
        };
        let t_min = value(Some(self.t), (-FURTHEST_MIN, FURTHEST_MIN));
        let probe_c = value(Some(self.probe), (-80.0, 2000.0));
        let open_share = value(self.open, (0.0, 1.0));
        let store_kwh = value(self.store, (0.0, 1e5));
        Some(TruthRow { t_min: t_min?, probe_c, shut: open_share.map(|share| share <= SHUT_SHARE), store_kwh })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_found_by_name_and_rows_put_in_order() {
        let text = "kWh100,x,t_min,open,T_probe\n2.5,1,10,1,300\nnan,,5,0,nan\n";
        let rows = read_truth("a.csv", text).unwrap();
        let row = |t_min, probe_c, shut, store_kwh| TruthRow { t_min, probe_c, shut: Some(shut), store_kwh };
        assert_eq!(rows, [row(5.0, None, true, None), row(10.0, Some(300.0), false, Some(2.5))]);
        let bare = read_truth("a.csv", "t_min;T_probe\n0;20\n").unwrap();
        assert_eq!((bare[0].shut, bare[0].store_kwh), (None, None));
    }

    #[test]
    fn what_is_wrong_is_told_with_its_place() {
        let told =
            |text: &str| read_truth("a.csv", text).unwrap_err().iter().map(ToString::to_string).collect::<Vec<_>>();
        assert_eq!(told(""), ["error: a.csv: the file is empty"]);
        assert_eq!(told("t_min,T_probe\n"), ["error: a.csv: the file has a header but no row"]);
        assert!(told("a,b\n1,2\n")[1].starts_with("error: a.csv:1: there is no column `T_probe`"));
        let bad = told("t_min,T_probe\n0,hot\n1,20\n99999,20\n");
        assert_eq!(bad.len(), 2);
        assert!(
            bad[0].starts_with("error: a.csv:2:3: `hot` cannot be used here\n  allowed: a number from -80"),
            "{bad:?}"
        );
    }

    proptest::proptest! {
        #[test]
        fn no_text_breaks_it(text in "[ -~\n;,]{0,200}") {
            let _ = read_truth("a.csv", &text);
            let _ = read_truth("a.csv", &format!("t_min,T_probe,open\n{text}"));
        }
    }
}
