//! Everything that can be asked for by name: one closed list with name, tip and key, which the menus, the command list,
//! the keyboard and the tests share.

use egui::{Key, KeyboardShortcut, Modifiers};

/// A thing to do that has a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Command {
    New,
    Open,
    Save,
    SaveAs,
    ReadOffsets,
    WriteOffsets,
    ReadPoints,
    WriteMesh,
    Sheets,
    PlanPlug,
    WriteBook,
    WriteCut,
    Demo,
    DemoOfCloth,
    Quit,
    Undo,
    Redo,
    Delete,
    Deselect,
    List,
    Select,
    AddPoint,
    DrawCrown,
    DrawKeel,
    DrawBreadth,
    DrawBreadthHeight,
    PointInGap,
    Smooth,
    Corner,
    Slope,
    StartForm,
    AddSection,
    CopySection,
    Unpin,
    AddStation,
    SpreadStations,
    BringPicture,
    ScalePicture,
    CheckPicture,
    LevelPicture,
    DatumPicture,
    TraceFuselage,
    LightTable,
    PickLandmarks,
    TraceOutline,
    TraceSeam,
    GoOnTracing,
    FollowEdge,
    Loupe,
    MarkDistance,
    MarkStraight,
    MarkFigure,
    SolveSections,
    AddIntake,
    AddOutlet,
    DrawOpening,
    CopyOpening,
    PutOnForm,
    OpenAdded,
    FirstForm,
    Fit,
    Fold,
    Even,
    GrowSide,
    GrowPlan,
    GrowFace,
    GrowBody,
    ZoomIn,
    ZoomOut,
    Card,
    CardLarge,
    Reference,
    Areas,
    Comb,
    Findings,
    SnapOn,
    Grid,
    Inches,
    Theme,
    Larger,
    Smaller,
}

/// The menu a command stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Menu {
    Project,
    Edit,
    Lines,
    Sections,
    Pictures,
    Shell,
    View,
}

impl Menu {
    /// All menus in order.
    pub(crate) const ALL: [Menu; 7] =
        [Self::Project, Self::Edit, Self::Lines, Self::Sections, Self::Pictures, Self::Shell, Self::View];

    /// The menu's title.
    pub(crate) fn label(self) -> &'static str {
        match self {
            Self::Project => "Project",
            Self::Edit => "Edit",
            Self::Lines => "Lines",
            Self::Sections => "Sections",
            Self::Pictures => "Pictures",
            Self::Shell => "Shell",
            Self::View => "View",
        }
    }
}

/// Name, tip, key and place of a command.
#[derive(Debug)]
pub(crate) struct Entry {
    pub(crate) command: Command,
    pub(crate) menu: Menu,
    pub(crate) name: &'static str,
    pub(crate) tip: &'static str,
    keys: &'static [KeyboardShortcut],
}

impl Entry {
    /// The keys that ask for it; the first is shown.
    pub(crate) fn keys(&self) -> &'static [KeyboardShortcut] {
        self.keys
    }
}

const CMD: Modifiers = Modifiers::COMMAND;
const SHIFT: Modifiers = Modifiers::SHIFT;
const BOTH: Modifiers = Modifiers { alt: false, ctrl: false, shift: true, mac_cmd: false, command: true };

const fn key(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}

const fn with(modifiers: Modifiers, key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(modifiers, key)
}

const fn entry(
    command: Command,
    menu: Menu,
    name: &'static str,
    keys: &'static [KeyboardShortcut],
    tip: &'static str,
) -> Entry {
    Entry { command, menu, name, tip, keys }
}

/// All commands, in the order of the menus.
pub(crate) static ALL: &[Entry] = {
    use Command as C;
    use Menu as M;
    &[
        entry(C::New, M::Project, "New project", &[with(CMD, Key::N)], "Begins an empty project."),
        entry(C::Open, M::Project, "Open…", &[with(CMD, Key::O)], "Opens a project file."),
        entry(C::Save, M::Project, "Save", &[with(CMD, Key::S)], "Writes the project to its file."),
        entry(C::SaveAs, M::Project, "Save as…", &[with(BOTH, Key::S)], "Writes the project to another file."),
        entry(
            C::ReadOffsets,
            M::Project,
            "Read a table of offsets…",
            &[],
            "Makes a form from measured stations (CSV).",
        ),
        entry(C::WriteOffsets, M::Project, "Write the table of offsets…", &[], "Writes all sections as a table (CSV)."),
        entry(
            C::ReadPoints,
            M::Project,
            "Read the fuselage's points…",
            &[],
            "Reads half-breadths and heights of the fuselage's section (CSV).",
        ),
        entry(C::WriteMesh, M::Project, "Write a mesh…", &[], "Writes the closed surface as STL or 3MF."),
        entry(
            C::Sheets,
            M::Project,
            "Sheets to print…",
            &[with(CMD, Key::P)],
            "Shows the pages of templates and writes the PDF.",
        ),
        entry(
            C::PlanPlug,
            M::Project,
            "Plan a plug",
            &[],
            "Begins the stack with boards of 30 mm that fill the length, to be corrected as you measure yours.",
        ),
        entry(
            C::WriteBook,
            M::Project,
            "Write the book…",
            &[with(CMD, Key::B)],
            "Writes the build book (PDF): materials, ledger, assembly, order of work, gauges.",
        ),
        entry(
            C::WriteCut,
            M::Project,
            "Write files for cutting…",
            &[],
            "Writes one SVG in millimetres for every sheet of card and every board, for knife, laser or wire.",
        ),
        entry(C::Demo, M::Project, "Open the demo", &[], "Opens a working copy of the demo project."),
        entry(
            C::DemoOfCloth,
            M::Project,
            "Open the demo of cloth",
            &[],
            "Opens a working copy of a deep bowl: cloth lies down on it only with slits.",
        ),
        entry(C::Quit, M::Project, "Quit", &[with(CMD, Key::Q)], "Closes the window; asks about unsaved work."),
        entry(C::Undo, M::Edit, "Undo", &[with(CMD, Key::Z)], "Takes the last step back."),
        entry(C::Redo, M::Edit, "Redo", &[with(BOTH, Key::Z), with(CMD, Key::Y)], "Does the step again."),
        entry(C::Delete, M::Edit, "Delete", &[key(Key::Delete), key(Key::Backspace)], "Removes what is selected."),
        entry(C::Deselect, M::Edit, "Let go", &[key(Key::Escape)], "Lets go of the selection and the tool."),
        entry(C::List, M::Edit, "List of commands", &[with(CMD, Key::K), key(Key::F1)], "Finds a command by its name."),
        entry(C::Select, M::Lines, "Select and drag", &[key(Key::V)], "A click selects, a drag moves."),
        entry(C::AddPoint, M::Lines, "Add points", &[key(Key::A)], "A click on a line adds a point there."),
        entry(C::DrawCrown, M::Lines, "Draw the crown", &[key(Key::Num1)], "Clicks in the side view add crown points."),
        entry(C::DrawKeel, M::Lines, "Draw the keel", &[key(Key::Num2)], "Clicks in the side view add keel points."),
        entry(
            C::DrawBreadth,
            M::Lines,
            "Draw the breadth",
            &[key(Key::Num3)],
            "Clicks in the plan add breadth points.",
        ),
        entry(
            C::DrawBreadthHeight,
            M::Lines,
            "Draw the breadth height",
            &[key(Key::Num4)],
            "Clicks in the side view set the height of the greatest breadth.",
        ),
        entry(
            C::PointInGap,
            M::Lines,
            "Add a point in the longest gap",
            &[],
            "Adds a point to the selected line, where it has the fewest.",
        ),
        entry(C::Smooth, M::Lines, "Smooth point", &[key(Key::M)], "The line runs through the point fair."),
        entry(C::Corner, M::Lines, "Corner or knuckle", &[key(Key::C)], "The line breaks at the point."),
        entry(C::Slope, M::Lines, "Fixed slope", &[key(Key::S)], "The line passes the point at a slope you set."),
        entry(
            C::StartForm,
            M::Lines,
            "Start from a plain body",
            &[],
            "Draws four simple lines and two sections to work from.",
        ),
        entry(
            C::AddSection,
            M::Sections,
            "Add a control section",
            &[key(Key::B)],
            "Adds a section to shape, in the middle of the longest gap.",
        ),
        entry(
            C::CopySection,
            M::Sections,
            "Copy control section…",
            &[with(CMD, Key::D)],
            "Copies the selected section's shape to another station.",
        ),
        entry(
            C::Unpin,
            M::Sections,
            "Unpin the section",
            &[],
            "Sets a section free from its measured points, to be shaped by hand.",
        ),
        entry(
            C::AddStation,
            M::Sections,
            "Add a station",
            &[key(Key::N)],
            "Adds a station in the middle of the longest gap.",
        ),
        entry(
            C::SpreadStations,
            M::Sections,
            "Stations at a pitch…",
            &[],
            "Sets all stations at even distances or from a list.",
        ),
        entry(
            C::BringPicture,
            M::Pictures,
            "Bring in a picture…",
            &[with(CMD, Key::I)],
            "Lays a photograph or drawing under a view.",
        ),
        entry(
            C::ScalePicture,
            M::Pictures,
            "Set to scale",
            &[key(Key::R)],
            "Pick two points of the picture, then type their real distance.",
        ),
        entry(
            C::CheckPicture,
            M::Pictures,
            "Check with a second distance",
            &[],
            "Pick two more points whose distance you know.",
        ),
        entry(
            C::LevelPicture,
            M::Pictures,
            "Level by two points",
            &[key(Key::L)],
            "Pick two points that lie level in truth.",
        ),
        entry(
            C::DatumPicture,
            M::Pictures,
            "Lay a point on the datum",
            &[key(Key::D)],
            "Pick the point of the picture that lies on the datum: at 0 aft and at height 0, or on the centre plane.",
        ),
        entry(
            C::TraceFuselage,
            M::Pictures,
            "Trace the fuselage",
            &[],
            "Click along the fuselage's outline on a face picture that is to scale: it becomes measured points.",
        ),
        entry(
            C::LightTable,
            M::Pictures,
            "Light table",
            &[key(Key::O)],
            "Lays a photograph beside the drawing: pick landmarks, trace outlines, see the form through its camera.",
        ),
        entry(
            C::PickLandmarks,
            M::Pictures,
            "Pick landmarks",
            &[key(Key::I)],
            "Click things whose place on the machine you know: six of them tell where the camera stood.",
        ),
        entry(
            C::TraceOutline,
            M::Pictures,
            "Trace an outline",
            &[key(Key::Q)],
            "Click along the form's outline against the background on the light table.",
        ),
        entry(
            C::TraceSeam,
            M::Pictures,
            "Trace a seam",
            &[with(SHIFT, Key::Q)],
            "Click along a panel line or an edge of paint that runs round the form at one station.",
        ),
        entry(
            C::GoOnTracing,
            M::Pictures,
            "Go on with the trace",
            &[],
            "Click on from the end of the selected trace that is nearer.",
        ),
        entry(
            C::FollowEdge,
            M::Pictures,
            "Follow the edge",
            &[key(Key::X)],
            "Draws the selected trace, or the stretch about its selected point, to the strongest edge near it.",
        ),
        entry(
            C::MarkDistance,
            M::Pictures,
            "Mark a further distance",
            &[],
            "Pick two points on the light table whose distance you know; several show which one does not fit.",
        ),
        entry(
            C::MarkStraight,
            M::Pictures,
            "Mark a straight line",
            &[],
            "Points along something straight in truth, near the picture's edge, tell how the lens bends.",
        ),
        entry(
            C::MarkFigure,
            M::Pictures,
            "Mark a rectangle",
            &[],
            "Four corners of a hatch or board of known sides: its plane can then be read square.",
        ),
        entry(
            C::SolveSections,
            M::Pictures,
            "Solve the sections",
            &[key(Key::Y)],
            "Finds the sections and the cameras from what is traced; nothing changes until you accept it.",
        ),
        entry(
            C::AddIntake,
            M::Shell,
            "Add an air intake",
            &[],
            "Puts an intake on both sides beside the spinner, to be dragged and shaped.",
        ),
        entry(C::AddOutlet, M::Shell, "Add an air outlet", &[], "Puts an outlet below, near the rear."),
        entry(
            C::DrawOpening,
            M::Shell,
            "Draw an opening",
            &[],
            "Click around it in the face view, the side view or the plan; Enter closes the outline.",
        ),
        entry(C::CopyOpening, M::Shell, "Copy the opening", &[], "Puts a copy of the selected opening beside it."),
        entry(
            C::PutOnForm,
            M::Shell,
            "Put a form on the first",
            &[],
            "Cheek blister, chin scoop, exhaust cover, outlet lip: forms of their own that are joined later.",
        ),
        entry(
            C::OpenAdded,
            M::Shell,
            "Open the added form",
            &[],
            "Shows the selected form on the floor, to be shaped where it sits.",
        ),
        entry(C::FirstForm, M::Shell, "Back to the first form", &[], "Shows the first form on the floor."),
        entry(C::Fit, M::View, "Fit everything", &[key(Key::F), key(Key::Home)], "Shows the whole form."),
        entry(
            C::Fold,
            M::View,
            "Fold: grow the next view",
            &[key(Key::W)],
            "One view grows, the others become aligned strips.",
        ),
        entry(C::Even, M::View, "Views side by side", &[key(Key::Num0)], "All views at one scale."),
        entry(C::GrowSide, M::View, "Grow the side view", &[key(Key::Num5)], "The others become aligned strips."),
        entry(
            C::GrowPlan,
            M::View,
            "Grow the half-breadth plan",
            &[key(Key::Num6)],
            "The others become aligned strips.",
        ),
        entry(C::GrowFace, M::View, "Grow the face view", &[key(Key::Num7)], "The others become aligned strips."),
        entry(C::GrowBody, M::View, "Grow the body plan", &[key(Key::Num8)], "The others become aligned strips."),
        entry(C::ZoomIn, M::View, "Nearer", &[key(Key::Plus), key(Key::Equals)], "Zooms in on the pointer."),
        entry(C::ZoomOut, M::View, "Farther", &[key(Key::Minus)], "Zooms out."),
        entry(C::Card, M::View, "Shaded card", &[key(Key::H)], "The loose card with the shaded body."),
        entry(
            C::CardLarge,
            M::View,
            "Shaded card large",
            &[with(SHIFT, Key::H)],
            "Opens the shaded body over the floor.",
        ),
        entry(
            C::Reference,
            M::View,
            "Reference picture",
            &[key(Key::E)],
            "A loose card with a picture from elsewhere, such as three-quarter front.",
        ),
        entry(
            C::Loupe,
            M::View,
            "Loupe on the light table",
            &[key(Key::Z)],
            "Shows the picture larger beside the pointer while something is picked or dragged.",
        ),
        entry(C::Areas, M::View, "Curve of areas", &[key(Key::U)], "Section area along the body, and its slope."),
        entry(C::Comb, M::View, "Curvature comb", &[key(Key::K)], "Teeth as long as the selected line is bent."),
        entry(C::Findings, M::View, "Findings", &[key(Key::J)], "What the checks found, each with a hint."),
        entry(
            C::SnapOn,
            M::View,
            "Snap to points and stations",
            &[key(Key::P)],
            "Hold the command key (Ctrl) while dragging to suspend it.",
        ),
        entry(C::Grid, M::View, "Snap to whole millimetres", &[key(Key::G)], "Where no point or station is near."),
        entry(C::Inches, M::View, "Show inches", &[], "Lengths in inches instead of millimetres."),
        entry(C::Theme, M::View, "Light or dark", &[key(Key::T)], "Linen by day, black floor by night."),
        entry(
            C::Larger,
            M::View,
            "Larger type",
            &[with(CMD, Key::Plus), with(CMD, Key::Equals)],
            "Scales the whole window up to 200 %.",
        ),
        entry(C::Smaller, M::View, "Smaller type", &[with(CMD, Key::Minus)], "Scales the whole window down to 100 %."),
    ]
};

impl Command {
    /// The command's entry.
    pub(crate) fn entry(self) -> &'static Entry {
        // Every command stands in the list: a test holds the list against that.
        ALL.iter().find(|e| e.command == self).unwrap_or(&ALL[0])
    }
}

/// Takes the commands whose keys were pressed in this frame.
///
/// Keys with fewer modifiers are looked at last, or Ctrl+Z would also take Ctrl+Shift+Z.
pub(crate) fn pressed(ctx: &egui::Context) -> Vec<Command> {
    let typing = ctx.text_edit_focused();
    let mut keys: Vec<(KeyboardShortcut, Command)> =
        ALL.iter().flat_map(|e| e.keys.iter().map(|k| (*k, e.command))).collect();
    keys.sort_by_key(|(k, _)| std::cmp::Reverse(u8::from(k.modifiers.shift) + u8::from(k.modifiers.command)));
    ctx.input_mut(|input| {
        let mut asked = Vec::new();
        for (shortcut, command) in keys {
            // Plain keys belong to a text field while one is edited.
            let plain = !shortcut.modifiers.command && !is_function(shortcut.logical_key);
            if !(plain && typing) && input.consume_shortcut(&shortcut) {
                asked.push(command);
            }
        }
        asked
    })
}

fn is_function(key: Key) -> bool {
    key == Key::F1
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn no_key_is_given_twice_and_no_command_listed_twice() {
        let mut keys = HashSet::new();
        let mut commands = HashSet::new();
        for entry in ALL {
            assert!(commands.insert(entry.command), "{:?} twice", entry.command);
            for shortcut in entry.keys() {
                assert!(keys.insert(format!("{shortcut:?}")), "{} shares a key", entry.name);
            }
        }
    }

    #[test]
    fn every_command_has_its_entry() {
        for entry in ALL {
            assert_eq!(entry.command.entry().command, entry.command);
            assert!(!entry.tip.is_empty() && entry.tip.ends_with('.'));
        }
    }
}
