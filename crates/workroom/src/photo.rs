//! Photographs as cameras make them, made small and safe to keep: decoded within limits, turned upright,
//! and written anew, without whatever else the file told (the place where it was taken).

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageReader, Limits};

/// The longest side of a photograph that is kept, in pixels: what a card shows on a sharp screen.
const LONGEST: u32 = 720;
/// The longest side of one that is taken at all, and what decoding may take of memory.
const LARGEST: u32 = 16_000;
const MEMORY: u64 = 512 * 1024 * 1024;
/// How well it is kept, of 100.
const QUALITY: u8 = 82;

/// A photograph as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Small {
    /// The file.
    pub jpeg: Vec<u8>,
    /// Its width in pixels.
    pub wide: u32,
    /// Its height in pixels.
    pub high: u32,
}

/// A photograph (JPEG, PNG or WebP) as a JPEG at most 720 pixels long.
///
/// # Errors
/// One sentence on why it is not taken.
pub fn small(file: &[u8]) -> Result<Small, String> {
    let none = |_| "that is no photograph that can be read here: JPEG, PNG and WebP are".to_owned();
    let mut reader = ImageReader::new(Cursor::new(file))
        .with_guessed_format()
        .map_err(|error| none(error.into()))?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(LARGEST);
    limits.max_image_height = Some(LARGEST);
    limits.max_alloc = Some(MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(none)?;
    // A file that says nothing of it is upright.
    let orientation = decoder.orientation().unwrap_or(image::metadata::Orientation::NoTransforms);
    let mut picture = DynamicImage::from_decoder(decoder).map_err(none)?;
    picture.apply_orientation(orientation);
    if picture.width().max(picture.height()) > LONGEST {
        picture = picture.resize(LONGEST, LONGEST, FilterType::Triangle);
    }
    let mut out = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut out, QUALITY);
    // What is seen through lies on white, as paper would.
    let flat = on_white(&picture);
    flat.write_with_encoder(encoder).map_err(none)?;
    Ok(Small { wide: flat.width(), high: flat.height(), jpeg: out })
}

/// A picture without holes.
fn on_white(picture: &DynamicImage) -> DynamicImage {
    if !picture.color().has_alpha() {
        return DynamicImage::ImageRgb8(picture.to_rgb8());
    }
    let seen = picture.to_rgba8();
    let over = |part: u8, alpha: u8| {
        let (part, alpha) = (u16::from(part), u16::from(alpha));
        u8::try_from((part * alpha + 255 * (255 - alpha)) / 255).unwrap_or(255)
    };
    let flat = image::RgbImage::from_fn(seen.width(), seen.height(), |x, y| {
        let [red, green, blue, alpha] = seen.get_pixel(x, y).0;
        image::Rgb([red, green, blue].map(|part| over(part, alpha)))
    });
    DynamicImage::ImageRgb8(flat)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn png(width: u32, height: u32) -> Vec<u8> {
        let mut out = Cursor::new(Vec::new());
        let picture = DynamicImage::new_rgba8(width, height);
        picture.write_to(&mut out, image::ImageFormat::Png).unwrap();
        out.into_inner()
    }

    fn size(small: &Small) -> (u32, u32) {
        let format = image::ImageFormat::Jpeg;
        let picture = image::load_from_memory_with_format(&small.jpeg, format).unwrap();
        assert_eq!((picture.width(), picture.height()), (small.wide, small.high));
        (small.wide, small.high)
    }

    #[test]
    fn a_large_one_is_made_small_and_a_small_one_stays() {
        assert_eq!(size(&small(&png(2_000, 1_000)).unwrap()), (720, 360));
        assert_eq!(size(&small(&png(30, 50)).unwrap()), (30, 50));
    }

    #[test]
    fn what_is_seen_through_becomes_white() {
        let small = small(&png(20, 20)).unwrap();
        let picture = image::load_from_memory(&small.jpeg).unwrap().to_rgb8();
        assert!(picture.pixels().all(|pixel| pixel.0.iter().all(|part| *part > 250)));
    }

    /// No file makes it fall over: not an empty one, none that is cut off or scrambled, and none
    /// that says it is larger than any photograph.
    #[test]
    fn nonsense_is_refused() {
        for file in
            [&b""[..], b"GIF89a", b"\xff\xd8\xff", b"<svg xmlns='http://www.w3.org/2000/svg'/>"]
        {
            assert!(small(file).is_err());
        }
        let whole = png(40, 40);
        for cut in [8, 20, 40, whole.len() / 2] {
            assert!(small(&whole[..cut]).is_err(), "{cut}");
        }
        // The header of a PNG says how large it is: bytes 16 to 23, big-endian (PNG, third edition,
        // 11.2.1); its check sum is wrong then, too.
        let mut huge = whole.clone();
        huge[16..24].copy_from_slice(&[0x7f, 0xff, 0xff, 0xff, 0x7f, 0xff, 0xff, 0xff]);
        assert!(small(&huge).is_err());
        for at in 0..whole.len() {
            let mut scrambled = whole.clone();
            scrambled[at] ^= 0x5a;
            let _ = small(&scrambled);
        }
    }
}
