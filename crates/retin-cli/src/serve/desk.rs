//! What lies on the server's desk: the documents that are open, the files of
//! the disk they use, and the folders they belong to.

use super::pages::Pages;
use super::positions::{Encoding, Lines};
use super::settings::Settings;
use crate::check::workspace::Workspace;
use crate::read;
use retin::sources::{FileId, SourceFile, Sources, UseLine};
use retin_syntax::tree::{HeadingKind, Record};
use std::collections::{BTreeMap, HashMap};
use std::fs::{self, Metadata};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;
use std::time::SystemTime;
use tower_lsp::lsp_types::{TextDocumentContentChangeEvent, Url};

/// A document that is open in the editor; it wins over the disk.
pub struct Document {
    /// The address the editor gave it.
    pub uri: Url,
    /// The version of its text.
    pub version: i32,
    /// Its text and outline.
    pub file: Arc<SourceFile>,
    /// Where its lines begin.
    pub lines: Rc<Lines>,
    /// The folder it belongs to.
    pub folder: PathBuf,
    /// Whether nothing says that it belongs to more than its own folder.
    is_alone: bool,
}

impl Document {
    /// Has a file that was opened by itself belong to the folder its `use` lines
    /// lead to.
    fn widen(&mut self, path: &Path) {
        let Some(own) = path.parent().filter(|_| self.is_alone) else {
            return;
        };
        let wanted = reach(own, &self.file);
        if wanted != self.folder {
            let text = self.file.text.clone();
            self.file = Arc::new(SourceFile::new(inside(&wanted, path), text));
            self.folder = wanted;
        }
    }
}

/// A file as it was on the disk when last looked at.
struct OnDisk {
    stamp: Stamp,
    loaded: Result<Arc<SourceFile>, String>,
}

/// What tells whether a file has changed.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Stamp {
    length: u64,
    modified: Option<SystemTime>,
}

impl Stamp {
    fn of(known: &Metadata) -> Stamp {
        Stamp {
            length: known.len(),
            modified: known.modified().ok(),
        }
    }
}

/// Everything that is open, and the folders it lies in.
pub struct Desk {
    /// How the editor counts.
    pub encoding: Encoding,
    /// Real paths of the workspace's folders.
    pub folders: Vec<PathBuf>,
    /// The pages of the rules.
    pub pages: Option<Pages>,
    /// What the user has set.
    pub settings: Settings,
    documents: BTreeMap<PathBuf, Document>,
    /// Real paths by address, so that an address is looked up once.
    paths: HashMap<Url, PathBuf>,
    disk: HashMap<PathBuf, OnDisk>,
    /// Real paths by the paths that `use` lines lead to.
    reals: HashMap<PathBuf, PathBuf>,
}

/// One file with all it uses.
pub struct Root {
    /// Its real path.
    pub path: PathBuf,
    /// The folder at which the paths of the files begin.
    pub folder: PathBuf,
    /// The files.
    pub sources: Sources,
    /// The file itself.
    pub file: FileId,
    /// The files' real paths, in the order of their ids.
    paths: Vec<PathBuf>,
}

impl Root {
    /// The real paths of the files, the root's own first.
    pub fn paths(&self) -> &[PathBuf] {
        &self.paths
    }

    /// The real path of one of the files.
    pub fn path_of(&self, file: FileId) -> &Path {
        &self.paths[file.0 as usize]
    }

    /// The id of the file at a real path.
    pub fn find(&self, path: &Path) -> Option<FileId> {
        let index = self.paths.iter().position(|known| known == path)?;
        Some(FileId(index as u32))
    }

    /// Whether it holds a job.
    pub fn holds_job(&self) -> bool {
        let tree = &self.sources.file(self.file).tree;
        tree.sections().any(|(_, line)| {
            matches!(&line.record, Record::Heading(heading) if heading.kind == HeadingKind::Job)
        })
    }
}

impl Desk {
    /// An empty desk.
    pub fn new() -> Desk {
        Desk {
            encoding: Encoding::Utf16,
            folders: Vec::new(),
            pages: None,
            settings: Settings::default(),
            documents: BTreeMap::new(),
            paths: HashMap::new(),
            disk: HashMap::new(),
            reals: HashMap::new(),
        }
    }

    /// Looks at the disk anew: files and links may have changed.
    pub fn look_again(&mut self) {
        self.reals.clear();
    }

    /// The real path of an address; for one that is no file, the address itself.
    pub fn path_of(&self, uri: &Url) -> PathBuf {
        if let Some(path) = self.paths.get(uri) {
            return path.clone();
        }
        match uri.to_file_path() {
            Ok(path) => real(&path),
            Err(()) => PathBuf::from(uri.as_str()),
        }
    }

    /// The open document at a path.
    pub fn document(&self, path: &Path) -> Option<&Document> {
        self.documents.get(path)
    }

    /// All open documents with their paths, in the order of the paths.
    pub fn documents(&self) -> impl Iterator<Item = (&PathBuf, &Document)> {
        self.documents.iter()
    }

    /// The address of a file: the editor's own where it is open.
    pub fn uri_of(&self, path: &Path) -> Option<Url> {
        match self.documents.get(path) {
            Some(document) => Some(document.uri.clone()),
            None => Url::from_file_path(path).ok(),
        }
    }

    /// Takes a document that was opened.
    pub fn open(&mut self, uri: Url, version: i32, text: String) -> PathBuf {
        let path = self.path_of(&uri);
        let folder = self.folder_of(&path);
        let mut document = Document {
            uri,
            version,
            lines: Rc::new(Lines::of(&text)),
            file: Arc::new(SourceFile::new(inside(&folder, &path), text)),
            is_alone: path.parent() == Some(folder.as_path()),
            folder,
        };
        document.widen(&path);
        self.paths.insert(document.uri.clone(), path.clone());
        self.documents.insert(path.clone(), document);
        path
    }

    /// Applies changes in their order; none where the document is not open or
    /// the version is not a newer one.
    pub fn change(
        &mut self,
        uri: &Url,
        version: i32,
        changes: Vec<TextDocumentContentChangeEvent>,
    ) -> Option<PathBuf> {
        let path = self.path_of(uri);
        let encoding = self.encoding;
        let document = self.documents.get_mut(&path)?;
        if version <= document.version {
            return None;
        }
        for change in changes {
            let text = &document.file.text;
            let range = match change.range {
                None => 0..text.len() as u32,
                Some(range) => {
                    let start = document.lines.offset(text, range.start, encoding);
                    let end = document.lines.offset(text, range.end, encoding);
                    start.min(end)..start.max(end)
                }
            };
            // Nobody else holds the file while no room stands on the desk.
            let file = Arc::unwrap_or_clone(std::mem::take(&mut document.file));
            let edited = file.edited(range.clone(), &change.text);
            let new_end = range.start + change.text.len() as u32;
            Rc::make_mut(&mut document.lines).edit(&edited.text, range, new_end);
            document.file = Arc::new(edited);
        }
        document.version = version;
        document.widen(&path);
        Some(path)
    }

    /// Puts a document away; the disk counts again.
    pub fn close(&mut self, uri: &Url) -> Option<PathBuf> {
        let path = self.path_of(uri);
        self.paths.remove(uri);
        self.documents.remove(&path).map(|_| path)
    }

    /// A file with all it uses; none where it cannot be read.
    pub fn root(&mut self, path: &Path) -> Option<Root> {
        let folder = match self.documents.get(path) {
            Some(document) => document.folder.clone(),
            None => self.folder_of(path),
        };
        let mut sources = Sources::new();
        let mut paths = vec![path.to_owned()];
        let file = sources.add(self.file(&folder, path).ok()?);
        while let Some(wanted) = sources.wanted().map(str::to_owned) {
            let written = folder.join(&wanted);
            let place = self
                .reals
                .entry(written)
                .or_insert_with_key(|written| real(written))
                .clone();
            let loaded = if place.starts_with(&folder) {
                self.file(&folder, &place)
            } else {
                Err("it is a link that leads out of the workspace".into())
            };
            match loaded {
                // A link: the file is known by the name it is wanted by.
                Ok(file) if file.path != wanted => {
                    sources.add(Arc::new(SourceFile::new(wanted, file.text.clone())));
                    paths.push(place);
                }
                Ok(file) => {
                    sources.add(file);
                    paths.push(place);
                }
                Err(reason) => sources.refuse(wanted, reason),
            }
        }
        Some(Root {
            path: path.to_owned(),
            folder,
            sources,
            file,
            paths,
        })
    }

    /// A file: as it is open, else as it is on the disk now.
    fn file(&mut self, folder: &Path, path: &Path) -> Result<Arc<SourceFile>, String> {
        if let Some(document) = self.documents.get(path) {
            return Ok(document.file.clone());
        }
        let known = fs::metadata(path).map_err(|error| {
            self.disk.remove(path);
            read::trouble(&error)
        })?;
        let stamp = Stamp::of(&known);
        if let Some(seen) = self.disk.get(path)
            && seen.stamp == stamp
        {
            return seen.loaded.clone();
        }
        let loaded =
            read::text(path).map(|text| Arc::new(SourceFile::new(inside(folder, path), text)));
        self.disk.insert(
            path.to_owned(),
            OnDisk {
                stamp,
                loaded: loaded.clone(),
            },
        );
        loaded
    }

    /// The folder a file belongs to: the repository it lies in, or the innermost
    /// folder of the workspace that holds it, whichever is wider; else its own folder.
    fn folder_of(&self, path: &Path) -> PathBuf {
        let own = path.parent().unwrap_or(path).to_owned();
        let repository = Workspace::find(None, &[path.to_owned()], &own)
            .ok()
            .filter(|workspace| !workspace.is_guessed)
            .map(|workspace| workspace.root);
        let innermost = self
            .folders
            .iter()
            .filter(|folder| path.starts_with(folder))
            .max_by_key(|folder| folder.components().count())
            .cloned();
        repository
            .into_iter()
            .chain(innermost)
            .min_by_key(|folder| folder.components().count())
            .unwrap_or(own)
    }
}

/// How many folders above its own a file may reach where nothing says how far
/// its workspace goes.
const MOST_ABOVE: usize = 2;

/// The folder of a file that was opened by itself: editors then name the file's own
/// folder, but a job uses the sheets beside that. It is as far above as the `use`
/// lines lead.
fn reach(own: &Path, file: &SourceFile) -> PathBuf {
    let above = |line: &UseLine| {
        let written = line.span.of(&file.text).trim_matches('"');
        let steps = written.split('/').take_while(|step| *step == "..").count();
        written.ends_with(".retin").then_some(steps)
    };
    let most = file.uses.iter().filter_map(above).max().unwrap_or(0);
    let folder = own.ancestors().nth(most.min(MOST_ABOVE));
    folder.unwrap_or(own).to_owned()
}

/// A file's path from its folder, with `/` between its parts.
fn inside(folder: &Path, path: &Path) -> String {
    let parts: Vec<String> = path
        .strip_prefix(folder)
        .unwrap_or(path)
        .components()
        .map(|part| part.as_os_str().to_string_lossy().into_owned())
        .collect();
    parts.join("/")
}

/// A path with its links followed as far as it exists.
fn real(path: &Path) -> PathBuf {
    if let Ok(real) = path.canonicalize() {
        return real;
    }
    match (path.parent(), path.file_name()) {
        (Some(parent), Some(name)) => match parent.canonicalize() {
            Ok(parent) => parent.join(name),
            Err(_) => path.to_owned(),
        },
        _ => path.to_owned(),
    }
}
