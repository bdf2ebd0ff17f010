//! The data folder: one `SQLite` file per incident, and a lock so that two programs never write one board.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use jiff::Timestamp;

/// The folder that holds every incident of this machine.
#[derive(Debug)]
pub struct DataFolder {
    path: PathBuf,
    /// Held while the program runs; dropped with it.
    _lock: File,
}

/// One incident's file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct IncidentFile {
    /// The file.
    pub path: PathBuf,
}

/// Why a data folder cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum FolderError {
    /// Another holdfast has it.
    #[error("another holdfast already runs on {0}. Stop it, or choose another folder with --data")]
    InUse(PathBuf),
    /// The folder cannot be made or opened.
    #[error("the data folder {path} cannot be used: {source}. Choose another with --data")]
    Unusable {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The system names no folder for data.
    #[error("this system names no folder for data; choose one with --data")]
    NoHome,
}

const ENDING: &str = "holdfast.db";

impl DataFolder {
    /// The platform's usual folder.
    ///
    /// # Errors
    /// When the system names none.
    pub fn usual() -> Result<PathBuf, FolderError> {
        let dirs = directories::ProjectDirs::from("", "", "holdfast").ok_or(FolderError::NoHome)?;
        Ok(dirs.data_dir().to_owned())
    }

    /// Makes the folder if needed and takes it for this program alone.
    ///
    /// # Errors
    /// When it cannot be made or another program has it.
    pub fn take(path: &Path) -> Result<Self, FolderError> {
        let unusable = |source| FolderError::Unusable {
            path: path.to_owned(),
            source,
        };
        fs::create_dir_all(path).map_err(unusable)?;
        keep_private(path, 0o700).map_err(unusable)?;
        let lock = File::create(path.join("lock")).map_err(unusable)?;
        match lock.try_lock() {
            Ok(()) => Ok(Self {
                path: path.to_owned(),
                _lock: lock,
            }),
            Err(fs::TryLockError::WouldBlock) => Err(FolderError::InUse(path.to_owned())),
            Err(fs::TryLockError::Error(source)) => Err(unusable(source)),
        }
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// A file for a new incident that does not exist yet; its name begins with the time, so that names sort.
    pub fn new_file(&self, name: &str, at: Timestamp) -> IncidentFile {
        let slug: String = name
            .chars()
            .map(|c| {
                if c.is_ascii_alphanumeric() {
                    c.to_ascii_lowercase()
                } else {
                    '-'
                }
            })
            .take(40)
            .collect();
        let stamp = at.strftime("%Y%m%dT%H%M%SZ");
        let path = (0..u32::MAX)
            .map(|copy| {
                let copy = if copy == 0 {
                    String::new()
                } else {
                    format!("-{copy}")
                };
                self.path
                    .join(format!("{stamp}-{}{copy}.{ENDING}", slug.trim_matches('-')))
            })
            .find(|path| !path.exists())
            .expect("OK because some number is free");
        IncidentFile { path }
    }
}

/// Every incident in a folder, newest first. A folder that is not there has none.
///
/// # Errors
/// When the folder cannot be read.
pub fn incidents(folder: &Path) -> Result<Vec<IncidentFile>, FolderError> {
    let unusable = |source| FolderError::Unusable {
        path: folder.to_owned(),
        source,
    };
    let listing = match fs::read_dir(folder) {
        Ok(listing) => listing,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(unusable(error)),
    };
    let mut files = Vec::new();
    for item in listing {
        let path = item.map_err(unusable)?.path();
        if path.to_string_lossy().ends_with(ENDING) {
            files.push(IncidentFile { path });
        }
    }
    files.sort();
    files.reverse();
    Ok(files)
}

/// Makes the file, readable and writable by its owner alone (it is health data), if it is not there yet. `SQLite`
/// gives its side files the same permissions.
pub(super) fn make_private(file: &Path) -> io::Result<()> {
    let mut options = fs::OpenOptions::new();
    options.append(true).create(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    options.open(file).map(drop)
}

/// Writes a small file that its owner alone can read.
///
/// # Errors
/// When it cannot be written.
pub fn private_file(file: &Path, text: &[u8]) -> io::Result<()> {
    drop(fs::remove_file(file));
    make_private(file)?;
    fs::write(file, text)
}

/// Only the owner reads or writes what is in this folder.
#[cfg(unix)]
fn keep_private(path: &Path, mode: u32) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(path, fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn keep_private(_path: &Path, _mode: u32) -> io::Result<()> {
    Ok(())
}
