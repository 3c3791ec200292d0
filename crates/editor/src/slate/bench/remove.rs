//! Taking things off the bench.

use crate::floor::airframe_drag::remove_point;
use crate::floor::item::{Grip, Item, Which};
use project::airframe::{Airframe, FuselageEnd, FuselageSection};
use project::edit::Edit;

/// The edit that takes something off the bench; nothing for what is only a side of another thing.
pub(crate) fn removed(airframe: &Airframe, item: Item) -> Option<Edit> {
    let end = || airframe.fuselage.clone();
    match item {
        Item::Fuselage => Some(Edit::SetFuselage(None)),
        Item::FuselageFurther => Some(Edit::SetFuselage(Some(FuselageEnd { further: None, ..end()? }))),
        Item::Screws => Some(Edit::SetFuselage(Some(FuselageEnd { screws: None, ..end()? }))),
        Item::Section(which, Grip::Point(index)) => point_removed(airframe, which, index),
        Item::Hub => Some(Edit::SetThrust(None)),
        Item::KeepOut(index) | Item::KeepOutFront(index) | Item::KeepOutRear(index) | Item::KeepOutRearSize(index) => {
            Some(Edit::RemoveKeepOut { index })
        }
        Item::Gauge(index) => Some(Edit::RemoveGauge { index }),
        Item::Section(..) | Item::Lap | Item::Firewall | Item::Cant | Item::Spinner | Item::Ring | Item::WayOff => None,
    }
}

fn point_removed(airframe: &Airframe, which: Which, index: usize) -> Option<Edit> {
    let end = airframe.fuselage.clone()?;
    let (_, section) = which.of(airframe)?;
    let FuselageSection::Measured(measured) = section else { return None };
    let mut next = measured.clone();
    if !remove_point(&mut next, index) {
        return None;
    }
    let section = FuselageSection::Measured(next);
    Some(Edit::SetFuselage(Some(with_section(end, which, section))))
}

/// The fuselage end with another section in one's place.
pub(super) fn with_section(end: FuselageEnd, which: Which, section: FuselageSection) -> FuselageEnd {
    match which {
        Which::End => FuselageEnd { section, ..end },
        Which::Further => {
            let further = end.further.as_ref().map(|(x, _)| (*x, section));
            FuselageEnd { further, ..end }
        }
    }
}
