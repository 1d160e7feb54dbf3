//! Photographs: whether they can be read, and how large they are.

use crate::POINT;
use typst::foundations::Bytes;
use typst::visualize::{ExchangeFormat, RasterFormat, RasterImage};

/// A photograph that can be set.
pub(crate) struct Photo {
    /// The file.
    pub bytes: Vec<u8>,
    /// The format's name, as in `image/NAME`.
    pub format: &'static str,
    /// Its width for its height, as it is to be seen.
    pub ratio: f64,
    /// Its width at 150 dots to the inch, in millimetres: larger would only show
    /// its grain. *Common practice, no source.*
    pub natural_width: f64,
}

/// Reads a photograph; none where it is in no format that can be set.
pub(crate) fn read(bytes: Vec<u8>) -> Option<Photo> {
    let exchange = ExchangeFormat::detect(&bytes)?;
    let format = match exchange {
        ExchangeFormat::Png => "png",
        ExchangeFormat::Jpg => "jpeg",
        ExchangeFormat::Gif => "gif",
        ExchangeFormat::Webp => "webp",
    };
    let image =
        RasterImage::plain(Bytes::new(bytes.clone()), RasterFormat::Exchange(exchange)).ok()?;
    let (width, height) = (f64::from(image.width()), f64::from(image.height()));
    if width < 1.0 || height < 1.0 {
        return None;
    }
    Some(Photo {
        bytes,
        format,
        ratio: width / height,
        natural_width: width / 150.0 * 72.0 * POINT,
    })
}

/// The size of a photograph that may fill this much, in millimetres.
pub(crate) fn extent(photo: &Photo, width: f64, height: f64) -> (f64, f64) {
    let width = photo.natural_width.min(width).min(height * photo.ratio);
    (width, width / photo.ratio)
}

/// What stands in the place of a photograph that cannot be had or read.
pub(crate) fn missing(path: &str) -> String {
    format!("The photograph {path} could not be read.")
}
