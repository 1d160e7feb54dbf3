//! Derives random files from the grammar, the same ones at every run.

use crate::ebnf::{Expression, Grammar};

/// One file while it is derived.
pub struct Derivation<'g> {
    grammar: &'g Grammar,
    state: u64,
    text: String,
    indent: usize,
    is_line_start: bool,
}

impl<'g> Derivation<'g> {
    /// The derivation of this number.
    pub fn new(grammar: &'g Grammar, seed: u64) -> Self {
        // Numbers that lie near each other would begin alike.
        let state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
        Derivation {
            grammar,
            state,
            text: String::new(),
            indent: 0,
            is_line_start: true,
        }
    }

    /// A file with a few sections.
    pub fn file(mut self) -> String {
        for _ in 0..3 {
            let section = Expression::Choice(vec![
                Expression::Name("use".into()),
                Expression::Name("section".into()),
                Expression::Name("section".into()),
                Expression::Name("section".into()),
            ]);
            self.expand(&section);
        }
        self.text
    }

    /// A number below `bound` (xorshift, George Marsaglia 2003).
    fn below(&mut self, bound: usize) -> usize {
        self.state ^= self.state << 13;
        self.state ^= self.state >> 7;
        self.state ^= self.state << 17;
        (self.state >> 33) as usize % bound
    }

    fn expand(&mut self, expression: &Expression) {
        match expression {
            Expression::Name(name) => match name.as_str() {
                "INDENT" => self.indent += 1,
                "DEDENT" => self.indent -= 1,
                "NEWLINE" => {
                    self.text.push('\n');
                    self.is_line_start = true;
                }
                name if name
                    .bytes()
                    .all(|byte| byte.is_ascii_uppercase() || byte == b'-') =>
                {
                    let token = self.token(&Expression::Name(name.to_owned()));
                    self.push(&token);
                }
                name => {
                    let rule = self.rule(name);
                    self.expand(rule);
                }
            },
            Expression::Literal(literal) => self.push(literal),
            Expression::Sequence(parts) => {
                for part in parts {
                    self.expand(part);
                }
            }
            Expression::Choice(parts) => {
                let chosen = self.below(parts.len());
                self.expand(&parts[chosen]);
            }
            Expression::Repeat {
                inner,
                least,
                is_many,
            } => {
                for _ in 0..self.times(*least, *is_many) {
                    self.expand(inner);
                }
            }
            Expression::Without(..) | Expression::Class(_) => {
                let token = self.token(expression);
                self.push(&token);
            }
        }
    }

    fn times(&mut self, least: usize, is_many: bool) -> usize {
        least + self.below(if is_many { 4 } else { 2 })
    }

    fn rule(&self, name: &str) -> &'g Expression {
        self.grammar
            .rule(name)
            .unwrap_or_else(|| panic!("{name} is not defined"))
    }

    /// Puts a token on the line, parted from the one before by a blank.
    fn push(&mut self, token: &str) {
        if self.is_line_start {
            self.text.push_str(&"  ".repeat(self.indent));
        } else if token != "," || self.below(2) == 0 {
            self.text.push(' ');
        }
        self.is_line_start = false;
        self.text.push_str(token);
    }

    /// The text of one token: nothing parts what it is made of.
    fn token(&mut self, expression: &Expression) -> String {
        match expression {
            Expression::Name(name) => {
                let rule = self.rule(name);
                self.token(rule)
            }
            Expression::Literal(literal) => literal.clone(),
            Expression::Class(ranges) => {
                let (low, high) = ranges[self.below(ranges.len())];
                let span = high as usize - low as usize + 1;
                loop {
                    let code = low as usize + self.below(span);
                    if let Some(letter) = char::from_u32(code as u32) {
                        return letter.into();
                    }
                }
            }
            Expression::Sequence(parts) => parts.iter().map(|part| self.token(part)).collect(),
            Expression::Choice(parts) => {
                let chosen = self.below(parts.len());
                self.token(&parts[chosen])
            }
            Expression::Repeat {
                inner,
                least,
                is_many,
            } => (0..self.times(*least, *is_many))
                .map(|_| self.token(inner))
                .collect(),
            Expression::Without(whole, not) => loop {
                let text = self.token(whole);
                if !self.grammar.matches(not, &text) {
                    return text;
                }
            },
        }
    }
}
