//! Files of older versions are answered as they were: what a program before
//! version 4's switches said of them, key by key.

use serde_json::Value;

use super::fine;

/// `report --json --sound Solo` of each kept demo by the program that knew no
/// switches with positions yet (its commit 0b592fb); what is told of the signal.
const BEFORE: &str = include_str!("../../../../../tests/files/reports-by-the-program-before-switches.json");

/// Whether all of the first is in the second; new keys may stand beside. Where
/// not, the place is told.
fn within(old: &Value, new: &Value, place: &str) -> Result<(), String> {
    match (old, new) {
        (Value::Object(old), Value::Object(new)) => old.iter().try_for_each(|(key, value)| {
            let there = new.get(key).ok_or_else(|| format!("{place}.{key} is gone"))?;
            within(value, there, &format!("{place}.{key}"))
        }),
        (Value::Array(old), Value::Array(new)) if old.len() == new.len() => {
            old.iter().zip(new).enumerate().try_for_each(|(at, (a, b))| within(a, b, &format!("{place}[{at}]")))
        }
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            // Another machine's logarithms may differ in their last bits.
            if (a - b).abs() <= 1e-9 * a.abs().max(1.0) { Ok(()) } else { Err(format!("{place}: {a} became {b}")) }
        }
        (old, new) if old == new => Ok(()),
        (old, new) => Err(format!("{place}: {old} became {new}")),
    }
}

#[test]
fn kept_files_are_answered_as_before() {
    let before: Value = serde_json::from_str(BEFORE).unwrap();
    let mut compared = 0;
    for (name, variants) in before.as_object().unwrap() {
        let file = format!("{}/../../tests/files/{name}.ron", env!("CARGO_MANIFEST_DIR"));
        let now: Value = serde_json::from_str(&fine(&["report", &file, "--json", "--sound", "Solo"])).unwrap();
        within(variants, &now["variants"], name).unwrap();
        compared += variants.as_array().unwrap().len();
    }
    assert_eq!(compared, 6, "two variants of each of three versions");
    // It can fail: another sound is another answer.
    let file = format!("{}/../../tests/files/demo-v3.ron", env!("CARGO_MANIFEST_DIR"));
    let other: Value = serde_json::from_str(&fine(&["report", &file, "--json", "--sound", "Tune"])).unwrap();
    assert!(within(&before["demo-v3"], &other["variants"], "other").is_err());
}
