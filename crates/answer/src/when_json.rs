//! `when` as JSON, as documented in `docs/formats.md`. Times are minutes after the hour asked about; what is not known
//! is null.

use crate::cautions;
use crate::json_parts::{Spread, rounded, time};
use crate::judged::{Judged, Row, What};
use ovenfall_plan::when::least_share;
use ovenfall_plan::{Answer, Bar, Chance, Held, Reading, Stretch, Suits};
use serde::Serialize;

/// A menu judged at an hour.
#[derive(Debug, Serialize)]
pub struct WhenJson {
    at: String,
    horizon_h: f64,
    dishes: Vec<DishJson>,
    trusted: bool,
    assumed: Vec<String>,
    cautions: Vec<String>,
    provenance: Provenance,
}

#[derive(Debug, Serialize)]
struct DishJson {
    name: String,
    kind: Option<String>,
    state: &'static str,
    judged_as: Option<String>,
    in_min: Option<f64>,
    out_min: Option<f64>,
    window_c: Option<[Option<f64>; 2]>,
    settle_min: Option<f64>,
    least_min: Option<f64>,
    alone: Option<AnswerJson>,
    as_planned: Option<AnswerJson>,
    planned: Option<ChanceJson>,
}

#[derive(Debug, Serialize)]
struct AnswerJson {
    stretches: Vec<StretchJson>,
    chances: Vec<ChanceJson>,
    hot_but_right_min: Option<f64>,
    right_but_empty_min: Option<f64>,
}

#[derive(Debug, Serialize)]
struct StretchJson {
    held: &'static str,
    from_min: Option<f64>,
    to_min: Option<f64>,
    under_way: bool,
    goes_on: bool,
    best_min: Option<f64>,
    best_share: Option<f64>,
}

#[derive(Debug, Serialize)]
struct ChanceJson {
    at_min: Option<f64>,
    held: &'static str,
    suits_share: Option<f64>,
    too_hot_share: Option<f64>,
    too_cool_share: Option<f64>,
    reads: Option<ReadingJson>,
    settled_c: Option<Spread>,
    end_c: Option<Spread>,
    under_at_min: Option<f64>,
    core_in_time_share: Option<f64>,
}

#[derive(Debug, Serialize)]
struct ReadingJson {
    reads_c: Spread,
    too_hot_share: Option<f64>,
    within_share: Option<f64>,
    too_cool_share: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Provenance {
    version: &'static str,
    input_sha256: String,
    menu_sha256: Option<String>,
    seed: u64,
    members: usize,
}

const fn held(held: &Held) -> &'static str {
    match held {
        Held::Suits => "suits",
        Held::TooHot => "too hot",
        Held::Empty => "empty",
        Held::TooCool => "too cool",
        Held::Unlikely => "unlikely",
        Held::Barred(Bar::FireIn) => "fire in",
        Held::Barred(Bar::NoFlame) => "no flame",
        Held::Barred(Bar::DoorOpen { .. }) => "door open",
        Held::Barred(Bar::FloorFull { .. }) => "floor full",
        Held::Barred(Bar::NotComputed(_)) => "not computed",
    }
}

impl WhenJson {
    /// The JSON of a judged menu.
    pub fn new(judged: &Judged) -> Self {
        let of = &judged.situation.members.ensemble;
        Self {
            at: time(&judged.at),
            horizon_h: judged.horizon_h,
            dishes: judged.rows.iter().map(|row| DishJson::new(judged, row)).collect(),
            trusted: judged.situation.members.is_trusted(),
            assumed: judged.assumed.clone(),
            cautions: cautions::of_menu(judged),
            provenance: Provenance {
                version: env!("CARGO_PKG_VERSION"),
                input_sha256: judged.inputs.sha256.clone(),
                menu_sha256: judged.menu_sha256.clone(),
                seed: of.seed,
                members: judged.options.members.min(of.members.len()),
            },
        }
    }
}

impl DishJson {
    fn new(judged: &Judged, row: &Row) -> Self {
        let (state, in_min, out_min, suits) = match &row.what {
            What::Been { in_min, out_min: None } => ("in", Some(*in_min), None, None),
            What::Been { in_min, out_min } => ("out", Some(*in_min), *out_min, None),
            What::Unknown { .. } => ("unknown", None, None, None),
            What::Suits(suits) => ("to go in", None, None, Some(&**suits)),
        };
        let of = Of { judged, row, suits };
        Self {
            name: row.name.clone(),
            kind: row.dish.as_ref().map(|dish| dish.name.clone()),
            state,
            judged_as: suits
                .and_then(|suits| judged.inputs.pots.dishes.get(suits.placing))
                .map(|d| d.sheet.name.clone()),
            in_min: in_min.and_then(rounded),
            out_min: out_min.and_then(rounded),
            window_c: row.dish.as_ref().map(|dish| [Some(dish.window_c.from), dish.window_c.to]),
            settle_min: suits.and_then(|suits| rounded(suits.settle_s / 60.0)),
            least_min: suits.and_then(|suits| rounded(suits.least_s / 60.0)),
            alone: suits.map(|suits| of.answer(&suits.alone)),
            as_planned: suits.map(|suits| of.answer(&suits.as_planned)),
            planned: of.planned(),
        }
    }
}

struct Of<'a> {
    judged: &'a Judged,
    row: &'a Row,
    suits: Option<&'a Suits>,
}

impl Of<'_> {
    fn min(&self, at_s: f64) -> Option<f64> {
        rounded(self.judged.after_min(at_s))
    }

    fn planned(&self) -> Option<ChanceJson> {
        let suits = self.suits?;
        suits.as_planned.chances.get(suits.planned?).map(|chance| self.chance(chance))
    }

    fn answer(&self, answer: &Answer) -> AnswerJson {
        let at_min = |i: Option<usize>| answer.chances.get(i?).and_then(|chance| self.min(chance.at_s));
        AnswerJson {
            stretches: answer.stretches.iter().map(|stretch| self.stretch(answer, stretch)).collect(),
            chances: answer.chances.iter().map(|chance| self.chance(chance)).collect(),
            hot_but_right_min: at_min(answer.hot_but_right),
            right_but_empty_min: at_min(answer.right_but_empty),
        }
    }

    fn stretch(&self, answer: &Answer, stretch: &Stretch) -> StretchJson {
        let best = answer.chances.get(stretch.best);
        StretchJson {
            held: held(&stretch.held),
            from_min: self.min(stretch.from_s),
            to_min: self.min(stretch.to_s),
            under_way: stretch.under_way,
            goes_on: stretch.goes_on,
            best_min: best.and_then(|best| self.min(best.at_s)),
            best_share: best.and_then(|best| rounded(best.suits_share)),
        }
    }

    fn chance(&self, chance: &Chance) -> ChanceJson {
        let dish = self.row.dish.as_ref();
        let cool_c = dish.and_then(|dish| dish.window_c.to).unwrap_or(f64::NEG_INFINITY);
        let options = &self.judged.options;
        let least = dish.map_or(options.least_share, |dish| least_share(dish, options));
        let share = |share: f64| if chance.bar.is_some() { None } else { rounded(share) };
        ChanceJson {
            at_min: self.min(chance.at_s),
            held: held(&Held::of(chance, cool_c, least)),
            suits_share: share(chance.suits_share),
            too_hot_share: share(chance.too_hot_share),
            too_cool_share: share(chance.too_cool_share),
            reads: chance.reading.map(|reading| ReadingJson::new(&reading)),
            settled_c: chance.settled_c.map(Spread::from),
            end_c: chance.end_c.map(Spread::from),
            under_at_min: chance.under_at_s.and_then(|at_s| self.min(at_s)),
            core_in_time_share: chance.core_in_time_share.and_then(rounded),
        }
    }
}

impl ReadingJson {
    fn new(reading: &Reading) -> Self {
        Self {
            reads_c: reading.reads_c.into(),
            too_hot_share: rounded(reading.too_hot_share),
            within_share: rounded(reading.within_share),
            too_cool_share: rounded(reading.too_cool_share),
        }
    }
}
