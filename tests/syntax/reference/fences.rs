//! The examples of the reference, and the file each stands in.

/// Where an example belongs.
#[derive(Debug)]
pub enum Marked {
    /// It is a whole file, with a path where other examples use it.
    File {
        /// The path from the workspace's root.
        path: Option<String>,
    },
    /// It stands below a line of the bench file.
    In {
        /// Which: `board`, `plan`.
        place: String,
    },
}

/// One example.
#[derive(Debug)]
pub struct Fence {
    /// The line of its opening fence, counted from 1.
    pub line: usize,
    /// Where it belongs.
    pub marked: Marked,
    /// What it says.
    pub text: String,
}

/// The file that a fragment is put into, at the line `# in PLACE`.
const BENCH: &str = include_str!("bench.retin");

/// The bench file without its places.
pub fn bench() -> String {
    let lines = BENCH.lines().filter(|line| !is_place(line));
    lines.flat_map(|line| [line, "\n"]).collect()
}

fn is_place(line: &str) -> bool {
    line.trim_start().starts_with("# in ")
}

impl Fence {
    /// The example, taken out of the file that [`whole`](Fence::whole) gives
    /// once that has been formatted: the lines are as many, in the same order.
    pub fn taken_from(&self, whole: &str) -> String {
        let Marked::In { place } = &self.marked else {
            return whole.to_owned();
        };
        let wanted = format!("# in {place}");
        let marker = BENCH
            .lines()
            .find(|line| line.trim_start() == wanted)
            .unwrap_or("");
        let indent = marker.len() - marker.trim_start().len();
        let is_kept = |line: &&str| !is_place(line);
        let above: Vec<&str> = BENCH
            .lines()
            .take_while(|line| *line != marker)
            .filter(is_kept)
            .collect();
        let below: Vec<&str> = BENCH
            .lines()
            .skip_while(|line| *line != marker)
            .filter(is_kept)
            .collect();
        let lines: Vec<&str> = whole.lines().collect();
        let end = lines.len() - below.len();
        assert_eq!(
            (&lines[..above.len()], &lines[end..]),
            (&above[..], &below[..])
        );
        lines[above.len()..end]
            .iter()
            .flat_map(|line| [line.get(indent..).unwrap_or(""), "\n"])
            .collect()
    }

    /// The example as a whole file.
    pub fn whole(&self) -> String {
        let Marked::In { place } = &self.marked else {
            return self.text.clone();
        };
        let mut whole = String::new();
        let mut is_placed = false;
        for line in BENCH.lines() {
            let Some(here) = line.trim_start().strip_prefix("# in ") else {
                whole.push_str(line);
                whole.push('\n');
                continue;
            };
            if here != place {
                continue;
            }
            is_placed = true;
            let indent = &line[..line.len() - line.trim_start().len()];
            for line in self.text.lines() {
                if !line.is_empty() {
                    whole.push_str(indent);
                    whole.push_str(line);
                }
                whole.push('\n');
            }
        }
        assert!(
            is_placed,
            "reference.md:{}: there is no place `{place}`",
            self.line
        );
        whole
    }
}

/// The examples of a page. Every fence has to say what it is; those of commands
/// are marked `console` and left out.
///
/// # Panics
/// When a fence is not marked, or not closed.
pub fn of(page: &str) -> Vec<Fence> {
    let mut fences = Vec::new();
    let mut open: Option<Fence> = None;
    let mut is_console = false;
    for (index, line) in page.lines().enumerate() {
        if open.is_none() && line.starts_with("```") && (is_console || line == "```console") {
            is_console = !is_console;
            continue;
        }
        match (&mut open, line.strip_prefix("```")) {
            (None, Some(info)) => {
                let line = index + 1;
                let marked = match info.split_once(' ') {
                    Some(("retin", "file")) => Marked::File { path: None },
                    Some(("retin", mark)) => {
                        match (mark.strip_prefix("file "), mark.strip_prefix("in ")) {
                            (Some(path), _) => Marked::File {
                                path: Some(path.to_owned()),
                            },
                            (_, Some(place)) => Marked::In {
                                place: place.to_owned(),
                            },
                            _ => panic!("line {line}: `{info}` says neither `file` nor `in`"),
                        }
                    }
                    _ => panic!("line {line}: `{info}` is no Retin example"),
                };
                open = Some(Fence {
                    line,
                    marked,
                    text: String::new(),
                });
            }
            (Some(_), Some(_)) => fences.extend(open.take()),
            (Some(fence), None) => {
                fence.text.push_str(line);
                fence.text.push('\n');
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "the last example is not closed");
    fences
}

/// The words of a page that stand in examples or between backticks.
pub fn code_words(page: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut in_fence = false;
    let split = |text: &str, words: &mut Vec<String>| {
        let parts = text.split([' ', ',', '(', ')', '"', '\n']);
        words.extend(parts.filter(|part| !part.is_empty()).map(str::to_owned));
    };
    for line in page.lines() {
        if line.starts_with("```") {
            in_fence = !in_fence;
        } else if in_fence {
            let code = line.split(" #").next().unwrap_or(line);
            split(code, &mut words);
        } else {
            for code in line.split('`').skip(1).step_by(2) {
                split(code, &mut words);
            }
        }
    }
    words
}
