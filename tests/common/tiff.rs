//! The smallest TIFF there is.

/// The smallest TIFF (TIFF 6.0) with this size and kind of pixel: 2 is red, green, blue, 5 inks.
pub fn tiff(side: u32, kind: u32) -> Vec<u8> {
    let samples = if kind == 5 { 4 } else { 3 };
    let entries: [(u16, u16, u32, u32); 10] = [
        (256, 4, 1, side),
        (257, 4, 1, side),
        (258, 3, samples, 134),
        (259, 3, 1, 1),
        (262, 3, 1, kind),
        (273, 4, 1, 142),
        (277, 3, 1, samples),
        (278, 4, 1, side),
        (279, 4, 1, 64),
        (284, 3, 1, 1),
    ];
    let mut bytes = b"II*\0\x08\0\0\0\x0a\0".to_vec();
    for (tag, kind, count, value) in entries {
        bytes.extend([tag, kind].map(u16::to_le_bytes).concat());
        bytes.extend([count, value].map(u32::to_le_bytes).concat());
    }
    bytes.extend([0; 4]);
    bytes.extend([8_u16; 4].map(u16::to_le_bytes).concat());
    bytes.extend([40; 64]);
    bytes
}
