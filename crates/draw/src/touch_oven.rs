//! The oven as one sees it from the mouth, and its floor from above, to tap the place of a reading on.
//!
//! Above, the chamber looking in: crown, both sides, the back wall, and the probe on its lead. Below, the floor with the
//! mouth at the bottom: back, centre, front. The side the fire lies on is where the description puts it. Both are to
//! scale, each to its own; a target that does not lie where its place is points there.
//!
//! Every place is a link, or a button for a page's script, with `data-spot` naming it as day files do, an `aria-label`
//! with what was last read there, and a target of at least [`LEAST_TARGET_PX`] each way that overlaps no other. Links
//! work without a script. For buttons a script listens on `[data-spot]` for clicks and for Enter and the space bar;
//! where the focus is and where a round has come to (`aria-current="step"`) is drawn by the picture and
//! [`crate::theme::page_css`].

mod drawing;
mod places;

use crate::svg::{Svg, Type};
use crate::table::Table;
use crate::text;
use crate::theme::Look;
use ovenfall_engine::description::{FirePlace, Form, OvenDescription};

/// Places in the order of a round: as they are named in day files, and the probe.
pub const PLACES: [&str; 8] =
    ["floor back", "floor centre", "floor front", "crown", "back wall", "fire side", "far side", "probe"];

/// Targets are at least this wide and high, px, in a picture shown at its own width.
pub const LEAST_TARGET_PX: f64 = 64.0;

/// Each of the two drawings is at most this high, px, unless its targets need more.
const MOST_HIGH_PX: f64 = 264.0;

/// What the picture shows besides the oven.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TouchOven {
    /// What was read last, by place; words such as "308 °C, 09:41". Places that are not in [`PLACES`] are left out.
    pub last_read: Vec<(String, String)>,
    /// The place whose turn it is in a round.
    pub next: Option<String>,
    /// Beginning of the address a place leads to; the name of the place follows, percent-encoded. Without one, places
    /// are buttons that a script listens to.
    pub link: Option<String>,
}

impl TouchOven {
    /// What was read last at a place.
    pub(crate) fn last_at(&self, place: &str) -> Option<&str> {
        let found = self.last_read.iter().find(|(name, words)| name == place && !words.trim().is_empty());
        found.map(|(_, words)| words.as_str())
    }

    /// Where a place leads.
    pub(crate) fn address(&self, place: &str) -> Option<String> {
        self.link.as_ref().map(|link| format!("{link}{}", place.replace(' ', "%20")))
    }
}

/// The picture as SVG.
#[must_use]
pub fn svg(oven: &OvenDescription, shown: &TouchOven, look: &Look) -> String {
    let mut svg = Svg::new(&look.in_range());
    let title = format!("{}: where was it read?", oven.name);
    let mut y = 4.0;
    if svg.look().heading {
        let size_px = if svg.look().narrow() { 17.0 } else { 20.0 };
        for line in text::wrap(&title, size_px * 1.1, svg.look().width_px - 24.0) {
            y += size_px * 1.25;
            svg.text(12.0, y, Type::plain(size_px).bold(), &line);
        }
        y += 8.0;
    }
    y = drawing::chamber(&mut svg, oven, shown, y);
    y = drawing::floor(&mut svg, oven, shown, y + 14.0);
    svg.finish_as("group", y + 6.0, &title, &description(oven, shown))
}

/// What the picture says, in words.
#[must_use]
pub fn description(oven: &OvenDescription, shown: &TouchOven) -> String {
    let form = match oven.form {
        Form::Dome { .. } => "dome",
        Form::Vault { .. } => "vault",
    };
    let fire = match oven.fire_place {
        FirePlace::Left => "The fire lies on the left.",
        FirePlace::Right => "The fire lies on the right.",
        FirePlace::Back => "The fire lies at the back; what is called the fire side is drawn on the left.",
        FirePlace::Centre => "The fire lies in the middle; what is called the fire side is drawn on the left.",
    };
    let mut out = format!("The {form} from the mouth, and the floor from above with the mouth at the bottom. {fire}");
    if let Some(next) = shown.next.as_ref().filter(|next| PLACES.contains(&next.as_str())) {
        out.push_str(&format!(" Next: {next}."));
    }
    out
}

/// The places and what was last read there.
#[must_use]
pub fn tables(shown: &TouchOven) -> Vec<Table> {
    let mut table = Table::new("Last read", &["place", "reading"]);
    for place in PLACES {
        table.rows.push(vec![place.to_owned(), shown.last_at(place).unwrap_or("–").to_owned()]);
    }
    vec![table]
}
