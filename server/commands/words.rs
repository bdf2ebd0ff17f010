//! `holdfast words`: fresh lead's words at the machine's own keyboard.

use std::path::PathBuf;
use std::process::ExitCode;

use holdfast::boot::{self, BootError, Renewed};

/// Gives the running board fresh words and says them.
pub(crate) async fn words(data: Option<PathBuf>) -> Result<ExitCode, BootError> {
    let data = data.map_or_else(boot::usual_folder, Ok)?;
    match boot::renew_lead_words(&data).await? {
        Renewed::Words(words) => {
            println!("Lead words  {words}");
            println!("The earlier ones open nothing any more. Who is in stays in.");
            Ok(ExitCode::SUCCESS)
        }
        Renewed::NotRunning => {
            eprintln!(
                "No board runs on {}. Each start makes words of its own and shows them",
                data.display()
            );
            Ok(ExitCode::FAILURE)
        }
        Renewed::NoAnswer => {
            eprintln!(
                "The program running on {} did not take them",
                data.display()
            );
            Ok(ExitCode::FAILURE)
        }
    }
}
