//! What an earlier run of the program left unsaved.

use std::fs::{self, File, OpenOptions};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{SystemTime, UNIX_EPOCH};

use crate::autosave::project_in;
use crate::failure::FileFailure;
use crate::files::{self, OnDisk, OpenedFile, read_text, write_whole};
use crate::patience::lock_patiently;
use crate::state::StateFolder;

/// Unsaved work that was left behind. While this value lives, no other program is offered it.
#[derive(Debug)]
pub struct Recovery {
    folder: PathBuf,
    lock: File,
    origin: Option<OnDisk>,
    left_at: SystemTime,
}

/// All that was left behind, the latest first.
pub fn recoveries(state: &StateFolder) -> Vec<Recovery> {
    let inside =
        |folder: PathBuf| fs::read_dir(folder).into_iter().flatten().filter_map(|entry| Some(entry.ok()?.path()));
    let spare = spare(state).into_iter().flat_map(inside).filter(|folder| is_mine(folder));
    let mut found: Vec<_> = inside(all(state)).chain(spare).filter_map(Recovery::at).collect();
    found.sort_by_key(|recovery| std::cmp::Reverse(recovery.left_at));
    found
}

impl Recovery {
    /// The recovery in a folder; `None` if a program that runs still writes there. One with nothing in it is cleared
    /// away.
    fn at(folder: PathBuf) -> Option<Self> {
        let lock = lock(&folder).ok()?;
        let Ok(about) = fs::metadata(project_in(&folder)) else {
            drop(lock);
            remove(&folder);
            return None;
        };
        let left_at = about.modified().unwrap_or(UNIX_EPOCH);
        let origin = read_origin(&folder);
        Some(Self { folder, lock, origin, left_at })
    }

    /// The project's own file and what it held then; `None` if it had never been saved.
    pub fn origin(&self) -> Option<&OnDisk> {
        self.origin.as_ref()
    }

    /// When it was written.
    pub fn left_at(&self) -> SystemTime {
        self.left_at
    }

    /// Reads the document. It stays where it is.
    ///
    /// # Errors
    /// As for [`files::open`].
    pub fn open(&self) -> Result<OpenedFile, FileFailure> {
        files::open(&project_in(&self.folder))
    }

    /// Throws it away.
    pub fn discard(self) {
        drop(self.lock);
        remove(&self.folder);
    }
}

fn all(state: &StateFolder) -> PathBuf {
    state.path().join("recovery")
}

fn spare(state: &StateFolder) -> Option<PathBuf> {
    Some(state.spare()?.join("recovery"))
}

/// Folders for one desk, the second for when the first cannot be written. One is made when there is something to keep.
pub(crate) fn new_folders(state: &StateFolder) -> Vec<PathBuf> {
    let name = new_name();
    std::iter::once(all(state)).chain(spare(state)).map(|folder| folder.join(&name)).collect()
}

/// Makes a folder that nobody else can look into: the spare one lies where everybody has theirs.
///
/// # Errors
/// It cannot be made.
pub(crate) fn make(folder: &Path) -> Result<(), FileFailure> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder).map_err(|cause| FileFailure::unwritable(folder, cause))
}

/// Whether a folder belongs to who runs the program: what others left in a place for everybody is not offered. On systems that do not
/// tell, each has such a place of their own.
fn is_mine(folder: &Path) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let me = fs::metadata("/proc/self").map(|about| about.uid());
        // A link is not followed: it may lead to anybody's.
        fs::symlink_metadata(folder).is_ok_and(|about| about.is_dir() && me.map_or(true, |me| me == about.uid()))
    }
    #[cfg(not(unix))]
    folder.is_dir()
}

fn new_name() -> String {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default().as_millis();
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    format!("{now}-{}-{count}", std::process::id())
}

/// Takes the folder for this program, until the file is dropped or the program ends in whatever way.
///
/// # Errors
/// Another program has it, or the folder cannot be written to.
pub(crate) fn lock(folder: &Path) -> Result<File, FileFailure> {
    let path = folder.join("lock");
    let failure = |cause| FileFailure::unwritable(&path, cause);
    let file = OpenOptions::new().create(true).truncate(false).write(true).open(&path).map_err(failure)?;
    match lock_patiently(&file) {
        Ok(()) => Ok(file),
        Err(cause) => Err(failure(cause.into())),
    }
}

/// Removes a recovery folder. One that cannot be removed is offered again at the next start, which does no harm.
pub(crate) fn remove(folder: &Path) {
    let _ = fs::remove_dir_all(folder);
}

fn origin_in(folder: &Path) -> PathBuf {
    folder.join("origin.txt")
}

/// Notes which project it is: hash and path, or nothing.
pub(crate) fn write_origin(folder: &Path, on_disk: Option<&OnDisk>) -> Result<(), FileFailure> {
    let text = on_disk.and_then(|on_disk| Some(format!("{}\n{}\n", on_disk.hash.to_hex(), on_disk.path.to_str()?)));
    write_whole(&origin_in(folder), text.unwrap_or_default().as_bytes())
}

fn read_origin(folder: &Path) -> Option<OnDisk> {
    let text = read_text(&origin_in(folder)).ok()?;
    let (hash, path) = text.strip_suffix('\n')?.split_once('\n')?;
    Some(OnDisk { path: path.into(), hash: blake3::Hash::from_hex(hash).ok()? })
}
