//! Whether a file was written by this program, so that it may be written anew unasked. Everything else that happens to have the name
//! belongs to the builder: a photograph, a table that was measured by hand, somebody else's drawing.

use project::table::HEADER;

/// What our files say of their maker.
const MAKER: &str = "Plugwright";

/// Whether `there` is of the same kind as `new` and says that we wrote it; nothing at all is nobody's.
pub(crate) fn is_ours(there: &[u8], new: &[u8]) -> bool {
    there.is_empty() || Kind::of(new).is_some_and(|kind| Kind::of(there) == Some(kind) && kind.signed(there))
}

/// The kinds of file that leave the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Pdf,
    Png,
    Svg,
    Stl,
    Package,
    Table,
}

impl Kind {
    fn of(bytes: &[u8]) -> Option<Self> {
        let starts: [(&[u8], Self); 6] = [
            (b"%PDF-", Self::Pdf),
            (b"\x89PNG\r\n\x1a\n", Self::Png),
            (b"<?xml", Self::Svg),
            (b"binary STL", Self::Stl),
            (b"PK\x03\x04", Self::Package),
            (HEADER.as_bytes(), Self::Table),
        ];
        starts.into_iter().find(|(start, _)| bytes.starts_with(start)).map(|(_, kind)| kind)
    }

    /// Whether the maker's name stands where our writers put it.
    fn signed(self, bytes: &[u8]) -> bool {
        let head = |most: usize| &bytes[..bytes.len().min(most)];
        match self {
            Self::Pdf => holds(bytes, &format!("/Creator ({MAKER})")),
            Self::Png => holds(head(256), &format!("Software\0{MAKER}")),
            Self::Svg => holds(head(256), &format!("<!-- {MAKER} -->")),
            Self::Stl => holds(head(80), MAKER),
            Self::Package => bytes.ends_with(MAKER.as_bytes()),
            Self::Table => is_our_table(bytes),
        }
    }
}

fn holds(bytes: &[u8], text: &str) -> bool {
    bytes.windows(text.len()).any(|window| window == text.as_bytes())
}

/// A table must stay a plain table, so it has no maker; but nobody types every number with six places after its point.
fn is_our_table(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else { return false };
    let six = |number: &str| number.rsplit_once('.').is_some_and(|(_, places)| places.len() == 6);
    text.lines().skip(1).all(|row| row.split(',').count() == 3 && row.split(',').all(six))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_says_so_is_ours() {
        let table = |row: &str| format!("{HEADER}\n{row}\n").into_bytes();
        let ours = table("1.000000,2.000000,-3.000000");
        assert!(is_ours(&ours, &ours));
        assert!(is_ours(b"", &ours));
        assert!(!is_ours(&table("1,2,3"), &ours), "typed by hand");
        assert!(!is_ours(&table("1.000000,2.000000,-3.000000\nmeasured again"), &ours));
        assert!(!is_ours(b"Dear", &ours));
        assert!(!is_ours(&ours, b"%PDF-1.7 /Creator (Plugwright)"), "another kind");
        assert!(!is_ours(b"%PDF-1.7 /Creator (Letters) Plugwright", b"%PDF-1.7"));
        assert!(is_ours(b"%PDF-1.7 /Creator (Plugwright)", b"%PDF-1.7"));
    }
}
