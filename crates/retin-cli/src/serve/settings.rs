//! What a user may set.

use retin::stage::Stage;
use serde_json::Value;

/// The name of the settings among those of an editor.
pub const SECTION: &str = "retin";

/// What a user may set.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Settings {
    /// Whether hints are written between the words.
    pub hints: bool,
    /// Whether counts are written above lines.
    pub lenses: bool,
    /// The stage to judge for; none for the one that the log shows.
    pub stage: Option<Stage>,
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            hints: true,
            lenses: true,
            stage: None,
        }
    }
}

/// Reads settings, with a sentence for each that cannot be read; what is not set
/// is as if nothing were.
pub fn read(value: &Value) -> (Settings, Vec<String>) {
    // Some editors send all settings, others only those of the section.
    let value = value.get(SECTION).unwrap_or(value);
    let mut settings = Settings::default();
    let mut wrong = Vec::new();
    for (name, switch) in [
        ("hints", &mut settings.hints),
        ("lenses", &mut settings.lenses),
    ] {
        match value.get(name) {
            None | Some(Value::Null) => {}
            Some(Value::Bool(set)) => *switch = *set,
            Some(other) => wrong.push(format!("{SECTION}.{name} is true or false, not {other}")),
        }
    }
    match value.get("stage") {
        None | Some(Value::Null) => {}
        Some(Value::String(word)) if word.is_empty() => {}
        Some(Value::String(word)) if Stage::named(word).is_some() => {
            settings.stage = Stage::named(word);
        }
        Some(other) => {
            let words: Vec<&str> = Stage::ALL.iter().map(|stage| stage.word()).collect();
            let words = words.join(", ");
            wrong.push(format!("{SECTION}.stage is one of {words}, not {other}"));
        }
    }
    (settings, wrong)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_is_set_is_taken_in_either_form() {
        let wanted = Settings {
            hints: false,
            lenses: true,
            stage: Some(Stage::Power),
        };
        let own = json!({"hints": false, "stage": "power", "path": "/opt/retin"});
        assert_eq!(read(&own), (wanted.clone(), Vec::new()));
        assert_eq!(read(&json!({"retin": own})), (wanted, Vec::new()));
        for nothing in [json!(null), json!({}), json!([]), json!({"stage": ""})] {
            assert_eq!(read(&nothing), (Settings::default(), Vec::new()));
        }
    }

    #[test]
    fn what_cannot_be_read_is_told() {
        let (settings, wrong) = read(&json!({"hints": "no", "stage": "lunch"}));
        assert_eq!(settings, Settings::default());
        assert_eq!(
            wrong,
            [
                "retin.hints is true or false, not \"no\"",
                "retin.stage is one of list, order, strip, fit, power, chips, close, not \"lunch\"",
            ]
        );
    }
}
