//! QR codes as drawings in a page.

use std::fmt::Write;

use qrcode::{Color, EcLevel, QrCode};

/// Light modules around a code.
const QUIET: usize = 4;
/// Most bytes of a code, whatever its size: version 40 at its lowest level.
pub(super) const MOST: u64 = 2_953;

/// The path of a code's dark modules, row by row, and the width of the whole in modules. `None` when it is too long for a
/// code.
pub(super) fn drawn(text: &str) -> Option<(String, usize)> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
    let width = code.width();
    let mut path = String::new();
    for (y, row) in code.to_colors().chunks(width).enumerate() {
        let mut x = 0;
        for run in row.chunk_by(|a, b| a == b) {
            if run.first() == Some(&Color::Dark) {
                let n = run.len();
                _ = write!(path, "M{} {}h{n}v1h-{n}z", x + QUIET, y + QUIET);
            }
            x += run.len();
        }
    }
    Some((path, width + 2 * QUIET))
}

#[cfg(test)]
mod tests {
    use image::{GrayImage, Luma};

    use super::*;

    /// Fills the rectangles of the path as a browser would.
    fn filled(path: &str, width: usize) -> GrayImage {
        let mut picture = GrayImage::from_pixel(width as u32 * 4, width as u32 * 4, Luma([255]));
        for run in path.split('M').skip(1) {
            let (at, rest) = run.split_once('h').unwrap();
            let (x, y) = at.split_once(' ').unwrap();
            let (x, y): (u32, u32) = (x.parse().unwrap(), y.parse().unwrap());
            let n: u32 = rest.split_once('v').unwrap().0.parse().unwrap();
            for px in x * 4..(x + n) * 4 {
                (y * 4..y * 4 + 4).for_each(|py| picture.put_pixel(px, py, Luma([0])));
            }
        }
        picture
    }

    #[test]
    fn a_drawn_code_is_read_back_and_a_longer_text_than_a_code_holds_is_none() {
        let text = format!("DY1:{}.", "A1 $%*+-/:".repeat(40));
        let (path, width) = drawn(&text).unwrap();
        let picture = filled(&path, width);
        let side = picture.width() as usize;
        let dark = |x: usize, y: usize| picture.get_pixel(x as u32, y as u32).0[0];
        let mut prepared = rqrr::PreparedImage::prepare_from_greyscale(side, side, dark);
        let grids = prepared.detect_grids();
        assert_eq!(grids[0].decode().unwrap().1, text);
        assert!(drawn(&"a".repeat(MOST as usize + 1)).is_none());
    }
}
