//! A board made by an earlier program, opened by this one; and one made by a later.

use std::path::PathBuf;

use holdfast::clock::Clock;
use holdfast::journal::{self, JournalError};
use tempfile::TempDir;

use crate::harness::{connect, read_table};

/// The practice incident of the program of 25 November 2026 (commit f3a838e), played for a minute at sixty times speed.
const EARLIER: &str = "tests/fixtures/boards/2026-11-25-f3a838e.holdfast.db";
/// What that program's `verify` said of it.
const ENTRIES: u64 = 244;
const CHECK: &str = "K5Y-GXR";

fn a_copy() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("20261125T220316Z-bus.holdfast.db");
    std::fs::copy(
        PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(EARLIER),
        &file,
    )
    .unwrap();
    (folder, file)
}

async fn opens(file: &std::path::Path) -> (u64, String, usize) {
    let opened = journal::open(file, Clock::wall()).await.unwrap();
    let head = opened.journal.head();
    let people = opened.journal.read(|incident| incident.people().count());
    opened.journal.close_readers().await;
    drop(opened.journal);
    drop(opened.settings);
    opened.writer.await.unwrap().unwrap();
    (head.seq.0, head.check, people)
}

#[tokio::test]
async fn a_board_of_an_earlier_program_is_opened_as_it_was() {
    let (folder, file) = a_copy();
    let (seq, check, people) = opens(&file).await;
    assert_eq!((seq, check.as_str()), (ENTRIES, CHECK));
    assert!(people > 2);
    let verdict = journal::verify(&file).await.unwrap();
    assert!(verdict.is_whole(), "{verdict:?}");
    // Its layout was an older one: the file as it was is set aside.
    let layout = read_table(&file, "select max(version) from _sqlx_migrations").await;
    assert_eq!(
        layout[0][0], 3,
        "raise this with the layout, and expect the copy then"
    );
    let aside = std::fs::read_dir(folder.path()).unwrap().filter(|item| {
        let name = item.as_ref().unwrap().file_name();
        name.to_string_lossy().contains("before-layout")
    });
    assert_eq!(aside.count(), 1);
}

#[tokio::test]
async fn an_older_layout_is_set_aside_whole_before_it_is_brought_up() {
    let (folder, file) = a_copy();
    // The second layout only added tables that follow from the entries: without them this is a file of the first.
    let mut connection = connect(&file, false).await;
    for statement in [
        "drop table transport",
        "drop table destination",
        "drop table trip",
        "drop table away",
        "delete from _sqlx_migrations where version = 2",
    ] {
        sqlx::query(statement)
            .execute(&mut connection)
            .await
            .unwrap();
    }
    drop(connection);
    let entries = read_table(&file, "select seq, id, body, hex(chain) from entry").await;
    let (seq, check, _) = opens(&file).await;
    assert_eq!((seq, check.as_str()), (ENTRIES, CHECK));
    assert!(journal::verify(&file).await.unwrap().is_whole());
    let aside = folder
        .path()
        .join("20261125T220316Z-bus.holdfast.before-layout-2");
    assert_eq!(
        read_table(&aside, "select seq, id, body, hex(chain) from entry").await,
        entries
    );
    assert_eq!(
        read_table(&aside, "select max(version) from _sqlx_migrations").await[0][0],
        1
    );
    assert_eq!(
        journal::incidents(folder.path()).unwrap().len(),
        1,
        "it is no second incident"
    );
}

#[tokio::test]
async fn a_board_of_a_later_program_is_refused_politely_and_left_alone() {
    let (_folder, file) = a_copy();
    let mut connection = connect(&file, false).await;
    sqlx::query("insert into _sqlx_migrations select 9, description, installed_on, success, checksum, execution_time from _sqlx_migrations where version = 1")
        .execute(&mut connection)
        .await
        .unwrap();
    sqlx::Connection::close(connection).await.unwrap();
    let before = std::fs::read(&file).unwrap();
    let refused = journal::open(&file, Clock::wall()).await.err().unwrap();
    assert!(
        matches!(refused, JournalError::Newer { there: 9, here: 3 }),
        "{refused}"
    );
    assert!(refused.to_string().contains("newer holdfast"), "{refused}");
    assert_eq!(
        std::fs::read(&file).unwrap(),
        before,
        "not a byte of it changed"
    );
}
