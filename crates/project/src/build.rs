//! How the plug is built: process, laminate, the stack of boards and cards, formers, foam and gauges to sand by.
//!
//! Lengths in mm at the model.

/// How the plug of a project's first form is built.
#[derive(Clone, Debug, PartialEq)]
pub struct Build {
    /// Cloth over the plug, or a female mould from it.
    pub process: Process,
    /// What lies between plug and finished skin when cloth goes over the plug.
    pub coat: Coat,
    /// Boards, cards and glue.
    pub stack: Stack,
    /// Formers and the templates they interlock with.
    pub formers: Formers,
    /// Foam blocks and the boards they are cut from.
    pub foam: Foam,
    /// Outside templates to sand by.
    pub sanding: Sanding,
}

/// What the plug is for. The same geometry, opposite instruction: so it is chosen, never assumed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Process {
    /// The plug is the finished form less laminate, filler and paint, along the normal.
    #[default]
    OverPlug,
    /// A female mould is taken from the plug, which is the finished form.
    FemaleMould,
}

/// Thicknesses over the plug.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coat {
    /// Cloth and resin.
    pub laminate: f64,
    /// Filler.
    pub filler: f64,
    /// Paint.
    pub paint: f64,
}

impl Coat {
    /// All of it.
    pub fn total(&self) -> f64 {
        self.laminate + self.filler + self.paint
    }
}

/// Boards and cards in order from the rear end (the fuselage joint) forward or from the front aft.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    /// Whether there is a stack at all; without one the stations are the project's own and nothing follows.
    pub used: bool,
    /// Thickness of each board as measured, from the front aft.
    pub boards: Vec<f64>,
    /// Thickness of a card.
    pub card: f64,
    /// Thickness of a glue joint.
    pub glue: f64,
    /// The foremost face is foam alone: its outline is drawn on the foam instead of cut from card.
    pub foam_front: bool,
    /// Extra foam ahead of the first face for a rounded front; 0 for none.
    pub nose_foam: f64,
    /// Thickness of the ring plate ahead of all; 0 for none.
    pub ring_plate: f64,
    /// How the end is made to meet the fuselage station exactly.
    pub closing: Closing,
    /// Sagitta that is allowed between neighbouring formers, for proposing stations.
    pub allowed_sagitta: f64,
}

/// How the stack is made to end where it must.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Closing {
    /// The last board takes up the difference.
    #[default]
    LastBoard,
    /// The first face is moved.
    MoveDatum,
    /// All boards share the difference.
    Spread,
}

/// Formers and the templates they interlock with.
#[derive(Clone, Debug, PartialEq)]
pub struct Formers {
    /// By how much card is inset from the plug's surface, so that it never stands proud of the foam.
    pub inset: f64,
    /// Which of a card's two outlines is printed.
    pub outline: PrintedOutline,
    /// Slot width less card thickness.
    pub slot_clearance: f64,
    /// What is left free at the end of the two slots of a joint together.
    pub end_clearance: f64,
    /// Slots of the centre template open upward (and the formers' downward), or the reverse.
    pub centre_opens_up: bool,
    /// Least web above or below a slot; where it cannot be kept the former is made in two halves.
    pub least_web: f64,
    /// Height of the breadth template; `None` for no breadth template.
    pub breadth_template: Option<f64>,
    /// The bevel of a former is given from this angle on, degrees.
    pub bevel_from_deg: f64,
    /// Diameter of the hole for the shaft; 0 for none.
    pub shaft_hole: f64,
    /// Holes for alignment dowels, at the same place on all formers that have room: (y, z) of each; each also at -y.
    pub dowels: Vec<[f64; 2]>,
    /// Diameter of the dowel holes.
    pub dowel_diameter: f64,
    /// Lightening holes, leaving this web to every edge; 0 for none.
    pub lightening_web: f64,
}

/// Which outline of a card of real thickness is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PrintedOutline {
    /// The smaller of the two at every place.
    #[default]
    Smaller,
    /// That of the front face.
    Front,
    /// That of the rear face.
    Rear,
}

/// Foam blocks and the boards they are cut from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foam {
    /// Sanding allowance around a block.
    pub allowance: f64,
    /// Length and width of a board.
    pub board: [f64; 2],
    /// Width of the cut between blocks.
    pub kerf: f64,
    /// Margin at the edge of a board.
    pub edge: f64,
    /// Density of the foam, kg/m³.
    pub density: f64,
    /// Areal weight of the card, g/m².
    pub card_weight: f64,
    /// Length and width of a sheet of card.
    pub card_sheet: [f64; 2],
}

/// Outside templates to sand by.
#[derive(Clone, Debug, PartialEq)]
pub struct Sanding {
    /// Stations that get an outside template, left and right.
    pub stations: Vec<f64>,
    /// Outside templates for the crown and keel lines.
    pub lines: bool,
    /// Least width of an outside template beyond the plug.
    pub land: f64,
    /// Widths measured after sanding.
    pub measured: Vec<MeasuredWidth>,
}

/// A width measured with calipers after sanding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredWidth {
    /// Station.
    pub station: f64,
    /// Height at which it was measured.
    pub height: f64,
    /// The width.
    pub width: f64,
}

impl Default for Build {
    fn default() -> Self {
        Self {
            process: Process::default(),
            coat: Coat { laminate: 0.0, filler: 0.0, paint: 0.0 },
            stack: Stack {
                used: false,
                boards: Vec::new(),
                card: 2.0,
                glue: 0.0,
                foam_front: false,
                nose_foam: 0.0,
                ring_plate: 0.0,
                closing: Closing::default(),
                allowed_sagitta: 0.3,
            },
            formers: Formers {
                inset: 0.3,
                outline: PrintedOutline::default(),
                slot_clearance: 0.2,
                end_clearance: 0.5,
                centre_opens_up: true,
                least_web: 8.0,
                breadth_template: None,
                bevel_from_deg: 10.0,
                shaft_hole: 0.0,
                dowels: Vec::new(),
                dowel_diameter: 6.0,
                lightening_web: 0.0,
            },
            foam: Foam {
                allowance: 4.0,
                board: [1250.0, 600.0],
                kerf: 4.0,
                edge: 10.0,
                density: 32.0,
                card_weight: 1200.0,
                card_sheet: [594.0, 420.0],
            },
            sanding: Sanding { stations: Vec::new(), lines: true, land: 15.0, measured: Vec::new() },
        }
    }
}
