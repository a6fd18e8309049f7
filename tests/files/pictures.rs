//! Photographs on disk: the formats, their orientation and colour profile, and files that are not
//! what they should be.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use huegauge::colour::{Colour, Lab};
use huegauge::file::{Loaded, PictureNote, PictureProblem, load_picture};
use huegauge::photo::{Balance, Depth, Region, Watch, to_oklab};
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::{DynamicImage, ExtendedColorType, ImageBuffer, ImageEncoder, ImageFormat, Rgb, Rgba};
use tempfile::TempDir;

use crate::common::tiff::tiff;

const WIDTH: u32 = 48;
const HEIGHT: u32 = 32;
/// Top left, top right, bottom left, bottom right.
const QUARTERS: [[u8; 3]; 4] = [[163, 66, 31], [31, 42, 77], [216, 203, 178], [77, 107, 42]];

fn quarters() -> DynamicImage {
    let quarter = |x, y| QUARTERS[usize::from(x >= WIDTH / 2) + 2 * usize::from(y >= HEIGHT / 2)];
    DynamicImage::ImageRgb8(ImageBuffer::from_fn(WIDTH, HEIGHT, |x, y| Rgb(quarter(x, y))))
}

fn saved(dir: &TempDir, name: &str, bytes: &[u8]) -> PathBuf {
    let path = dir.path().join(name);
    fs::write(&path, bytes).unwrap();
    path
}

fn encoded(image: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    image.write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

fn jpeg(image: &DynamicImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    image.write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 100)).unwrap();
    bytes
}

fn load(path: &Path) -> Result<Loaded, PictureProblem> {
    load_picture(path, &Watch::nobody()).map_err(|error| error.problem)
}

/// Mean colour of a region.
fn colour_at(loaded: &Loaded, region: Region) -> Colour {
    let pixels = to_oklab(&loaded.picture, region, &Balance::none(), 1, &Watch::nobody()).unwrap();
    let [l, a, b] =
        [0, 1, 2].map(|k| pixels.iter().map(|p| f64::from(p[k])).sum::<f64>() / pixels.len() as f64);
    Colour::from_oklab(l, a, b)
}

#[track_caller]
fn assert_quarters(loaded: &Loaded, expected: [[u8; 3]; 4], tolerance: f64) {
    let (width, height) = (loaded.picture.width(), loaded.picture.height());
    for (k, rgb) in expected.into_iter().enumerate() {
        let (x, y) = ((k as u32 % 2) * width / 2, (k as u32 / 2) * height / 2);
        let found = colour_at(loaded, Region::new(x + 4, y + 4, 8, 8));
        let difference = found.difference(Colour::from_srgb8(rgb));
        assert!(difference < tolerance, "quarter {k}: {} off by {difference}", found.to_hex());
    }
}

#[test]
fn every_format_is_read_at_its_depth() {
    let dir = TempDir::new().unwrap();
    let eight = quarters();
    let sixteen = DynamicImage::ImageRgb16(eight.to_rgb16());
    let clear = DynamicImage::ImageRgba16(eight.to_rgba16());
    for (name, bytes, depth) in [
        ("a.png", encoded(&eight, ImageFormat::Png), Depth::Eight),
        ("a.webp", encoded(&eight, ImageFormat::WebP), Depth::Eight),
        ("a.tiff", encoded(&eight, ImageFormat::Tiff), Depth::Eight),
        ("b.png", encoded(&sixteen, ImageFormat::Png), Depth::Sixteen),
        ("b.tiff", encoded(&sixteen, ImageFormat::Tiff), Depth::Sixteen),
        ("c.png", encoded(&clear, ImageFormat::Png), Depth::Sixteen),
        // The name does not matter.
        ("d.txt", encoded(&eight, ImageFormat::Png), Depth::Eight),
    ] {
        let loaded = load(&saved(&dir, name, &bytes)).unwrap();
        assert_eq!(loaded.picture.depth(), depth, "{name}");
        assert_eq!(loaded.notes, [], "{name}");
        assert_quarters(&loaded, QUARTERS, 0.05);
    }
    assert_quarters(&load(&saved(&dir, "a.jpg", &jpeg(&eight))).unwrap(), QUARTERS, 1.0);
}

#[test]
fn greys_and_palettes_are_spread_over_three_channels() {
    let dir = TempDir::new().unwrap();
    let grey = DynamicImage::ImageLuma8(quarters().to_luma8());
    let expected = QUARTERS.map(|rgb| {
        let luma = DynamicImage::ImageRgb8(ImageBuffer::from_pixel(1, 1, Rgb(rgb))).to_luma8();
        [luma.get_pixel(0, 0).0[0]; 3]
    });
    assert_quarters(
        &load(&saved(&dir, "grey.png", &encoded(&grey, ImageFormat::Png))).unwrap(),
        expected,
        0.1,
    );
    assert_quarters(&load(&saved(&dir, "grey.jpg", &jpeg(&grey))).unwrap(), expected, 0.5);
}

/// The JPEG with an EXIF orientation (TIFF tag 0x112) in an APP1 segment after its start.
fn with_orientation(jpeg: &[u8], orientation: u8) -> Vec<u8> {
    let mut exif = b"Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    exif.extend([orientation, 0, 0, 0, 0, 0, 0, 0]);
    let length = (exif.len() + 2) as u16;
    [&jpeg[..2], &[0xff, 0xe1], &length.to_be_bytes(), &exif, &jpeg[2..]].concat()
}

#[test]
fn pictures_are_turned_upright() {
    // EXIF 2.32 section 4.6.4: which picture corner the stored corners belong to.
    let dir = TempDir::new().unwrap();
    let jpeg = jpeg(&quarters());
    let [a, b, c, d] = QUARTERS;
    for (orientation, expected, turned) in [
        (1, [a, b, c, d], false),
        (2, [b, a, d, c], false),
        (3, [d, c, b, a], false),
        (4, [c, d, a, b], false),
        (5, [a, c, b, d], true),
        (6, [c, a, d, b], true),
        (7, [d, b, c, a], true),
        (8, [b, d, a, c], true),
        // No such orientation: read as it is.
        (99, [a, b, c, d], false),
    ] {
        let path = saved(&dir, &format!("{orientation}.jpg"), &with_orientation(&jpeg, orientation));
        let loaded = load(&path).unwrap();
        let size = if turned { (HEIGHT, WIDTH) } else { (WIDTH, HEIGHT) };
        assert_eq!((loaded.picture.width(), loaded.picture.height()), size, "{orientation}");
        assert_quarters(&loaded, expected, 1.0);
    }
}

/// A PNG of one colour with a profile.
fn with_profile(rgb: [u8; 3], profile: Vec<u8>) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = PngEncoder::new(&mut bytes);
    encoder.set_icc_profile(profile).unwrap();
    encoder.write_image(&rgb.repeat(64), 8, 8, ExtendedColorType::Rgb8).unwrap();
    bytes
}

#[test]
fn a_wide_gamut_profile_is_honoured_and_nothing_is_cut_off() {
    let dir = TempDir::new().unwrap();
    let profile = moxcms::ColorProfile::new_display_p3().encode().unwrap();
    for (rgb, xyz) in [
        // The columns of the Display P3 to XYZ matrix, CSS Color 4 section 18.
        ([255, 0, 0], [0.486_570_9, 0.228_974_6, 0.0]),
        ([0, 255, 0], [0.265_667_7, 0.691_738_5, 0.045_113_4]),
        ([0, 0, 255], [0.198_217_3, 0.079_286_9, 1.043_944_4]),
    ] {
        let loaded = load(&saved(&dir, "p3.png", &with_profile(rgb, profile.clone()))).unwrap();
        assert_eq!(loaded.notes, []);
        let found = colour_at(&loaded, loaded.picture.bounds());
        let [x, y, z] = xyz;
        let expected: Lab =
            palette::convert::IntoColorUnclamped::into_color_unclamped(palette::Xyz::<
                palette::white_point::D65,
                f64,
            >::new(x, y, z));
        let difference = huegauge::colour::ciede2000(found.to_lab(), expected);
        assert!(difference < 0.3, "{rgb:?}: {difference}");
        assert!(!found.is_in_gamut());
    }
}

/// A profile of tables alone (ICC.1:2022, lut8Type) that holds sRGB: PCS Lab at the eight corners.
fn table_profile() -> Vec<u8> {
    // Lab (D50) of the corners from tests/data/css4_conversions.csv, blue running fastest.
    let corners: [[f64; 3]; 8] = [
        [0.0, 0.0, 0.0],
        [29.568, 68.287, -112.03],
        [87.819, -79.271, 80.995],
        [90.666, -50.657, -14.962],
        [54.291, 80.805, 69.891],
        [60.17, 93.55, -60.5],
        [97.607, -15.75, 93.394],
        [100.0, 0.0, 0.0],
    ];
    let ramp: Vec<u8> = (0..=255).collect();
    let mut table = b"mft1\0\0\0\0\x03\x03\x02\0".to_vec();
    for entry in [1_i32, 0, 0, 0, 1, 0, 0, 0, 1] {
        table.extend((entry << 16).to_be_bytes());
    }
    table.extend(ramp.repeat(3));
    for [l, a, b] in corners {
        table.extend([l * 2.55, a + 128.0, b + 128.0].map(|v| v.round().clamp(0.0, 255.0) as u8));
    }
    table.extend(ramp.repeat(3));
    let size = 128 + 4 + 12 + table.len();
    let mut profile = vec![0; 128];
    profile[0..4].copy_from_slice(&(size as u32).to_be_bytes());
    profile[8..12].copy_from_slice(&[2, 0x40, 0, 0]);
    profile[12..24].copy_from_slice(b"scnrRGB Lab ");
    profile[24..36].copy_from_slice(&[0x07, 0xea, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0]);
    profile[36..40].copy_from_slice(b"acsp");
    profile[68..80].copy_from_slice(&[0, 0, 0xf6, 0xd6, 0, 1, 0, 0, 0, 0, 0xd3, 0x2d]);
    profile.extend(1_u32.to_be_bytes());
    profile.extend(b"A2B0");
    profile.extend([144_u32, table.len() as u32].map(u32::to_be_bytes).concat());
    profile.extend(table);
    profile
}

#[test]
fn a_table_profile_is_converted_and_said() {
    let dir = TempDir::new().unwrap();
    let loaded = load(&saved(&dir, "scan.png", &with_profile([255, 0, 0], table_profile()))).unwrap();
    assert_eq!(loaded.notes, [PictureNote::ConvertedToSrgb]);
    let found = colour_at(&loaded, loaded.picture.bounds());
    let difference = found.difference(Colour::from_srgb8([255, 0, 0]));
    // The corner is rounded to whole units of Lab.
    assert!(difference < 2.5, "{} {difference}", found.to_hex());
}

#[test]
fn a_damaged_profile_is_said_and_the_picture_still_opens() {
    let dir = TempDir::new().unwrap();
    let loaded = load(&saved(&dir, "odd.png", &with_profile(QUARTERS[0], vec![7; 200]))).unwrap();
    assert_eq!(loaded.notes, [PictureNote::ProfileUnusable]);
    let found = colour_at(&loaded, loaded.picture.bounds());
    assert!(found.difference(Colour::from_srgb8(QUARTERS[0])) < 0.05);
}

/// A chunk of a PNG file (ISO/IEC 15948 clause 5.3).
fn chunk(name: [u8; 4], data: &[u8]) -> Vec<u8> {
    let body = [&name[..], data].concat();
    [&(data.len() as u32).to_be_bytes()[..], &body, &crc32(&body).to_be_bytes()].concat()
}

/// This many zeros as a zlib stream (RFC 1950, RFC 1951): one fixed block of copies of 258 bytes at
/// distance 1, whose codes are 13 bits long, so that a megabyte of file unpacks to about 160.
fn packed_zeros(megabytes: usize) -> Vec<u8> {
    let (mut bytes, mut held, mut count) = (vec![0x78, 0x01], 0_u32, 0);
    let mut put = |value: u32, bits: u32| {
        held |= value << count;
        count += bits;
        while count >= 8 {
            bytes.push(held as u8);
            held >>= 8;
            count -= 8;
        }
    };
    let code = |value: u32, bits: u32| value.reverse_bits() >> (32 - bits);
    // Last block, fixed codes; the first zero is a literal.
    put(0b011, 3);
    put(code(0x30, 8), 8);
    let copies = (megabytes << 20) / 258;
    for _ in 0..copies {
        // Length 258 is symbol 285, distance 1 is symbol 0.
        put(code(0b1100_0101, 8), 8);
        put(0, 5);
    }
    put(0, 7);
    put(0, 7);
    // Adler-32 of n zeros: the sum stays 1, the sum of sums is n.
    let length = (copies * 258 + 1) as u32 % 65_521;
    [bytes, ((length << 16) | 1).to_be_bytes().to_vec()].concat()
}

#[test]
fn a_profile_that_unpacks_without_end_costs_little_and_is_said() {
    let dir = TempDir::new().unwrap();
    let plain = encoded(&quarters(), ImageFormat::Png);
    // After the signature and the header: 8 and 25 bytes.
    let with = |megabytes| {
        let profile = [&b"p\0\0"[..], &packed_zeros(megabytes)].concat();
        [&plain[..33], &chunk(*b"iCCP", &profile), &plain[33..]].concat()
    };
    // The stream is sound: a small one is unpacked, and is no profile.
    let small = load(&saved(&dir, "small.png", &with(1))).unwrap();
    assert_eq!(small.notes, [PictureNote::ProfileUnusable]);
    let bomb = saved(&dir, "bomb.png", &with(900));
    let before = peak_memory();
    let loaded = load(&bomb).unwrap();
    assert_eq!(loaded.notes, [PictureNote::ProfileUnusable]);
    assert_quarters(&loaded, QUARTERS, 0.05);
    assert!(peak_memory() - before < 100 << 20, "{} MB", (peak_memory() - before) >> 20);
}

#[test]
fn what_is_no_picture_is_refused_with_the_mend() {
    let dir = TempDir::new().unwrap();
    for (name, bytes, problem, mend) in [
        ("none.png", &b""[..], PictureProblem::Empty, "copy it again"),
        ("words.jpg", b"dear knitter", PictureProblem::UnknownFormat, "save it as one of these"),
        (
            "moving.gif",
            b"GIF89a\x01\0\x01\0\0\0\0;",
            PictureProblem::UnknownFormat,
            "JPEG, PNG, WebP or TIFF",
        ),
        ("phone.heic", b"\0\0\0\x18ftypheic\0\0\0\0", PictureProblem::PhoneFormat, "take JPEG pictures"),
    ] {
        let path = saved(&dir, name, bytes);
        let error = load_picture(&path, &Watch::nobody()).unwrap_err();
        assert_eq!(error.problem, problem, "{name}");
        let line = error.to_string();
        assert!(line.contains(name) && line.contains(mend) && !line.contains('\n'), "{line}");
    }
    assert_eq!(load(&dir.path().join("gone.png")), Err(PictureProblem::Missing));
    assert_eq!(load(dir.path()), Err(PictureProblem::NotAFile("a folder")));
    #[cfg(unix)]
    assert_eq!(load(Path::new("/dev/zero")), Err(PictureProblem::NotAFile("a device or pipe")));
}

#[test]
fn a_picture_cut_short_anywhere_is_refused() {
    let dir = TempDir::new().unwrap();
    let image = quarters();
    let sixteen = DynamicImage::ImageRgb16(image.to_rgb16());
    for (name, bytes) in [
        ("cut.jpg", jpeg(&image)),
        ("cut.png", encoded(&image, ImageFormat::Png)),
        ("cut16.png", encoded(&sixteen, ImageFormat::Png)),
        ("cut.webp", encoded(&image, ImageFormat::WebP)),
        ("cut.tiff", encoded(&sixteen, ImageFormat::Tiff)),
    ] {
        for part in [1, 5, 13, 30, 60, 90, 99] {
            let path = saved(&dir, name, &bytes[..(bytes.len() * part).div_ceil(100)]);
            // A file that lost nothing but its last bytes of padding may open, then with every pixel.
            if let Ok(loaded) = load(&path) {
                assert!(part == 99, "{name} opened at {part} %");
                assert_quarters(&loaded, QUARTERS, 0.05);
            }
        }
    }
    let half = jpeg(&image);
    let path = saved(&dir, "half.jpg", &half[..half.len() / 2]);
    assert_eq!(load(&path), Err(PictureProblem::CutShort));
}

/// A PNG header that claims a size, and hardly any data.
fn claims(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = encoded(&quarters(), ImageFormat::Png);
    bytes[16..20].copy_from_slice(&width.to_be_bytes());
    bytes[20..24].copy_from_slice(&height.to_be_bytes());
    let crc = crc32(&bytes[12..29]);
    bytes[29..33].copy_from_slice(&crc.to_be_bytes());
    bytes
}

fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0_u32, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| (crc >> 1) ^ (0xedb8_8320 & (crc & 1).wrapping_neg()))
    })
}

/// Most memory this process has held, in bytes (Linux).
#[cfg(target_os = "linux")]
fn peak_memory() -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find(|line| line.starts_with("VmHWM:")).unwrap();
    line.split_whitespace().nth(1).unwrap().parse::<u64>().unwrap() << 10
}

#[test]
fn a_picture_that_lies_about_its_size_costs_nothing() {
    let dir = TempDir::new().unwrap();
    let path = saved(&dir, "vast.png", &claims(60_000, 60_000));
    #[cfg(target_os = "linux")]
    let before = peak_memory();
    let error = load_picture(&path, &Watch::nobody()).unwrap_err();
    assert_eq!(error.problem, PictureProblem::TooManyPixels { width: 60_000, height: 60_000 });
    let line = error.to_string();
    assert!(
        line.contains("60000 x 60000") && line.contains("3600 megapixels") && line.contains("scale it down"),
        "{line}"
    );
    // Just inside the limit, with nothing behind it.
    assert!(load(&saved(&dir, "hollow.png", &claims(7_000, 7_000))).is_err());
    #[cfg(target_os = "linux")]
    assert!(peak_memory() - before < 400 << 20, "{} MB", (peak_memory() - before) >> 20);
}

#[test]
fn inks_are_refused() {
    let dir = TempDir::new().unwrap();
    // A JPEG that says it has four components: the frame header's count is enough.
    let mut bytes = jpeg(&quarters());
    let frame = bytes.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
    bytes[frame + 9] = 4;
    let path = saved(&dir, "press.jpg", &bytes);
    let error = load_picture(&path, &Watch::nobody()).unwrap_err();
    assert_eq!(error.problem, PictureProblem::Cmyk);
    assert!(error.to_string().contains("save it as RGB"), "{error}");

    assert_eq!(load(&saved(&dir, "press.tiff", &tiff(4, 5))), Err(PictureProblem::Cmyk));
    let float = DynamicImage::ImageRgb32F(quarters().to_rgb32f());
    assert_eq!(
        load(&saved(&dir, "light.tiff", &encoded(&float, ImageFormat::Tiff))),
        Err(PictureProblem::Float)
    );
}

#[test]
fn damaged_pictures_never_bring_the_program_down() {
    // Bytes changed at places spread over each file; it may open or be refused, no more.
    let dir = TempDir::new().unwrap();
    let image = quarters();
    for (name, bytes) in [
        ("d.jpg", with_orientation(&jpeg(&image), 6)),
        ("d.png", with_profile(QUARTERS[0], moxcms::ColorProfile::new_display_p3().encode().unwrap())),
        ("t.png", with_profile(QUARTERS[0], table_profile())),
        ("d.webp", encoded(&image, ImageFormat::WebP)),
        ("d.tiff", encoded(&image, ImageFormat::Tiff)),
        ("inks.tiff", tiff(4, 5)),
    ] {
        let mut state = 12_345_u64;
        for _ in 0..150 {
            let mut damaged = bytes.clone();
            for _ in 0..3 {
                state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                let place = (state >> 33) as usize % damaged.len();
                damaged[place] = (state >> 24) as u8;
            }
            if let Ok(loaded) = load(&saved(&dir, name, &damaged)) {
                let pixels = u64::from(loaded.picture.width()) * u64::from(loaded.picture.height());
                assert!(pixels <= huegauge::file::MAX_PIXELS);
            }
        }
    }
}

#[test]
fn opening_stops_when_asked() {
    let dir = TempDir::new().unwrap();
    let path = saved(&dir, "a.png", &encoded(&quarters(), ImageFormat::Png));
    let cancel = AtomicBool::new(true);
    let error = load_picture(&path, &Watch::new(&cancel, &|_| {})).unwrap_err();
    assert_eq!(error.problem, PictureProblem::Cancelled);
}

#[test]
fn clear_places_keep_their_colour() {
    let dir = TempDir::new().unwrap();
    let clear = DynamicImage::ImageRgba8(ImageBuffer::from_pixel(8, 8, Rgba([163, 66, 31, 0])));
    let loaded = load(&saved(&dir, "clear.png", &encoded(&clear, ImageFormat::Png))).unwrap();
    let found = colour_at(&loaded, loaded.picture.bounds());
    assert!(found.difference(Colour::from_srgb8([163, 66, 31])) < 0.05);
}
