//! The folder that holds everything a job may use.

use std::io;
use std::path::{Path, PathBuf};

/// Where files may be read from.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Workspace {
    /// Its real path.
    pub root: PathBuf,
    /// Whether the folder was guessed, for want of a `.git` and of a `--root`.
    pub is_guessed: bool,
}

impl Workspace {
    /// The folder named; else the nearest one above all the paths that holds
    /// `.git`; else the current folder where it holds all the paths; else the
    /// folder they have in common.
    ///
    /// # Errors
    /// When the named folder cannot be reached.
    pub fn find(named: Option<&Path>, paths: &[PathBuf], here: &Path) -> io::Result<Workspace> {
        if let Some(named) = named {
            let root = here.join(named).canonicalize().map_err(|error| {
                io::Error::new(
                    error.kind(),
                    format!("{}: {}", named.display(), crate::read::trouble(&error)),
                )
            })?;
            return Ok(Workspace {
                root,
                is_guessed: false,
            });
        }
        let common = paths
            .iter()
            .filter_map(|path| folder_of(&here.join(path)))
            .reduce(|one, other| common(&one, &other))
            .unwrap_or_else(|| here.to_owned());
        if let Some(repository) = common
            .ancestors()
            .find(|folder| folder.join(".git").exists())
        {
            return Ok(Workspace {
                root: repository.to_owned(),
                is_guessed: false,
            });
        }
        let root = if common.starts_with(here) {
            here.to_owned()
        } else {
            common
        };
        Ok(Workspace {
            root,
            is_guessed: true,
        })
    }

    /// The file's path from the root, with `/` between its parts; none where it lies outside.
    pub fn inside(&self, real: &Path) -> Option<String> {
        let parts = real.strip_prefix(&self.root).ok()?;
        let parts: Option<Vec<&str>> = parts
            .components()
            .map(|part| part.as_os_str().to_str())
            .collect();
        Some(parts?.join("/"))
    }
}

/// The real folder a path is, or lies in; a link lies where the link is.
fn folder_of(path: &Path) -> Option<PathBuf> {
    if path.is_dir() {
        return path.canonicalize().ok();
    }
    path.parent()?.canonicalize().ok()
}

fn common(one: &Path, other: &Path) -> PathBuf {
    one.components()
        .zip(other.components())
        .take_while(|(one, other)| one == other)
        .map(|pair| pair.0)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_folders_have_the_one_above_them_in_common() {
        assert_eq!(
            common(Path::new("/a/b/c"), Path::new("/a/b/d/e")),
            Path::new("/a/b")
        );
        assert_eq!(common(Path::new("/a"), Path::new("/a")), Path::new("/a"));
    }
}
