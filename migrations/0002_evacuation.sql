-- Who leaves, on what, to where: state worked out from the entries, always safe to rebuild from them.

create table transport (
  transport_id text primary key,
  name text not null,
  kind text not null,
  -- one arrangement of lying and sitting places is used per trip
  layouts text not null,
  available_at text not null,
  state text not null,
  since text not null,
  aboard integer not null,
  trips integer not null
) strict;

create table destination (
  destination_id text primary key,
  name text not null,
  kind text not null,
  -- places as told, else assumed
  immediate integer not null,
  delayed integer not null,
  minor integer not null,
  places_told_at text,
  closed integer not null
) strict;

create table trip (
  -- transport and number of its trip
  trip text primary key,
  transport_id text not null,
  destination_id text,
  left_at text not null,
  arrived_at text,
  casualties text not null
) strict;

-- casualties who do not wait here any more
create table away (
  casualty_id text primary key,
  state text not null,
  transport_id text,
  destination_id text,
  since text not null,
  handed_to text
) strict;
