//! `holdfast verify`: each journal checked, in words and as an exit code.

use std::path::PathBuf;
use std::process::ExitCode;

use holdfast::boot::{self, BootError};
use holdfast::journal;

/// Checks every incident of a folder.
pub(crate) async fn verify(data: Option<PathBuf>) -> Result<ExitCode, BootError> {
    let data = data.map_or_else(boot::usual_folder, Ok)?;
    let files = journal::incidents(&data)?;
    if files.is_empty() {
        println!("No incidents in {}", data.display());
    }
    let mut whole = true;
    for file in files {
        println!("{}", file.path.display());
        match journal::verify(&file.path).await {
            Ok(verdict) if verdict.is_whole() => {
                println!(
                    "  OK {} entries, check {}, state tables equal the journal",
                    verdict.head, verdict.check
                );
            }
            Ok(verdict) => {
                whole = false;
                verdict
                    .findings
                    .iter()
                    .for_each(|finding| println!("  {finding}"));
                println!(
                    "  whole up to entry {}, check {}",
                    verdict.head, verdict.check
                );
            }
            Err(error) => {
                whole = false;
                println!("  CANNOT BE READ: {error}");
            }
        }
    }
    Ok(if whole {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(2)
    })
}
