//! How pictures are named beside the project.

use std::sync::Arc;

use crate::document::Picture;
use crate::edit::Refused;

/// The folder of the pictures, beside the project file.
const FOLDER: &str = "pictures";

/// A format of pictures that a project can hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureKind {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
}

/// The format by the first bytes (JPEG: ITU-T T.81 SOI marker; PNG: ISO/IEC 15948 signature).
pub fn picture_kind(bytes: &[u8]) -> Option<PictureKind> {
    match bytes {
        [0xff, 0xd8, 0xff, ..] => Some(PictureKind::Jpeg),
        [0x89, b'P', b'N', b'G', b'\r', b'\n', 0x1a, b'\n', ..] => Some(PictureKind::Png),
        _ => None,
    }
}

/// Where the bytes of a picture are kept, relative to the project: `pictures/NAME-<8 hex digits of its content>.jpg`.
/// Other bytes get another name, so no picture on disk is ever overwritten by another one.
pub fn picture_file_name(name: &str, bytes: &[u8]) -> String {
    let extension = match picture_kind(bytes) {
        Some(PictureKind::Png) => "png",
        Some(PictureKind::Jpeg) | None => "jpg",
    };
    format!("{FOLDER}/{}-{}.{extension}", plain(name), content_id(bytes))
}

fn content_id(bytes: &[u8]) -> String {
    blake3::hash(bytes).to_hex().as_str()[..8].to_owned()
}

/// Letters and digits that every file system takes.
fn plain(name: &str) -> String {
    let words = name.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let joined = words.map(str::to_ascii_lowercase).collect::<Vec<_>>().join("-");
    let short: String = joined.chars().take(40).collect();
    if short.is_empty() { "picture".into() } else { short }
}

/// The paths of all pictures, in order: the one a picture has if it still tells its bytes, else a new one.
pub(super) fn files(pictures: &[Arc<Picture>]) -> Vec<String> {
    pictures.iter().map(|picture| file_of(picture)).collect()
}

/// The path of one picture.
pub(crate) fn file_of(picture: &Picture) -> String {
    let tells = || {
        let stem = picture.file.rsplit_once('.').map_or(picture.file.as_str(), |(stem, _)| stem);
        stem.ends_with(&format!("-{}", content_id(&picture.bytes)))
    };
    if check_picture_path(&picture.file).is_ok() && (picture.bytes.is_empty() || tells()) {
        picture.file.clone()
    } else {
        picture_file_name(&picture.name, &picture.bytes)
    }
}

/// A path that stays beside the project on every system: relative, forward slashes, never up.
///
/// # Errors
/// Empty, too long, absolute, with a drive, a backslash, an invisible character or a part that is empty, `.` or `..`.
pub fn check_picture_path(path: &str) -> Result<(), Refused> {
    let awkward = path.len() > 300 || path.contains(['\\', ':']) || path.chars().any(char::is_control);
    if awkward || path.split('/').any(|part| matches!(part, "" | "." | "..")) {
        return Err(Refused::new(
            format!("The picture path {path:?} does not stay beside the project."),
            "Give a path such as pictures/side.jpg: relative to the project, forward slashes, no dots for folders.",
        ));
    }
    Ok(())
}
