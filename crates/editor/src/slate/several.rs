//! Several things of a kind on one page: folded away, and come to when one is selected on the floor.

use super::Seen;
use egui::{Align, CollapsingHeader, Id, Response, RichText, Ui};

/// What was selected when the page was drawn last, and whether that has just changed.
#[derive(Clone, Copy, Default)]
struct Noticed {
    thing: Option<Id>,
    fresh: bool,
}

fn noticed_id() -> Id {
    Id::unique("selected and on the page")
}

/// Remembers what of the page is selected; called before the page is drawn.
pub(super) fn notice(ui: &Ui, thing: Option<Id>) {
    ui.data_mut(|d| {
        let noticed = d.get_temp_mut_or_default::<Noticed>(noticed_id());
        *noticed = Noticed { thing, fresh: thing.is_some() && thing != noticed.thing };
    });
}

/// Scrolls to what has just been selected on the floor, and only then.
pub(super) fn come_into_view(ui: &Ui, place: &Response, selected: bool) {
    let fresh = ui.data(|d| d.get_temp::<Noticed>(noticed_id())).is_some_and(|n| n.fresh);
    if selected && fresh {
        place.scroll_to_me(Some(Align::TOP));
    }
}

/// A heading that takes the accent while its thing is selected on the floor.
pub(super) fn group(ui: &mut Ui, seen: &Seen<'_>, text: &str, selected: bool) {
    ui.add_space(12.0);
    let colour = if selected { seen.theme.accent } else { seen.theme.text };
    let title = ui.label(RichText::new(text).font(crate::theme::bold(crate::theme::TITLE)).color(colour));
    come_into_view(ui, &title, selected);
}

/// One of several of a kind: folded away, open while it is selected on the floor.
pub(super) fn one_of_several(ui: &mut Ui, id: (&str, usize), title: &str, selected: bool, body: impl FnOnce(&mut Ui)) {
    let open = selected.then_some(true);
    let header = CollapsingHeader::new(title).id_salt(id).open(open).default_open(id.1 == 0);
    let shown = header.show_unindented(ui, body);
    // What unfolds because it was selected has its room only once it is open.
    if selected && shown.openness > 0.0 && shown.openness < 1.0 {
        shown.header_response.scroll_to_me(Some(Align::TOP));
    }
    come_into_view(ui, &shown.header_response, selected);
}
