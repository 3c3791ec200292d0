//! The picture that was unpacked last, whole: 24 million pixels take 96 MB, so there is never more than one.

use photo::Photo;
use std::sync::{Arc, Mutex, PoisonError};

/// A picture with the bytes it was unpacked from.
type Unpacked = (Arc<[u8]>, Arc<Photo>);

/// The picture that was unpacked last, shared with the work that reads it.
#[derive(Clone, Default)]
pub(super) struct Kept(Arc<Mutex<Option<Unpacked>>>);

impl Kept {
    /// The picture of these bytes, unpacked now unless it was the last.
    pub(super) fn photo(&self, bytes: &Arc<[u8]>) -> Result<Arc<Photo>, String> {
        let last = self.0.lock().unwrap_or_else(PoisonError::into_inner).clone();
        if let Some((of, photo)) = last
            && Arc::ptr_eq(&of, bytes)
        {
            return Ok(photo);
        }
        // The last one goes before the next is unpacked, so that both are never there at once.
        self.forget();
        let photo = Arc::new(photo::decode(bytes).map_err(|error| error.to_string())?);
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = Some((bytes.clone(), photo.clone()));
        Ok(photo)
    }

    fn forget(&self) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pressed::with_pictures::png;

    #[test]
    fn one_picture_is_kept_and_given_again_until_it_is_let_go() {
        let (kept, a, b): (_, Arc<[u8]>, Arc<[u8]>) = (Kept::default(), png(30, 20).into(), png(20, 30).into());
        let first = kept.photo(&a).expect("a picture");
        assert!(Arc::ptr_eq(&first, &kept.photo(&a).expect("a picture")), "it was unpacked already");
        assert_eq!(kept.photo(&b).expect("a picture").width, 20);
        assert!(!Arc::ptr_eq(&first, &kept.photo(&a).expect("a picture")), "only one is kept");
        let torn: Arc<[u8]> = b"no picture at all".as_slice().into();
        assert!(kept.photo(&torn).is_err());
    }
}
