//! The pages of the rules as files, for the links beside findings: every editor
//! can open a file.

use retin::rules::RULES;
use std::env;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::thread;
use tower_lsp::lsp_types::Url;

/// Where the pages are.
#[derive(Clone, Debug)]
pub struct Pages {
    folder: PathBuf,
}

impl Pages {
    /// Has the pages written into the user's folder for what can be made again;
    /// none where there is no such folder.
    pub fn written() -> Option<Pages> {
        let folder = cache()?.join(format!("retin/rules-{}", env!("CARGO_PKG_VERSION")));
        fs::create_dir_all(&folder).ok()?;
        let pages = Pages { folder };
        let folder = pages.folder.clone();
        // Nobody follows a link within the first milliseconds.
        thread::Builder::new()
            .name("pages".into())
            .spawn(move || write(&folder))
            .ok()?;
        Some(pages)
    }

    /// The address of a rule's page.
    pub fn of(&self, rule: &str) -> Option<Url> {
        Url::from_file_path(self.folder.join(format!("{rule}.md"))).ok()
    }
}

/// Writes the pages that are not there as they are to be. A page that cannot be
/// written leaves a link that leads nowhere, which the editor says.
fn write(folder: &Path) {
    for rule in RULES {
        let path = folder.join(format!("{}.md", rule.name));
        let is_there = fs::read(&path).is_ok_and(|known| known == rule.page.as_bytes());
        if !is_there && put(folder, &path, rule.page).is_err() {
            return;
        }
    }
}

/// Another server may write the same page at the same time: each is moved into
/// its place whole.
fn put(folder: &Path, path: &Path, page: &str) -> io::Result<()> {
    let file = tempfile::NamedTempFile::new_in(folder)?;
    fs::write(file.path(), page)?;
    file.persist(path)?;
    Ok(())
}

/// The user's folder for what can be made again.
fn cache() -> Option<PathBuf> {
    let named = |name: &str| {
        let path = PathBuf::from(env::var_os(name)?);
        path.is_absolute().then_some(path)
    };
    if cfg!(windows) {
        return named("LOCALAPPDATA");
    }
    let own = if cfg!(target_os = "macos") {
        "Library/Caches"
    } else {
        ".cache"
    };
    named("XDG_CACHE_HOME").or_else(|| Some(named("HOME")?.join(own)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_has_its_page() -> io::Result<()> {
        let folder = tempfile::tempdir()?;
        write(folder.path());
        write(folder.path());
        let pages = Pages {
            folder: folder.path().to_owned(),
        };
        for rule in RULES {
            let path = pages.of(rule.name).and_then(|url| url.to_file_path().ok());
            let text = fs::read_to_string(path.unwrap_or_default())?;
            assert_eq!(text, rule.page);
        }
        assert_eq!(fs::read_dir(folder.path())?.count(), RULES.len());
        Ok(())
    }
}
