//! What the program is built from: every package comes from crates.io under a licence that `deny.toml` allows, and none is
//! asked for in any version whatever.
//!
//! The licences are what the packages state in their manifests (SPDX expressions, read by the `spdx` crate); the list of
//! packages is cargo's own.

#![expect(clippy::unwrap_used, reason = "a list that cannot be read stops")]

use std::path::Path;
use std::process::Command;

use serde_json::Value;
use spdx::{Expression, ParseMode};

const CRATES_IO: &str = "registry+https://github.com/rust-lang/crates.io-index";

/// The allowed licences, from the one place where they stand.
fn allowed() -> Vec<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(root.join("deny.toml")).unwrap();
    let list = text.split("allow = [").nth(1).unwrap();
    let list = list.split(']').next().unwrap();
    list.split('"')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect()
}

fn packages() -> Vec<Value> {
    let output = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--format-version",
            "1",
            "--locked",
            "--all-features",
        ])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let all: Value = serde_json::from_slice(&output.stdout).unwrap();
    all["packages"].as_array().unwrap().clone()
}

/// Whether the allowed ones satisfy an expression: "MIT OR GPL-3.0", "(MIT OR Apache-2.0) AND Unicode-3.0".
fn is_allowed(expression: &str, allowed: &[String]) -> bool {
    Expression::parse_mode(expression, ParseMode::LAX)
        .is_ok_and(|read| read.evaluate(|wanted| allowed.contains(&wanted.to_string())))
}

#[test]
fn every_package_has_a_licence_that_is_allowed_and_comes_from_the_registry() {
    let allowed = allowed();
    let packages = packages();
    let others: Vec<&Value> = packages
        .iter()
        .filter(|one| !one["source"].is_null())
        .collect();
    assert!(
        others.len() > 100,
        "cargo names the packages: {}",
        others.len()
    );
    let mut wrong = Vec::new();
    for one in &others {
        let name = format!("{} {}", one["name"], one["version"]);
        if one["source"] != CRATES_IO {
            wrong.push(format!("{name} comes from {}", one["source"]));
        }
        let licence = one["license"].as_str().unwrap_or("no licence");
        if !is_allowed(licence, &allowed) {
            wrong.push(format!("{name}: {licence}"));
        }
    }
    let own = packages.iter().find(|one| one["source"].is_null()).unwrap();
    for asked in own["dependencies"].as_array().unwrap() {
        if asked["req"] == "*" {
            wrong.push(format!("{} is asked for in any version", asked["name"]));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn what_is_not_allowed_is_found() {
    let allowed = allowed();
    for fine in [
        "MIT",
        "MIT OR GPL-3.0",
        "MIT/Apache-2.0",
        "(MIT OR Apache-2.0) AND Unicode-3.0",
    ] {
        assert!(is_allowed(fine, &allowed), "{fine}");
    }
    for wrong in [
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "no licence",
        "AGPL-3.0-or-later",
    ] {
        assert!(!is_allowed(wrong, &allowed), "{wrong}");
    }
}
