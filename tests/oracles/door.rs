//! The doors against their own description: requests made from `/openapi.json` by schemathesis (MIT; property-based testing
//! of `OpenAPI`, <https://schemathesis.readthedocs.io>), sent to the real program by a lead's device.
//!
//! A stream answers for ever and is left out; it has stories of its own.

use std::path::PathBuf;
use std::process::Command;

use crate::phone::Phone;
use crate::program::{Program, WORDS, panicked};

/// Requests made for each operation and phase; a thousand with `HOLDFAST_LONG=1`.
const EACH: &str = "40";

#[tokio::test(flavor = "multi_thread")]
async fn every_answer_is_one_that_the_description_names() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data");
    let program = Program::start(&data, &["--measuring"]);
    let mut lead = Phone::join(program.board, 0, WORDS).await.unwrap();
    lead.registers().await.unwrap();
    let board = format!("http://{}", program.board);
    let each = std::env::var("HOLDFAST_LONG").map_or(EACH, |_| "1000");
    let tool = PathBuf::from(crate::python()).with_file_name("schemathesis");
    let checks = "not_a_server_error,status_code_conformance,content_type_conformance,response_schema_conformance";
    let output = Command::new(&tool)
        .args(["run", &format!("{board}/openapi.json")])
        .args(["--checks", checks, "--phases", "examples,coverage,fuzzing"])
        .args(["--exclude-path", "/live/{views}", "--max-examples", each])
        .args(["--seed", "7", "--workers", "2", "--request-timeout", "10"])
        .args(["--warnings", "off", "--no-color"])
        .args(["-H", &format!("Cookie: {}", lead.cookie)])
        .args(["-H", &format!("Origin: {board}"), "-H", "X-Holdfast: 1"])
        .current_dir(folder.path())
        .output()
        .unwrap_or_else(|error| panic!("{}: {error}", tool.display()));
    let said = String::from_utf8_lossy(&output.stdout);
    println!("{said}");
    assert!(output.status.success(), "an answer is not as described");
    assert!(!panicked(&data), "something in the program panicked");
    assert!(program.stop().1, "it stops well");
}
