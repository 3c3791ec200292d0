//! What lies on a page, in as few words as say it.

/// Joins names, those that differ only in a figure at the end under one word: "Former 1–4, 7, Centre template".
pub(crate) fn joined(names: &[String]) -> String {
    let mut groups: Vec<(&str, Vec<u64>)> = Vec::new();
    for name in names {
        match (numbered(name), groups.last_mut()) {
            (Some((word, n)), Some((last, numbers))) if *last == word => numbers.push(n),
            (Some((word, n)), _) => groups.push((word, vec![n])),
            (None, _) => groups.push((name, Vec::new())),
        }
    }
    let said = |(word, numbers): &(&str, Vec<u64>)| match numbers[..] {
        [] => (*word).to_owned(),
        _ => format!("{word} {}", ranges(numbers)),
    };
    groups.iter().map(said).collect::<Vec<_>>().join(", ")
}

fn numbered(name: &str) -> Option<(&str, u64)> {
    let (word, figure) = name.rsplit_once(' ')?;
    Some((word, figure.parse().ok()?))
}

/// Figures in their order, three or more in a row as a range.
fn ranges(numbers: &[u64]) -> String {
    let mut runs: Vec<[u64; 2]> = Vec::new();
    for &n in numbers {
        match runs.last_mut() {
            Some(run) if run[1].checked_add(1) == Some(n) => run[1] = n,
            _ => runs.push([n, n]),
        }
    }
    let said = |[a, b]: &[u64; 2]| match b - a {
        0 => a.to_string(),
        1 => format!("{a}, {b}"),
        _ => format!("{a}–{b}"),
    };
    runs.iter().map(said).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_gather_under_one_word() {
        let names = ["Former 1", "Former 2", "Former 3", "Former 7", "Former 9", "Former 10", "Centre template"];
        assert_eq!(joined(&names.map(str::to_owned)), "Former 1–3, 7, 9, 10, Centre template");
        assert_eq!(joined(&["Former 4 (1/2)".to_owned(), "Former 5".to_owned()]), "Former 4 (1/2), Former 5");
        assert_eq!(joined(&[]), "");
    }
}
