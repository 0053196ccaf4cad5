//! The description of an oven by field, as JSON: for scripts what the form is for hands.

use crate::app::{App, Who};
use crate::error::WebError;
use crate::oven_preview::{FieldSaid, Preview};
use crate::pages::first::begin;
use crate::pages::head_of;
use crate::pages::oven::correct;
use crate::pages::shell::Place;
use axum::Json;
use axum::extract::rejection::JsonRejection;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use ovenfall_record::oven_file::fields::{LayerFields, OvenFieldProblem, OvenFields, PARTS, read_fields};
use ovenfall_record::oven_file::read_oven;
use ovenfall_store::{OvenId, StoreError};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// An oven by field. What is missing, null or empty is not known; a part with an empty list is not there.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OvenFieldsJson {
    /// Key of the oven file: a text, a number, or yes and no as true and false.
    #[serde(default)]
    values: BTreeMap<String, Value>,
    /// Layers from the hot face on, for `dome`, `floor` and `door`.
    #[serde(default)]
    layers: BTreeMap<String, Option<Vec<LayerJson>>>,
}

/// A layer.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct LayerJson {
    #[serde(default)]
    material: Value,
    #[serde(default)]
    thickness: Value,
}

/// A value as it would be typed.
fn typed(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

impl From<OvenFieldsJson> for OvenFields {
    fn from(sent: OvenFieldsJson) -> Self {
        let layer =
            |layer: &LayerJson| LayerFields { material: typed(&layer.material), thickness: typed(&layer.thickness) };
        let layers = sent.layers.into_iter().filter_map(|(part, rows)| Some((part, rows?)));
        Self {
            values: sent.values.iter().map(|(key, value)| (key.clone(), typed(value))).collect(),
            layers: layers.map(|(part, rows)| (part, rows.iter().map(layer).collect())).collect(),
        }
    }
}

impl From<OvenFields> for OvenFieldsJson {
    fn from(fields: OvenFields) -> Self {
        let layer = |row: LayerFields| LayerJson {
            material: Value::String(row.material),
            thickness: Value::String(row.thickness),
        };
        let rows = |rows: Vec<LayerFields>| Some(rows.into_iter().map(layer).collect());
        Self {
            values: fields.values.into_iter().map(|(key, value)| (key, Value::String(value))).collect(),
            layers: fields.layers.into_iter().map(|(part, layers)| (part, rows(layers))).collect(),
        }
    }
}

/// Fields as they are sent: by name, never as a list in some order.
type Sent = Result<Json<Map<String, Value>>, JsonRejection>;

fn read(sent: Sent) -> Result<(OvenFields, crate::oven_preview::Read), WebError> {
    let Json(sent) = sent?;
    let unreadable = |what: String| WebError::Unreadable { status: StatusCode::UNPROCESSABLE_ENTITY, what };
    let sent: OvenFieldsJson =
        serde_json::from_value(Value::Object(sent)).map_err(|error| unreadable(error.to_string()))?;
    let stray = sent.layers.keys().find(|part| !PARTS.contains(&part.as_str()));
    if let Some(part) = stray {
        return Err(unreadable(format!("layers of `{part}`: there are those of dome, floor and door")));
    }
    let fields = OvenFields::from(sent);
    let read = read_fields("the oven", &fields);
    Ok((fields, read))
}

fn refused(problems: &[OvenFieldProblem]) -> Response {
    let problems: Vec<FieldSaid> = problems.iter().map(FieldSaid::from).collect();
    let body = json!({ "error": "fields of the oven cannot be used", "problems": problems });
    (StatusCode::UNPROCESSABLE_ENTITY, Json(body)).into_response()
}

/// `POST /api/ovens/preview`: an oven as its fields say it, drawn and appraised; nothing is kept.
///
/// # Errors
/// When the request cannot be read.
pub async fn preview(State(app): State<App>, Who(_): Who, sent: Sent) -> Result<Json<Preview>, WebError> {
    let (fields, read) = read(sent)?;
    app.on_disk(move |_| Ok(Preview::of(&fields, &read))).await.map(Json)
}

/// `POST /api/ovens`: a new oven; its id is made of its name.
///
/// # Errors
/// Every problem at its field, or what the store says.
pub async fn create(State(app): State<App>, Who(who): Who, sent: Sent) -> Result<Response, WebError> {
    match read(sent)?.1 {
        Ok(file) => {
            let oven = begin(&app, &file, &who).await?;
            let body = json!({ "oven": oven.as_str(), "to": Place::Now.address(&oven) });
            Ok((StatusCode::CREATED, Json(body)).into_response())
        }
        Err(problems) => Ok(refused(&problems)),
    }
}

/// `GET /api/ovens/{oven}/fields`.
///
/// # Errors
/// What the store says.
pub async fn fields(
    State(app): State<App>,
    Path(oven): Path<String>,
    Who(_): Who,
) -> Result<Json<OvenFieldsJson>, WebError> {
    let oven = OvenId::new(&oven)?;
    let text = app.on_disk(move |store| Ok(store.oven_text(&oven)?)).await?;
    let file = read_oven("oven.toml", &text).map_err(StoreError::Problems)?;
    Ok(Json(OvenFields::of(&file).into()))
}

/// `PUT /api/ovens/{oven}/fields`: an oven that is there as corrected; what it was before is kept.
///
/// # Errors
/// Every problem at its field, or what the store says.
pub async fn put_fields(
    State(app): State<App>,
    Path(oven): Path<String>,
    Who(who): Who,
    sent: Sent,
) -> Result<Response, WebError> {
    let oven = OvenId::new(&oven)?;
    let head = head_of(&app, &oven).await?;
    match read(sent)?.1 {
        Ok(file) => {
            correct(&app, &oven, &head, &file, &who).await?;
            let to = format!("{}?kept=1", Place::Oven.address(&oven));
            Ok(Json(json!({ "oven": oven.as_str(), "to": to })).into_response())
        }
        Err(problems) => Ok(refused(&problems)),
    }
}
