//! Headings, each with the first lines of what it opens.

use super::super::hover::heading_doc;
use super::{Completion, Insert, List, Snippet, What};
use retin_syntax::Token;
use retin_syntax::tree::{HeadingKind, Record};

/// Headings with what is written for each; a number in angle brackets is a stop.
const SECTIONS: &[(Token, &str)] = &[
    (Token::Use, "use \"<1:../models/model.retin>\"\n<0>"),
    (
        Token::Model,
        "model <1:name> \"<2:maker and type>\"\n  revision   <3:1>\n  built      <4:1970>\n  mains      <5:230V 50Hz>\n  headroom   <6:38mm>\n<0>",
    ),
    (
        Token::Board,
        "board <1:name> \"<2:what it is>\"\n  copper     <3:single-sided>\n  rail       GND  0V\n  <0>",
    ),
    (
        Token::Wiring,
        "wiring <1:chassis> \"<2:what it is>\"\n  <0>",
    ),
    (
        Token::Link,
        "link <1:J1> \"<2:from where to where>\" <3:4> joints\n  <4:psu.GND> to <5:main.GND>\n<0>",
    ),
    (
        Token::Shelf,
        "shelf <1:main> \"<2:where it stands>\"\n  <0>",
    ),
    (Token::Packages, "packages <1:house> \"<2:whose>\"\n  <0>"),
    (Token::Devices, "devices <1:house> \"<2:whose>\"\n  <0>"),
    (
        Token::Minutes,
        "minutes\n  <1:remove>     <2:electrolytic> <3:60s>\n<0>",
    ),
    (
        Token::Job,
        "job <1:26-001> \"<2:unit and serial>\"\n  model      <3:name> revision <4:1>\n  arrived    <5:date>\n  complaint  \"<6>\"\n<0>",
    ),
    (Token::Found, "found\n  <0>"),
    (
        Token::Plan,
        "plan\n  replace    every electrolytic  from <1:main>\n  <0>",
    ),
    (
        Token::Steps,
        "steps\n  <1:strip>      remove <2:every electrolytic>\n  <0>",
    ),
    (Token::Targets, "targets\n  <0>"),
    (Token::Log, "log\n  <1:date>\n    <2:09:00>  <0>"),
];

impl List<'_, '_> {
    /// Headings that the file may still hold: one job, and one of each of its parts.
    pub(super) fn headings(&mut self) {
        if !self.is_first() {
            self.after_heading();
            return;
        }
        let there: Vec<HeadingKind> = self
            .caret
            .tree
            .sections()
            .filter(|(id, _)| Some(*id) != self.caret.line)
            .filter_map(|(_, line)| match &line.record {
                Record::Heading(heading) => Some(heading.kind),
                _ => None,
            })
            .collect();
        let has_job = there.contains(&HeadingKind::Job);
        for (token, form) in SECTIONS {
            let is_there = match token {
                Token::Model => there.contains(&HeadingKind::Model),
                Token::Job => has_job,
                Token::Found => there.contains(&HeadingKind::Found),
                Token::Plan => there.contains(&HeadingKind::Plan),
                Token::Steps => there.contains(&HeadingKind::Steps),
                Token::Targets => there.contains(&HeadingKind::Targets),
                Token::Log => there.contains(&HeadingKind::Log),
                _ => false,
            };
            if is_there {
                continue;
            }
            let replaces = self.caret.origin(self.caret.typed());
            self.put(Completion {
                label: token.reserved_text().unwrap_or("").to_owned(),
                what: What::Section,
                detail: heading_doc(*token).unwrap_or("").to_owned(),
                doc: Snippet::of(form).plain(),
                replaces,
                insert: Insert::Snippet(Snippet::of(form)),
                rank: 0,
            });
        }
    }

    /// What may stand behind a heading's name.
    fn after_heading(&mut self) {
        let before = self.caret.before();
        let first = before.first().map(|lexeme| lexeme.0);
        if before.len() < 2 || self.has(Token::As) || self.has(Token::Joints) {
            return;
        }
        match first {
            Some(Token::Board | Token::Wiring) => {
                self.word(Token::As, "the names of the board's copies");
            }
            Some(Token::Link) if self.last() == Some(Token::Number) => {
                self.word(Token::Joints, "how many joints it has");
            }
            _ => {}
        }
    }
}
