//! PNG pictures with a size and no pixels to speak of.

/// A PNG file of so many pixels that says `word` beside them, so that two with other words have other bytes. Its header is good and it
/// does not break off; its pixels are missing.
pub fn png([width, height]: [u32; 2], word: &[u8]) -> Vec<u8> {
    let mut header = b"IHDR".to_vec();
    header.extend([width.to_be_bytes(), height.to_be_bytes()].concat());
    // Eight bits a channel, red, green and blue.
    header.extend([8, 2, 0, 0, 0]);
    let words = [&b"tEXtComment\0"[..], word].concat();
    let mut file = b"\x89PNG\r\n\x1a\n".to_vec();
    for chunk in [&header[..], &words, b"IDAT", b"IEND"] {
        file.extend((chunk.len() as u32 - 4).to_be_bytes());
        file.extend(chunk);
        file.extend(checksum(chunk).to_be_bytes());
    }
    file
}

/// That of PNG's chunks (W3C PNG, annex D).
fn checksum(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0_u32, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| (crc >> 1) ^ if crc & 1 == 1 { 0xEDB8_8320 } else { 0 })
    })
}
