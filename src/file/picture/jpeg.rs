//! A look at a JPEG file's markers (ISO/IEC 10918-1 annex B) for what the decoder does not tell:
//! that it holds inks, or that its end is missing (which the decoder fills in with grey).

use std::io::{BufRead, BufReader, Read, Seek};

use super::error::PictureProblem;

const START_OF_IMAGE: u8 = 0xd8;
const END_OF_IMAGE: u8 = 0xd9;
const START_OF_SCAN: u8 = 0xda;

/// Refuses a JPEG file of inks, of 12 bits, or without an end.
pub(super) fn check(file: &mut BufReader<impl Read + Seek>) -> Result<(), PictureProblem> {
    file.rewind().map_err(|e| PictureProblem::of_io(&e))?;
    let mut next = || {
        let mut byte = [0];
        file.read_exact(&mut byte).map(|()| byte[0]).map_err(|e| PictureProblem::of_io(&e))
    };
    if [next()?, next()?] != [0xff, START_OF_IMAGE] {
        return Err(PictureProblem::Corrupt("it does not begin as a JPEG picture".to_owned()));
    }
    loop {
        // Any number of fill bytes may stand before a marker.
        let mut byte = next()?;
        if byte != 0xff {
            return Err(PictureProblem::Corrupt("a marker is missing".to_owned()));
        }
        while byte == 0xff {
            byte = next()?;
        }
        match byte {
            // Markers without a segment.
            0x01 | 0xd0..=START_OF_IMAGE => continue,
            END_OF_IMAGE => return Err(PictureProblem::CutShort),
            _ => {}
        }
        let length = u16::from_be_bytes([next()?, next()?]);
        let body = length.checked_sub(2).ok_or_else(too_short)?;
        let mut segment = Vec::with_capacity(usize::from(body));
        for _ in 0..body {
            segment.push(next()?);
        }
        match byte {
            START_OF_SCAN => break,
            // Frame headers; c4, c8 and cc are other things.
            0xc0..=0xcf if ![0xc4, 0xc8, 0xcc].contains(&byte) => frame(&segment)?,
            _ => {}
        }
    }
    find_end(file)
}

/// Looks for the end marker in what follows the first scan's header: there ff is followed by 00
/// unless it begins a marker.
fn find_end(file: &mut impl BufRead) -> Result<(), PictureProblem> {
    let mut last = 0;
    loop {
        let block = file.fill_buf().map_err(|e| PictureProblem::of_io(&e))?;
        if block.is_empty() {
            return Err(PictureProblem::CutShort);
        }
        for byte in block {
            if (last, *byte) == (0xff, END_OF_IMAGE) {
                return Ok(());
            }
            last = *byte;
        }
        let length = block.len();
        file.consume(length);
    }
}

fn frame(segment: &[u8]) -> Result<(), PictureProblem> {
    let [precision, _, _, _, _, components, ..] = *segment else { return Err(too_short()) };
    match (precision, components) {
        (_, 4) => Err(PictureProblem::Cmyk),
        (8, _) => Ok(()),
        (bits, _) => Err(PictureProblem::Unsupported(format!("JPEG with {bits} bits a channel"))),
    }
}

fn too_short() -> PictureProblem {
    PictureProblem::Corrupt("a segment is too short".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Cursor;

    fn look(bytes: &[u8]) -> Result<(), PictureProblem> {
        check(&mut BufReader::new(Cursor::new(bytes)))
    }

    const HEAD: &[u8] = &[0xff, 0xd8, 0xff, 0xc0, 0, 8, 8, 0, 1, 0, 1, 3, 0xff, 0xda, 0, 2];

    #[test]
    fn an_end_is_asked_for() {
        assert_eq!(look(&[HEAD, &[1, 2, 0xff, 0, 3, 0xff, 0xd9]].concat()), Ok(()));
        assert_eq!(look(&[HEAD, &[1, 2, 0xff, 0, 0xd9, 3]].concat()), Err(PictureProblem::CutShort));
        assert_eq!(look(&HEAD[..9]), Err(PictureProblem::CutShort));
        assert_eq!(look(&[0xff, 0xd8, 0xff, 0xd9]), Err(PictureProblem::CutShort));
        assert!(matches!(look(&[0xff, 0xd8, 0, 0]), Err(PictureProblem::Corrupt(_))));
        assert!(matches!(look(&[0xff, 0xd8, 0xff, 0xe0, 0, 1]), Err(PictureProblem::Corrupt(_))));
    }

    #[test]
    fn inks_are_seen() {
        let mut inks = HEAD.to_vec();
        inks[11] = 4;
        assert_eq!(look(&inks), Err(PictureProblem::Cmyk));
    }
}
