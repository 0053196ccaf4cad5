//! The demo day looked back on: the forecast of 09:25, what was read and done on the whole day.

use super::demo;
use ovenfall_draw::fall::{ReadingMark, Trace};
use ovenfall_draw::past_day::{DoorStands, EntryKind, EntryMark, PastDayPicture};

fn entry(at_min: f64, kind: EntryKind, words: &str) -> EntryMark {
    EntryMark { at_min, kind, words: words.to_owned() }
}

const fn wood(mass_kg: f64) -> EntryKind {
    EntryKind::Wood { mass_kg: Some(mass_kg) }
}

fn entries() -> Vec<EntryMark> {
    vec![
        entry(-235.0, wood(4.2), "4.2 kg"),
        entry(-210.0, wood(3.5), "3.5 kg"),
        entry(-185.0, wood(3.4), "3.4 kg"),
        entry(-160.0, wood(3.6), "3.6 kg"),
        entry(-143.0, EntryKind::Fire, "fire moved left"),
        entry(-135.0, wood(3.5), "3.5 kg"),
        entry(-110.0, wood(3.5), "3.5 kg"),
        entry(-85.0, wood(3.2), "3.2 kg"),
        entry(-60.0, EntryKind::Fire, "embers spread"),
        entry(-40.0, EntryKind::Fire, "raked out"),
        entry(-35.0, EntryKind::Other, "swept"),
        entry(-33.0, EntryKind::Other, "swabbed"),
        entry(-30.0, EntryKind::Door(DoorStands::Shut), "shut"),
        entry(15.0, EntryKind::Door(DoorStands::Open), "open"),
        entry(26.0, EntryKind::Door(DoorStands::Shut), "shut"),
        entry(70.0, EntryKind::Door(DoorStands::Ajar), "ajar 30 %"),
        entry(130.0, EntryKind::Door(DoorStands::Shut), "shut"),
        entry(160.0, EntryKind::Door(DoorStands::Open), "open"),
        entry(163.0, EntryKind::Door(DoorStands::Shut), "shut"),
        entry(187.0, EntryKind::Door(DoorStands::Open), "open"),
        entry(189.0, EntryKind::Door(DoorStands::Shut), "shut"),
        entry(209.0, EntryKind::Door(DoorStands::Open), "open"),
        entry(212.0, EntryKind::Door(DoorStands::Ajar), "ajar 30 %"),
        entry(330.0, EntryKind::Door(DoorStands::Shut), "shut"),
        entry(360.0, EntryKind::Door(DoorStands::Open), "open"),
        entry(365.0, EntryKind::Door(DoorStands::Shut), "shut"),
        entry(500.0, EntryKind::Door(DoorStands::Open), "open"),
        entry(503.0, EntryKind::Door(DoorStands::Shut), "shut"),
        entry(610.0, EntryKind::Door(DoorStands::Open), "open"),
        entry(613.0, EntryKind::Door(DoorStands::Shut), "shut"),
        entry(670.0, EntryKind::Door(DoorStands::Open), "open"),
        entry(675.0, EntryKind::Door(DoorStands::Shut), "shut"),
    ]
}

fn readings() -> Vec<ReadingMark> {
    let reading = |at_min: f64, value_c: f64, what: Trace| ReadingMark { at_min, value_c, what };
    vec![
        reading(-63.0, 412.0, Trace::Floor),
        reading(-63.0, 418.0, Trace::Crown),
        reading(0.0, 288.0, Trace::Probe),
        reading(13.0, 284.0, Trace::Probe),
        reading(16.0, 308.0, Trace::Floor),
        reading(16.0, 316.0, Trace::Crown),
        reading(60.0, 281.0, Trace::Probe),
        reading(153.0, 238.0, Trace::Probe),
        reading(157.0, 236.0, Trace::Probe),
        reading(355.0, 193.0, Trace::Probe),
        reading(361.0, 190.0, Trace::Floor),
        reading(361.0, 201.0, Trace::Crown),
        reading(425.0, 154.0, Trace::Probe),
        reading(485.0, 147.0, Trace::Probe),
        reading(560.0, 136.0, Trace::Probe),
        reading(710.0, 124.0, Trace::Probe),
    ]
}

/// The day and its forecast.
pub fn day() -> PastDayPicture {
    let fall = demo::day();
    let mut placings = fall.placings;
    placings.iter_mut().for_each(|p| p.core_c = None);
    PastDayPicture {
        title: "Slipway Bakehouse, Saturday 13 June: the forecast of 09:25 and what came".to_owned(),
        clock: fall.clock,
        times_min: fall.times_min,
        probe_c: fall.probe_c,
        floor_c: fall.floor_c,
        crown_c: fall.crown_c,
        readings: readings(),
        entries: entries(),
        placings,
    }
}
