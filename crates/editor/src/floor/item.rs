//! What lies on the bench and can be taken hold of on the floor.

use project::airframe::{Airframe, FuselageSection, Solid};

/// What lies on the bench and can be selected; indices into the airframe's lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Item {
    /// The end of the fuselage.
    Fuselage,
    /// Its section further aft.
    FuselageFurther,
    /// A handle of one of both sections.
    Section(Which, Grip),
    /// How far the shell laps it.
    Lap,
    /// The screws around it.
    Screws,
    /// The firewall's front face.
    Firewall,
    /// The hub, and with it the shaft.
    Hub,
    /// The shaft behind the hub: which way it is canted.
    Cant,
    /// The spinner's back plate.
    Spinner,
    /// The ring.
    Ring,
    /// Something the shell must not touch.
    KeepOut(usize),
    /// Its size across, at its front.
    KeepOutFront(usize),
    /// Its rear: how long it is and which way it lies.
    KeepOutRear(usize),
    /// A cone's size at its rear.
    KeepOutRearSize(usize),
    /// A width or height gauge.
    Gauge(usize),
    /// The way the shell is drawn off.
    WayOff,
}

/// One of the fuselage's two sections.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Which {
    /// The one at its end.
    End,
    /// The one further aft.
    Further,
}

/// What a handle of a section changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Grip {
    /// The height of its centre.
    Centre,
    /// Its width.
    Width,
    /// Its height, about its centre.
    Height,
    /// The radius of its corners.
    Radius,
    /// A measured point.
    Point(usize),
}

impl Which {
    /// Its name on slate and floor.
    pub(crate) fn label(self) -> &'static str {
        match self {
            Self::End => "Fuselage section",
            Self::Further => "Further section",
        }
    }

    /// That section, and its station.
    pub(crate) fn of(self, airframe: &Airframe) -> Option<(f64, &FuselageSection)> {
        let end = airframe.fuselage.as_ref()?;
        match self {
            Self::End => Some((end.station, &end.section)),
            Self::Further => end.further.as_ref().map(|(x, section)| (*x, section)),
        }
    }

    /// The whole of which it is a section.
    pub(crate) fn item(self) -> Item {
        match self {
            Self::End => Item::Fuselage,
            Self::Further => Item::FuselageFurther,
        }
    }
}

impl Item {
    /// The thing that this is a handle of; itself for a whole thing.
    pub(crate) fn thing(self) -> Self {
        match self {
            Self::Section(which, _) => which.item(),
            Self::Cant => Self::Hub,
            Self::KeepOutFront(index) | Self::KeepOutRear(index) | Self::KeepOutRearSize(index) => Self::KeepOut(index),
            other => other,
        }
    }

    /// The fuselage's section that this belongs to.
    pub(crate) fn section(self) -> Option<Which> {
        match self.thing() {
            Self::Fuselage => Some(Which::End),
            Self::FuselageFurther => Some(Which::Further),
            _ => None,
        }
    }

    /// Whether it still exists.
    pub(crate) fn exists(self, airframe: &Airframe) -> bool {
        match self {
            Self::Fuselage | Self::Lap => airframe.fuselage.is_some(),
            Self::FuselageFurther => airframe.fuselage.as_ref().is_some_and(|end| end.further.is_some()),
            Self::Section(which, grip) => which.of(airframe).is_some_and(|(_, section)| grip.exists(section)),
            Self::Screws => airframe.fuselage.as_ref().is_some_and(|end| end.screws.is_some()),
            Self::Firewall | Self::Hub | Self::Cant | Self::Spinner | Self::Ring => airframe.thrust.is_some(),
            Self::KeepOut(index) | Self::KeepOutFront(index) | Self::KeepOutRear(index) => {
                index < airframe.keep_outs.len()
            }
            Self::KeepOutRearSize(index) => {
                airframe.keep_outs.get(index).is_some_and(|k| matches!(k.shape, Solid::Cone { .. }))
            }
            Self::Gauge(index) => index < airframe.gauges.len(),
            Self::WayOff => true,
        }
    }
}

impl Grip {
    fn exists(self, section: &FuselageSection) -> bool {
        match (self, section) {
            (Self::Point(index), FuselageSection::Measured(measured)) => index < measured.points.len(),
            (Self::Point(_), _) => false,
            (Self::Radius, _) => matches!(section, FuselageSection::RoundedBox { .. }),
            (Self::Width | Self::Height, _) => !matches!(section, FuselageSection::Measured(_)),
            (Self::Centre, _) => true,
        }
    }
}
