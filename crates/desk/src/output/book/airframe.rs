//! Where the shell meets what is there already: fuselage end, screws, thrust line and ring.

use super::composer::{Align, Composer, Table};
use super::{Subject, count, facts, fine, mm};
use fit::fuselage::{FuselageShape, screw_places};
use fit::thrust::{gap_difference, ring, shaft, wedge};
use project::airframe::{FuselageEnd, LapSide, Screws, ThrustLine};

pub(super) fn set(c: &mut Composer, s: &Subject<'_>) {
    let airframe = &s.document.airframe;
    if airframe.fuselage.is_none() && airframe.thrust.is_none() {
        return;
    }
    c.chapter("Where the shell fits");
    if let Some(end) = &airframe.fuselage {
        fuselage(c, end);
    }
    if let Some(line) = &airframe.thrust {
        thrust(c, line, s.loft.x_range().0);
    }
}

fn fuselage(c: &mut Composer, end: &FuselageEnd) {
    c.heading("Fuselage end");
    let side = match end.lap.side {
        LapSide::Over => "over the fuselage",
        LapSide::Into => "into the fuselage",
    };
    c.table(&facts([
        ("Station".to_owned(), format!("{} mm", fine(end.station))),
        (
            "Lap".to_owned(),
            format!("{} mm {side}, {} mm clear on each side", mm(end.lap.length), fine(end.lap.clearance)),
        ),
    ]));
    if let (Some(screws), Some(shape)) = (&end.screws, FuselageShape::of(end)) {
        screw_table(c, end, &shape, screws);
    }
}

fn screw_table(c: &mut Composer, end: &FuselageEnd, shape: &FuselageShape, screws: &Screws) {
    let places = screw_places(end, shape, screws);
    c.text(&format!(
        "{} of {} mm holes, their centres {} mm from the shell's edge; drill them by the screw strip among the templates. Starboard from crown to keel, then port upward:",
        count(places.len(), "screw"),
        mm(screws.hole),
        mm(screws.edge_distance)
    ));
    let right = Align::Right;
    let mut table =
        Table::new(&[("Screw", right), ("Station mm", right), ("To starboard mm", right), ("Height mm", right)]);
    for (k, p) in places.iter().enumerate() {
        table.row([(k + 1).to_string(), mm(p[0]), mm(p[1]), mm(p[2])]);
    }
    c.table(&table);
}

fn thrust(c: &mut Composer, line: &ThrustLine, front: f64) {
    c.heading("Thrust line");
    let shaft = shaft(line);
    let place = ring(line);
    let [side, height] = shaft.mount_offset();
    let mut rows = vec![
        (
            "Down-thrust, side-thrust".to_owned(),
            format!("{}°, {}° to starboard", mm(line.down_thrust_deg), mm(line.side_thrust_deg)),
        ),
        (
            "Hub".to_owned(),
            format!("station {} mm, height {} mm, on the centre plane", mm(shaft.hub[0]), mm(shaft.hub[2])),
        ),
        (
            "Mount on the firewall".to_owned(),
            format!(
                "station {} mm; {} mm to starboard and {} mm above the hub",
                mm(line.firewall),
                fine(side),
                fine(height)
            ),
        ),
    ];
    if line.spinner.diameter > 0.0 {
        let clock = wedge(&place, front).clock.map(fine);
        rows.extend([
            ("Ring".to_owned(), format!("{} mm across, {} mm thick", mm(place.diameter), fine(line.ring.thickness))),
            (
                "Packing between form and ring".to_owned(),
                format!(
                    "{} mm at 12 o'clock, {} at 3, {} at 6, {} at 9, looking aft",
                    clock[0], clock[1], clock[2], clock[3]
                ),
            ),
            (
                "If the ring were left square".to_owned(),
                format!(
                    "the gap to the spinner would differ by {} mm from one side to the other",
                    fine(gap_difference(line))
                ),
            ),
        ]);
    }
    c.table(&facts(rows));
}
