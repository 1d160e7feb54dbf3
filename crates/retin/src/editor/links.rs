//! Paths in a file that lead to other files.

use super::Snapshot;
use crate::sources::{FileId, Origin, resolve};
use retin_syntax::tree::Record;
use retin_syntax::{Span, Token};

/// A path and the file it leads to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Link {
    /// The path as written, without its quotes.
    pub origin: Origin,
    /// The file, from the workspace's root.
    pub target: String,
}

/// How the names of pictures end.
const PICTURES: &[&str] = &["jpg", "jpeg", "png", "webp", "heic", "tif", "tiff"];

/// The paths of a file that stay within the workspace: those of `use` lines, and
/// those of pictures in the log and beside steps.
pub fn links(snapshot: &Snapshot<'_>, file: FileId) -> Vec<Link> {
    let source = snapshot.sources.file(file);
    let text = snapshot.text(file);
    let mut links: Vec<Link> = source
        .uses
        .iter()
        .filter_map(|line| {
            Some(Link {
                origin: inside(text, file, line.span),
                target: line.target.clone().ok()?,
            })
        })
        .collect();
    for line in &source.tree.lines {
        if !matches!(line.record, Record::Entry { .. } | Record::Step { .. }) {
            continue;
        }
        let lexemes = &source.tree.lexemes[line.lexemes.0 as usize..line.lexemes.1 as usize];
        for (token, span) in lexemes {
            if *token != Token::Text {
                continue;
            }
            let origin = inside(text, file, *span);
            let written = origin.span.of(text);
            if is_picture(written)
                && let Ok(target) = resolve(&source.path, written)
            {
                links.push(Link { origin, target });
            }
        }
    }
    links.sort_by_key(|link| link.origin);
    links
}

fn is_picture(path: &str) -> bool {
    path.rsplit_once('.')
        .is_some_and(|(_, ending)| PICTURES.contains(&ending.to_ascii_lowercase().as_str()))
}

/// A text without its quotes.
fn inside(text: &str, file: FileId, span: Span) -> Origin {
    let is_quoted = span.len() >= 2 && span.of(text).starts_with('"');
    let span = if is_quoted {
        Span::new(span.start + 1, span.end - 1)
    } else {
        span
    };
    Origin { file, span }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{MIXER, mixer, with};
    use super::links;
    use crate::sources::FileId;

    fn found(fixture: &str) -> Vec<(String, String)> {
        with(fixture, |snapshot, _| {
            links(snapshot, FileId(0))
                .into_iter()
                .map(|link| (snapshot.of(link.origin).to_owned(), link.target))
                .collect()
        })
    }

    #[test]
    fn use_lines_lead_to_files() {
        assert_eq!(
            found(MIXER),
            [
                ("model.retin".into(), "model.retin".into()),
                ("shelf.retin".into(), "shelf.retin".into()),
            ]
        );
    }

    #[test]
    fn pictures_of_the_log_are_links() {
        let fixture = mixer(
            "    09:40  measured   psu.C1  1840uF\n",
            "    09:40  noted \"photos/µ 1.JPG\"\n    ? noted \"see p. 4\"\n",
        );
        assert_eq!(
            found(&fixture)[2],
            ("photos/µ 1.JPG".into(), "photos/µ 1.JPG".into())
        );
        assert_eq!(found(&fixture).len(), 3);
    }

    #[test]
    fn paths_that_leave_the_workspace_are_none() {
        for text in [
            "use \"../../x.retin\"",
            "use \"/etc/x\"",
            "use \"\"",
            "use \"",
            "",
        ] {
            assert_eq!(found(text), [], "{text:?}");
        }
    }
}
