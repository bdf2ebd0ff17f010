-- What the incident works with and what is in which kit: state worked out from the entries, always safe to rebuild
-- from them.

-- every setting, also those nobody changed
create table policy (
  setting text primary key,
  words text not null,
  value text not null,
  brought_as text not null,
  changed_at text,
  changed_by text,
  decided_by text
) strict;

-- whom the lead named as trained, as a medic, or as less than they said themselves
create table named (
  device text primary key,
  named_as text not null
) strict;

create table kit (
  kit_id text primary key,
  name text not null,
  place text,
  carrier_device text,
  counted_at text
) strict;

create table kit_item (
  kit_id text not null,
  item text not null,
  counted integer,
  out_of_date integer not null,
  -- came in from other kits since, less what went out
  moved integer not null,
  used integer not null,
  left_in_it integer not null,
  primary key (kit_id, item)
) strict;

create view kits as
select kit.name as kit, coalesce(person.name, kit.place) as with_or_at, kit_item.item, kit_item.left_in_it,
       kit_item.out_of_date, kit_item.counted, kit_item.moved, kit_item.used, kit.counted_at
from kit left join kit_item on kit_item.kit_id = kit.kit_id
         left join person on person.device = kit.carrier_device
order by kit.name, kit_item.item;

create view changed_settings as
select words, value, brought_as, changed_at, changed_by, decided_by from policy where changed_at is not null order by changed_at;
