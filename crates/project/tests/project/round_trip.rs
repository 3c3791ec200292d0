//! A document survives the way to the file and back, to the last digit.

use std::collections::BTreeMap;

use project::file::{from_file, to_file};
use project::promise::check_document;
use proptest::prelude::*;

proptest! {
    #[test]
    fn a_saved_document_opens_as_it_was(document in crate::documents::document()) {
        prop_assert_eq!(check_document(&document), Ok(()));
        let file = to_file(&document).unwrap();
        let pictures: BTreeMap<_, _> = file.pictures.iter().cloned().collect();
        let mut load = |path: &str| pictures.get(path).map(|bytes| bytes.to_vec()).ok_or_else(|| "missing".into());
        let opened = from_file(&file.text, &mut load).unwrap();
        prop_assert_eq!(&opened.problems, &[]);
        prop_assert_eq!(&opened.document, &document);
        prop_assert_eq!(to_file(&opened.document).unwrap(), file);
    }

    #[test]
    fn cut_off_text_is_an_error_and_no_panic(document in crate::documents::document(), share in 0.0..1.0) {
        let text = to_file(&document).unwrap().text;
        let mut end = (text.trim_end().len() as f64 * share) as usize;
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        prop_assert!(from_file(&text[..end], &mut |_| Err("missing".into())).is_err());
    }

    #[test]
    fn text_with_a_changed_character_opens_whole_or_not_at_all(
        document in crate::documents::document(),
        share in 0.0..1.0,
        new in "[-0-9a-zA-Z(){}\\[\\],.:\"#/]",
    ) {
        let mut chars: Vec<_> = to_file(&document).unwrap().text.chars().collect();
        let at = (chars.len() as f64 * share) as usize;
        chars[at] = new.chars().next().unwrap();
        let text: String = chars.into_iter().collect();
        if let Ok(opened) = from_file(&text, &mut |_| Err("missing".into())) {
            prop_assert_eq!(check_document(&opened.document), Ok(()));
        }
    }
}
