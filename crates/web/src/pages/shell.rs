//! What every page has: the head, the oven's name, whether the server can be reached, and the way to the other pages.

use crate::assets::address;
use crate::demo::Playing;
use maud::{DOCTYPE, Markup, html};
use ovenfall_store::{DayId, OvenId};

/// The pages of an oven.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// What matters now.
    Now,
    /// Dishes and when they may go in.
    Menu,
    /// Every day.
    Days,
    /// The oven itself.
    Oven,
}

impl Place {
    /// In the order of the bar.
    pub const ALL: [Self; 4] = [Self::Now, Self::Menu, Self::Days, Self::Oven];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Now => "Now",
            Self::Menu => "Menu",
            Self::Days => "Days",
            Self::Oven => "Oven",
        }
    }

    /// Its address for an oven.
    #[must_use]
    pub fn address(self, oven: &OvenId) -> String {
        match self {
            Self::Now => format!("/ovens/{oven}/now"),
            Self::Menu => format!("/ovens/{oven}/menu"),
            Self::Days => format!("/ovens/{oven}/days"),
            Self::Oven => format!("/ovens/{oven}"),
        }
    }
}

/// The oven a page is about.
#[derive(Debug, Clone)]
pub struct OvenHead {
    /// Its id.
    pub oven: OvenId,
    /// Its name.
    pub name: String,
    /// The name of its time zone.
    pub zone: String,
    /// The day being written, where there is one.
    pub day: Option<DayId>,
    /// The id a day would get that is begun now.
    pub new_day: String,
    /// The demo's clock, where this is the demo.
    pub playing: Option<Playing>,
}

/// A page before it is put into the shell.
#[derive(Debug)]
pub struct Page<'a> {
    /// Its title.
    pub title: &'a str,
    /// The oven it is about.
    pub oven: Option<&'a OvenHead>,
    /// Which of the oven's pages it is.
    pub place: Option<Place>,
    /// The server's clock, Unix time in ms.
    pub now_ms: i64,
    /// Style sheets besides that of the house.
    pub sheets: &'a [&'a str],
    /// Scripts.
    pub scripts: &'a [&'a str],
    /// What it says.
    pub body: Markup,
}

impl Page<'_> {
    /// The whole page.
    #[must_use]
    pub fn render(self) -> Markup {
        let oven = self.oven;
        let whole_title = match oven {
            Some(oven) => format!("{} · {}", self.title, oven.name),
            None => format!("{} · ovenfall", self.title),
        };
        html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="color-scheme" content="light dark";
                    title { (whole_title) }
                    link rel="icon" href="data:,";
                    link rel="stylesheet" href=(address("house.css"));
                    @for sheet in self.sheets { link rel="stylesheet" href=(address(sheet)); }
                    script src=(address("theme.js")) {}
                    @if oven.is_some() { script type="module" src=(address("clock.js")) {} }
                    @for script in self.scripts { script type="module" src=(address(script)) {} }
                }
                body
                    data-oven=[oven.map(|oven| oven.oven.to_string())]
                    data-day=[oven.and_then(|oven| oven.day.as_ref()).map(ToString::to_string)]
                    data-new-day=[oven.map(|oven| &oven.new_day)]
                    data-zone=[oven.map(|oven| &oven.zone)]
                    data-now=(self.now_ms)
                    data-day-now=[oven.and_then(|oven| oven.playing).map(|playing| playing.at_ms)]
                    data-speed=[oven.and_then(|oven| oven.playing).map(|playing| playing.speed_factor)]
                {
                    a.skip href="#main" { "To the page" }
                    header.top {
                        a.oven-name href="/ovens" { (oven.map_or("ovenfall", |oven| oven.name.as_str())) }
                                                @if oven.is_some() { time.clock id="clock" aria-label="clock at the oven" {} }
                    }
                    p.reach id="reach" data-reach role="status" hidden {}
                    @if let Some(playing) = oven.and_then(|oven| oven.playing) { (demo_strip(playing)) }
                    main id="main" tabindex="-1" { (self.body) }
                    footer.foot { a href="/ovens" { "All ovens" } a href="/screens" { "Screens and names" } }
                    @if let Some(oven) = oven { (bar(oven, self.place)) }
                }
            }
        }
    }
}

/// The way to the oven's pages.
fn bar(oven: &OvenHead, here: Option<Place>) -> Markup {
    html! {
        nav.bar aria-label="Pages of this oven" {
            @for place in Place::ALL {
                a href=(place.address(&oven.oven)) aria-current=[(here == Some(place)).then_some("page")] { (place.name()) }
            }
        }
    }
}

/// The demo day is in motion: how fast, and how to halt it.
fn demo_strip(playing: Playing) -> Markup {
    html! {
        details.demo id="demo" data-running=(playing.speed_factor > 0.0) {
            summary { "Demo day, a minute in a second" }
            p { "An invented bakehouse. Write down what you like: its next day begins afresh." }
            div.demo-keys {
                button type="button" data-demo="halt" { "Halt" }
                button type="button" data-demo="go" { "Go on" }
                button type="button" data-demo="again" { "Begin again" }
                a.key href="/first" { "Describe your own oven" }
            }
        }
    }
}
