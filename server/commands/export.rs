//! `holdfast export`: copies in open standards, at the machine's own keyboard.
//!
//! Nothing is written to the journal: another program may be keeping it. Whoever stands at this machine has the file
//! itself as well.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;
use clap::builder::PossibleValuesParser;
use holdfast::boot::{self, BootError};
use holdfast::clock::wall_now;
use holdfast::exchange::standards::{self, AsOf, Form};
use holdfast::journal::{self, FolderError};

#[derive(Debug, Args)]
pub(crate) struct ExportArgs {
    /// The incident's file [default: the newest incident of the data folder].
    file: Option<PathBuf>,
    /// In which standard; may be given several times.
    #[arg(long = "as", required = true, value_parser = PossibleValuesParser::new(Form::ALL.map(Form::code)))]
    forms: Vec<String>,
    /// The folder to write to.
    #[arg(long)]
    to: PathBuf,
    /// The data folder [default: the system's usual one].
    #[arg(long)]
    data: Option<PathBuf>,
}

/// Writes the copies and says what they are called.
pub(crate) async fn export(args: ExportArgs) -> Result<ExitCode, BootError> {
    let Some(file) = chosen(args.file, args.data)? else {
        return Ok(ExitCode::FAILURE);
    };
    let read = journal::read_at_rest(&file).await?;
    if let Some(damage) = &read.damage {
        eprintln!("NOT WHOLE: {damage}");
        eprintln!("Only what stands before that is in the copies");
    }
    let as_of = AsOf::new(read.incident.head(), read.check, wall_now());
    let failed = |source| FolderError::Unusable {
        path: args.to.clone(),
        source,
    };
    println!("As of entry {}, check {}", as_of.seq, as_of.check);
    for form in args.forms.iter().filter_map(|code| Form::from_code(code)) {
        for file in standards::files(&read.incident, &as_of, form) {
            println!("  {}", put(&args.to, &file).map_err(failed)?.display());
        }
    }
    Ok(if read.damage.is_some() {
        ExitCode::from(2)
    } else {
        ExitCode::SUCCESS
    })
}

fn chosen(file: Option<PathBuf>, data: Option<PathBuf>) -> Result<Option<PathBuf>, BootError> {
    if file.is_some() {
        return Ok(file);
    }
    let data = data.map_or_else(boot::usual_folder, Ok)?;
    let newest = journal::incidents(&data)?.into_iter().next();
    if newest.is_none() {
        eprintln!("No incidents in {}", data.display());
    }
    Ok(newest.map(|file| file.path))
}

/// Readable by whoever runs this alone, like the record itself.
fn put(folder: &Path, file: &standards::File) -> std::io::Result<PathBuf> {
    std::fs::create_dir_all(folder)?;
    let path = folder.join(&file.name);
    journal::private_file(&path, &file.bytes)?;
    Ok(path)
}
