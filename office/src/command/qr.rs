//! QR codes: drawn in a terminal, written as a picture, read from a picture.

use std::{
    fs,
    io::{IsTerminal, Read},
    path::Path,
};

use anyhow::{Context, Result, bail};
use image::{GrayImage, Luma};
use qrcode::{Color, EcLevel, QrCode, render::unicode::Dense1x2};

/// Pixels of a module in a picture.
const MODULE: u32 = 8;
/// Light modules around a code.
const QUIET: u32 = 4;
/// Bytes of a picture that is read at most.
const MAX_PICTURE: u64 = 32 << 20;
/// Width and height of a picture that is read at most, in pixels.
const MAX_SIDE: u32 = 8_000;

/// The code as lines of a terminal, two rows of modules a line; black on white where it is a terminal, whatever its colours.
pub fn lines(text: &str) -> Result<String> {
    // A screen is clean: the lowest level keeps the code small enough for 80 columns.
    let code = QrCode::with_error_correction_level(text, EcLevel::L).context("too long for a QR code")?;
    let drawn = code.render::<Dense1x2>().dark_color(Dense1x2::Dark).light_color(Dense1x2::Light).build();
    let (on, off) = if std::io::stdout().is_terminal() { ("\x1b[30;107m", "\x1b[0m") } else { ("", "") };
    Ok(drawn.lines().map(|line| format!("{on}{line}{off}")).collect::<Vec<_>>().join("\n"))
}

/// Writes the code as a PNG.
pub fn write_png(text: &str, path: &Path) -> Result<()> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).context("too long for a QR code")?;
    let width = u32::try_from(code.width()).unwrap_or(u32::MAX);
    let colors = code.to_colors();
    let side = (width + 2 * QUIET) * MODULE;
    let picture = GrayImage::from_fn(side, side, |x, y| {
        let (x, y) = ((x / MODULE).wrapping_sub(QUIET), (y / MODULE).wrapping_sub(QUIET));
        let dark = x < width && y < width && colors.get((y * width + x) as usize) == Some(&Color::Dark);
        Luma([if dark { 0 } else { 255 }])
    });
    picture.save_with_format(path, image::ImageFormat::Png).with_context(|| format!("writing {}", path.display()))
}

/// The text that an argument means: itself when it begins with one of `marks`, what is piped in for `-`, else what stands in the
/// file, a picture of a QR code or a text.
pub fn read(argument: &str, marks: &[&str]) -> Result<String> {
    if marks.iter().any(|mark| argument.trim_start().starts_with(mark)) {
        return Ok(argument.to_owned());
    }
    if argument == "-" {
        let mut text = String::new();
        std::io::stdin().take(MAX_PICTURE).read_to_string(&mut text).context("reading standard input")?;
        return Ok(text);
    }
    let info = fs::metadata(argument).with_context(|| format!("{argument:?} is neither such a text nor a file"))?;
    if info.len() > MAX_PICTURE {
        bail!("{argument} is larger than pictures may be");
    }
    let bytes = fs::read(argument).with_context(|| format!("reading {argument}"))?;
    match image::guess_format(&bytes) {
        Ok(_) => from_picture(&bytes).with_context(|| argument.to_owned()),
        Err(_) => String::from_utf8(bytes).ok().with_context(|| format!("{argument} is neither a picture nor a text")),
    }
}

/// The text of the one QR code in a picture.
fn from_picture(bytes: &[u8]) -> Result<String> {
    let mut reader = image::ImageReader::new(std::io::Cursor::new(bytes)).with_guessed_format()?;
    let mut limits = image::Limits::default();
    limits.max_image_width = Some(MAX_SIDE);
    limits.max_image_height = Some(MAX_SIDE);
    reader.limits(limits);
    let picture = reader.decode().context("the picture cannot be read")?.to_luma8();
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    let mut prepared =
        rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| picture.get_pixel(x as u32, y as u32).0[0]);
    let read: Vec<String> =
        prepared.detect_grids().into_iter().filter_map(|grid| Some(grid.decode().ok()?.1)).collect();
    match read.as_slice() {
        [] => bail!("no QR code can be read in the picture; take it again, straight and near"),
        [one] => Ok(one.clone()),
        _ => bail!("more than one QR code is in the picture; show one alone"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_written_as_a_picture_is_read_back_and_a_picture_without_one_says_so() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("code.png");
        let text = format!("DY1:{}.", "A1 $%*+-/:".repeat(60));
        write_png(&text, &path).unwrap();
        assert_eq!(read(&path.display().to_string(), &["DY1:"]).unwrap(), text);
        // As a phone's camera gives it: smaller, grey, soft, with something around it.
        let mut seen = GrayImage::from_fn(1000, 900, |x, y| Luma([120 + ((x * 7 + y * 13) % 23) as u8]));
        let sharp = image::open(&path).unwrap().to_luma8();
        let small = image::imageops::resize(&sharp, 600, 600, image::imageops::FilterType::Triangle);
        let grey = GrayImage::from_fn(600, 600, |x, y| Luma([40 + small.get_pixel(x, y).0[0] / 3 * 2]));
        image::imageops::replace(&mut seen, &grey, 170, 130);
        let photo = dir.path().join("photo.jpg");
        image::imageops::blur(&seen, 1.0).save(&photo).unwrap();
        assert_eq!(read(&photo.display().to_string(), &["DY1:"]).unwrap(), text);
        GrayImage::from_pixel(200, 200, Luma([255])).save(&path).unwrap();
        assert!(format!("{:#}", read(&path.display().to_string(), &["DY1:"]).unwrap_err()).contains("no QR code"));
        fs::write(&path, &text).unwrap();
        assert_eq!(read(&path.display().to_string(), &["DY1:"]).unwrap(), text, "a file with the text");
        assert_eq!(read(&text, &["DY1:"]).unwrap(), text);
        assert!(read("nothing.png", &["DY1:"]).unwrap_err().to_string().contains("nothing.png"));
    }

    #[test]
    fn the_lines_of_a_terminal_hold_the_code_in_80_columns_and_are_read_back_as_dots() {
        let text = format!("DY1:{}.", "A1 $%*+-/:".repeat(40));
        let drawn = lines(&text).unwrap();
        let rows: Vec<Vec<char>> = drawn.lines().map(|line| line.chars().collect()).collect();
        assert!(rows[0].len() <= 80, "{} columns", rows[0].len());
        // Each letter is two modules, one above the other; draw them and read that picture.
        let dark = |x: u32, y: u32| {
            let letter = rows[(y / 2) as usize].get(x as usize).copied().unwrap_or(' ');
            if y.is_multiple_of(2) { matches!(letter, '█' | '▀') } else { matches!(letter, '█' | '▄') }
        };
        let (wide, high) = (rows[0].len() as u32, rows.len() as u32 * 2);
        let picture = GrayImage::from_fn(wide * 4, high * 4, |x, y| Luma([if dark(x / 4, y / 4) { 0 } else { 255 }]));
        let mut bytes = std::io::Cursor::new(Vec::new());
        picture.write_to(&mut bytes, image::ImageFormat::Png).unwrap();
        assert_eq!(from_picture(&bytes.into_inner()).unwrap(), text);
    }
}
