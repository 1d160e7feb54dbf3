//! All that the typesetting library may see: one template, two fonts and the
//! values of one document. No disk, no packages, no clock.

use crate::{Error, fonts};
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Dict, Duration, dict};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World};

static FONTS: LazyLock<(Vec<Font>, LazyHash<FontBook>)> = LazyLock::new(|| {
    let fonts: Vec<Font> = [fonts::REGULAR, fonts::BOLD]
        .into_iter()
        .flat_map(|file| Font::iter(Bytes::new(file)))
        .collect();
    let book = LazyHash::new(FontBook::from_fonts(&fonts));
    (fonts, book)
});

/// What the library may see of one document.
pub(super) struct Memory {
    library: LazyHash<Library>,
    template: Source,
}

impl Memory {
    /// A world with the values of one sheet.
    ///
    /// # Errors
    /// When the template's name is no path.
    pub(super) fn new(sheet: Dict) -> Result<Self, Error> {
        let path = VirtualPath::new("sheet.typ").map_err(|error| Error(error.to_string()))?;
        let id = RootedPath::new(VirtualRoot::Project, path).intern();
        let inputs = dict! { "sheet" => sheet };
        Ok(Memory {
            library: LazyHash::new(Library::builder().with_inputs(inputs).build()),
            template: Source::new(id, include_str!("sheet.typ").into()),
        })
    }
}

impl World for Memory {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FONTS.1
    }

    fn main(&self) -> FileId {
        self.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.template.id() {
            Ok(self.template.clone())
        } else {
            Err(FileError::AccessDenied)
        }
    }

    fn file(&self, _: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.0.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
