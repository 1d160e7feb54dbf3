//! What every rule says in the examples of its page, to be read aloud.

#[path = "support/examples.rs"]
mod examples;

use examples::examples;
use retin::check::check;
use retin::meaning::Case;
use retin::rules::RULES;
use retin::sources::{Origin, SourceFile, Sources};
use std::fmt::Write as _;
use std::sync::Arc;

/// The line a place is on, without its comment.
fn line(sources: &Sources, origin: Origin) -> String {
    let text = &sources.file(origin.file).text;
    let start = text[..origin.span.start as usize]
        .rfind('\n')
        .map_or(0, |at| at + 1);
    let line = text[start..].lines().next().unwrap_or_default();
    line.split(" # finds")
        .next()
        .unwrap_or_default()
        .trim()
        .to_owned()
}

#[test]
fn messages_read_as_a_colleague_would_say_them() {
    for rule in RULES {
        let mut text = String::new();
        for (_, example) in examples(rule.page) {
            let mut sources = Sources::new();
            let root = sources.add(Arc::new(SourceFile::new("example.retin".into(), example)));
            let case = Case::build(&sources, root);
            for finding in check(&case)
                .findings
                .iter()
                .filter(|finding| finding.rule == rule.name)
            {
                let fault = &finding.fault;
                let kind = if fault.is_question { "asked" } else { "found" };
                let _ = writeln!(text, "{kind} at: {}", line(&sources, fault.origin));
                let _ = writeln!(
                    text,
                    "    {};\n    {};\n    {}.",
                    fault.fact, fault.consequence, fault.remedy
                );
                for label in &fault.related {
                    let _ = writeln!(
                        text,
                        "    see: {} ({})",
                        line(&sources, label.origin),
                        label.text
                    );
                }
                if let Some(values) = &fault.values {
                    let _ = writeln!(text, "    values: {values}");
                }
                if let Some(fix) = &fault.fix {
                    let _ = writeln!(text, "    edit: {}", fix.title);
                }
                text.push('\n');
            }
        }
        insta::with_settings!({ description => rule.summary, prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("messages_{}", rule.name.replace('-', "_")), text);
        });
    }
}
