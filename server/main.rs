//! The command line: parse, run, map to an exit code. Prints what a person at the machine needs, in words that
//! can be read at arm's length.
#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "this is the one place that talks to the terminal"
)]

use std::net::SocketAddr;
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Duration;

use clap::{Args, Parser, Subcommand};
use holdfast::boot::{self, Board, BootError, Config, Ended};
use holdfast::clock::{Clock, fresh_id, wall_now};
use holdfast::drill::{self, Door, NINEFOLD_BEND};
use holdfast::exchange::qr;
use holdfast::web::{Limits, Wifi, grouped, join_address};
use tracing_subscriber::EnvFilter;

mod commands;

/// A shared incident board for a group accident. Run it on the machine that is the Wi-Fi hotspot; any phone
/// browser that joins sees a live board.
#[derive(Debug, Parser)]
#[command(version)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    serve: ServeArgs,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// List the incidents kept on this machine.
    Incidents {
        /// The data folder [default: the system's usual one].
        #[arg(long)]
        data: Option<PathBuf>,
    },
    /// Prove that the journal is whole and that the state tables equal it.
    Verify {
        /// The data folder [default: the system's usual one].
        #[arg(long)]
        data: Option<PathBuf>,
    },
    /// Follow a board on another machine, to be read here and to take over if that machine is lost.
    Standby(commands::StandbyArgs),
    /// Make the standby on this machine the board: only when the other machine is lost.
    Promote {
        /// The data folder [default: the system's usual one].
        #[arg(long)]
        data: Option<PathBuf>,
    },
    /// Make fresh words for the lead while the board runs: for whoever stands at this machine.
    Words {
        /// The data folder [default: the system's usual one].
        #[arg(long)]
        data: Option<PathBuf>,
    },
    /// Remove records whose time is over; asks for --yes, and says first what would go.
    Remove(commands::RemoveArgs),
    /// Copy the newest incident, verified, into a folder or onto a stick; the board may be running.
    Copy {
        /// The folder.
        to: PathBuf,
        /// The data folder [default: the system's usual one].
        #[arg(long)]
        data: Option<PathBuf>,
    },
    /// Write copies of an incident for other systems, in open standards; the board may be running.
    Export(commands::ExportArgs),
    /// Serve an invented accident that plays itself: practice, nothing in it is real.
    Demo(DemoArgs),
}

#[derive(Debug, Args)]
struct DemoArgs {
    /// How many times as fast as life the board's clock runs.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=60))]
    speed: u32,
    /// The address to listen on; the next free port is taken if this one is not.
    #[arg(long, default_value = "0.0.0.0:8080")]
    listen: SocketAddr,
    /// Keep it in the folder `demo` inside this data folder [default: a fresh temporary folder].
    #[arg(long)]
    data: Option<PathBuf>,
}

#[derive(Debug, Args)]
struct ServeArgs {
    /// The data folder [default: the system's usual one].
    #[arg(long)]
    data: Option<PathBuf>,
    /// The address to listen on; the next free port is taken if this one is not.
    #[arg(long, default_value = "0.0.0.0:8080")]
    listen: SocketAddr,
    /// The incident's name: resumed if there is one of that name, else begun.
    #[arg(long)]
    incident: Option<String>,
    /// Begin another incident instead of resuming the last one.
    #[arg(long)]
    new: bool,
    /// The lead's words [default: three fresh ones at each start].
    #[arg(long, env = "HOLDFAST_LEAD_WORDS", hide_env_values = true)]
    lead_words: Option<String>,
    /// The helpers' join code [default: made once for the incident].
    #[arg(long, env = "HOLDFAST_JOIN_CODE", hide_env_values = true)]
    join_code: Option<String>,
    /// A name this machine answers to besides its addresses; may be given several times.
    #[arg(long = "name")]
    names: Vec<String>,
    /// Make a verified copy in this folder every minute, where anything came since: another disk or a stick.
    #[arg(long)]
    copies: Option<PathBuf>,
    #[command(flatten)]
    tls: commands::TlsArgs,
    /// Without limits on devices: for measuring only.
    #[arg(long, hide = true)]
    measuring: bool,
    /// The Wi-Fi's name, for the join sheet.
    #[arg(long)]
    wifi_name: Option<String>,
    /// The Wi-Fi's password, for the join sheet.
    #[arg(long, requires = "wifi_name")]
    wifi_password: Option<String>,
}

fn main() -> ExitCode {
    let filter = EnvFilter::try_from_env("HOLDFAST_LOG").unwrap_or_else(|_| EnvFilter::new("warn"));
    tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        .init();
    let cli = Cli::parse();
    let runtime = match tokio::runtime::Runtime::new() {
        Ok(runtime) => runtime,
        Err(error) => {
            eprintln!("holdfast cannot start: {error}");
            return ExitCode::FAILURE;
        }
    };
    let code = runtime.block_on(run(cli)).unwrap_or_else(|error| {
        eprintln!("holdfast: {error}");
        ExitCode::FAILURE
    });
    // A copy on a slow stick is not waited for: it has its name only once it is whole.
    runtime.shutdown_timeout(Duration::from_secs(2));
    code
}

async fn run(cli: Cli) -> Result<ExitCode, BootError> {
    match cli.command {
        None => serve(cli.serve).await,
        Some(Command::Incidents { data }) => {
            let data = data.map_or_else(boot::usual_folder, Ok)?;
            let lines = boot::list(&data).await?;
            if lines.is_empty() {
                println!("No incidents in {}", data.display());
            }
            for line in lines {
                println!("{line}");
            }
            Ok(ExitCode::SUCCESS)
        }
        Some(Command::Verify { data }) => commands::verify(data).await,
        Some(Command::Standby(args)) => commands::standby(args).await,
        Some(Command::Promote { data }) => commands::promote(data).await,
        Some(Command::Words { data }) => commands::words(data).await,
        Some(Command::Remove(args)) => commands::remove(args).await,
        Some(Command::Copy { to, data }) => commands::copy(data, &to).await,
        Some(Command::Export(args)) => commands::export(args).await,
        Some(Command::Demo(args)) => demo(args).await,
    }
}

async fn serve(args: ServeArgs) -> Result<ExitCode, BootError> {
    let config = Config {
        data: args.data.map_or_else(boot::usual_folder, Ok)?,
        listen: args.listen,
        file: None,
        incident: args.incident,
        begin_new: args.new,
        tls: args.tls.tls,
        lead_only_secure: args.tls.lead_only_secure,
        practice: false,
        join_code: args.join_code,
        lead_words: args.lead_words,
        names: args.names,
        wifi: args.wifi_name.map(|name| Wifi {
            name,
            password: args.wifi_password,
        }),
        limits: if args.measuring {
            Limits::none()
        } else {
            Limits::default()
        },
        clock: Clock::wall(),
    };
    let board = boot::prepare(config.clone()).await?;
    // Beside it: a season of old records must not keep a board from coming back in the middle of an incident.
    let data = config.data.clone();
    tokio::spawn(async move { commands::remind(&data).await });
    serve_on(board, config, args.copies).await
}

/// Serves a board, and the one it is rebuilt into.
async fn serve_on(
    mut board: Board,
    mut config: Config,
    copies: Option<PathBuf>,
) -> Result<ExitCode, BootError> {
    loop {
        greet(&board, config.listen);
        if let Some(to) = copies.clone() {
            tokio::spawn(commands::copy_on(
                commands::Watched::of(&board.app),
                board.file.clone(),
                to,
            ));
        }
        config.listen = board.address;
        match board.serve(stopped()).await? {
            Ended::Stopped => break,
            Ended::GoesOn {
                file,
                folder,
                lead_words,
            } => {
                // Words that were made meanwhile go on opening, and those before them do not.
                config.lead_words = Some(lead_words);
                println!("  REBUILT from a device's copy. The board goes on:");
                config.file = Some(file);
                board = boot::prepare_in(folder, config.clone(), None).await?;
            }
        }
    }
    println!("Stopped. Everything acknowledged is on disk.");
    Ok(ExitCode::SUCCESS)
}

/// Serves a fresh practice incident and plays the story to it, as phones would.
async fn demo(args: DemoArgs) -> Result<ExitCode, BootError> {
    // Apart from real incidents, so that the next start never resumes practice by mistake.
    let data = args.data.map_or_else(
        || std::env::temp_dir().join(format!("holdfast-demo-{}", fresh_id().simple())),
        |data| data.join("demo"),
    );
    let clock = match args.speed {
        1 => Clock::wall(),
        speed => Clock::scaled(wall_now(), f64::from(speed)),
    };
    let config = Config {
        data,
        listen: args.listen,
        file: None,
        incident: Some(NINEFOLD_BEND.name.to_owned()),
        begin_new: true,
        tls: None,
        lead_only_secure: false,
        practice: true,
        join_code: None,
        lead_words: None,
        names: Vec::new(),
        wifi: None,
        // The story's phones report at the story's speed.
        limits: Limits {
            reports_per_second: 2000.0,
            burst: 2000.0,
            ..Limits::default()
        },
        clock: clock.clone(),
    };
    let board = boot::prepare(config).await?;
    greet(&board, args.listen);
    println!();
    println!("  PRACTICE: an invented accident plays itself, nothing in it is real.");
    println!(
        "  To look: open http://localhost:{}, join as lead with the words: {}",
        board.address.port(),
        board.lead_words
    );
    let door = Door {
        address: board.address,
        helper_code: board.join_code.clone(),
        evac_code: board.app.codes.evac.clone(),
        viewer_code: board.app.codes.viewer.clone(),
        lead_words: board.lead_words.clone(),
    };
    let player = tokio::spawn(async move {
        if let Err(error) = drill::play(&NINEFOLD_BEND, &door, &clock).await {
            tracing::warn!(error = %error, "the story cannot be played");
        }
    });
    board
        .serve(async move {
            stopped().await;
            player.abort();
        })
        .await?;
    println!("Stopped.");
    Ok(ExitCode::SUCCESS)
}

/// What the machine's own screen says.
fn greet(board: &Board, wanted: SocketAddr) {
    let port = board.address.port();
    println!();
    println!(
        "  {}  ({})",
        board.name,
        if board.resumed { "resumed" } else { "new" }
    );
    println!("  kept in {}", board.file.display());
    if board.from_copy {
        println!(
            "  It was a copy of a board and goes on as a board of this machine. If the other machine still runs, agree which one is used. Who was removed since the copy was made is in again: look at the join sheet."
        );
    }
    if wanted.port() != 0 && port != wanted.port() {
        println!();
        println!(
            "  PORT {} IS TAKEN: this board is on port {port}",
            wanted.port()
        );
    }
    println!();
    let addresses = board.app.hosts.reachable();
    for address in &addresses {
        println!("  Phones      http://{}", SocketAddr::new(*address, port));
    }
    if addresses.is_empty() {
        println!("  No network address yet: switch the hotspot on, then look at the join sheet.");
    }
    println!("  This machine  http://localhost:{port}");
    if let Some(door) = &board.tls {
        println!("  Own tablets   https, port {}", door.address.port());
        println!(
            "  Authority     /authority.crt, SHA-256 {}",
            door.authority.fingerprint()
        );
        for warning in door.warnings() {
            println!("  ATTENTION: {warning} ({}).", board.folder().display());
        }
    }
    println!();
    println!("  Join code   {}", grouped(&board.join_code));
    println!("  Lead words  {}", board.lead_words);
    println!();
    if let Some(address) = addresses.first() {
        let join = join_address(*address, port, &board.join_code);
        if let Ok(code) = qr::terminal(&join) {
            println!("{code}");
        }
        println!("  {join}");
        println!();
    }
    println!("  A memory aid, not medical advice. Training and local protocol come first.");
    println!("  Stop with Ctrl-C.");
}

/// Resolves on Ctrl-C or a request to terminate.
async fn stopped() {
    let interrupted = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut terminated) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = interrupted => {}
                _ = terminated.recv() => {}
            }
            return;
        }
    }
    if let Err(error) = interrupted.await {
        tracing::error!(error = %error, "Ctrl-C cannot be heard");
        std::future::pending::<()>().await;
    }
}
