//! Where a polyline crosses itself.

/// The places at which a polyline crosses itself, in order along it. Neighbouring segments share a point and do not count.
///
/// Segments are swept in order of their lower ends, so that only those that overlap in height are compared: on a section,
/// which mostly falls from crown to keel, the cost grows little faster than the number of points.
pub fn self_crossings(line: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let count = line.len().saturating_sub(1);
    let (low, high) = (|i: usize| line[i][1].min(line[i + 1][1]), |i: usize| line[i][1].max(line[i + 1][1]));
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|&a, &b| low(a).total_cmp(&low(b)));
    let mut open: Vec<usize> = Vec::new();
    let mut found: Vec<(usize, [f64; 2])> = Vec::new();
    for j in order {
        open.retain(|&i| high(i) >= low(j));
        for &i in open.iter().filter(|i| i.abs_diff(j) > 1) {
            let crossing = segment_crossing([line[i], line[i + 1]], [line[j], line[j + 1]]);
            found.extend(crossing.map(|p| (i.min(j), p)));
        }
        open.push(j);
    }
    found.sort_by_key(|f| f.0);
    found.into_iter().map(|f| f.1).collect()
}

/// Where two segments cross, ends included; `None` for parallel ones.
pub fn segment_crossing(a: [[f64; 2]; 2], b: [[f64; 2]; 2]) -> Option<[f64; 2]> {
    for k in 0..2 {
        if a[0][k].max(a[1][k]) < b[0][k].min(b[1][k]) || b[0][k].max(b[1][k]) < a[0][k].min(a[1][k]) {
            return None;
        }
    }
    let d = [a[1][0] - a[0][0], a[1][1] - a[0][1]];
    let e = [b[1][0] - b[0][0], b[1][1] - b[0][1]];
    let between = [b[0][0] - a[0][0], b[0][1] - a[0][1]];
    let turn = d[0] * e[1] - d[1] * e[0];
    let s = (between[0] * e[1] - between[1] * e[0]) / turn;
    let t = (between[0] * d[1] - between[1] * d[0]) / turn;
    ((0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t)).then(|| [a[0][0] + s * d[0], a[0][1] + s * d[1]])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_loop_is_found_where_it_crosses_and_a_zigzag_is_none() {
        let crossing = self_crossings(&[[0.0, 0.0], [4.0, 4.0], [4.0, 0.0], [0.0, 4.0]]);
        assert_eq!(crossing, vec![[2.0, 2.0]]);
        assert!(self_crossings(&[[0.0, 0.0], [4.0, 1.0], [0.0, 2.0], [4.0, 3.0]]).is_empty());
    }
}
