//! Segments linked to lines.

/// A line through numbered places; a closed one does not repeat the first.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Chain {
    pub(super) places: Vec<usize>,
    pub(super) closed: bool,
}

/// Links segments between `count` places at their common places; each place belongs to one segment or two, and what more there is
/// of it begins another line. Lines come in the order of their segments.
pub(super) fn linked(count: usize, segments: &[[usize; 2]]) -> Vec<Chain> {
    let mut at: Vec<Vec<usize>> = vec![Vec::new(); count];
    for (i, segment) in segments.iter().enumerate() {
        segment.iter().for_each(|place| at[*place].push(i));
    }
    let mut used = vec![false; segments.len()];
    let open = segments.iter().flatten().copied().filter(|place| at[*place].len() != 2);
    let starts: Vec<usize> = open.chain(segments.iter().map(|s| s[0])).collect();
    let mut out = Vec::new();
    for start in starts {
        while let Some(chain) = follow(start, &at, segments, &mut used) {
            out.push(chain);
        }
    }
    out
}

fn follow(start: usize, at: &[Vec<usize>], segments: &[[usize; 2]], used: &mut [bool]) -> Option<Chain> {
    let mut places = vec![start];
    let mut here = start;
    while let Some(&segment) = at[here].iter().find(|s| !used[**s]) {
        used[segment] = true;
        let [a, b] = segments[segment];
        here = if a == here { b } else { a };
        if here == start {
            return Some(Chain { places, closed: true });
        }
        places.push(here);
        if at[here].len() != 2 {
            break;
        }
    }
    (places.len() > 1).then_some(Chain { places, closed: false })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_loop_and_an_open_line_come_out_each_in_one_piece() {
        let chains = linked(8, &[[0, 1], [4, 5], [2, 1], [6, 5], [3, 2], [3, 0], [6, 7]]);
        assert_eq!(chains.len(), 2);
        assert_eq!(chains[0], Chain { places: vec![4, 5, 6, 7], closed: false });
        assert!(chains[1].closed && chains[1].places == [0, 1, 2, 3]);
    }

    #[test]
    fn where_three_segments_meet_lines_end() {
        let chains = linked(4, &[[0, 1], [1, 2], [1, 3]]);
        assert_eq!(chains.len(), 3);
        assert!(chains.iter().all(|c| !c.closed && c.places.len() == 2));
    }
}
