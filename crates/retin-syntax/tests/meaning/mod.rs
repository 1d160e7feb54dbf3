//! What a file says, without where and how it is spelled.

use retin_syntax::tables::properties::{FUSE_SPEEDS, MAINS_CLASSES};
use retin_syntax::tables::{Kind, Property};
use retin_syntax::token::Token;
use retin_syntax::tree::{Claim, Fact, Line, Pin, Record, Selector, SelectorChoice, Tree, Word};
use retin_syntax::value;

/// One line: the line it belongs to, and what it says.
pub type Said = (Option<u32>, String);

/// What every line says.
pub fn meaning(text: &str, tree: &Tree) -> Vec<Said> {
    let teller = Teller { text, tree };
    tree.lines
        .iter()
        .map(|line| (line.parent.map(|parent| parent.0), teller.line(line)))
        .collect()
}

/// The comments of a file, without blanks at their ends.
pub fn comments<'t>(text: &'t str, tree: &Tree) -> Vec<&'t str> {
    tree.lexemes
        .iter()
        .filter(|lexeme| lexeme.0 == Token::Comment)
        .map(|lexeme| lexeme.1.of(text).trim_end_matches([' ', '\t']))
        .collect()
}

/// Sorts what sets out to be a value and is none behind all properties.
const UNCLEAR: usize = usize::MAX - 1;
/// Sorts words that are no values last.
const WORD: usize = usize::MAX;

struct Teller<'t> {
    text: &'t str,
    tree: &'t Tree,
}

impl Teller<'_> {
    fn word(&self, word: &Word) -> String {
        word.span.of(self.text).to_owned()
    }

    fn words(&self, words: &[Word]) -> Vec<String> {
        words.iter().map(|word| self.word(word)).collect()
    }

    /// A value by what it is; a word by its letters.
    fn value(&self, text: &str) -> String {
        match value::read(text) {
            Ok(value) => format!("{value:?}"),
            Err(_) => text.split_whitespace().collect::<Vec<_>>().join(" "),
        }
    }

    fn value_word(&self, word: &Word) -> String {
        if word.token == Token::Text {
            return self.word(word);
        }
        self.value(word.span.of(self.text))
    }

    fn fact(&self, fact: &Fact, kind: Option<Kind>) -> (usize, String) {
        let texts = self.words(&fact.words);
        // Codes and names are compared as they are spelled.
        let as_typed = matches!(
            fact.property,
            Some(
                Property::Code
                    | Property::Device
                    | Property::Package
                    | Property::Leads
                    | Property::Model
                    | Property::Bin
                    | Property::Zone
                    | Property::Per
                    | Property::By
                    | Property::Matched
                    | Property::Orientation
                    | Property::Order
                    | Property::Expect
                    | Property::MainsPlace
                    | Property::Copper
                    | Property::Sides
            )
        );
        let said: Vec<String> = if fact.property == Some(Property::Size) {
            vec![self.value(&texts.join("x"))]
        } else if as_typed {
            texts
        } else {
            fact.words
                .iter()
                .map(|word| self.value_word(word))
                .collect()
        };
        let order = match (fact.property, fact.words.first()) {
            (Some(property), _) => property.order(),
            (None, Some(word)) if word.token != Token::Text => {
                match value::read(word.span.of(self.text)) {
                    Ok(value) => {
                        Property::of_bare_value(&value, kind).map_or(UNCLEAR, Property::order)
                    }
                    Err(error) if error.kind.is_just_a_word() => {
                        let word = self.word(word);
                        match kind.map(Kind::token) {
                            Some(Token::Fuse) if FUSE_SPEEDS.contains(&word.as_str()) => {
                                Property::FuseSpeed.order()
                            }
                            Some(Token::MainsCapacitor)
                                if MAINS_CLASSES.contains(&word.as_str()) =>
                            {
                                Property::MainsClass.order()
                            }
                            _ => WORD,
                        }
                    }
                    Err(_) => UNCLEAR,
                }
            }
            _ => WORD,
        };
        (order, format!("{:?} {said:?}", fact.property))
    }

    /// Facts of one property keep their order, and so do words that have none;
    /// what cannot be understood has no order.
    fn facts(&self, facts: &[Fact], kind: Option<Kind>) -> Vec<(usize, String)> {
        let mut said: Vec<_> = facts.iter().map(|fact| self.fact(fact, kind)).collect();
        said.sort_by(|one, other| {
            one.0.cmp(&other.0).then_with(|| match one.0 {
                UNCLEAR => one.1.cmp(&other.1),
                _ => std::cmp::Ordering::Equal,
            })
        });
        said
    }

    fn pins(&self, pins: &[Pin]) -> Vec<(String, String)> {
        pins.iter()
            .map(|pin| (self.word(&pin.lead), self.word(&pin.net)))
            .collect()
    }

    fn selector(&self, selector: &Selector) -> String {
        let choice = match &selector.choice {
            SelectorChoice::Names(names) => format!("{:?}", self.words(names)),
            SelectorChoice::Every { kinds, facts } => {
                format!(
                    "every {:?} {:?}",
                    self.words(kinds),
                    self.facts(facts, None)
                )
            }
            SelectorChoice::Everything => "everything".into(),
        };
        let (on, except) = (self.words(&selector.on), self.words(&selector.except));
        format!("{choice} on {on:?} except {except:?}")
    }

    fn claim(&self, claim: &Claim, kind: Option<Kind>) -> String {
        match claim {
            Claim::Facts { facts, pins } => {
                format!("{:?} {:?}", self.facts(facts, kind), self.pins(pins))
            }
            Claim::Sounds { lead, net } => format!("sounds {:?}", self.words(&[*lead, *net])),
            Claim::Reads { from, to, value } => format!(
                "reads {:?} {}",
                self.words(&[*from, *to]),
                self.value_word(value)
            ),
        }
    }

    fn kind<'l>(&'l self, mut line: &'l Line) -> Option<Kind> {
        loop {
            match &line.record {
                Record::Group { kind, .. }
                | Record::Part {
                    kind: Some(kind), ..
                } => return Kind::of(kind.token),
                _ => line = self.tree.line(line.parent?),
            }
        }
    }

    fn line(&self, line: &Line) -> String {
        let kind = self.kind(line);
        match &line.record {
            Record::Use { path } => format!("use {}", self.word(path)),
            Record::Heading(heading) => format!(
                "{:?} {:?} {:?} {:?} {:?}",
                heading.kind,
                heading.name.map(|word| self.word(&word)),
                heading.title.map(|word| self.word(&word)),
                self.words(&heading.copies),
                heading.joints.map(|word| self.value_word(&word)),
            ),
            Record::Setting { facts } => format!("setting {:?}", self.facts(facts, None)),
            Record::Rail { name, facts } => {
                format!("rail {} {:?}", self.word(name), self.facts(facts, None))
            }
            Record::Net { name, title } => {
                format!("net {} {:?}", self.word(name), title.map(|t| self.word(&t)))
            }
            Record::Zone { name, corners } => format!(
                "zone {} {:?}",
                self.word(name),
                corners.map(|corner| self.value_word(&corner))
            ),
            Record::Changed {
                revision,
                names,
                text,
            } => format!(
                "changed {} {:?} {}",
                self.value_word(revision),
                self.words(names),
                self.word(text)
            ),
            Record::Group { kind: word, facts } => {
                format!("group {} {:?}", self.word(word), self.facts(facts, kind))
            }
            Record::Part {
                names,
                kind: word,
                facts,
                pins,
            } => format!(
                "part {:?} {:?} {:?} {:?}",
                self.words(names),
                word.map(|word| self.word(&word)),
                self.facts(facts, kind),
                self.pins(pins)
            ),
            Record::Claim { source, claim } => {
                format!("claim {source:?} {}", self.claim(claim, kind))
            }
            Record::GoBy { source } => format!("go by {source:?}"),
            Record::Section { name, facts, pins } => format!(
                "section {} {:?} {:?}",
                self.word(name),
                self.facts(facts, kind),
                self.pins(pins)
            ),
            Record::Exception { copies, facts } => format!(
                "exception {:?} {:?}",
                self.words(copies),
                self.facts(facts, kind)
            ),
            Record::Join { from, to } => {
                format!("join {:?} {:?}", self.words(from), self.words(to))
            }
            Record::Survey {
                names,
                source,
                claim,
            } => format!(
                "survey {:?} {source:?} {}",
                self.words(names),
                self.claim(claim, kind)
            ),
            Record::Plan(plan) => format!(
                "plan {:?} {} from {:?} with {:?} {:?} {:?}",
                plan.verb,
                self.selector(&plan.selector),
                self.words(&plan.from),
                plan.with
                    .iter()
                    .map(|part| self.facts(&part.facts, None))
                    .collect::<Vec<_>>(),
                self.facts(&plan.facts, None),
                self.pins(&plan.pins)
            ),
            Record::Accept {
                rule,
                selector,
                because,
            } => format!(
                "accept {} {} {:?}",
                self.word(rule),
                self.selector(selector),
                because.map(|word| self.word(&word))
            ),
            Record::For { values } => {
                let words = self.tree.lexemes[line.lexemes.0 as usize..line.lexemes.1 as usize]
                    .iter()
                    .filter(|lexeme| lexeme.1.start >= values.start && lexeme.1.end <= values.end);
                let mut said: Vec<String> = Vec::new();
                for (token, span) in words {
                    let word = span.of(self.text);
                    match said.last_mut() {
                        Some(last) if *token == Token::Unit => last.push_str(word),
                        _ => said.push(word.to_owned()),
                    }
                }
                let said: Vec<_> = said
                    .iter()
                    .flat_map(|word| {
                        match value::read(word) {
                            Ok(value) => value.to_string(),
                            Err(_) => word.clone(),
                        }
                        .split(' ')
                        .map(str::to_owned)
                        .collect::<Vec<_>>()
                    })
                    .collect();
                format!("for {said:?}")
            }
            Record::Step {
                name,
                verb,
                selector,
                with,
                after,
                facts,
            } => format!(
                "step {} {verb:?} {:?} {:?} {:?} {:?}",
                self.word(name),
                selector.as_ref().map(|selector| self.selector(selector)),
                self.words(with),
                self.words(after),
                self.facts(facts, None)
            ),
            Record::Caution { text } => format!("caution {}", self.word(text)),
            Record::Target { point, to, facts } => format!(
                "target {} {:?} {:?}",
                self.word(point),
                to.map(|word| self.word(&word)),
                self.facts(facts, None)
            ),
            Record::Day { date } => {
                format!("day {:?}", date.map(|word| self.value_word(&word)))
            }
            Record::Entry(entry) => format!(
                "entry {:?} {:?} {} {:?} {:?} {:?} {:?} {:?} {:?} {:?} {:?} {:?}",
                entry.time.map(|word| self.value_word(&word)),
                entry.by.map(|word| self.word(&word)),
                self.word(&entry.verb),
                entry.mends.as_ref().map(|mends| (
                    mends
                        .when
                        .iter()
                        .map(|word| self.value_word(word))
                        .collect::<Vec<_>>(),
                    mends.verb.map(|word| self.word(&word))
                )),
                self.words(&entry.scope),
                entry
                    .selector
                    .as_ref()
                    .map(|selector| self.selector(selector)),
                entry
                    .items
                    .iter()
                    .map(|item| (
                        item.count.map(|word| self.value_word(&word)),
                        self.word(&item.name)
                    ))
                    .collect::<Vec<_>>(),
                entry
                    .to
                    .iter()
                    .map(|word| self.value_word(word))
                    .collect::<Vec<_>>(),
                self.words(&entry.phrase),
                entry
                    .with
                    .iter()
                    .map(|part| self.facts(&part.facts, None))
                    .collect::<Vec<_>>(),
                entry
                    .instead
                    .as_ref()
                    .map(|part| self.facts(&part.facts, None)),
                self.facts(&entry.facts, None)
            ),
            Record::Prose => {
                let prose = line.span.of(self.text);
                format!("prose {}", prose.trim_end_matches([' ', '\t']))
            }
            Record::Broken => format!("broken {}", line.span.of(self.text)),
        }
    }
}
