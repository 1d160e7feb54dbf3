//! Reads EBNF as W3C's XML 1.0 writes it, and matches short texts against it.

use std::collections::{BTreeMap, BTreeSet};

/// The right side of a rule.
#[derive(Clone, PartialEq, Debug)]
pub enum Expression {
    /// A rule or a token.
    Name(String),
    /// Characters as they stand.
    Literal(String),
    /// One character of these ranges.
    Class(Vec<(char, char)>),
    /// One after the other.
    Sequence(Vec<Expression>),
    /// One of several.
    Choice(Vec<Expression>),
    /// `least` or more, or at most one.
    Repeat {
        /// What is repeated.
        inner: Box<Expression>,
        /// How often at least.
        least: usize,
        /// Whether more than one may stand.
        is_many: bool,
    },
    /// The first, unless it is the second.
    Without(Box<Expression>, Box<Expression>),
}

/// Every rule by its name.
#[derive(Debug)]
pub struct Grammar {
    rules: BTreeMap<String, Expression>,
}

impl Grammar {
    /// Reads a grammar.
    ///
    /// # Panics
    /// When the text is no EBNF.
    pub fn read(text: &str) -> Grammar {
        let tokens = tokens(text);
        let mut rules = BTreeMap::new();
        let starts: Vec<usize> = (1..tokens.len())
            .filter(|&at| tokens[at] == "::=")
            .map(|at| at - 1)
            .collect();
        for (index, &start) in starts.iter().enumerate() {
            let end = starts.get(index + 1).copied().unwrap_or(tokens.len());
            let mut reader = Reader {
                tokens: &tokens[start + 2..end],
                at: 0,
            };
            let expression = reader.choice();
            assert_eq!(
                reader.at,
                reader.tokens.len(),
                "the rule {} is not read to its end",
                tokens[start]
            );
            let before = rules.insert(tokens[start].clone(), expression);
            assert!(before.is_none(), "{} is defined twice", tokens[start]);
        }
        Grammar { rules }
    }

    /// The right side of a rule.
    pub fn rule(&self, name: &str) -> Option<&Expression> {
        self.rules.get(name)
    }

    /// The names of all rules.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.rules.keys().map(String::as_str)
    }

    /// The names that rules use.
    pub fn used(&self) -> BTreeSet<String> {
        let mut used = BTreeSet::new();
        for expression in self.rules.values() {
            visit(expression, &mut |part| {
                if let Expression::Name(name) = part {
                    used.insert(name.clone());
                }
            });
        }
        used
    }

    /// The literals of every rule but one.
    pub fn literals_but_of(&self, left_out: &str) -> BTreeSet<String> {
        let mut literals = BTreeSet::new();
        for (_, expression) in self.rules.iter().filter(|rule| rule.0 != left_out) {
            visit(expression, &mut |part| {
                if let Expression::Literal(text) = part {
                    literals.insert(text.clone());
                }
            });
        }
        literals
    }

    /// Whether the whole text is what the expression says.
    pub fn matches(&self, expression: &Expression, text: &str) -> bool {
        self.ends(expression, text).contains(&text.len())
    }

    /// Where a match that begins the text may end.
    fn ends(&self, expression: &Expression, text: &str) -> BTreeSet<usize> {
        let then = |ends: &BTreeSet<usize>, next: &Expression| -> BTreeSet<usize> {
            ends.iter()
                .flat_map(|&end| {
                    self.ends(next, &text[end..])
                        .into_iter()
                        .map(move |more| end + more)
                })
                .collect()
        };
        match expression {
            Expression::Name(name) => self
                .rule(name)
                .map(|rule| self.ends(rule, text))
                .unwrap_or_default(),
            Expression::Literal(literal) => text
                .starts_with(literal)
                .then_some(literal.len())
                .into_iter()
                .collect(),
            Expression::Class(ranges) => text
                .chars()
                .next()
                .filter(|letter| {
                    ranges
                        .iter()
                        .any(|(low, high)| low <= letter && letter <= high)
                })
                .map(char::len_utf8)
                .into_iter()
                .collect(),
            Expression::Sequence(parts) => parts
                .iter()
                .fold(BTreeSet::from([0]), |ends, part| then(&ends, part)),
            Expression::Choice(parts) => parts
                .iter()
                .flat_map(|part| self.ends(part, text))
                .collect(),
            Expression::Repeat {
                inner,
                least,
                is_many,
            } => {
                let mut last: BTreeSet<usize> = BTreeSet::from([0]);
                let mut all = if *least == 0 {
                    last.clone()
                } else {
                    BTreeSet::new()
                };
                loop {
                    last = then(&last, inner).difference(&all).copied().collect();
                    all.extend(&last);
                    if last.is_empty() || !is_many {
                        return all;
                    }
                }
            }
            Expression::Without(whole, not) => {
                let ends = self.ends(whole, text);
                ends.into_iter()
                    .filter(|&end| !self.matches(not, &text[..end]))
                    .collect()
            }
        }
    }
}

fn visit(expression: &Expression, see: &mut impl FnMut(&Expression)) {
    see(expression);
    match expression {
        Expression::Sequence(parts) | Expression::Choice(parts) => {
            for part in parts {
                visit(part, see);
            }
        }
        Expression::Repeat { inner, .. } => visit(inner, see),
        Expression::Without(whole, not) => {
            visit(whole, see);
            visit(not, see);
        }
        _ => {}
    }
}

fn tokens(text: &str) -> Vec<String> {
    let mut tokens = Vec::new();
    let mut rest = text.trim_start();
    while let Some(first) = rest.chars().next() {
        let length = if rest.starts_with("/*") {
            let end = rest.find("*/").expect("a comment is closed") + 2;
            rest = rest[end..].trim_start();
            continue;
        } else if rest.starts_with("::=") {
            3
        } else if matches!(first, '"' | '\'') {
            rest[1..].find(first).expect("a literal is closed") + 2
        } else if first == '[' {
            rest.find(']').expect("a class is closed") + 1
        } else if matches!(first, '(' | ')' | '|' | '?' | '*' | '+') || rest.starts_with("- ") {
            1
        } else {
            rest.find(|letter: char| letter.is_whitespace() || "()|?*+".contains(letter))
                .unwrap_or(rest.len())
        };
        tokens.push(rest[..length].to_owned());
        rest = rest[length..].trim_start();
    }
    tokens
}

struct Reader<'t> {
    tokens: &'t [String],
    at: usize,
}

impl Reader<'_> {
    fn peek(&self) -> Option<&str> {
        self.tokens.get(self.at).map(String::as_str)
    }

    fn takes(&mut self, wanted: &str) -> bool {
        let is_there = self.peek() == Some(wanted);
        self.at += usize::from(is_there);
        is_there
    }

    fn choice(&mut self) -> Expression {
        let mut parts = vec![self.sequence()];
        while self.takes("|") {
            parts.push(self.sequence());
        }
        if parts.len() > 1 {
            Expression::Choice(parts)
        } else {
            parts.remove(0)
        }
    }

    fn sequence(&mut self) -> Expression {
        let mut parts = Vec::new();
        while self.peek().is_some_and(|token| !matches!(token, "|" | ")")) {
            let part = self.repeated();
            if self.takes("-") {
                parts.push(Expression::Without(
                    Box::new(part),
                    Box::new(self.repeated()),
                ));
            } else {
                parts.push(part);
            }
        }
        if parts.len() == 1 {
            parts.remove(0)
        } else {
            Expression::Sequence(parts)
        }
    }

    fn repeated(&mut self) -> Expression {
        let inner = self.primary();
        let (least, is_many) = match self.peek() {
            Some("?") => (0, false),
            Some("*") => (0, true),
            Some("+") => (1, true),
            _ => return inner,
        };
        self.at += 1;
        Expression::Repeat {
            inner: Box::new(inner),
            least,
            is_many,
        }
    }

    fn primary(&mut self) -> Expression {
        let token = self.peek().expect("an expression goes on").to_owned();
        self.at += 1;
        if token == "(" {
            let inner = self.choice();
            assert!(self.takes(")"), "a bracket is not closed");
            return inner;
        }
        if let Some(class) = token.strip_prefix('[') {
            return Expression::Class(ranges(class.trim_end_matches(']')));
        }
        if token.starts_with(['"', '\'']) {
            return Expression::Literal(token[1..token.len() - 1].to_owned());
        }
        match coded(&token) {
            Some(letter) => Expression::Class(vec![(letter, letter)]),
            None => Expression::Name(token),
        }
    }
}

/// `#x20` as the character.
fn coded(token: &str) -> Option<char> {
    char::from_u32(u32::from_str_radix(token.strip_prefix("#x")?, 16).ok()?)
}

/// `0-9` or `#x20-#x7E`.
fn ranges(class: &str) -> Vec<(char, char)> {
    let (low, high) = class.split_once('-').expect("a class is one range");
    let end = |text: &str| {
        coded(text)
            .or_else(|| text.chars().next())
            .expect("a range has two ends")
    };
    vec![(end(low), end(high))]
}
