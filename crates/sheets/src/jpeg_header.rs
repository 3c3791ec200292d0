//! Size and channels of a JPEG from its frame header, so that its bytes can pass into a PDF unchanged.

/// What a PDF must say about a JPEG.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct JpegHeader {
    /// Pixels across.
    pub(crate) width: u16,
    /// Pixels down.
    pub(crate) height: u16,
    /// 1 grey, 3 colour, 4 print colours.
    pub(crate) channels: u8,
    /// Whether an "Adobe" marker is present: its four-channel files hold inverted values.
    pub(crate) adobe: bool,
}

/// Walks the markers up to the frame header (ITU-T T.81, annex B). `None` if there is none that a PDF can carry.
pub(crate) fn read(bytes: &[u8]) -> Option<JpegHeader> {
    let mut at = 2;
    let mut adobe = false;
    if bytes.get(..2)? != [0xFF, 0xD8] {
        return None;
    }
    loop {
        while *bytes.get(at)? == 0xFF && *bytes.get(at + 1)? == 0xFF {
            at += 1; // fill bytes before a marker
        }
        if *bytes.get(at)? != 0xFF {
            return None;
        }
        let marker = *bytes.get(at + 1)?;
        let length = usize::from(u16::from_be_bytes([*bytes.get(at + 2)?, *bytes.get(at + 3)?]));
        let body = bytes.get(at + 4..at + 2 + length.max(2))?;
        match marker {
            // Baseline, extended and progressive frames of 8 bits; PDF's DCTDecode takes these.
            0xC0..=0xC2 => return frame(body, adobe),
            // Lossless, hierarchical and arithmetic frames, and a scan without a frame.
            0xC3 | 0xC5..=0xC7 | 0xC9..=0xCB | 0xCD..=0xCF | 0xD9 | 0xDA => return None,
            0xEE if body.starts_with(b"Adobe") => adobe = true,
            _ => {}
        }
        at += 2 + length;
    }
}

fn frame(body: &[u8], adobe: bool) -> Option<JpegHeader> {
    let &[8, h1, h0, w1, w0, channels @ (1 | 3 | 4), ..] = body else { return None };
    let (width, height) = (u16::from_be_bytes([w1, w0]), u16::from_be_bytes([h1, h0]));
    (width > 0 && height > 0).then_some(JpegHeader { width, height, channels, adobe })
}
