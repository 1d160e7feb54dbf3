//! Texts that both parsers read: whole files, single lines, and lines with one
//! word more, less or other.

use retin_syntax::Token;
use retin_syntax::tables::Direction;
use retin_syntax::tree::{LineId, Record, Tree};
use retin_tests::derive::Derivation;
use retin_tests::ebnf::Grammar;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Folders whose files are read, from the top.
const FOLDERS: &[&str] = &[
    "syntax/corpus/accept",
    "syntax/corpus/reject",
    "examples",
    "examples/models",
    "examples/jobs",
    "examples/published",
    "crates/retin-syntax/tests/fixtures",
];

/// How many files are derived from the formal grammar.
const DERIVED: u64 = 300;

/// How many changes are tried on each line.
const CHANGES: usize = 6;

/// The project's own files, with their paths from the top.
pub fn files(top: &Path) -> Vec<(String, String)> {
    let mut files = Vec::new();
    for folder in FOLDERS {
        let mut paths: Vec<PathBuf> = std::fs::read_dir(top.join(folder))
            .unwrap_or_else(|error| panic!("{folder}: {error}"))
            .map(|entry| entry.expect("the folder can be listed").path())
            .filter(|path| {
                path.extension()
                    .is_some_and(|extension| extension == "retin")
            })
            .collect();
        paths.sort();
        for path in paths {
            let text = std::fs::read_to_string(&path).expect("the file can be read");
            let name = path.file_name().expect("a file has a name");
            files.push((format!("{folder}/{}", name.to_string_lossy()), text));
        }
    }
    files
}

/// Files derived from `syntax/grammar.ebnf`.
pub fn derived(top: &Path) -> Vec<String> {
    let text =
        std::fs::read_to_string(top.join("syntax/grammar.ebnf")).expect("the grammar can be read");
    let grammar = Grammar::read(&text);
    (1..=DERIVED)
        .map(|seed| Derivation::new(&grammar, seed).file())
        .collect()
}

/// Every line of the texts below the lines it belongs to, alone, and changed.
pub fn lines(texts: &[&str]) -> BTreeSet<String> {
    let mut cases = BTreeSet::new();
    for text in texts {
        let tree = retin_syntax::parse(text);
        for index in 0..tree.lines.len() {
            let id = LineId(index as u32);
            let above = above(&tree, id);
            if above
                .iter()
                .any(|line| tree.lines[line.index()].record == Record::Broken)
            {
                continue;
            }
            let mut before = String::new();
            for (depth, line) in above.iter().enumerate() {
                before.push_str(&"  ".repeat(depth));
                before.push_str(tree.lines[line.index()].span.of(text));
                before.push('\n');
            }
            before.push_str(&"  ".repeat(above.len()));
            let words = words(&tree, text, id);
            cases.insert(format!("{before}{}\n", words.join(" ")));
            for change in 0..CHANGES {
                let seed = (index as u64 + 1) * 31 + change as u64;
                let changed = changed(&words, &mut Random::new(seed)).join(" ");
                if !changed.is_empty() && !strains_a_name(&changed) {
                    cases.insert(format!("{before}{changed}\n"));
                }
            }
        }
    }
    cases
}

/// The lines a line belongs to, outermost first.
fn above(tree: &Tree, id: LineId) -> Vec<LineId> {
    let mut above = Vec::new();
    let mut at = tree.lines[id.index()].parent;
    while let Some(line) = at {
        above.push(line);
        at = tree.lines[line.index()].parent;
    }
    above.reverse();
    above
}

/// The tokens of a line, its comment left out.
fn words<'t>(tree: &Tree, text: &'t str, id: LineId) -> Vec<&'t str> {
    let (first, end) = tree.lines[id.index()].lexemes;
    tree.lexemes[first as usize..end as usize]
        .iter()
        .filter(|lexeme| lexeme.0 != Token::Comment)
        .map(|lexeme| lexeme.1.of(text))
        .collect()
}

/// Whether a reserved word stands where only a name makes sense: before a
/// direction, or twice as `with with`. The program takes it for one; the formal
/// grammar and tree-sitter do not.
fn strains_a_name(line: &str) -> bool {
    let lexemes = retin_syntax::lexer::lex(line);
    lexemes.windows(2).any(|pair| {
        let [(first, _), (second, _)] = pair else {
            return false;
        };
        let is_reserved = |token: Token| token.reserved_text().is_some();
        is_reserved(*first)
            && (Direction::of(*second).is_some() || (first == second && *first == Token::With))
    })
}

/// Outlines of every sort: blanks, ends of lines, comments, depth.
pub const OUTLINES: &[&str] = &[
    "",
    "\n\n",
    "plan",
    "plan\n  keep psu.C1",
    "plan\r\n  keep psu.C1\r\n\r\n  keep psu.C2\r\n",
    "plan\n\tkeep psu.C1\n  keep psu.C2\n",
    "\u{feff}plan\n  keep psu.C1\n",
    "plan\n  \u{feff}\n",
    "plan\n  keep\u{a0}psu.C1\n",
    "plan\n  keep psu.C1\u{b}\n",
    "plan\n    keep psu.C1\n  keep psu.C2\n",
    "plan\n  keep psu.C1\n    keep psu.C2\n",
    "log\n      2026-11-03\n          10:00 removed C1\n        11:00 removed C2\n   2026-11-04\n",
    "log\n  2026-11-03\n 10:00 removed C1\n",
    "  plan\n",
    "  | prose\n",
    "  | prose\n  | prose\nplan\n",
    "  | prose\nplan\n  | prose\n",
    "  # comment\nplan\n",
    "# comment",
    "plan\n# comment\n  keep psu.C1\n",
    "plan\n      # comment\n  keep psu.C1 # comment\n",
    "plan\n  keep psu.C1\n# comment\n  keep psu.C2\n",
    "plan\n  keep psu.C1\n    # comment\n\n# comment\nlog\n",
    "plan\n  keep psu.C1 #\n#\n",
    "plan\n  keep psu.C1#2\n",
    "plan\n  keep psu.C1 because \"a # b\"# comment\n",
    "plan\n  keep psu.C1 | prose\n",
    "plan\n  keep psu.C1|2\n",
    "plan\n  |\n    |\n      |\n        |\n          |\n            |\n              |\n",
    "plan\n  |\n    |\n      |\n        |\n          |\n            |\n              |\n                |\n",
    "plan\n  |\n    |\n      |\n        |\n          |\n            |\n              |\n                |\nlog\n",
    "use \"a.retin\"\n  | prose\nuse \"b.retin\"\n",
    "use \"a.retin\"\n  plan\n",
    "use\n\"a.retin\"\n",
    "board psu\n  rail\n    GND 0V\n",
    "board psu\n  rail\n  GND 0V\n",
];

/// What a word may be changed into: one of each sort of token.
const OTHERS: &[&str] = &[
    "x9", "10uF", "20", "V", "?", "\"text\"", ",", "(", ")", "+", "-15",
];

/// The line with one word more, less, or other, or two of them exchanged.
fn changed<'t>(words: &[&'t str], random: &mut Random) -> Vec<&'t str> {
    let mut words = words.to_vec();
    let at = random.below(words.len());
    let other = OTHERS[random.below(OTHERS.len())];
    match random.below(5) {
        0 => {
            words.remove(at);
        }
        1 => words.insert(at, other),
        2 => words[at] = other,
        3 => words.insert(at, words[at]),
        _ => {
            let with = random.below(words.len());
            words.swap(at, with);
        }
    }
    words
}

/// The same numbers at every run (xorshift, George Marsaglia 2003).
struct Random(u64);

impl Random {
    fn new(seed: u64) -> Self {
        Random(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    fn below(&mut self, bound: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 33) as usize % bound
    }
}
