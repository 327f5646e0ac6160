-- The fifth form: what came off the car and how it goes back, joints with each
-- time they were tightened, and the tools that tighten.

create table strip_item (
    rebuild_id  integer not null references rebuild (id),
    id          integer not null,
    rev         integer not null,
    at          text    not null,            -- RFC 3339: when it came off
    what        text    not null,
    zone        text    not null,            -- key of a zone; empty: not said
    condition   text    not null,            -- reuse, clean, renew, one-time, damaged, missing; empty: not said
    settled_on  text    not null,            -- ISO date on which what goes back was there; empty: not yet
    back_at     text    not null,            -- RFC 3339; empty: still off
    back_by     text    not null,
    back_anyway text    not null,            -- why it went back although something stood against it
    note        text    not null,
    primary key (rebuild_id, id)
) strict, without rowid;

create table strip_fastener (
    rebuild_id integer not null,
    item_id    integer not null,
    place      integer not null,             -- order, from 1
    count      integer not null,
    thread     text    not null,
    tool       text    not null,
    bag        text    not null,             -- code on its bag; empty: in none
    one_time   integer not null check (one_time in (0, 1)),
    to_buy     text    not null,
    arrived_on text    not null,             -- ISO date; empty: not yet
    emptied    integer not null check (emptied in (0, 1)),
    note       text    not null,
    primary key (rebuild_id, item_id, place),
    foreign key (rebuild_id, item_id) references strip_item (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table strip_connector (
    rebuild_id integer not null,
    item_id    integer not null,
    place      integer not null,             -- order, from 1
    name       text    not null,
    made       integer not null check (made in (0, 1)),
    primary key (rebuild_id, item_id, place),
    foreign key (rebuild_id, item_id) references strip_item (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table strip_mark (
    rebuild_id integer not null,
    item_id    integer not null,
    place      integer not null,             -- order, from 1
    photo      integer not null,             -- place among the item's photos, from 0
    number     integer not null,
    x          real    not null,             -- 0 left to 1 right
    y          real    not null,             -- 0 top to 1 bottom
    text       text    not null,
    primary key (rebuild_id, item_id, place),
    foreign key (rebuild_id, item_id) references strip_item (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table strip_after (
    rebuild_id integer not null,
    item_id    integer not null,
    place      integer not null,             -- order, from 1
    after_id   integer not null,             -- the item that had to come off before
    primary key (rebuild_id, item_id, place),
    foreign key (rebuild_id, item_id) references strip_item (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, after_id) references strip_item (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index strip_after_item on strip_after (rebuild_id, after_id);

create table strip_job (
    rebuild_id integer not null,
    item_id    integer not null,
    place      integer not null,             -- order, from 1
    job_id     integer not null,             -- the job that needs it off
    primary key (rebuild_id, item_id, place),
    foreign key (rebuild_id, item_id) references strip_item (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index strip_of_job on strip_job (rebuild_id, job_id);

create table joint (
    rebuild_id          integer not null references rebuild (id),
    id                  integer not null,
    rev                 integer not null,
    title               text    not null,
    zone                text    not null,    -- key of a zone; empty: not said
    safety              text    not null,
    thread              text    not null,    -- with class; empty: not said
    count               integer not null,    -- equal fasteners in it
    torque_nm           real    not null,    -- of the last pass; 0: not known
    tolerance_nm        real    not null,    -- 0: not said
    angle_deg           real    not null,    -- turned on after the torque; 0: none
    angle_tolerance_deg real    not null,
    source              text    not null,    -- of the specification; empty: not said
    source_where        text    not null,
    friction            real    not null,    -- 0: not said
    lubricant           text    not null,
    locking             text    not null,
    one_time            integer not null check (one_time in (0, 1)),
    retorque_after_km   real    not null,    -- 0: never
    note                text    not null,
    primary key (rebuild_id, id)
) strict, without rowid;

create table joint_pass (
    rebuild_id integer not null,
    joint_id   integer not null,
    place      integer not null,             -- order, from 1
    torque_nm  real    not null,             -- of a pass before the last
    primary key (rebuild_id, joint_id, place),
    foreign key (rebuild_id, joint_id) references joint (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table joint_job (
    rebuild_id integer not null,
    joint_id   integer not null,
    place      integer not null,             -- order, from 1
    job_id     integer not null,             -- the job that wants it tight
    primary key (rebuild_id, joint_id, place),
    foreign key (rebuild_id, joint_id) references joint (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index joint_of_job on joint_job (rebuild_id, job_id);

create table joint_undone (
    rebuild_id integer not null,
    joint_id   integer not null,
    place      integer not null,             -- order, from 1
    at         text    not null,             -- RFC 3339
    why        text    not null,
    primary key (rebuild_id, joint_id, place),
    foreign key (rebuild_id, joint_id) references joint (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table tool (
    rebuild_id    integer not null references rebuild (id),
    id            integer not null,
    rev           integer not null,
    title         text    not null,
    class         text    not null,          -- its greatest deviation; empty: not said
    low_nm        real    not null,
    high_nm       real    not null,          -- 0: not said
    calibrated_on text    not null,          -- ISO date; empty: not known
    certificate   text    not null,
    note          text    not null,
    primary key (rebuild_id, id)
) strict, without rowid;

create table tightening (
    rebuild_id    integer not null,
    joint_id      integer not null,
    place         integer not null,          -- order, from 1
    at            text    not null,          -- RFC 3339
    who           text    not null,
    tool_id       integer,                   -- null: not said
    calibrated_on text    not null,          -- the tool's calibration as known at the time
    torque_nm     real    not null,
    angle_deg     real    not null,
    passes        integer not null,          -- 0: not said
    renewed       integer not null check (renewed in (0, 1)),
    locked        integer not null check (locked in (0, 1)),
    second_by     text    not null,
    second_at     text    not null,
    alone         text    not null,
    at_km         real,                      -- null: not read
    note          text    not null,
    primary key (rebuild_id, joint_id, place),
    foreign key (rebuild_id, joint_id) references joint (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, tool_id) references tool (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index tightening_with_tool on tightening (rebuild_id, tool_id);

create table strip_joint (
    rebuild_id integer not null,
    item_id    integer not null,
    place      integer not null,             -- order, from 1
    joint_id   integer not null,             -- undone by taking the item off
    primary key (rebuild_id, item_id, place),
    foreign key (rebuild_id, item_id) references strip_item (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, joint_id) references joint (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index strip_of_joint on strip_joint (rebuild_id, joint_id);

-- Files hang on strip items and tightenings too: the table is made anew, for its
-- check names all owners. A tightening is named by its joint and its place there.
create table attachment_next (
    rebuild_id       integer not null references rebuild (id),
    finding_id       integer,                -- one of these six
    job_id           integer,
    entry_id         integer,
    evidence_id      integer,
    strip_item_id    integer,
    joint_id         integer,
    tightening_place integer,                -- with joint_id only
    place            integer not null,       -- order, from 1
    hash             text    not null references file (hash),
    name             text    not null,
    media_type       text    not null,
    size             integer not null,
    caption          text    not null,
    check ((finding_id is not null) + (job_id is not null) + (entry_id is not null) + (evidence_id is not null) + (strip_item_id is not null) + (joint_id is not null) = 1),
    check ((joint_id is null) = (tightening_place is null)),
    foreign key (rebuild_id, finding_id) references finding (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, entry_id) references entry (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, evidence_id) references evidence (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, strip_item_id) references strip_item (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, joint_id, tightening_place) references tightening (rebuild_id, joint_id, place) deferrable initially deferred
) strict;
insert into attachment_next (rebuild_id, finding_id, job_id, entry_id, evidence_id, place, hash, name, media_type, size, caption)
select rebuild_id, finding_id, job_id, entry_id, evidence_id, place, hash, name, media_type, size, caption from attachment;
drop table attachment;
alter table attachment_next rename to attachment;
create unique index attachment_of_finding on attachment (rebuild_id, finding_id, place) where finding_id is not null;
create unique index attachment_of_job on attachment (rebuild_id, job_id, place) where job_id is not null;
create unique index attachment_of_entry on attachment (rebuild_id, entry_id, place) where entry_id is not null;
create unique index attachment_of_evidence on attachment (rebuild_id, evidence_id, place) where evidence_id is not null;
create unique index attachment_of_strip_item on attachment (rebuild_id, strip_item_id, place) where strip_item_id is not null;
create unique index attachment_of_tightening on attachment (rebuild_id, joint_id, tightening_place, place) where joint_id is not null;
create index attachment_of_file on attachment (hash);

-- A fault model is long, and most steps of a case leave it as it is: the journal
-- keeps each such text once. What was written before this form keeps it inside
-- before_json and after_json.
create table model_text (
    hash text primary key,                   -- SHA-256 of the text, in hex
    text text not null
) strict, without rowid;
alter table edit add column before_model text references model_text (hash); -- null: in before_json, or none
alter table edit add column after_model text references model_text (hash);
