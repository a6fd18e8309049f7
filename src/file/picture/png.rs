//! A look at a PNG file's chunks (ISO/IEC 15948 clause 5) for what the decoder does not tell: that there is a colour
//! profile, though it may have been too large to unpack.

use std::io::{self, Read, Seek, SeekFrom};

/// Whether a colour profile stands before the picture's data. `false` too when the file ends before that:
/// the decoder then says what is wrong with it.
pub(super) fn has_profile(file: &mut (impl Read + Seek)) -> io::Result<bool> {
    const SIGNATURE: u64 = 8;
    file.seek(SeekFrom::Start(SIGNATURE))?;
    loop {
        let mut head = [0; 8];
        match file.read_exact(&mut head) {
            Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => return Ok(false),
            other => other?,
        }
        let [a, b, c, d, name @ ..] = head;
        match &name {
            b"iCCP" => return Ok(true),
            b"IDAT" | b"IEND" => return Ok(false),
            // The data and its check sum are passed over.
            _ => file.seek_relative(i64::from(u32::from_be_bytes([a, b, c, d])) + 4)?,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Cursor;

    #[test]
    fn a_profile_is_seen_before_the_data_only() {
        let chunk = |name: &[u8; 4], length: usize| {
            [&(length as u32).to_be_bytes()[..], name, &vec![0; length + 4]].concat()
        };
        let look = |chunks: &[Vec<u8>]| {
            let bytes = [vec![0; 8], chunks.concat()].concat();
            has_profile(&mut Cursor::new(bytes)).unwrap()
        };
        assert!(look(&[chunk(b"IHDR", 13), chunk(b"iCCP", 40), chunk(b"IDAT", 9)]));
        assert!(!look(&[chunk(b"IHDR", 13), chunk(b"IDAT", 9), chunk(b"iCCP", 40)]));
        assert!(!look(&[chunk(b"IHDR", 13)]));
        assert!(!look(&[vec![0xff; 30]]));
    }
}
