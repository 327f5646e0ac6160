-- The fourth form: diagnoses are kept, each with its own copy of a fault model and
-- the trail of what was tried.

create table fault_case (
    rebuild_id integer not null references rebuild (id),
    id         integer not null,
    rev        integer not null,
    on_day     text    not null,
    title      text    not null,             -- the symptom in the person's words
    model_from text    not null,             -- key of the fault model it was copied from; empty: own
    model      text    not null,             -- its fault model, YAML; empty: none yet
    together   integer not null check (together in (0, 1)),
    state      text    not null,             -- open, solved, given up
    cause      text    not null,             -- id of the fault found; empty: not known
    note       text    not null,
    primary key (rebuild_id, id)
) strict, without rowid;

create table case_step (
    rebuild_id  integer not null,
    case_id     integer not null,
    place       integer not null,            -- order, from 1
    at          text    not null,            -- RFC 3339
    kind        text    not null,            -- test, repair, whole unit
    what        text    not null,            -- id in the model; empty for the whole unit
    outcome     text    not null,            -- of a test with outcomes
    value       real,                        -- of a measured test; null: none
    value_sd    real    not null,            -- standard uncertainty of the value; 0: exact
    cured       integer not null check (cured in (0, 1)),
    evidence_id integer,                     -- the measurement behind it; null: none
    note        text    not null,
    primary key (rebuild_id, case_id, place),
    foreign key (rebuild_id, case_id) references fault_case (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, evidence_id) references evidence (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index case_step_of_evidence on case_step (rebuild_id, evidence_id);

create table case_finding (
    rebuild_id integer not null,
    case_id    integer not null,
    place      integer not null,             -- order, from 1
    finding_id integer not null,
    primary key (rebuild_id, case_id, place),
    foreign key (rebuild_id, case_id) references fault_case (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, finding_id) references finding (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index case_of_finding on case_finding (rebuild_id, finding_id);

create table case_job (
    rebuild_id integer not null,
    case_id    integer not null,
    place      integer not null,             -- order, from 1
    job_id     integer not null,
    primary key (rebuild_id, case_id, place),
    foreign key (rebuild_id, case_id) references fault_case (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index case_of_job on case_job (rebuild_id, job_id);

create table case_not_now (
    rebuild_id integer not null,
    case_id    integer not null,
    place      integer not null,             -- order, from 1
    what       text    not null,             -- id of a test or repair that cannot be done now
    primary key (rebuild_id, case_id, place),
    foreign key (rebuild_id, case_id) references fault_case (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
