//! Opens the window, or says why it cannot be.

use crate::app::App;
use std::path::PathBuf;

/// What the window opens with.
#[derive(Clone, Debug, Default)]
pub struct Start {
    /// The project to open; none opens a new, empty one.
    pub project: Option<PathBuf>,
}

/// Why there is no window.
#[derive(Debug)]
pub enum WindowError {
    /// No display can be reached; the text says what was tried.
    NoDisplay(String),
    /// The window could not be made or broke.
    Failed(String),
}

impl std::fmt::Display for WindowError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoDisplay(why) => write!(f, "No display can be reached: {why}"),
            Self::Failed(why) => write!(f, "The window could not be opened: {why}"),
        }
    }
}

impl std::error::Error for WindowError {}

/// Runs the editor until its window is closed.
///
/// # Errors
/// [`WindowError::NoDisplay`] where there is none, found out before anything is opened where that is possible.
pub fn run(start: Start) -> Result<(), WindowError> {
    display_named()?;
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Plugwright")
            .with_app_id("plugwright")
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([860.0, 560.0])
            .with_icon(crate::icon::icon()),
        persist_window: false,
        // There are no gradients that could show bands, and it costs a look at noise for every pixel.
        dithering: false,
        ..Default::default()
    };
    let app = move |context: &eframe::CreationContext<'_>| -> Result<Box<dyn eframe::App>, _> {
        Ok(Box::new(App::new(&context.egui_ctx, &start)))
    };
    eframe::run_native("plugwright", options, Box::new(app)).map_err(|error| said(&error))
}

/// On Linux a display has a name in the environment; without one, asking for a window only wastes time.
fn display_named() -> Result<(), WindowError> {
    if !cfg!(target_os = "linux") {
        return Ok(());
    }
    let named = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    if named("DISPLAY") || named("WAYLAND_DISPLAY") || named("WAYLAND_SOCKET") {
        return Ok(());
    }
    Err(WindowError::NoDisplay("neither WAYLAND_DISPLAY nor DISPLAY is set.".into()))
}

fn said(error: &eframe::Error) -> WindowError {
    match error {
        // The system's own words name places in the sources of libraries, which help nobody here.
        eframe::Error::Winit(_) | eframe::Error::WinitEventLoop(_) => {
            let named = |name: &str| std::env::var(name).ok().filter(|v| !v.is_empty()).map(|v| format!("{name}={v}"));
            let tried: Vec<String> = ["WAYLAND_DISPLAY", "DISPLAY"].into_iter().filter_map(named).collect();
            let with = if tried.is_empty() { String::new() } else { format!(" ({})", tried.join(", ")) };
            WindowError::NoDisplay(format!("the window system does not answer{with}."))
        }
        _ => WindowError::Failed(error.to_string()),
    }
}
