//! The curve of areas and its slope, under the plan and on the same stations.

use crate::derived::Derived;
use crate::floor::layout::Layout;
use crate::theme::{self, Theme};
use crate::units::Units;
use egui::{Align2, Rect, Ui, UiBuilder, pos2, vec2};
use egui_plot::{HoverPosition, Line, LineStyle, Plot, PlotBounds, PlotPoints};

/// Draws the strip with the curve of areas.
pub(crate) fn areas(ui: &mut Ui, layout: &Layout, theme: &'static Theme, derived: &Derived, units: Units) {
    let Some(strip) = layout.areas else { return };
    ui.painter().rect_filled(strip, 0.0, theme.floor);
    ui.painter().hline(strip.x_range(), strip.top(), egui::Stroke::new(1.0, theme.edge));
    let most = derived.areas.iter().map(|a| a.area).fold(0.0, f64::max);
    if most > 0.0 {
        plot(ui, layout, strip, theme, derived, units, most);
    }
    title(ui, strip, theme, derived, units, most);
}

fn plot(ui: &mut Ui, layout: &Layout, strip: Rect, theme: &'static Theme, derived: &Derived, units: Units, most: f64) {
    let steepest = derived.areas.iter().map(|a| a.slope.abs()).filter(|s| s.is_finite()).fold(0.0, f64::max);
    // The slope shares the strip with the areas: its own zero lies in the middle, its steepest fills the half.
    let slope_scale = if steepest > 0.0 { 0.5 * most / steepest } else { 0.0 };
    let areas: PlotPoints<'_> = derived.areas.iter().map(|a| [a.x, a.area]).collect();
    let slopes: PlotPoints<'_> = derived.areas.iter().map(|a| [a.x, 0.5 * most + slope_scale * a.slope]).collect();
    let middle: PlotPoints<'_> = derived.areas.iter().map(|a| [a.x, 0.5 * most]).collect();
    let [across, _] = layout.plan.reach();
    let samples = derived.areas.clone();
    let read = move |hover: &HoverPosition<'_>| {
        let x = match hover {
            HoverPosition::NearDataPoint { position, .. } | HoverPosition::Elsewhere { position } => position.x,
        };
        let near = samples.iter().min_by(|a, b| (a.x - x).abs().total_cmp(&(b.x - x).abs()))?;
        let change = match units {
            Units::Millimetre => format!("{:+.2} cm² per 10 mm", near.slope * 10.0 / 100.0),
            Units::Inch => format!("{:+.3} in² per inch", near.slope / 25.4),
        };
        Some(format!("{} aft\n{}\n{change}", units.length(near.x), units.area(near.area)))
    };
    let inner = strip.shrink2(vec2(0.0, 2.0));
    let mut child = ui.new_child(UiBuilder::new().max_rect(inner).id_salt("areas"));
    Plot::new("curve of areas")
        .show_axes(false)
        .show_y(false)
        .show_grid(false)
        .show_background(false)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .set_margin_fraction(vec2(0.0, 0.0))
        .width(inner.width())
        .height(inner.height())
        .label_formatter(read)
        .show(&mut child, |plot| {
            plot.set_plot_bounds(PlotBounds::from_min_max([across[0], -0.04 * most], [across[1], 1.45 * most]));
            plot.line(Line::new("zero slope", middle).color(theme.grid_strong).width(1.0).allow_hover(false));
            let dashed = LineStyle::Dashed { length: 6.0 };
            plot.line(Line::new("slope", slopes).color(theme.weak).style(dashed).width(1.2).allow_hover(false));
            plot.line(Line::new("area", areas).color(theme.text).width(1.8).fill(0.0).fill_alpha(0.06));
        });
}

fn title(ui: &Ui, strip: Rect, theme: &Theme, derived: &Derived, units: Units, most: f64) {
    let painter = ui.painter().with_clip_rect(strip);
    let at = strip.left_top() + vec2(10.0, 5.0);
    let title = painter.text(at, Align2::LEFT_TOP, "Curve of areas", theme::bold(12.0), theme.weak);
    let note = match derived.areas.iter().max_by(|a, b| a.area.total_cmp(&b.area)) {
        Some(widest) if most > 0.0 => {
            format!("largest {} at {}; dashed: its slope", units.area(most), units.length(widest.x))
        }
        _ => "appears with the surface".to_owned(),
    };
    let at = pos2(title.right() + 10.0, title.top());
    painter.text(at, Align2::LEFT_TOP, note, theme::small(), theme.weak);
}
