//! When the oven suits a dish, in words for a cook.

use crate::judged::{Judged, Row, What};
use crate::menu::wants;
use crate::wall_clock::{clock, day_and_hour};
use ovenfall_draw::Clock;
use ovenfall_engine::drive::{Action, Door};
use ovenfall_food::dish::{Dish, JudgedBy, standard};
use ovenfall_food::suits::in_ten;
use ovenfall_learn::now::Likely;
use ovenfall_plan::{Answer, Bar, Chance, Held, Stretch, Suits};

/// Stretches shorter than this in which nothing suits are not told, min.
const SHORT_MIN: f64 = 10.0;
/// A core that comes up in time in fewer chances than this is warned of.
const CORE_SHARE: f64 = 0.95;

/// Two or three sentences ahead of the dishes.
pub fn intro(judged: &Judged) -> String {
    let drive = &judged.situation.driven;
    let door = match drive.drive.door_at(drive.at_s) {
        Door::Shut => "shut",
        Door::Ajar(_) => "ajar",
        Door::Open => "open",
    };
    let fire = if drive.drive.fire_in_at(drive.at_s) { ", fire in" } else { "" };
    let inside: Vec<&str> = drive
        .drive
        .inside_at(drive.at_s)
        .into_iter()
        .filter_map(|i| drive.drive.placings.get(i).map(|placing| placing.name.as_str()))
        .collect();
    let inside = if inside.is_empty() { "nothing".to_owned() } else { inside.join(", ") };
    let later =
        |action: Action| drive.drive.events.iter().any(|event| event.at_s > drive.at_s && event.action == action);
    let burns_on = drive.drive.fire_in_at(drive.at_s) && !later(Action::RakeOut);
    let out = if burns_on { ", if the fire were raked out and the door shut at once" } else { "" };
    let members = judged.options.members.min(judged.situation.members.ensemble.members.len());
    format!(
        "{}, door {door}{fire}, {inside} in the oven. Looked {:.0} hours ahead: each dish is put in, and the oven suits \
         it where, once it has settled, the oven stays in the dish's window until its least usual time is over. \
         Alone: with what is in already, and nothing else goes in{out}. As planned: with all the day has still to go in. \
         Chances are of {members} ovens it could be.",
        day_and_hour(&judged.at),
        judged.horizon_h,
    )
}

/// The answer for a dish in a few words: the first hours at which the oven suits it, else why it does not.
pub fn verdict(judged: &Judged, row: &Row) -> String {
    let clock = clock(&judged.at);
    match (&row.what, &row.dish) {
        (What::Been { in_min, out_min: Some(out_min) }, _) => {
            format!("Was in from {} to {}.", clock.hhmm(*in_min), clock.hhmm(*out_min))
        }
        (What::Been { in_min, out_min: None }, _) => format!("In since {}.", clock.hhmm(*in_min)),
        (What::Suits(suits), Some(dish)) => Told { judged, clock, dish, suits }.verdict(),
        _ => "Unknown: say what kind of dish it is.".to_owned(),
    }
}

/// What is told of a dish below the answer in a few words.
pub fn lines(judged: &Judged, row: &Row) -> Vec<String> {
    of_row(judged, row).1.into_iter().map(|line| line.trim().to_owned()).collect()
}

/// What a dish of the table wants, and for how long.
pub fn wants_of(row: &Row) -> Option<String> {
    let dish = row.dish.as_ref()?;
    match &row.what {
        What::Suits(suits) if dish.judged_by != JudgedBy::Floor => {
            Some(format!("{}, {} or more", wants(dish), lasting(suits.least_s)))
        }
        _ => Some(wants(dish)),
    }
}

/// A title and lines for each dish; dishes of which the same is said stand together.
pub fn dishes(judged: &Judged) -> Vec<(String, Vec<String>)> {
    let mut told: Vec<(Vec<&str>, String, Vec<String>)> = Vec::new();
    for row in &judged.rows {
        let (about, lines) = of_row(judged, row);
        match told.last_mut().filter(|(_, same, before)| *same == about && *before == lines) {
            Some((names, ..)) => names.push(&row.name),
            None => told.push((vec![&row.name], about, lines)),
        }
    }
    told.into_iter().map(|(names, about, lines)| (format!("{}{about}", names.join(", ")), lines)).collect()
}

fn of_row(judged: &Judged, row: &Row) -> (String, Vec<String>) {
    let clock = clock(&judged.at);
    match (&row.what, &row.dish) {
        (What::Been { in_min, out_min: Some(out_min) }, _) => {
            (format!(": was in from {} to {}", clock.hhmm(*in_min), clock.hhmm(*out_min)), Vec::new())
        }
        (What::Been { in_min, out_min: None }, _) => (format!(": in since {}", clock.hhmm(*in_min)), Vec::new()),
        (What::Suits(suits), Some(dish)) => (about(dish, suits), Told { judged, clock, dish, suits }.lines()),
        (What::Unknown { kind_given: true }, _) => (": unknown, its `kind` is not in the table".to_owned(), kinds()),
        _ => (": unknown, give it a `kind`".to_owned(), kinds()),
    }
}

/// The kinds that are known, for somebody who gave none of them.
fn kinds() -> Vec<String> {
    let known = standard().unwrap_or_default();
    let names: Vec<&str> = known.iter().map(|dish| dish.name.as_str()).collect();
    vec![format!("  known kinds: {}", names.join(", "))]
}

/// What a dish wants: ` (probe 170 to 110 °C, door shut, 2 h and more)`.
fn about(dish: &Dish, suits: &Suits) -> String {
    if dish.judged_by == JudgedBy::Floor {
        return format!(" ({})", wants(dish));
    }
    format!(" ({}, {} or more)", wants(dish), lasting(suits.least_s))
}

/// `45 min` or `2.5 h`.
fn lasting(seconds: f64) -> String {
    let minutes = seconds / 60.0;
    if minutes < 90.0 { format!("{minutes:.0} min") } else { format!("{} h", (minutes / 6.0).round() / 10.0) }
}

/// A chance in words.
pub fn chances(share: f64) -> String {
    match in_ten(share) {
        0 => "less than 1 in 10".to_owned(),
        n => format!("{n} in 10"),
    }
}

struct Told<'a> {
    judged: &'a Judged,
    clock: Clock,
    dish: &'a Dish,
    suits: &'a Suits,
}

impl Told<'_> {
    fn lines(&self) -> Vec<String> {
        let (alone, planned) = (&self.suits.alone, &self.suits.as_planned);
        let said = [self.stretches(alone), self.stretches(planned)];
        let mut lines = if said[0] == said[1] {
            vec![format!("  alone and as planned: {}", said[0])]
        } else {
            vec![format!("  alone: {}", said[0]), format!("  as planned: {}", said[1])]
        };
        lines.extend(self.suits.planned.and_then(|i| planned.chances.get(i)).map(|chance| self.at_plan(chance)));
        let contrasts = [self.hot_but_right(planned, "as planned"), self.hot_but_right(alone, "alone")];
        lines.extend(contrasts.into_iter().flatten().take(1));
        let empty = [self.right_but_empty(planned, "as planned"), self.right_but_empty(alone, "alone")];
        lines.extend(empty.into_iter().flatten().take(1));
        lines.extend(self.too_light(alone));
        lines.extend(self.core(planned).or_else(|| self.core(alone)));
        lines
    }

    fn verdict(&self) -> String {
        let alone = &self.suits.alone;
        if let Some(first) = alone.suits().next() {
            return format!("Suits {}.", self.likely(alone, first));
        }
        let perhaps = alone.stretches.iter().find(|stretch| stretch.held == Held::Unlikely);
        let told = perhaps.or_else(|| alone.stretches.first()).map(|stretch| self.piece(alone, stretch));
        format!("At no hour for sure: {}.", told.unwrap_or_else(|| "nothing to tell".to_owned()))
    }

    fn hhmm(&self, at_s: f64) -> String {
        self.clock.hhmm(self.judged.after_min(at_s))
    }

    /// What holds when, one piece after the other.
    fn stretches(&self, answer: &Answer) -> String {
        let short = |s: &&Stretch| {
            matches!(s.held, Held::Suits) || s.to_s - s.from_s >= SHORT_MIN * 60.0 || answer.stretches.len() == 1
        };
        let pieces: Vec<String> = answer.stretches.iter().filter(short).map(|s| self.piece(answer, s)).collect();
        let never = if answer.suits().next().is_none() { "at no hour: " } else { "" };
        if pieces.is_empty() { "nothing to tell".to_owned() } else { format!("{never}{}", pieces.join("; ")) }
    }

    fn piece(&self, answer: &Answer, stretch: &Stretch) -> String {
        let what = match &stretch.held {
            Held::Suits => return format!("suits {}", self.likely(answer, stretch)),
            Held::Unlikely => return format!("perhaps {}", self.likely(answer, stretch)),
            Held::TooHot => "too hot",
            Held::Empty => "empty",
            Held::TooCool => "too cool",
            Held::Barred(Bar::FireIn) => "the fire is in",
            Held::Barred(Bar::NoFlame) => "no flame, which it wants,",
            Held::Barred(Bar::DoorOpen { .. }) => "door open as planned",
            Held::Barred(Bar::FloorFull { .. }) => "no room for it on the floor",
            Held::Barred(Bar::NotComputed(_)) => "could not be computed",
        };
        match (stretch.under_way, stretch.goes_on) {
            (true, true) => format!("{what} to the end"),
            (true, false) => format!("{what} until {}", self.hhmm(stretch.to_s)),
            (false, _) => format!("{what} from {}", self.hhmm(stretch.from_s)),
        }
    }

    fn likely(&self, answer: &Answer, stretch: &Stretch) -> String {
        let from = if stretch.under_way { "now".to_owned() } else { self.hhmm(stretch.from_s) };
        let until = if stretch.goes_on { "the end".to_owned() } else { self.hhmm(stretch.to_s) };
        let best = answer.chances.get(stretch.best);
        let best = best.map(|best| format!(", at best {} (at {})", chances(best.suits_share), self.hhmm(best.at_s)));
        format!("from {from} to {until}{}", best.unwrap_or_default())
    }

    fn at_plan(&self, chance: &Chance) -> String {
        let otherwise = match (chance.suits_share < 0.95, chance.too_hot_share > chance.too_cool_share) {
            (false, _) => "",
            (true, true) => ", else too hot",
            (true, false) if self.dish.judged_by == JudgedBy::Floor => ", else too cool",
            (true, false) => ", else too cool before it is done",
        };
        let said = if chance.bar.is_some() {
            "it cannot go in then".to_owned()
        } else {
            format!("{}{otherwise}", chances(chance.suits_share))
        };
        format!("  Planned for {}: {said}.", self.hhmm(chance.at_s))
    }

    /// The oven reads too hot and is right once the pot is in.
    fn hot_but_right(&self, answer: &Answer, course: &str) -> Option<String> {
        let chance = answer.chances.get(answer.hot_but_right?)?;
        let (reads, settled) = (chance.reading?.reads_c, chance.settled_c?);
        Some(format!(
            "  At {} ({course}) it reads {}, too hot going by the reading; with the pot in it settles at {} and suits in {}.",
            self.hhmm(chance.at_s),
            degrees(reads),
            degrees(settled),
            chances(chance.suits_share)
        ))
    }

    /// The oven reads right and is empty.
    fn right_but_empty(&self, answer: &Answer, course: &str) -> Option<String> {
        let chance = answer.chances.get(answer.right_but_empty?)?;
        let cool_c = self.dish.window_c.to?;
        Some(format!(
            "  At {} ({course}) it reads {}, inside the window, but is empty: with the pot in it is under {cool_c:.0} °C \
             by {}, and the dish wants {}.",
            self.hhmm(chance.at_s),
            degrees(chance.reading?.reads_c),
            self.hhmm(chance.under_at_s?),
            lasting(self.suits.least_s)
        ))
    }

    /// Too hot all along: what the pot does to it.
    fn too_light(&self, answer: &Answer) -> Option<String> {
        let hot = answer.stretches.first().filter(|s| s.held == Held::TooHot && s.goes_on && !self.dish.flammable)?;
        let chance = answer.chances.get(hot.best)?;
        Some(format!(
            "  Even at {} it reads {}, and the pot is too light to pull it down: {} with it in.",
            self.hhmm(chance.at_s),
            degrees(chance.reading?.reads_c),
            degrees(chance.settled_c?)
        ))
    }

    /// A cold core that lingers where bacteria grow: at the hour planned, or else at the best one.
    fn core(&self, answer: &Answer) -> Option<String> {
        let rule = self.dish.core_past?;
        let planned = self.suits.planned.and_then(|planned| self.suits.as_planned.chances.get(planned));
        let late = |chance: &&Chance| chance.core_in_time_share.is_some_and(|share| share < CORE_SHARE);
        let chance = planned.filter(late).or_else(|| answer.best().filter(late))?;
        let share = chance.core_in_time_share?;
        Some(format!(
            "  Not on course: put in at {}, its core is past {:.0} °C within {:.0} hours in {} only.",
            self.hhmm(chance.at_s),
            rule.past_c,
            rule.within_h,
            chances(share)
        ))
    }
}

fn degrees(c: Likely) -> String {
    format!("{:.0} °C", c.p50)
}
