//! `holdfast standby` and `holdfast promote`.

use std::net::SocketAddr;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;
use holdfast::boot::{self, BootError, Config};
use holdfast::clock::Clock;
use holdfast::standby::{self, Followed, Promoted, StandbyError};
use holdfast::web::Limits;

use super::TlsArgs;

#[derive(Debug, Args)]
pub(crate) struct StandbyArgs {
    /// The board's address, as phones open it: `http://10.42.0.1:8080`.
    address: String,
    /// The lead's words of that board, as its own screen shows them.
    #[arg(long, env = "HOLDFAST_LEAD_WORDS", hide_env_values = true)]
    lead_words: String,
    /// The board's authority, for an `https` address: its `/authority.crt`, compared with the board's own screen.
    #[arg(long, value_name = "FILE")]
    authority: Option<PathBuf>,
    /// The data folder [default: the system's usual one].
    #[arg(long)]
    data: Option<PathBuf>,
    /// The address to listen on; the next free port is taken if this one is not.
    #[arg(long, default_value = "0.0.0.0:8080")]
    listen: SocketAddr,
    /// A name this machine answers to besides its addresses; may be given several times.
    #[arg(long = "name")]
    names: Vec<String>,
    /// Holds from the moment this machine takes over: the authority is this machine's own.
    #[command(flatten)]
    tls: TlsArgs,
}

/// Follows a board until told to take over, and is the board from then on.
pub(crate) async fn standby(args: StandbyArgs) -> Result<ExitCode, BootError> {
    let authority = match args.authority.map(|file| (std::fs::read(&file), file)) {
        None => None,
        Some((Ok(read), _)) => Some(read),
        Some((Err(error), file)) => {
            eprintln!("holdfast: {} cannot be read: {error}", file.display());
            return Ok(ExitCode::FAILURE);
        }
    };
    let source = Followed {
        address: args.address,
        lead_words: args.lead_words.clone(),
        authority,
    };
    let config = Config {
        data: args.data.map_or_else(boot::usual_folder, Ok)?,
        listen: args.listen,
        file: None,
        incident: None,
        begin_new: false,
        tls: args.tls.tls,
        lead_only_secure: args.tls.lead_only_secure,
        practice: false,
        join_code: None,
        lead_words: Some(args.lead_words),
        names: args.names,
        wifi: None,
        limits: Limits::default(),
        clock: Clock::wall(),
    };
    let (board, follower) = match standby::prepare(config.clone(), &source).await {
        Ok(ready) => ready,
        Err(StandbyError::Boot(error)) => return Err(error),
        Err(error) => {
            eprintln!("holdfast: {error}");
            return Ok(ExitCode::FAILURE);
        }
    };
    println!();
    println!(
        "  STANDBY of {}: it can be read here, reports go to the board itself.",
        source.address
    );
    println!(
        "  If that machine is lost, on this one: {}",
        standby::promote_command(board.folder())
    );
    if follower.is_less_secure() {
        println!(
            "  ATTENTION: that board takes its lead over TLS only. Once this machine takes over it takes the lead in the clear too: to keep it so, start it with --tls --lead-only-secure."
        );
    }
    let following = tokio::spawn(standby::run(follower));
    let ended = crate::serve_on(board, config, None).await;
    following.abort();
    ended
}

pub(crate) async fn promote(data: Option<PathBuf>) -> Result<ExitCode, BootError> {
    let data = data.map_or_else(boot::usual_folder, Ok)?;
    let here = boot::data_option(&data);
    let said = match standby::promote(&data, Clock::wall()).await? {
        Promoted::Running => format!(
            "This machine is the board now. Phones: the code on its join sheet. If the lead's words were made anew on the other machine, on this one: holdfast words{here}"
        ),
        Promoted::AtRest => format!("The copy is a board now. Start it: holdfast{here}"),
        Promoted::NothingToPromote => {
            eprintln!("There is no standby's copy in {}", data.display());
            return Ok(ExitCode::FAILURE);
        }
        Promoted::Several(copies) => {
            eprintln!(
                "Several copies of boards are here. Move all but the one to go on from into another folder, each with the files beside it (-wal, -shm), then again:"
            );
            for copy in copies {
                eprintln!("  {}*", copy.display());
            }
            return Ok(ExitCode::FAILURE);
        }
        Promoted::NoAnswer => {
            eprintln!(
                "The program running on {} did not take over: it is no standby, or its disk fails",
                data.display()
            );
            return Ok(ExitCode::FAILURE);
        }
    };
    println!("{said}");
    Ok(ExitCode::SUCCESS)
}
