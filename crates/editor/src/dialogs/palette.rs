//! The list of all commands: type a part of a name, choose with the arrow keys.

use super::{Stay, modal};
use crate::app::App;
use crate::commands::{self, Command, Entry};
use crate::theme::{self, Theme};
use crate::{act, bars};
use egui::{Button, Key, Modifiers, RichText, ScrollArea, TextEdit};

/// What was typed, and which line is marked.
pub(crate) struct Palette {
    text: String,
    at: usize,
    fresh: bool,
}

impl Palette {
    /// With nothing typed yet.
    pub(crate) fn new() -> Self {
        Self { text: String::new(), at: 0, fresh: true }
    }
}

/// The commands whose name, tip or menu holds every typed word.
fn found(text: &str) -> Vec<&'static Entry> {
    let words: Vec<String> = text.to_lowercase().split_whitespace().map(str::to_owned).collect();
    let holds = |entry: &&Entry| {
        let all = format!("{} {} {}", entry.name, entry.tip, entry.menu.label()).to_lowercase();
        words.iter().all(|word| all.contains(word))
    };
    let mut entries: Vec<&Entry> = commands::ALL.iter().filter(holds).collect();
    // A name that begins with what was typed is what was meant.
    let first = words.first().cloned().unwrap_or_default();
    entries.sort_by_key(|e| !e.name.to_lowercase().starts_with(&first));
    entries
}

/// Draws it.
pub(super) fn show(ctx: &egui::Context, app: &mut App, palette: &mut Palette) -> Stay {
    let mut stay = Stay::Open;
    let mut asked = None;
    let theme = Theme::shown(ctx);
    let count = found(&palette.text).len();
    // The field would take the arrows for its own cursor.
    ctx.input_mut(|i| {
        let down = i.count_and_consume_key(Modifiers::NONE, Key::ArrowDown);
        let up = i.count_and_consume_key(Modifiers::NONE, Key::ArrowUp);
        palette.at = (palette.at + down).min(count.saturating_sub(1)).saturating_sub(up);
    });
    modal(ctx, "Commands", 540.0, |ui| {
        let field =
            TextEdit::singleline(&mut palette.text).desired_width(f32::INFINITY).hint_text("Type a part of its name");
        let response = ui.add(field).accessible_name("Command to find");
        if palette.fresh {
            response.request_focus();
            palette.fresh = false;
        }
        if response.changed() {
            palette.at = 0;
        }
        let entered = response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
        ui.add_space(4.0);
        asked = list(ui, app, palette, entered, theme);
        let tip = found(&palette.text).get(palette.at).map_or("", |e| e.tip);
        ui.add_space(4.0);
        ui.label(RichText::new(tip).font(theme::small()).color(theme.weak));
    });
    if let Some(command) = asked {
        stay = Stay::Closed;
        act::command(app, ctx, command);
    }
    stay
}

/// The commands that were found; gives the one that is asked for.
fn list(ui: &mut egui::Ui, app: &App, palette: &Palette, entered: bool, theme: &Theme) -> Option<Command> {
    let mut asked = None;
    ScrollArea::vertical().max_height(380.0).auto_shrink([false, false]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        let entries = found(&palette.text);
        if entries.is_empty() {
            crate::slate::note(ui, "No command has all of these words.");
        }
        for (index, entry) in entries.into_iter().enumerate() {
            let marked = index == palette.at;
            let key = entry.keys().first().map(|k| ui.ctx().format_shortcut(k)).unwrap_or_default();
            let can = bars::can(app, entry.command);
            let button = Button::new(entry.name)
                .shortcut_text(RichText::new(key).color(theme.weak))
                .selected(marked)
                .frame_when_inactive(false)
                .min_size(egui::vec2(ui.available_width(), 24.0));
            let response = ui.add_enabled(can, button).on_hover_text(entry.tip);
            if response.clicked() || (entered && marked && can) {
                asked = Some(entry.command);
            }
            if marked {
                response.scroll_to_me(None);
            }
        }
    });
    asked
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_command_is_found_by_any_of_its_words() {
        assert_eq!(found("fit")[0].command, Command::Fit);
        assert_eq!(found("cur are")[0].command, Command::Areas);
        assert!(found("no such thing").is_empty());
        assert_eq!(found("").len(), commands::ALL.len());
    }
}
