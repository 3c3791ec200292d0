//! All colours, type and spacing of the window, for a dark and a light room.
//!
//! The dark theme is a mould-loft floor: blackened boards, chalk, scribed lines. The light one is drafting linen and ink.
//! One warm accent marks what is selected or dragged, and nothing else. The four line colours stay apart for the common
//! kinds of colour blindness, and the breadth height is dashed besides.

use desk::sanded::Verdict;
use egui::{
    Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Shadow, Stroke, TextStyle, Vec2,
};
use project::document::LineName;
use std::sync::Arc;

/// The colours of one theme.
#[derive(Debug)]
pub(crate) struct Theme {
    pub(crate) dark: bool,
    pub(crate) floor: Color32,
    pub(crate) panel: Color32,
    pub(crate) raised: Color32,
    pub(crate) pressed: Color32,
    pub(crate) edge: Color32,
    pub(crate) text: Color32,
    pub(crate) weak: Color32,
    pub(crate) grid: Color32,
    pub(crate) grid_strong: Color32,
    pub(crate) datum: Color32,
    pub(crate) accent: Color32,
    /// Text on a filled accent.
    pub(crate) on_accent: Color32,
    /// The accent as a wash behind selected text.
    pub(crate) accent_wash: Color32,
    pub(crate) station: Color32,
    pub(crate) control: Color32,
    pub(crate) section: Color32,
    pub(crate) faint_section: Color32,
    pub(crate) error: Color32,
    pub(crate) warning: Color32,
    pub(crate) good: Color32,
    pub(crate) paper: Color32,
    pub(crate) body_lit: [u8; 3],
    lines: [Color32; 4],
}

const fn rgb(hex: u32) -> Color32 {
    Color32::from_rgb((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

/// Blackened boards and chalk.
static DARK: Theme = Theme {
    dark: true,
    floor: rgb(0x17_1918),
    panel: rgb(0x22_2524),
    raised: rgb(0x31_3533),
    pressed: rgb(0x3f_4441),
    edge: rgb(0x3d_423f),
    text: rgb(0xec_e8dc),
    weak: rgb(0xa9_aca2),
    grid: rgb(0x21_2423),
    grid_strong: rgb(0x2b_2f2d),
    datum: rgb(0x50_5650),
    accent: rgb(0xff_9d3c),
    on_accent: rgb(0x1d_1408),
    accent_wash: rgb(0x5a_3d1c),
    station: rgb(0x6d_736c),
    control: rgb(0xcb_c7b8),
    section: rgb(0xf4_f0e4),
    faint_section: rgb(0x5d_635d),
    error: rgb(0xff_7a6b),
    warning: rgb(0xf2_c14e),
    good: rgb(0x7f_cf9a),
    paper: rgb(0xf6_f3ea),
    body_lit: [0xd9, 0xcf, 0xb8],
    lines: [rgb(0x6c_bdf0), rgb(0x2f_c49b), rgb(0xee_e06a), rgb(0xe0_8fc2)],
};

/// Drafting linen and ink.
static LIGHT: Theme = Theme {
    dark: false,
    floor: rgb(0xf3_eee1),
    panel: rgb(0xe6_dfcd),
    raised: rgb(0xf8_f4e9),
    pressed: rgb(0xd3_c9b1),
    edge: rgb(0xbf_b599),
    text: rgb(0x22_252a),
    weak: rgb(0x5d_5a50),
    grid: rgb(0xea_e4d4),
    grid_strong: rgb(0xde_d6c2),
    datum: rgb(0xae_a68f),
    accent: rgb(0xb8_3f0b),
    on_accent: rgb(0xff_f6ee),
    accent_wash: rgb(0xf2_c9ab),
    station: rgb(0x8d_8776),
    control: rgb(0x3b_3d40),
    section: rgb(0x1b_1e22),
    faint_section: rgb(0xa8_a18e),
    error: rgb(0xa8_1f1f),
    warning: rgb(0x85_5c00),
    good: rgb(0x1c_6b3c),
    paper: rgb(0xff_ffff),
    body_lit: [0xc9, 0xbf, 0xa6],
    lines: [rgb(0x0b_62a4), rgb(0x00_7457), rgb(0x7d_6400), rgb(0x97_3a76)],
};

impl Theme {
    /// The theme for a dark or a light room.
    pub(crate) fn of(dark: bool) -> &'static Theme {
        if dark { &DARK } else { &LIGHT }
    }

    /// The theme that the window shows now.
    pub(crate) fn shown(ctx: &egui::Context) -> &'static Theme {
        Self::of(ctx.theme() == egui::Theme::Dark)
    }

    /// The colour of what lies on the bench: cool and quiet beside chalk, and none of the lines' own.
    pub(crate) fn airframe(&self) -> Color32 {
        if self.dark { rgb(0x9a_a4d8) } else { rgb(0x50_5c9c) }
    }

    /// The colour of what is cut into the shell or put on it: none of the lines' own, nor the bench's.
    pub(crate) fn shell(&self) -> Color32 {
        if self.dark { rgb(0x5f_d0c8) } else { rgb(0x0a_6f73) }
    }

    /// The colour of a measured width.
    pub(crate) fn verdict(&self, verdict: Verdict) -> Color32 {
        match verdict {
            Verdict::LeftToSand => self.warning,
            Verdict::Done => self.good,
            Verdict::TooFar => self.error,
        }
    }

    /// The colour of a master line.
    pub(crate) fn line(&self, name: LineName) -> Color32 {
        match name {
            LineName::Crown => self.lines[0],
            LineName::Keel => self.lines[1],
            LineName::Breadth => self.lines[2],
            LineName::BreadthHeight => self.lines[3],
        }
    }
}

/// Sizes of type in points, at 100 % scaling.
pub(crate) const BODY: f32 = 14.0;
/// Labels on the floor and notes.
pub(crate) const SMALL: f32 = 12.0;
/// Titles of panels and dialogs.
pub(crate) const TITLE: f32 = 17.0;

/// The font of labels on the floor.
pub(crate) fn small() -> FontId {
    FontId::proportional(SMALL)
}

/// The bold font.
pub(crate) fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("bold".into()))
}

/// Installs fonts and both themes.
pub(crate) fn install(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    for dark in [true, false] {
        let theme = if dark { egui::Theme::Dark } else { egui::Theme::Light };
        ctx.style_mut_of(theme, |style| dress(style, Theme::of(dark)));
    }
}

fn fonts() -> FontDefinitions {
    let regular = include_bytes!("../../../assets/fonts/DejaVuSansCondensed.ttf");
    let heavy = include_bytes!("../../../assets/fonts/DejaVuSansCondensed-Bold.ttf");
    let mut fonts = FontDefinitions::empty();
    fonts.font_data.insert("regular".into(), Arc::new(FontData::from_static(regular)));
    fonts.font_data.insert("bold".into(), Arc::new(FontData::from_static(heavy)));
    for family in [FontFamily::Proportional, FontFamily::Monospace] {
        fonts.families.insert(family, vec!["regular".into()]);
    }
    fonts.families.insert(FontFamily::Name("bold".into()), vec!["bold".into()]);
    fonts
}

fn dress(style: &mut egui::Style, theme: &Theme) {
    style.text_styles = [
        (TextStyle::Body, FontId::proportional(BODY)),
        (TextStyle::Button, FontId::proportional(BODY)),
        (TextStyle::Monospace, FontId::proportional(BODY)),
        (TextStyle::Small, FontId::proportional(SMALL)),
        (TextStyle::Heading, bold(TITLE)),
    ]
    .into();
    style.spacing.item_spacing = Vec2::new(8.0, 6.0);
    style.spacing.button_padding = Vec2::new(9.0, 4.0);
    style.spacing.interact_size = Vec2::new(36.0, 24.0);
    style.spacing.menu_margin = Margin::same(6);
    style.spacing.window_margin = Margin::same(14);
    style.spacing.tooltip_width = 320.0;
    style.interaction.selectable_labels = false;
    style.interaction.tooltip_delay = 0.4;
    style.animation_time = 0.0;
    colour(&mut style.visuals, theme);
}

fn colour(visuals: &mut egui::Visuals, theme: &Theme) {
    *visuals = if theme.dark { egui::Visuals::dark() } else { egui::Visuals::light() };
    visuals.panel_fill = theme.panel;
    visuals.window_fill = theme.panel;
    visuals.window_stroke = Stroke::new(1.0, theme.edge);
    visuals.window_corner_radius = CornerRadius::same(3);
    visuals.menu_corner_radius = CornerRadius::same(3);
    visuals.window_shadow = Shadow { offset: [0, 4], blur: 18, spread: 0, color: Color32::from_black_alpha(90) };
    visuals.popup_shadow = Shadow { offset: [0, 3], blur: 10, spread: 0, color: Color32::from_black_alpha(80) };
    visuals.extreme_bg_color = if theme.dark { theme.floor } else { theme.raised };
    visuals.faint_bg_color = theme.grid_strong;
    visuals.text_edit_bg_color = Some(visuals.extreme_bg_color);
    visuals.weak_text_color = Some(theme.weak);
    visuals.hyperlink_color = theme.accent;
    visuals.error_fg_color = theme.error;
    visuals.warn_fg_color = theme.warning;
    visuals.selection.bg_fill = theme.accent_wash;
    visuals.selection.stroke = Stroke::new(1.0, theme.text);
    visuals.slider_trailing_fill = true;
    visuals.indent_has_left_vline = false;
    widgets(&mut visuals.widgets, theme);
}

fn widgets(widgets: &mut egui::style::Widgets, theme: &Theme) {
    let states = [
        (&mut widgets.noninteractive, theme.panel, theme.edge),
        (&mut widgets.inactive, theme.raised, theme.edge),
        (&mut widgets.hovered, theme.pressed, theme.weak),
        (&mut widgets.active, theme.pressed, theme.accent),
        (&mut widgets.open, theme.pressed, theme.edge),
    ];
    for (state, fill, edge) in states {
        state.bg_fill = fill;
        state.weak_bg_fill = fill;
        state.bg_stroke = Stroke::new(1.0, edge);
        state.fg_stroke = Stroke::new(1.0, theme.text);
        state.corner_radius = CornerRadius::same(2);
        state.expansion = 0.0;
    }
}
