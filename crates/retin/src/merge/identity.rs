//! What a record is about: by this two versions' records are matched.
//!
//! | record | is known by |
//! | --- | --- |
//! | heading | its word and its name; `model` and `job` by the word alone |
//! | part, shelf entry, section, step | its names |
//! | rail, net, zone | its name |
//! | claim | its source, and the lead it is about |
//! | line of the plan | its selector, since two verbs for one part contradict; `socket`, `add` and `accept` also by the verb |
//! | target | its points, and whether it is taken unpowered, cold or warm |
//! | day of the log | its date, also where `next day` is typed |
//! | entry of the log | its time, initials and verb; entries that agree in all by their words |
//! | property of a heading | the property |
//! | anything else | its words |

use retin_syntax::span::Span;
use retin_syntax::tables::PlanVerb;
use retin_syntax::tree::{Claim, HeadingKind, LineId, Record, Selector, Tree, Word};
use retin_syntax::value::{self, Value};

/// What a record is about.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub(crate) struct Identity {
    /// Equal for records about one thing, among those that belong to one line.
    pub key: String,
    /// Whether two records with this key contradict each other where they differ.
    pub is_unique: bool,
    /// When it was, of days and entries of the log, in a form that sorts.
    pub when: Option<String>,
    /// Whether it belongs to a log, or is one: its lines are ordered in time.
    pub is_log: bool,
}

impl Identity {
    /// The identity of a comment on a line of its own.
    pub fn comment(typed: &str) -> Self {
        Identity {
            key: typed.to_owned(),
            ..Identity::default()
        }
    }

    fn unique(key: String) -> Self {
        Identity {
            key,
            is_unique: true,
            ..Identity::default()
        }
    }

    fn loose(key: String) -> Self {
        Identity {
            key,
            ..Identity::default()
        }
    }
}

/// The identity of every line, in order.
pub(super) fn of_all(text: &str, tree: &Tree) -> Vec<Identity> {
    let mut identities: Vec<Identity> = Vec::with_capacity(tree.lines.len());
    let mut day: Option<value::Date> = None;
    for (index, line) in tree.lines.iter().enumerate() {
        let id = LineId(index as u32);
        let is_in_log = line
            .parent
            .is_some_and(|parent| identities[parent.index()].is_log);
        let identity = if is_in_log {
            if let Record::Day { date } = &line.record {
                day = match date {
                    Some(date) => match value::read(date.span.of(text)) {
                        Ok(Value::Date(date)) => Some(date),
                        _ => None,
                    },
                    None => day.and_then(|day| day.0.tomorrow().ok().map(value::Date)),
                };
            }
            in_log(text, tree, id, day)
        } else {
            of(text, tree, id)
        };
        identities.push(identity);
    }
    identities
}

fn in_log(text: &str, tree: &Tree, id: LineId, day: Option<value::Date>) -> Identity {
    let line = tree.line(id);
    let words = words(text, tree, id);
    let word = |at: usize| words.get(at).copied().unwrap_or("");
    let identity = match &line.record {
        Record::Prose | Record::Unresolved => Identity::loose(words.join(" ")),
        Record::Day { .. } => match day {
            Some(day) => Identity {
                when: Some(day.to_string()),
                ..Identity::unique(day.to_string())
            },
            None => Identity::loose(words.join(" ")),
        },
        _ => {
            let time = match value::read(word(0)) {
                Ok(Value::Time(time)) => Some(time.to_string()),
                _ => None,
            };
            let done = match &line.record {
                Record::Entry(entry) => {
                    let by = entry.by.map_or("", |by| by.text(text));
                    format!("{by} {}", entry.verb.text(text))
                }
                _ => word(1).to_owned(),
            };
            let key = format!("{} {done}", time.as_deref().unwrap_or(word(0)));
            Identity {
                when: time,
                ..Identity::loose(key)
            }
        }
    };
    Identity {
        is_log: true,
        ..identity
    }
}

fn of(text: &str, tree: &Tree, id: LineId) -> Identity {
    let line = tree.line(id);
    let words = words(text, tree, id);
    let first = words.first().copied().unwrap_or("");
    let all = || words.join(" ");
    let named = |names: &[Word]| -> String {
        let names: Vec<&str> = names.iter().map(|name| name.text(text)).collect();
        names.join(", ")
    };
    match &line.record {
        Record::Use { path } => Identity::unique(format!("use {}", path.text(text))),
        Record::Heading(heading) => {
            let name = match (heading.kind, heading.name) {
                (HeadingKind::Model | HeadingKind::Job, _) | (_, None) => "",
                (_, Some(name)) => name.text(text),
            };
            Identity {
                is_log: heading.kind == HeadingKind::Log,
                ..Identity::unique(format!("{first} {name}"))
            }
        }
        Record::Setting { .. } => Identity::unique(format!("property {first}")),
        Record::Rail { name, .. } | Record::Net { name, .. } => {
            Identity::unique(format!("net {}", name.text(text)))
        }
        Record::Zone { name, .. } => Identity::unique(format!("zone {}", name.text(text))),
        Record::Changed { .. } | Record::Join { .. } | Record::Prose | Record::Caution { .. } => {
            Identity::loose(all())
        }
        Record::Group { kind, .. } => Identity::loose(format!("group {}", kind.text(text))),
        Record::Part { names, .. } => Identity::unique(format!("part {}", named(names))),
        Record::Claim { claim, .. } => {
            Identity::unique(format!("claim {first} {}", subject(text, claim)))
        }
        Record::GoBy { .. } => Identity::unique("go by".into()),
        Record::Section { name, .. } => Identity::unique(format!("section {}", name.text(text))),
        Record::Exception { copies, .. } => Identity::unique(format!("on {}", named(copies))),
        Record::Survey {
            names,
            source,
            claim,
        } => Identity::unique(format!(
            "found {} {source:?} {}",
            named(names),
            subject(text, claim)
        )),
        Record::Plan(plan) => {
            let verb = match plan.verb {
                PlanVerb::Socket => "socket",
                PlanVerb::Add => "add",
                _ => "plan",
            };
            Identity::unique(format!("{verb} {}", chosen(text, &plan.selector)))
        }
        Record::Accept { rule, selector, .. } => Identity::unique(format!(
            "accept {} on {}",
            rule.text(text),
            chosen(text, selector)
        )),
        Record::For { .. } => Identity::unique("for".into()),
        Record::Step { name, .. } => Identity::unique(format!("step {}", name.text(text))),
        Record::Target { point, to, .. } => {
            let mut key = format!("target {}", point.text(text));
            if let Some(to) = to {
                key.push_str(" to ");
                key.push_str(to.text(text));
            }
            for condition in ["unpowered", "cold", "warm"] {
                if words.contains(&condition) {
                    key.push(' ');
                    key.push_str(condition);
                }
            }
            Identity::unique(key)
        }
        Record::Broken => Identity::loose(format!("broken {first}")),
        _ => Identity::loose(all()),
    }
}

/// What a claim is about besides its part.
fn subject(text: &str, claim: &Claim) -> String {
    match claim {
        Claim::Facts { .. } => String::new(),
        Claim::Sounds { lead, .. } => lead.text(text).to_owned(),
        Claim::Reads { from, to, .. } => format!("{} to {}", from.text(text), to.text(text)),
    }
}

fn chosen(text: &str, selector: &Selector) -> String {
    let words: Vec<&str> = single(selector.span, text).collect();
    words.join(" ")
}

fn single(span: Span, text: &str) -> impl Iterator<Item = &str> {
    span.of(text).split_whitespace()
}

/// The words of a line, its comment left out.
fn words<'t>(text: &'t str, tree: &Tree, id: LineId) -> Vec<&'t str> {
    let line = tree.line(id);
    let (first, end) = line.lexemes;
    tree.lexemes[first as usize..end as usize]
        .iter()
        .filter(|(_, span)| span.end <= line.span.end)
        .map(|(_, span)| span.of(text))
        .collect()
}
