//! Random projects: each keeps its promises, and comes back from its file as it was.

use plugwright_tests::documents::any_document;
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn a_project_is_written_and_read(document in any_document()) {
        let written = project::file::to_file(&document);
        prop_assert!(written.is_ok(), "{written:?}");
        let Ok(written) = written else { return Ok(()) };
        let read = project::file::from_file(&written.text, &mut |_| Err("there is none".into()));
        prop_assert!(read.is_ok(), "{read:?} of {}", written.text);
        if let Ok(read) = read {
            prop_assert_eq!(read.document, document, "{:?}", read.problems);
        }
    }
}
