//! Which file a board is kept in, and the first entry in it.

use std::path::{Path, PathBuf};

use super::{BootError, Config, Copy, data_option};
use crate::clock::fresh_id;
use crate::incident::fact::{ContinuedFrom, IncidentOpened};
use crate::incident::{
    About, Author, BoardId, DeviceId, EntryId, EpochId, Fact, Report, Seq, Words, goes_on,
};
use crate::journal::{self, COPIED, DataFolder, FOLLOWS, Journal, Opened, Settings, incidents};

/// An incident's file, opened, and which board it is.
pub(super) struct TakenUp {
    pub(super) file: PathBuf,
    /// Whether it was there before.
    pub(super) resumed: bool,
    pub(super) board: BoardId,
    /// What the incident is called.
    pub(super) name: String,
    /// Whether it goes on from a copy of another machine's board.
    pub(super) from_copy: bool,
    pub(super) opened: Opened,
}

/// Opens the incident that is asked for, or begins it; with `copy`, as the copy of another machine's board.
pub(super) async fn take_up(
    folder: &DataFolder,
    config: &Config,
    wanted: Words,
    copy: Option<&Copy>,
) -> Result<TakenUp, BootError> {
    let (file, resumed) = choose(folder, config, &wanted).await?;
    let mut opened = journal::open(&file, config.clock.clone()).await?;
    let (journal, settings) = (&opened.journal, &mut opened.settings);
    follow_or_refuse(journal, settings, copy, folder).await?;
    let (board, name) = begin(journal, wanted, config.practice).await?;
    let from_copy = copy.is_none() && go_on_from_copy(journal, settings, board).await?;
    Ok(TakenUp {
        file,
        resumed,
        board,
        name,
        from_copy,
        opened,
    })
}

/// Makes an opened journal the copy of another's where one is given; else it must not be such a copy.
async fn follow_or_refuse(
    journal: &Journal,
    settings: &mut Settings,
    copy: Option<&Copy>,
    folder: &DataFolder,
) -> Result<(), BootError> {
    match copy {
        Some(copy) => follow(journal, settings, copy).await,
        None => refuse_copy(settings, folder).await,
    }
}

/// Makes an opened journal the copy of another machine's board.
async fn follow(journal: &Journal, settings: &mut Settings, copy: &Copy) -> Result<(), BootError> {
    let here = journal.head().seq;
    let there = copy.first.last().map_or(Seq::START, |entry| entry.seq);
    if there < here {
        return Err(BootError::Shorter {
            here: here.0,
            there: there.0,
        });
    }
    // What is here must never look like a board of this machine's, nor like a copy of one that it does not go on from.
    if settings
        .get(FOLLOWS)
        .await?
        .is_none_or(|was| was.is_empty())
    {
        settings.set(FOLLOWS, &copy.source).await?;
    }
    journal.set_following(true);
    journal.adopt(copy.first.clone()).await?;
    settings.set(FOLLOWS, &copy.source).await?;
    // Only once it is that very board: codes of another must not replace those here.
    for (name, code) in &copy.codes {
        settings.set(name, code).await?;
    }
    Ok(())
}

async fn refuse_copy(settings: &mut Settings, folder: &DataFolder) -> Result<(), BootError> {
    match settings.get(FOLLOWS).await? {
        Some(source) if !source.is_empty() => Err(BootError::IsCopy {
            source_address: source,
            here: data_option(folder.path()),
        }),
        _ => Ok(()),
    }
}

/// A copy that was made of a board while it ran is not that board: who starts it begins an epoch of their own, so that
/// phones that saw more than the copy has, and the board it is of if that still runs, tell the two apart.
async fn go_on_from_copy(
    journal: &Journal,
    settings: &mut Settings,
    board: BoardId,
) -> Result<bool, BootError> {
    if settings
        .get(COPIED)
        .await?
        .is_none_or(|mark| mark.is_empty())
    {
        return Ok(false);
    }
    let ids = (EntryId::new(fresh_id()), EpochId::new(fresh_id()));
    let (report, author) = goes_on(board, ids, journal.now(), ContinuedFrom::Copy, None)?;
    journal
        .go_on(report, author)
        .await
        .map_err(BootError::UnwritableCopy)?;
    Ok(true)
}

/// The board that was begun only to rebuild another must not be resumed by mistake.
pub(super) fn set_aside(file: &Path) {
    let aside = PathBuf::from(format!("{}.set-aside", file.display()));
    if let Err(error) = std::fs::rename(file, aside) {
        tracing::warn!(error = %error, "the board begun for the rebuilding stays beside the rebuilt one");
    }
}

/// The file of the open incident, or of a new one.
async fn choose(
    folder: &DataFolder,
    config: &Config,
    name: &Words,
) -> Result<(PathBuf, bool), BootError> {
    if let Some(file) = &config.file {
        return Ok((file.clone(), file.exists()));
    }
    if !config.begin_new {
        for file in incidents(&config.data)? {
            let is_it = config.incident.is_none()
                || journal::describe(&file.path)
                    .await
                    .is_ok_and(|known| known.name == name.as_str());
            if is_it {
                return Ok((file.path, true));
            }
        }
    }
    Ok((
        folder.new_file(name.as_str(), config.clock.now()).path,
        false,
    ))
}

/// What an incident is called until the lead names it.
pub(super) const UNNAMED: &str = "Incident";

/// The board's id and name; writes the first entry of a new journal.
async fn begin(
    journal: &Journal,
    name: Words,
    practice: bool,
) -> Result<(BoardId, String), BootError> {
    let known = journal.read(|incident| {
        let about = incident.description();
        about.board.map(|board| {
            (
                board,
                about
                    .name
                    .as_ref()
                    .map(ToString::to_string)
                    .unwrap_or_default(),
            )
        })
    });
    if let Some(known) = known {
        return Ok(known);
    }
    let board = BoardId::new(fresh_id());
    let report = Report {
        id: EntryId::new(fresh_id()),
        about: About::Incident,
        happened_at: journal.now(),
        based_on: Seq::START,
        time_unsure: false,
        epoch: None,
        fact: Fact::IncidentOpened(IncidentOpened {
            board,
            name: name.clone(),
            practice,
        }),
    };
    let author = Author {
        device: DeviceId::new(board.uuid()),
        name: Words::new("board")?,
        role: None,
        skill: None,
    };
    journal.append(vec![report], author).await?;
    Ok((board, name.to_string()))
}
