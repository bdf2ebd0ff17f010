//! How the disk stands, and what a failed write means.
//!
//! Owns the reading of errors: which leave the file as it was (full, held by another program) and which leave
//! it unknown. After the latter nothing is acknowledged again until the file was opened and verified anew: after a
//! failed sync the kernel's pages are not to be believed (Rebello et al., "Can Applications Recover from fsync
//! Failures?", USENIX ATC 2020), and a commit that reports an error may still have reached the disk.

use std::path::{Path, PathBuf};

/// Free space below which the lead is warned.
const LOW_BYTES: u64 = 200 * 1024 * 1024;
/// On a small medium: the part of it below which the lead is warned, as long as less than `AMPLE` is free.
const LOW_PART: u64 = 20;
const AMPLE: u64 = 2 * 1024 * 1024 * 1024;
/// The reserve: given back when the disk is full, so that reports go on while somebody makes room.
const RESERVE_BYTES: u64 = 16 * 1024 * 1024;
/// The reserve takes at most this part of what is free.
const RESERVE_PART: u64 = 8;
const RESERVE_NAME: &str = "reserve";

/// How the disk stands, as every screen is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Storage {
    /// Nothing to say.
    Well,
    /// Space runs out.
    Low {
        /// Free space in whole MB.
        free_mb: u64,
    },
    /// The disk was full; the reserve was given back and reports go on for a little.
    Reserve {
        /// Free space in whole MB.
        free_mb: u64,
    },
    /// Nothing can be written until there is room. Goes on by itself.
    Full,
    /// Another program holds the file. Goes on by itself.
    Held,
    /// A write failed and what is on disk is not known. Only a fresh start, which verifies, ends this.
    Failed,
}

impl Storage {
    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Well => "well",
            Self::Low { .. } => "disk-low",
            Self::Reserve { .. } => "disk-reserve",
            Self::Full => "disk-full",
            Self::Held => "file-held",
            Self::Failed => "storage",
        }
    }

    /// What people read; nothing when there is nothing to say.
    pub fn words(self) -> Option<String> {
        match self {
            Self::Well => None,
            Self::Low { free_mb } => Some(format!(
                "The board's disk is nearly full: {free_mb} MB left. Make room on the board's machine."
            )),
            Self::Reserve { free_mb } => Some(format!(
                "THE BOARD'S DISK IS FULL. Its reserve is in use: {free_mb} MB left. Make room on the board's machine now."
            )),
            Self::Full => Some(
                "THE BOARD CANNOT STORE: its disk is full. Phones keep their reports. Make room on the board's machine; it goes on by itself."
                    .to_owned(),
            ),
            Self::Held => Some(
                "THE BOARD CANNOT STORE: another program holds its file. Phones keep their reports. Close that program; it goes on by itself."
                    .to_owned(),
            ),
            Self::Failed => Some(
                "THE BOARD HAS STOPPED STORING: its disk failed. Phones keep their reports. What was on the board before can be read. Stop the board, run holdfast verify, start it again."
                    .to_owned(),
            ),
        }
    }
}

/// What an error of the database says about the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Trouble {
    /// No room; the transaction is undone.
    Full,
    /// Held by another program; nothing was written.
    Held,
    /// Not known.
    Doubtful,
}

impl Trouble {
    /// Reads the primary result code (`SQLite`, "Result and Error Codes": 5 busy, 6 locked, 13 full).
    pub(super) fn of(error: &sqlx::Error) -> Self {
        let code = error
            .as_database_error()
            .and_then(|database| database.code()?.parse::<u32>().ok())
            .map(|code| code & 0xff);
        match code {
            Some(13) => Self::Full,
            Some(5 | 6) => Self::Held,
            _ => Self::Doubtful,
        }
    }
}

/// The medium a board's file is on, with the reserve beside it.
#[derive(Debug)]
pub(super) struct Medium {
    folder: PathBuf,
    reserve: PathBuf,
}

impl Medium {
    /// The medium of this file; makes the reserve where there is room.
    pub(super) fn of(file: &Path) -> Self {
        let folder = file.parent().unwrap_or(Path::new(".")).to_owned();
        let reserve = folder.join(RESERVE_NAME);
        let medium = Self { folder, reserve };
        medium.keep_reserve();
        medium
    }

    /// How it stands while writes succeed.
    pub(super) fn look(&self) -> Storage {
        let Some((free, all)) = space(&self.folder) else {
            return Storage::Well;
        };
        let free_mb = free / (1024 * 1024);
        if !self.reserve.exists() {
            self.keep_reserve();
        }
        if !self.reserve.exists() {
            return Storage::Reserve { free_mb };
        }
        if free < LOW_BYTES || (free < all / LOW_PART && free < AMPLE) {
            Storage::Low { free_mb }
        } else {
            Storage::Well
        }
    }

    /// Gives the reserve back to the disk; says whether there was one.
    pub(super) fn give_reserve(&self) -> bool {
        std::fs::remove_file(&self.reserve).is_ok()
    }

    fn keep_reserve(&self) {
        let Some((free, _)) = space(&self.folder) else {
            return;
        };
        let bytes = RESERVE_BYTES.min(free / RESERVE_PART);
        let kept = std::fs::metadata(&self.reserve).is_ok_and(|file| file.len() > 0);
        if kept || bytes < 64 * 1024 {
            return;
        }
        if let Err(error) = hold_space(&self.reserve, bytes) {
            tracing::warn!(error = %error, "no reserve could be laid aside for a full disk");
            drop(std::fs::remove_file(&self.reserve));
        }
    }
}

/// Free and whole bytes of the file system a folder is on; nothing where the system does not tell.
#[cfg(unix)]
fn space(folder: &Path) -> Option<(u64, u64)> {
    let told = rustix::fs::statvfs(folder).ok()?;
    Some((
        told.f_bavail.saturating_mul(told.f_frsize),
        told.f_blocks.saturating_mul(told.f_frsize),
    ))
}

#[cfg(not(unix))]
fn space(_folder: &Path) -> Option<(u64, u64)> {
    None
}

/// A file that really takes this much room: a hole would not.
fn hold_space(path: &Path, bytes: u64) -> std::io::Result<()> {
    super::files::make_private(path)?;
    let mut file = std::fs::OpenOptions::new().write(true).open(path)?;
    #[cfg(target_os = "linux")]
    if rustix::fs::fallocate(&file, rustix::fs::FallocateFlags::empty(), 0, bytes).is_ok() {
        return Ok(());
    }
    std::io::copy(
        &mut std::io::Read::take(std::io::repeat(0), bytes),
        &mut file,
    )
    .map(drop)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reserve_really_takes_room_and_is_laid_aside_once() {
        let folder = tempfile::tempdir().unwrap();
        let medium = Medium::of(&folder.path().join("x.holdfast.db"));
        let file = folder.path().join(RESERVE_NAME);
        let size = std::fs::metadata(&file).unwrap().len();
        assert!(size > 0 && size <= RESERVE_BYTES);
        #[cfg(unix)]
        {
            use std::os::unix::fs::MetadataExt;
            let taken = std::fs::metadata(&file).unwrap().blocks() * 512;
            assert!(taken >= size, "{taken} of {size}");
        }
        assert!(medium.give_reserve());
        assert!(!medium.give_reserve());
        medium.look();
        assert!(file.exists(), "there is room again");
    }

    #[test]
    fn each_state_that_stops_writing_says_what_to_do() {
        for state in [Storage::Full, Storage::Held, Storage::Failed] {
            let words = state.words().unwrap();
            assert!(words.contains("Phones keep their reports"), "{words}");
        }
        assert_eq!(Storage::Well.words(), None);
    }

    #[test]
    fn an_error_that_is_not_known_to_be_harmless_is_doubtful() {
        assert_eq!(Trouble::of(&sqlx::Error::PoolClosed), Trouble::Doubtful);
    }
}
