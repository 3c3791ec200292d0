//! The example of FILE.md is a project.

use project::file::{from_file, to_file};

#[test]
fn the_documented_example_opens_and_is_written_the_same() {
    let page = include_str!("../../FILE.md");
    let (_, rest) = page.split_once("```ron\n").unwrap();
    let (example, _) = rest.split_once("```").unwrap();
    let opened = from_file(example, &mut |_| Ok(b"\xff\xd8\xff".to_vec())).unwrap();
    assert_eq!(opened.problems, []);
    let written = to_file(&opened.document).unwrap().text;
    let lines = |text: &str| text.lines().filter(|line| !line.contains("file:")).map(str::to_owned).collect::<Vec<_>>();
    let [written, example] = [lines(&written)[1..].to_vec(), lines(example)];
    for (written, example) in written.iter().zip(&example) {
        assert_eq!(written, example);
    }
    assert_eq!(written.len(), example.len());
}
