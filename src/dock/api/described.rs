//! What the API serves, and its description: an OpenAPI document made of the
//! routes and of the types they take and answer with.

use schemars::generate::{SchemaGenerator, SchemaSettings};
use schemars::{JsonSchema, Schema};
use serde_json::{Map, Value, json};

use super::super::answer::Refused;
use super::super::app::Route;

const ABOUT: &str = "The acts of the dock page for other programs on the same machine or network. Same rules: a known Host, the session's cookie (after the PIN where there is one), and for every change the session's token in the header X-Trayful-Token. Weights ending in _g are whole grams.";

/// What any request may be answered with, and what a change may be besides.
const REFUSED: [u16; 5] = [401, 404, 421, 422, 503];
const CHANGE_REFUSED: [u16; 4] = [403, 408, 409, 413];

pub(super) type Form = fn(&mut SchemaGenerator) -> Schema;

pub(super) fn form<T: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    generator.subschema_for::<T>()
}

/// A path of the API with what it takes and answers.
pub(super) struct Endpoint {
    pub(super) route: Route,
    pub(super) summary: &'static str,
    pub(super) takes: Option<Form>,
    pub(super) answers: Form,
}

impl Endpoint {
    fn operation(&self, taken: &mut SchemaGenerator, answered: &mut SchemaGenerator) -> Value {
        let answer = json!({"description": "Done", "content": content((self.answers)(answered))});
        let is_change = self.route.0 == "post";
        let more: &[u16] = if is_change { &CHANGE_REFUSED } else { &[] };
        let refused = REFUSED.iter().chain(more);
        let mut responses: Map<String, Value> = refused
            .map(|status| (status.to_string(), link("responses/Refused")))
            .collect();
        responses.insert("200".to_owned(), answer);
        let mut operation = json!({"summary": self.summary, "responses": responses});
        let takes = self.takes.map(|takes| takes(taken));
        if is_change {
            operation["parameters"] = json!([link("parameters/Token")]);
            operation["requestBody"] = json!({"required": true, "content": content(takes)});
        } else if let Some(fields) = takes.and_then(|takes| query(&takes, taken)) {
            operation["parameters"] = fields;
        }
        operation
    }
}

fn link(to: &str) -> Value {
    json!({"$ref": format!("#/components/{to}")})
}

fn content(schema: impl serde::Serialize) -> Value {
    json!({"application/json": {"schema": schema}})
}

/// The fields of an object as parameters of a query.
fn query(takes: &Schema, taken: &SchemaGenerator) -> Option<Value> {
    let path = takes.get("$ref").and_then(Value::as_str)?;
    let of = taken.definitions().get(path.rsplit('/').next()?)?;
    let fields = of.get("properties")?.as_object()?.iter();
    let parameter = |(name, schema)| json!({"name": name, "in": "query", "schema": schema});
    Some(fields.map(parameter).collect())
}

pub(super) fn description(endpoints: &[Endpoint]) -> Value {
    let settings = SchemaSettings::draft2020_12().with(|settings| {
        settings.definitions_path = "/components/schemas".into();
    });
    let mut taken = settings.clone().for_deserialize().into_generator();
    let mut answered = settings.for_serialize().into_generator();
    let mut paths = json!({});
    for endpoint in endpoints {
        let (method, path, _) = endpoint.route;
        paths[path][method] = endpoint.operation(&mut taken, &mut answered);
    }
    let refused = form::<Refused>(&mut answered);
    let mut schemas = taken.take_definitions(true);
    schemas.extend(answered.take_definitions(true));
    json!({
        "openapi": "3.1.0",
        "info": {"title": "trayful dock", "version": "1", "description": ABOUT},
        "paths": paths,
        "components": {
            "parameters": {"Token": {
                "name": "X-Trayful-Token", "in": "header", "required": true, "schema": {"type": "string"},
            }},
            "responses": {"Refused": {"description": "Nothing was recorded", "content": content(refused)}},
            "schemas": schemas,
        },
    })
}
