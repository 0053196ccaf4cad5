//! What an entry of a day says, short: for lists of what was done and read, and of what is planned.

use ovenfall_engine::description::FirePlace;
use ovenfall_record::day::{Done, DoorSet, Entry, What, WoodAmount};
use ovenfall_record::reading::{Mass, MassUnit, Part, Reading, Temperature, TemperatureUnit};

fn degrees(temperature: &Temperature) -> String {
    let unit = match temperature.unit {
        TemperatureUnit::Celsius => "°C",
        TemperatureUnit::Fahrenheit => "°F",
    };
    let over = if temperature.at_least { "over " } else { "" };
    format!("{over}{} {unit}", temperature.value)
}

fn mass(mass: &Mass) -> String {
    let unit = match mass.unit {
        MassUnit::Kilogram => "kg",
        MassUnit::Gram => "g",
        MassUnit::Pound => "lb",
        MassUnit::Ounce => "oz",
        MassUnit::Litre => "l",
    };
    format!("{} {unit}", mass.value)
}

const fn place(place: FirePlace) -> &'static str {
    match place {
        FirePlace::Left => "left",
        FirePlace::Right => "right",
        FirePlace::Back => "back",
        FirePlace::Centre => "centre",
    }
}

fn done(done: &Done) -> String {
    match done {
        Done::WoodOn { amount: WoodAmount::Weighed(wood), .. } => format!("wood on, {}", mass(wood)),
        Done::WoodOn { amount: WoodAmount::Baskets { count, .. }, .. } => {
            let baskets = if (count - 1.0).abs() < f64::EPSILON { "basket" } else { "baskets" };
            format!("wood on, {count} {baskets}")
        }
        Done::FireMoved(to) => format!("fire moved: {}", place(*to)),
        Done::EmbersSpread => "embers spread".to_owned(),
        Done::RakedOut => "raked out".to_owned(),
        Done::Swept => "swept".to_owned(),
        Done::Swabbed { water: Some(water) } => format!("swabbed, {}", mass(water)),
        Done::Swabbed { water: None } => "swabbed".to_owned(),
        Done::Door(DoorSet::Shut) => "door shut".to_owned(),
        Done::Door(DoorSet::Open) => "door open".to_owned(),
        Done::Door(DoorSet::Ajar { free_percent: Some(percent) }) => format!("door ajar, {percent} % free"),
        Done::Door(DoorSet::Ajar { free_percent: None }) => "door ajar".to_owned(),
        Done::Placed { dish } => format!("{dish} in"),
        Done::Turned { dish } => format!("{dish} turned"),
        Done::ToppedUp { dish, amount, temperature } => {
            let hot = temperature.as_ref().map(|t| format!(" at {}", degrees(t))).unwrap_or_default();
            format!("{dish} topped up, {}{hot}", mass(amount))
        }
        Done::TakenOut { dish } => format!("{dish} out"),
    }
}

fn reading(reading: &Reading) -> String {
    match reading {
        Reading::Spot { spot, temperature } => format!("{} {}", spot.name(), degrees(temperature)),
        Reading::Probe { temperature } => format!("probe {}", degrees(temperature)),
        Reading::Outdoor { temperature } => format!("outdoors {}", degrees(temperature)),
        Reading::Liquid { dish, temperature } => format!("{dish}, liquid {}", degrees(temperature)),
        Reading::Core { dish, temperature } => format!("{dish}, core {}", degrees(temperature)),
        Reading::HandCount { count_s } => format!("hand count {count_s} s"),
        Reading::Masonry { part, depth_mm, temperature } => {
            let part = if *part == Part::Floor { "floor" } else { "dome" };
            format!("{part}, {depth_mm} mm deep, {}", degrees(temperature))
        }
    }
}

/// What an entry says: `probe 236 °C`, `wood on, 3.5 kg`, `lamb shoulder in`.
#[must_use]
pub fn entry(entry: &Entry) -> String {
    match &entry.what {
        What::Done(what) => done(what),
        What::Reading(what) => reading(what),
        What::Strike { id } => format!("taken back: entry {id}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use ovenfall_record::day_file::read_day;

    #[test]
    fn entries_are_told_short() {
        let day = "# ovenfall day 1\nid,at,written,kind,what,value,unit,note,strikes\n\
            1,2026-06-13T08:00:00+01:00,,wood on,,1,baskets,,\n\
            2,2026-06-13T08:10:00+01:00,,spot,floor centre,>550,C,,\n\
            3,2026-06-13T08:20:00+01:00,,door,ajar,30,%,,\n\
            4,2026-06-13T08:25:00+01:00,,placed,chickpeas,,,,\n\
            5,2026-06-13T08:30:00+01:00,,topped up,chickpeas @ 96 C,0.4,l,,\n\
            6,2026-06-13T08:40:00+01:00,,strike,,,,,3\n";
        let day = read_day("day.csv", day).expect("a day that reads well");
        let said: Vec<String> = day.entries.iter().map(entry).collect();
        assert_eq!(
            said,
            [
                "wood on, 1 basket",
                "floor centre over 550 °C",
                "door ajar, 30 % free",
                "chickpeas in",
                "chickpeas topped up, 0.4 l at 96 °C",
                "taken back: entry 3"
            ]
        );
    }
}
