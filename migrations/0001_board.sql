-- One file per incident: the journal, and tables worked out from it so that anyone with the sqlite3 shell
-- can read the state. An applied migration is never edited.

create table entry (
  seq integer primary key check (seq > 0),
  -- made on the phone; unique, so that even a bug cannot take a resend in twice
  id text not null unique,
  -- the exact bytes the chain covers; checking never writes them anew
  body text not null,
  chain blob not null check (length(chain) = 32),
  -- for reading only: the body is the truth
  kind text generated always as (json_extract(body, '$.fact.kind')) virtual,
  happened_at text generated always as (json_extract(body, '$.happened_at')) virtual,
  recorded_at text generated always as (json_extract(body, '$.recorded_at')) virtual,
  by_name text generated always as (json_extract(body, '$.by')) virtual
) strict;

create trigger entry_is_never_changed before update on entry
begin select raise(abort, 'entries are never changed; strike them by a later entry'); end;

create trigger entry_is_never_deleted before delete on entry
begin select raise(abort, 'entries are never deleted; strike them by a later entry'); end;

-- "insert or replace" deletes without asking the trigger above
create trigger entry_is_never_replaced before insert on entry
when exists (select 1 from entry where seq = new.seq or id = new.id)
begin select raise(abort, 'entries are never replaced; strike them by a later entry'); end;

-- state: written in the same transaction as the entries, and always safe to rebuild from them

create table person (
  device text primary key,
  name text not null,
  skill text not null,
  role text not null,
  joined_at text not null
) strict;

create table casualty (
  number integer primary key,
  casualty_id text not null unique,
  met_at text not null,
  age text,
  words text,
  place text,
  tag text,
  -- of several that stand, the most urgent
  category text,
  category_disputed integer not null,
  bleeding text not null,
  tourniquet_since text,
  dressings_used integer not null,
  helper_device text,
  evac text not null,
  last_seq integer not null
) strict;

create table wound (
  wound_id text primary key,
  casualty_number integer not null,
  region text,
  side text not null,
  found_at text not null,
  rung integer not null,
  hold text not null,
  hold_since text not null,
  tourniquet_since text,
  next_due_at text
) strict;

create index wound_by_casualty on wound (casualty_number);

create table stock (
  item text primary key,
  counted integer,
  used integer not null,
  in_the_bags integer not null
) strict;

create table evac_request (
  casualty_number integer primary key,
  requested_at text not null,
  priority text not null,
  posture text not null,
  needs text
) strict;

create view board as
select casualty.number, casualty.category, casualty.bleeding, casualty.words, casualty.place,
       person.name as helper, casualty.dressings_used, casualty.tourniquet_since, casualty.evac
from casualty left join person on person.device = casualty.helper_device
order by casualty.number;

-- not part of the record: who may come in

create table session (
  -- BLAKE3 of the token; the token itself is only on the device
  token_hash blob primary key check (length(token_hash) = 32),
  device text not null,
  name text not null,
  skill text not null,
  role text not null,
  created_at text not null,
  revoked_at text
) strict;

create table setting (
  name text primary key,
  value text not null
) strict;
