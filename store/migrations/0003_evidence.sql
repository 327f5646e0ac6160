-- The third form: measurements are kept with their raw readings, what an engine
-- made of them, and the job that they belong to.

create table evidence (
    rebuild_id integer not null references rebuild (id),
    id         integer not null,
    rev        integer not null,
    on_day     text    not null,
    at         text    not null,             -- RFC 3339, first reading by the clock on the wall; empty: not known
    instrument text    not null,
    title      text    not null,
    job_id     integer,                      -- null: belongs to no job
    phase      text    not null,             -- before or after the job's work; empty: not said
    settings   text    not null,             -- what the engine was told, as JSON; empty: nothing
    verdict    text    not null,             -- pass, fail, cannot tell
    why        text    not null,
    engine     text    not null,             -- name and version
    note       text    not null,
    primary key (rebuild_id, id),
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index evidence_of_job on evidence (rebuild_id, job_id);

create table evidence_figure (
    rebuild_id  integer not null,
    evidence_id integer not null,
    place       integer not null,            -- order, from 1
    name        text    not null,
    value       real    not null,
    low         real,                        -- null: no bound known
    high        real,
    unit        text    not null,
    primary key (rebuild_id, evidence_id, place),
    foreign key (rebuild_id, evidence_id) references evidence (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

-- Files hang on measurements too: the table is made anew, for its check names all
-- owners.
create table attachment_next (
    rebuild_id  integer not null references rebuild (id),
    finding_id  integer,                     -- one of these four
    job_id      integer,
    entry_id    integer,
    evidence_id integer,
    place       integer not null,            -- order, from 1
    hash        text    not null references file (hash),
    name        text    not null,
    media_type  text    not null,
    size        integer not null,
    caption     text    not null,
    check ((finding_id is not null) + (job_id is not null) + (entry_id is not null) + (evidence_id is not null) = 1),
    foreign key (rebuild_id, finding_id) references finding (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, entry_id) references entry (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, evidence_id) references evidence (rebuild_id, id) deferrable initially deferred
) strict;
insert into attachment_next (rebuild_id, finding_id, job_id, entry_id, place, hash, name, media_type, size, caption)
select rebuild_id, finding_id, job_id, entry_id, place, hash, name, media_type, size, caption from attachment;
drop table attachment;
alter table attachment_next rename to attachment;
create unique index attachment_of_finding on attachment (rebuild_id, finding_id, place) where finding_id is not null;
create unique index attachment_of_job on attachment (rebuild_id, job_id, place) where job_id is not null;
create unique index attachment_of_entry on attachment (rebuild_id, entry_id, place) where entry_id is not null;
create unique index attachment_of_evidence on attachment (rebuild_id, evidence_id, place) where evidence_id is not null;
create index attachment_of_file on attachment (hash);
