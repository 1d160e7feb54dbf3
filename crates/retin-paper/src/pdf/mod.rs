//! A document as PDF, set by the typst library.

mod height;
mod keep;
mod starts;
mod values;
mod world;

use crate::{Error, PageSetting, Pdf, signs};
use retin::sheets::document::Document;
use typst::foundations::Dict;
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandards};

/// Sets a document as PDF. `photos` gives the bytes of a photograph by its path;
/// one that it does not have is told in its place.
///
/// The same document gives the same bytes. Lengths of drawings come out as they
/// are written, in millimetres.
///
/// # Errors
/// When the typesetting library refuses the document, which is a defect of the
/// template.
pub fn pdf(
    document: &Document,
    setting: PageSetting,
    photos: &dyn Fn(&str) -> Option<Vec<u8>>,
) -> Result<Pdf, Error> {
    let (sheet, missing_photos) = values::sheet(document, setting, photos);
    let paged = pages(sheet)?;
    let options = PdfOptions {
        creator: typst::foundations::Smart::Custom(Some("Retin".into())),
        standards: PdfStandards::default(),
        ..PdfOptions::default()
    };
    let bytes = typst_pdf::pdf(&paged, &options).map_err(|errors| told(&errors))?;
    typst::comemo::evict(0);
    Ok(Pdf {
        bytes,
        pages: paged.pages().len(),
        missing_signs: signs::missing(document),
        missing_photos,
    })
}

fn pages(sheet: Dict) -> Result<PagedDocument, Error> {
    let world = world::Memory::new(sheet)?;
    let paged = typst::compile(&world).output;
    // The library remembers everything it computed unless told to forget, and that is
    // more than the document.
    typst::comemo::evict(0);
    paged.map_err(|errors| told(&errors))
}

fn told(errors: &[typst::diag::SourceDiagnostic]) -> Error {
    let messages: Vec<&str> = errors.iter().map(|error| error.message.as_str()).collect();
    Error(messages.join("; "))
}
