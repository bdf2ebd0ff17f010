//! `holdfast remove`: records whose time is over, at the machine's own keyboard.
//!
//! Never by itself: a clock set wrong must not remove a record.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;
use holdfast::boot::{self, BootError};
use holdfast::clock::wall_now;
use holdfast::journal::{self, DataFolder, FolderError, Keeping};

#[derive(Debug, Args)]
pub(crate) struct RemoveArgs {
    /// Remove them, and do not only say what would go.
    #[arg(long)]
    yes: bool,
    /// This incident, whatever time it was to be kept.
    #[arg(long)]
    incident: Option<String>,
    /// A folder with copies of it; may be given several times. Copies elsewhere are yours to remove.
    #[arg(long)]
    copies: Vec<PathBuf>,
    /// The data folder [default: the system's usual one].
    #[arg(long)]
    data: Option<PathBuf>,
}

/// Says what would go, or removes it.
pub(crate) async fn remove(args: RemoveArgs) -> Result<ExitCode, BootError> {
    let data = args.data.map_or_else(boot::usual_folder, Ok)?;
    let folder = DataFolder::take(&data)?;
    let due = match &args.incident {
        None => journal::overdue(folder.path(), wall_now()).await,
        Some(name) => named(folder.path(), name).await?,
    };
    if due.is_empty() {
        println!("No record is due to be removed in {}", data.display());
        return Ok(ExitCode::SUCCESS);
    }
    if args.yes && args.incident.is_some() && due.len() > 1 {
        for one in &due {
            println!("{}  {} entries, check {}", one.name, one.entries, one.check);
            println!("    {}", one.file.display());
        }
        eprintln!(
            "{} records have this name; nothing was removed. Say which: --incident with the check above",
            due.len()
        );
        return Ok(ExitCode::FAILURE);
    }
    for one in &due {
        println!("{}  {} entries, check {}", one.name, one.entries, one.check);
        println!("    {}", one.file.display());
        if !args.yes {
            continue;
        }
        let gone =
            journal::remove(folder.path(), one, &args.copies, wall_now()).map_err(|source| {
                FolderError::Unusable {
                    path: data.clone(),
                    source,
                }
            })?;
        for file in gone {
            println!("    removed {}", file.display());
        }
    }
    if args.yes {
        println!(
            "Phones forget it when they come to this machine again. Paper and copies elsewhere do not."
        );
    } else {
        println!("Nothing was removed. To remove: the same with --yes");
    }
    Ok(ExitCode::SUCCESS)
}

async fn named(folder: &Path, name: &str) -> Result<Vec<Keeping>, BootError> {
    let mut found = Vec::new();
    for file in journal::incidents(folder)? {
        if let Ok(one) = journal::keeping(&file.path).await
            && (one.name == name || one.check == name)
        {
            found.push(one);
        }
    }
    Ok(found)
}

/// Reminds whoever starts the board of records whose time is over.
pub(crate) async fn remind(data: &Path) {
    for one in journal::overdue(data, wall_now()).await {
        println!(
            "  TIME IS OVER for the record of {}: holdfast remove",
            one.name
        );
    }
}
