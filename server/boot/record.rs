//! Which file a board is kept in, and the first entry in it.

use std::path::{Path, PathBuf};

use super::{BootError, Config, Copy};
use crate::clock::fresh_id;
use crate::incident::fact::IncidentOpened;
use crate::incident::{About, Author, BoardId, DeviceId, EntryId, Fact, Report, Seq, Words};
use crate::journal::{self, DataFolder, FOLLOWS, Journal, JournalError, Settings, incidents};

/// Makes an opened journal the copy of another's where one is given; else it must not be such a copy.
pub(super) async fn follow_or_refuse(
    journal: &Journal,
    settings: &mut Settings,
    copy: Option<&Copy>,
) -> Result<(), BootError> {
    match copy {
        Some(copy) => Ok(follow(journal, settings, copy).await?),
        None => refuse_copy(settings).await,
    }
}

/// Makes an opened journal the copy of another machine's board.
async fn follow(
    journal: &Journal,
    settings: &mut Settings,
    copy: &Copy,
) -> Result<(), JournalError> {
    settings.set(FOLLOWS, &copy.source).await?;
    for (name, code) in &copy.codes {
        settings.set(name, code).await?;
    }
    journal.set_following(true);
    journal.adopt(copy.first.clone()).await.map(drop)
}

async fn refuse_copy(settings: &mut Settings) -> Result<(), BootError> {
    match settings.get(FOLLOWS).await? {
        Some(source) if !source.is_empty() => Err(BootError::IsCopy(source)),
        _ => Ok(()),
    }
}

/// The board that was begun only to rebuild another must not be resumed by mistake.
pub(super) fn set_aside(file: &Path) {
    let aside = PathBuf::from(format!("{}.set-aside", file.display()));
    if let Err(error) = std::fs::rename(file, aside) {
        tracing::warn!(error = %error, "the board begun for the rebuilding stays beside the rebuilt one");
    }
}

/// The file of the open incident, or of a new one.
pub(super) async fn choose(
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
pub(super) async fn begin(
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
