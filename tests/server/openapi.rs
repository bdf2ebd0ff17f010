//! The `OpenAPI` document says what is sent: every stored example fits its own description.

use std::collections::BTreeSet;

use holdfast::clock::fresh_id;
use serde_json::{Value, json};

use crate::harness::TestBoard;
use crate::harness::facts::{Fixture, fixtures, kinds, set_the_scene};

async fn document() -> Value {
    let board = TestBoard::start().await;
    let answer = board.stranger().gets("/openapi.json").await;
    assert_eq!(answer.status, 200);
    assert_eq!(answer.header("content-type"), "application/json");
    answer.json()
}

/// Why a value does not fit a schema. Knows the words this document uses, and fails on any other, so that it
/// cannot pass what it does not understand.
fn misfit(document: &Value, schema: &Value, value: &Value) -> Option<String> {
    let Some(words) = schema.as_object() else {
        return (schema != &json!(true)).then(|| format!("schema {schema}"));
    };
    let fits = |schema: &Value| misfit(document, schema, value).is_none();
    words.iter().find_map(|(word, rule)| {
        let ok = match word.as_str() {
            "description" | "format" | "default" | "title" | "discriminator" | "example" => true,
            "$ref" => {
                let path = rule.as_str().unwrap().strip_prefix('#').unwrap();
                let target = document
                    .pointer(path)
                    .unwrap_or_else(|| panic!("{path} is not there"));
                return misfit(document, target, value);
            }
            "allOf" => {
                return rule
                    .as_array()
                    .unwrap()
                    .iter()
                    .find_map(|one| misfit(document, one, value));
            }
            "oneOf" => {
                rule.as_array()
                    .unwrap()
                    .iter()
                    .filter(|one| fits(one))
                    .count()
                    == 1
            }
            "anyOf" => rule.as_array().unwrap().iter().any(fits),
            "type" => match rule {
                Value::Array(types) => types.iter().any(|one| is_of(value, one.as_str().unwrap())),
                one => is_of(value, one.as_str().unwrap()),
            },
            "enum" => rule.as_array().unwrap().contains(value),
            "const" => rule == value,
            "required" => {
                let has = |name: &Value| value.get(name.as_str().unwrap()).is_some();
                !value.is_object() || rule.as_array().unwrap().iter().all(has)
            }
            "properties" => {
                return value
                    .as_object()
                    .into_iter()
                    .flatten()
                    .find_map(|(name, inner)| {
                        let schema = rule.get(name)?;
                        misfit(document, schema, inner).map(|why| format!("{name}: {why}"))
                    });
            }
            "additionalProperties" => {
                let known = schema["properties"].as_object();
                let extra = |name: &String| !known.is_some_and(|known| known.contains_key(name));
                rule != &json!(false) || !value.as_object().is_some_and(|all| all.keys().any(extra))
            }
            "unevaluatedProperties" => {
                let known = properties(document, schema);
                let extra = |name: &String| !known.contains(name);
                rule != &json!(false) || !value.as_object().is_some_and(|all| all.keys().any(extra))
            }
            "items" => {
                return value
                    .as_array()
                    .into_iter()
                    .flatten()
                    .find_map(|one| misfit(document, rule, one));
            }
            "maxItems" => value
                .as_array()
                .is_none_or(|all| all.len() as u64 <= rule.as_u64().unwrap()),
            "minimum" => value
                .as_f64()
                .is_none_or(|number| number >= rule.as_f64().unwrap()),
            "maximum" => value
                .as_f64()
                .is_none_or(|number| number <= rule.as_f64().unwrap()),
            "maxLength" => value
                .as_str()
                .is_none_or(|text| text.chars().count() as u64 <= rule.as_u64().unwrap()),
            "minLength" => value
                .as_str()
                .is_none_or(|text| text.chars().count() as u64 >= rule.as_u64().unwrap()),
            unknown => panic!("this check does not know the word {unknown}: {schema}"),
        };
        (!ok).then(|| format!("{value} against {word}: {rule}"))
    })
}

fn is_of(value: &Value, kind: &str) -> bool {
    match kind {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        other => panic!("no such type: {other}"),
    }
}

fn schema<'a>(document: &'a Value, name: &str) -> &'a Value {
    document
        .pointer(&format!("/components/schemas/{name}"))
        .unwrap_or_else(|| panic!("no schema {name}"))
}

/// The variant of `Fact` for a kind.
fn variant<'a>(document: &'a Value, kind: &str) -> &'a Value {
    let all = schema(document, "Fact")["oneOf"].as_array().unwrap();
    all.iter()
        .find(|one| one.to_string().contains(&format!("\"{kind}\"")))
        .unwrap_or_else(|| panic!("{kind} is not in the document"))
}

/// Every property a schema names, through its parts.
fn properties(document: &Value, schema: &Value) -> BTreeSet<String> {
    let own = schema["properties"]
        .as_object()
        .into_iter()
        .flatten()
        .map(|(name, _)| name.clone());
    let parts = schema["allOf"].as_array().into_iter().flatten();
    let referred = schema["$ref"]
        .as_str()
        .and_then(|path| document.pointer(path.strip_prefix('#')?));
    own.chain(
        parts
            .chain(referred)
            .flat_map(|part| properties(document, part)),
    )
    .collect()
}

#[test]
fn the_check_can_fail() {
    let document = json!({ "n": { "type": "integer", "maximum": 3 } });
    let schema = json!({ "type": "object", "required": ["a"], "properties": {
        "a": { "$ref": "#/n" }, "b": { "oneOf": [{ "type": "null" }, { "enum": ["x"] }] } } });
    let fits = |value: Value| misfit(&document, &schema, &value).is_none();
    assert!(fits(json!({ "a": 3, "b": "x" })));
    for bad in [
        json!({}),
        json!([]),
        json!({ "a": 4 }),
        json!({ "a": "3" }),
        json!({ "a": 1, "b": "y" }),
    ] {
        assert!(!fits(bad.clone()), "{bad}");
    }
}

#[tokio::test]
async fn it_names_every_kind_and_every_endpoint_of_programs() {
    let document = document().await;
    assert!(document["openapi"].as_str().unwrap().starts_with("3."));
    for kind in kinds() {
        variant(&document, &kind);
    }
    for (path, method) in [
        ("/join", "post"),
        ("/session", "get"),
        ("/journal", "post"),
        ("/journal", "get"),
        ("/live/{views}", "get"),
    ] {
        assert!(
            document["paths"][path][method].is_object(),
            "{method} {path}"
        );
    }
}

#[tokio::test]
async fn every_reference_leads_somewhere() {
    fn walk(document: &Value, value: &Value) {
        if let Some(path) = value["$ref"].as_str() {
            assert!(
                document.pointer(path.strip_prefix('#').unwrap()).is_some(),
                "{path}"
            );
        }
        let inner = value.as_object().into_iter().flat_map(|all| all.values());
        inner
            .chain(value.as_array().into_iter().flatten())
            .for_each(|one| walk(document, one));
    }
    let document = document().await;
    walk(&document, &document);
}

#[tokio::test]
async fn every_example_fits_its_description() {
    let document = document().await;
    for one in fixtures() {
        let name = one.path.display();
        let why = misfit(
            &document,
            variant(&document, one.kind()),
            &one.entry["fact"],
        );
        assert_eq!(why, None, "{name}");
        assert_eq!(
            misfit(&document, schema(&document, "Entry"), &one.entry),
            None,
            "{name}"
        );
        let mut report = one.entry.clone();
        for field in [
            "seq",
            "claimed_at",
            "recorded_at",
            "by",
            "device",
            "role",
            "skill",
        ] {
            report.as_object_mut().unwrap().remove(field);
        }
        assert_eq!(
            misfit(&document, schema(&document, "Report"), &report),
            None,
            "{name}"
        );
    }
}

#[tokio::test]
async fn what_the_board_refuses_is_not_described_as_right() {
    let document = document().await;
    for one in fixtures() {
        let mut fact = one.entry["fact"].clone();
        fact["surprise"] = json!(1);
        let why = misfit(&document, variant(&document, one.kind()), &fact);
        assert!(
            why.is_some(),
            "{} describes unknown fields as right",
            one.kind()
        );
    }
}

#[tokio::test]
async fn the_full_examples_have_every_field_there_is() {
    let document = document().await;
    for one in fixtures().iter().filter(|one: &&Fixture| one.is_full()) {
        let shown: BTreeSet<String> = one.entry["fact"]
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect();
        assert_eq!(
            properties(&document, variant(&document, one.kind())),
            shown,
            "{}",
            one.kind()
        );
    }
}

#[tokio::test]
async fn answers_are_as_described() {
    let document = document().await;
    let board = TestBoard::start().await;
    let lead = board.lead("Ina").await;
    set_the_scene(&lead).await;
    let facts = [
        lead.fact(
            json!("incident"),
            json!({ "kind": "note.added/1", "text": "a" }),
        ),
        lead.fact(
            json!({ "casualty": fresh_id() }),
            json!({ "kind": "note.added/1", "text": "a" }),
        ),
        json!(7),
    ];
    let answer = lead
        .posts("/journal", &json!({ "facts": facts }))
        .await
        .json();
    assert_eq!(
        misfit(&document, schema(&document, "JournalAnswer"), &answer),
        None,
        "{answer}"
    );
    let session = lead.gets("/session").await.json();
    assert_eq!(
        misfit(&document, schema(&document, "Joined"), &session),
        None,
        "{session}"
    );
    let problem = lead.gets("/nowhere").await.json();
    assert_eq!(
        misfit(&document, schema(&document, "Problem"), &problem),
        None,
        "{problem}"
    );
    for line in lead.reads_journal(0).await {
        assert_eq!(
            misfit(&document, schema(&document, "Entry"), &line["entry"]),
            None,
            "{line}"
        );
    }
}
