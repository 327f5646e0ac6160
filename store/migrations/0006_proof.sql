-- The sixth form: gates passed, the runs of the shakedown, what was looked at before
-- the inspection, official tests, and what somebody gave his word for are kept.

create table gate_pass (
    rebuild_id    integer not null references rebuild (id),
    id            integer not null,
    rev           integer not null,
    gate          text    not null,          -- road test, body shop, inspection, hand-over
    at            text    not null,          -- RFC 3339
    who           text    not null,
    reason        text    not null,          -- why it was passed against advice; empty: nothing stood against it
    withdrawn_at  text    not null,          -- RFC 3339; empty: it holds
    withdrawn_why text    not null,
    primary key (rebuild_id, id)
) strict, without rowid;

create table gate_against (
    rebuild_id integer not null,
    pass_id    integer not null,
    place      integer not null,             -- order, from 1
    rule       text    not null,             -- key of the rule
    kind       text    not null,             -- what it was about; empty: the car as a whole
    item_id    integer not null,             -- its number then; the thing may be gone
    text       text    not null,             -- as it was said then
    primary key (rebuild_id, pass_id, place),
    foreign key (rebuild_id, pass_id) references gate_pass (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table shakedown_run (
    rebuild_id integer not null references rebuild (id),
    id         integer not null,
    rev        integer not null,
    stage      text    not null,             -- yard, slow, touch, fifty, retorque, full
    at         text    not null,             -- RFC 3339, its end
    who        text    not null,
    km         real    not null,             -- driven in it; 0: none, or not said
    minutes    real    not null,             -- 0: not said
    at_km      real,                         -- what the car had gone; null: not read
    felt       text    not null,
    heard      text    not null,
    smelt      text    not null,
    note       text    not null,
    result     text    not null,             -- pass, stop
    primary key (rebuild_id, id)
) strict, without rowid;

create table shakedown_finding (
    rebuild_id integer not null,
    run_id     integer not null,
    place      integer not null,             -- order, from 1
    finding_id integer not null,
    primary key (rebuild_id, run_id, place),
    foreign key (rebuild_id, run_id) references shakedown_run (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, finding_id) references finding (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index shakedown_of_finding on shakedown_finding (rebuild_id, finding_id);

create table shakedown_evidence (
    rebuild_id  integer not null,
    run_id      integer not null,
    place       integer not null,            -- order, from 1
    evidence_id integer not null,
    primary key (rebuild_id, run_id, place),
    foreign key (rebuild_id, run_id) references shakedown_run (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, evidence_id) references evidence (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index shakedown_of_evidence on shakedown_evidence (rebuild_id, evidence_id);

create table rehearsed (
    rebuild_id  integer not null references rebuild (id),
    id          integer not null,
    rev         integer not null,
    item_key    text    not null,            -- of the item in its list
    result      text    not null,            -- pass, advisory, fail
    value       real,                        -- as read, in the item's unit; null: none
    evidence_id integer,                     -- the measurement behind it; null: none
    at          text    not null,            -- RFC 3339
    who         text    not null,
    note        text    not null,
    primary key (rebuild_id, id),
    foreign key (rebuild_id, evidence_id) references evidence (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create unique index rehearsed_item on rehearsed (rebuild_id, item_key);
create index rehearsed_of_evidence on rehearsed (rebuild_id, evidence_id);

create table official_test (
    rebuild_id   integer not null references rebuild (id),
    id           integer not null,
    rev          integer not null,
    on_day       text    not null,           -- ISO date
    jurisdiction text    not null,           -- whose list it was compared with
    place_kind   text    not null,           -- the sort of place; empty: not said
    result       text    not null,           -- pass, fail
    chance       real,                       -- what was expected of it; null: not worked out
    note         text    not null,
    primary key (rebuild_id, id)
) strict, without rowid;

create table tested_item (
    rebuild_id integer not null,
    test_id    integer not null,
    place      integer not null,             -- order, from 1
    item_key   text    not null,             -- of the item in the list; empty: on no list
    rehearsed  text    not null,             -- what had been found before; empty: not looked at
    found      text    not null,             -- pass, advisory, fail
    text       text    not null,
    primary key (rebuild_id, test_id, place),
    foreign key (rebuild_id, test_id) references official_test (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table confirmation (
    rebuild_id integer not null references rebuild (id),
    id         integer not null,
    rev        integer not null,
    of         text    not null,             -- caution (was read), must-do (of the law, was done)
    key_of     text    not null,             -- of the hazard or of what must be done
    text       text    not null,             -- what was confirmed, as it was said then
    at         text    not null,             -- RFC 3339
    who        text    not null,
    primary key (rebuild_id, id)
) strict, without rowid;

-- Photos hang on runs and official tests too: the table is made anew, for its check
-- names all owners.
create table attachment_next (
    rebuild_id       integer not null references rebuild (id),
    finding_id       integer,                -- one of these eight
    job_id           integer,
    entry_id         integer,
    evidence_id      integer,
    strip_item_id    integer,
    joint_id         integer,
    shakedown_run_id integer,
    official_test_id integer,
    tightening_place integer,                -- with joint_id only
    place            integer not null,       -- order, from 1
    hash             text    not null references file (hash),
    name             text    not null,
    media_type       text    not null,
    size             integer not null,
    caption          text    not null,
    check ((finding_id is not null) + (job_id is not null) + (entry_id is not null) + (evidence_id is not null) + (strip_item_id is not null)
        + (joint_id is not null) + (shakedown_run_id is not null) + (official_test_id is not null) = 1),
    check ((joint_id is null) = (tightening_place is null)),
    foreign key (rebuild_id, finding_id) references finding (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, entry_id) references entry (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, evidence_id) references evidence (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, strip_item_id) references strip_item (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, joint_id, tightening_place) references tightening (rebuild_id, joint_id, place) deferrable initially deferred,
    foreign key (rebuild_id, shakedown_run_id) references shakedown_run (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, official_test_id) references official_test (rebuild_id, id) deferrable initially deferred
) strict;
insert into attachment_next (rebuild_id, finding_id, job_id, entry_id, evidence_id, strip_item_id, joint_id, tightening_place, place, hash, name, media_type, size, caption)
select rebuild_id, finding_id, job_id, entry_id, evidence_id, strip_item_id, joint_id, tightening_place, place, hash, name, media_type, size, caption from attachment;
drop table attachment;
alter table attachment_next rename to attachment;
create unique index attachment_of_finding on attachment (rebuild_id, finding_id, place) where finding_id is not null;
create unique index attachment_of_job on attachment (rebuild_id, job_id, place) where job_id is not null;
create unique index attachment_of_entry on attachment (rebuild_id, entry_id, place) where entry_id is not null;
create unique index attachment_of_evidence on attachment (rebuild_id, evidence_id, place) where evidence_id is not null;
create unique index attachment_of_strip_item on attachment (rebuild_id, strip_item_id, place) where strip_item_id is not null;
create unique index attachment_of_tightening on attachment (rebuild_id, joint_id, tightening_place, place) where joint_id is not null;
create unique index attachment_of_shakedown_run on attachment (rebuild_id, shakedown_run_id, place) where shakedown_run_id is not null;
create unique index attachment_of_official_test on attachment (rebuild_id, official_test_id, place) where official_test_id is not null;
create index attachment_of_file on attachment (hash);
