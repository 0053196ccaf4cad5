//! A dish of the day, and the wood, as forms.

use super::head_of;
use super::shell::{OvenHead, Page, Place};
use crate::app::{App, PageWho};
use crate::boards::DISHES;
use crate::dish_form::{Asks, Field, MORE, SHORT, WOOD};
use crate::error::WebError;
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use ovenfall_answer::menu::wants;
use ovenfall_food::properties::foods;
use ovenfall_record::pots::{DishSheet, WoodSheet};
use ovenfall_record::pots_file::fields::{
    PotsFieldProblem, Typed, dish_fields, read_dish_fields, read_wood_fields, wood_fields,
};
use ovenfall_record::pots_file::{read_pots, write_sheets};
use ovenfall_record::problem::{Problem, Severity};
use ovenfall_record::vessels::vessels;
use ovenfall_store::{DayId, OvenId, StoreError};
use serde::Deserialize;

/// Form as a browser sends it.
pub type Sent = Result<Form<Vec<Typed>>, FormRejection>;

/// Which dish.
#[derive(Debug, Deserialize)]
pub struct Which {
    /// Its name as it stands; a new one without.
    dish: Option<String>,
}

/// Dishes and wood of a day.
#[derive(Debug, Clone, Default)]
pub struct Today {
    /// The wood.
    pub wood: WoodSheet,
    /// The dishes.
    pub dishes: Vec<DishSheet>,
    /// Names of dishes that the day's entries speak of.
    pub written_of: Vec<String>,
}

impl Today {
    /// Of the day that is being written; nothing before there is one.
    ///
    /// # Errors
    /// What the store says.
    pub async fn of(app: &App, head: &OvenHead) -> Result<Self, WebError> {
        let Some(day) = head.day.clone() else { return Ok(Self::default()) };
        let (text, written) = app.on_disk(move |store| Ok((store.pots_text(&day)?, store.day(&day)?))).await?;
        let mut today = Self::from_text(text.as_deref())?;
        today.written_of = written.standing().iter().filter_map(|entry| entry.dish().map(str::to_owned)).collect();
        Ok(today)
    }

    /// Of the text of a pots file.
    ///
    /// # Errors
    /// When the text does not read well.
    pub fn from_text(text: Option<&str>) -> Result<Self, WebError> {
        let Some(text) = text else { return Ok(Self::default()) };
        let pots = read_pots("the pots", text).map_err(StoreError::Problems)?;
        let dishes = pots.dishes.into_iter().map(|dish| dish.sheet).collect();
        Ok(Self { wood: pots.wood, dishes, written_of: Vec::new() })
    }

    fn index_of(&self, name: &str) -> Option<usize> {
        let plain = name.trim().to_lowercase();
        self.dishes.iter().position(|dish| dish.name.to_lowercase() == plain)
    }

    fn is_written_of(&self, name: &str) -> bool {
        self.written_of.iter().any(|written| written.eq_ignore_ascii_case(name))
    }

    /// Keeps it for the day that is being written, which is begun where there is none.
    ///
    /// # Errors
    /// What the store says.
    pub async fn keep(&self, app: &App, head: &OvenHead, who: String) -> Result<(), WebError> {
        let day = match &head.day {
            Some(day) => day.clone(),
            None => DayId::new(&head.new_day)?,
        };
        let (oven, of, now) = (head.oven.clone(), day.clone(), app.now());
        app.on_disk(move |store| Ok(store.begin_day(&of, &oven, now)?)).await?;
        app.write_pots(day, write_sheets(&self.wood, &self.dishes), who, now).await
    }
}

/// `GET /ovens/{oven}/menu/dish`.
///
/// # Errors
/// [`WebError::NoSuchPage`] for a dish that is not there, or what the store says.
pub async fn page(
    State(app): State<App>,
    Path(oven): Path<String>,
    Query(which): Query<Which>,
    PageWho(_): PageWho,
) -> Result<Markup, WebError> {
    let head = head_of(&app, &OvenId::new(&oven)?).await?;
    let today = Today::of(&app, &head).await?;
    let typed = match &which.dish {
        Some(name) => {
            let dish = today.index_of(name).and_then(|i| today.dishes.get(i)).ok_or(WebError::NoSuchPage)?;
            dish_fields(dish)
        }
        None => Vec::new(),
    };
    Ok(dish_markup(&app, &head, which.dish.as_deref(), &typed, &[]))
}

fn problem(field: &str, what: &str, try_this: &str) -> PotsFieldProblem {
    let problem = Problem {
        severity: Severity::Error,
        file: String::new(),
        line: 0,
        column: 0,
        what: what.to_owned(),
        limits: None,
        suggestion: Some(try_this.to_owned()),
    };
    PotsFieldProblem { field: field.to_owned(), problem }
}

/// `POST /ovens/{oven}/menu/dish`: the dish as described, or `key=remove` to take it off the menu.
///
/// # Errors
/// What the store says; what is wrong with a field is said at the field.
pub async fn save(
    State(app): State<App>,
    Path(oven): Path<String>,
    Query(which): Query<Which>,
    PageWho(who): PageWho,
    sent: Sent,
) -> Result<Response, WebError> {
    let typed = pairs(sent)?;
    let head = head_of(&app, &OvenId::new(&oven)?).await?;
    let mut today = Today::of(&app, &head).await?;
    let before = which.dish.as_deref().map(|name| today.index_of(name).ok_or(WebError::NoSuchPage)).transpose()?;
    let remove = typed.iter().any(|(key, value)| key == "key" && value == "remove");
    match changed(&mut today, before, &typed, remove) {
        Ok(()) => {
            today.keep(&app, &head, who).await?;
            Ok(Redirect::to(&Place::Menu.address(&head.oven)).into_response())
        }
        Err(problems) => {
            let page = dish_markup(&app, &head, which.dish.as_deref(), &typed, &problems);
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

/// Changes a menu as a form says.
fn changed(
    today: &mut Today,
    before: Option<usize>,
    typed: &[Typed],
    remove: bool,
) -> Result<(), Vec<PotsFieldProblem>> {
    let old = before.and_then(|i| today.dishes.get(i)).cloned();
    let spoken_of = old.as_ref().is_some_and(|old| today.is_written_of(&old.name));
    if let (true, Some(i)) = (remove, before) {
        if spoken_of {
            let what = "what is written down speaks of this dish, so it stays on the menu";
            return Err(vec![problem("name", what, "take those entries back first")]);
        }
        today.dishes.remove(i);
        return Ok(());
    }
    let known = SHORT.iter().chain(MORE).map(|field| field.key);
    let of_form: Vec<Typed> =
        typed.iter().filter(|(key, _)| known.clone().any(|known| known == key)).cloned().collect();
    let mut dish = read_dish_fields(&of_form)?;
    // The form does not ask for a composition; one that is there stays.
    dish.composition_percent = old.as_ref().and_then(|old| old.composition_percent);
    if spoken_of && old.as_ref().is_some_and(|old| old.name != dish.name) {
        let what = "what is written down calls this dish by the name it has";
        return Err(vec![problem("name", what, "keep the name, or take those entries back first")]);
    }
    if today.index_of(&dish.name).is_some_and(|there| Some(there) != before) {
        return Err(vec![problem("name", "another dish has this name", "a name of its own, such as “second loaf”")]);
    }
    match before.and_then(|i| today.dishes.get_mut(i)) {
        Some(there) => *there = dish,
        None => today.dishes.push(dish),
    }
    Ok(())
}

fn pairs(sent: Sent) -> Result<Vec<Typed>, WebError> {
    let read =
        sent.map_err(|rejection| WebError::Unreadable { status: rejection.status(), what: rejection.body_text() });
    read.map(|Form(pairs)| pairs)
}

/// `GET /ovens/{oven}/menu/wood`.
///
/// # Errors
/// What the store says.
pub async fn wood_page(
    State(app): State<App>,
    Path(oven): Path<String>,
    PageWho(_): PageWho,
) -> Result<Markup, WebError> {
    let head = head_of(&app, &OvenId::new(&oven)?).await?;
    let today = Today::of(&app, &head).await?;
    Ok(wood_markup(&app, &head, &wood_fields(&today.wood), &[]))
}

/// `POST /ovens/{oven}/menu/wood`.
///
/// # Errors
/// What the store says; what is wrong with a field is said at the field.
pub async fn save_wood(
    State(app): State<App>,
    Path(oven): Path<String>,
    PageWho(who): PageWho,
    sent: Sent,
) -> Result<Response, WebError> {
    let typed = pairs(sent)?;
    let head = head_of(&app, &OvenId::new(&oven)?).await?;
    let mut today = Today::of(&app, &head).await?;
    let of_form: Vec<Typed> =
        typed.iter().filter(|(key, _)| WOOD.iter().any(|field| field.key == key)).cloned().collect();
    match read_wood_fields(&of_form) {
        Ok(wood) => {
            today.wood = WoodSheet { dry_ncv_mj_kg: today.wood.dry_ncv_mj_kg, ..wood };
            today.keep(&app, &head, who).await?;
            Ok(Redirect::to(&Place::Menu.address(&head.oven)).into_response())
        }
        Err(problems) => {
            let page = wood_markup(&app, &head, &typed, &problems);
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

fn dish_markup(
    app: &App,
    head: &OvenHead,
    before: Option<&str>,
    typed: &[Typed],
    problems: &[PotsFieldProblem],
) -> Markup {
    let more_is_open =
        before.is_some() || problems.iter().any(|found| MORE.iter().any(|field| field.key == found.field));
    let body = html! {
        h1 { (before.unwrap_or("A dish")) }
        (not_kept(problems))
        form.fields method="post" novalidate {
            (fields(SHORT, typed, problems))
            details open[more_is_open] {
                summary { "More about pot and contents" }
                p.hint { "Leave blank what you do not know." }
                (fields(MORE, typed, problems))
            }
            button.big type="submit" { "Keep" }
            @if before.is_some() { button type="submit" name="key" value="remove" { "Take it off the menu" } }
        }
        p { a.key href=(Place::Menu.address(&head.oven)) { "Back to the menu" } }
    };
    page_of(app, head, before.unwrap_or("A dish"), body)
}

fn wood_markup(app: &App, head: &OvenHead, typed: &[Typed], problems: &[PotsFieldProblem]) -> Markup {
    let body = html! {
        h1 { "The wood" }
        (not_kept(problems))
        form.fields method="post" novalidate {
            (fields(WOOD, typed, problems))
            button.big type="submit" { "Keep" }
        }
        p { a.key href=(Place::Menu.address(&head.oven)) { "Back to the menu" } }
    };
    page_of(app, head, "The wood", body)
}

fn page_of(app: &App, head: &OvenHead, title: &str, body: Markup) -> Markup {
    Page {
        title,
        oven: Some(head),
        place: Some(Place::Menu),
        now_ms: app.now().as_millisecond(),
        sheets: &["menu.css"],
        scripts: &["dish.js"],
        body,
    }
    .render()
}

fn not_kept(problems: &[PotsFieldProblem]) -> Markup {
    html! { @if !problems.is_empty() {
        p.wrong role="alert" { "Not kept yet: " (problems.len()) " to put right below. Nothing you typed is lost." }
    } }
}

fn fields(fields: &[Field], typed: &[Typed], problems: &[PotsFieldProblem]) -> Markup {
    html! { @for field in fields { (one(field, typed, problems)) } }
}

fn one(field: &Field, typed: &[Typed], problems: &[PotsFieldProblem]) -> Markup {
    let value = typed.iter().find(|(key, _)| key == field.key).map_or("", |(_, value)| value);
    let wrong: Vec<String> = problems
        .iter()
        .filter(|found| found.field == field.key)
        .map(|found| ovenfall_answer::board::problem(&found.problem))
        .collect();
    let (key, invalid) = (field.key, (!wrong.is_empty()).then_some("true"));
    let by = format!("{key}-hint {key}-wrong");
    html! {
        div.field {
            label for=(key) { (field.label) @if let Asks::Number(unit) = field.asks { span.unit-of { ", " (unit) } } }
            @match field.asks {
                Asks::Text => input id=(key) name=(key) value=(value) autocomplete="off" aria-invalid=[invalid] aria-describedby=(by);,
                Asks::Hour => input id=(key) name=(key) value=(value) type="time" aria-invalid=[invalid] aria-describedby=(by);,
                Asks::Number(_) => input id=(key) name=(key) value=(value) inputmode="decimal" autocomplete="off" placeholder="don't know" aria-invalid=[invalid] aria-describedby=(by);,
                _ => select id=(key) name=(key) aria-invalid=[invalid] aria-describedby=(by) {
                    option value="" { "don't know" }
                    (options(field.asks, value))
                },
            }
            p.hint id=(format!("{key}-hint")) hidden[field.hint.is_empty()] { (field.hint) }
            p.wrong id=(format!("{key}-wrong")) role="alert" hidden[wrong.is_empty()] { (wrong.join(". ")) }
        }
    }
}

/// What may be chosen; a value that is not among it is kept as it was written.
fn options(asks: Asks, value: &str) -> Markup {
    let plain = |names: Vec<String>| names.into_iter().map(|name| (name.clone(), name)).collect();
    let all: Vec<(String, String)> = match asks {
        Asks::OneOf(choices) => {
            choices.iter().map(|(value, words)| ((*value).to_owned(), (*words).to_owned())).collect()
        }
        Asks::Kind => {
            DISHES.iter().map(|dish| (dish.name.clone(), format!("{}: {}", dish.name, wants(dish)))).collect()
        }
        Asks::Pot => {
            let table = vessels().ok();
            plain(table.iter().flat_map(|table| &table.vessel).map(|vessel| vessel.name.clone()).collect())
        }
        Asks::Food => plain(foods().into_iter().map(|food| food.name).collect()),
        Asks::Text | Asks::Hour | Asks::Number(_) => Vec::new(),
    };
    let known = value.is_empty() || all.iter().any(|(name, _)| name == value);
    html! {
        @if !known { option value=(value) selected { (value) } }
        @for (name, words) in &all { option value=(name) selected[name == value] { (words) } }
    }
}
