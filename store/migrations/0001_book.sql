-- The first form of a book. Sums of money are whole minor units (pence, cents) of
-- the rebuild's currency, see car.currency; null where none was given. Days are
-- ISO 8601 text, moments are milliseconds since 1970 (UTC), flags are 0 or 1.

create table rebuild (
    id            integer primary key autoincrement,
    version       integer not null,          -- grows by one with every change
    next_id       integer not null,          -- next free number for findings, jobs, routes, entries
    changed_at_ms integer not null
) strict;

create table car (
    rebuild_id       integer not null references rebuild (id),
    number           integer not null check (number = 1),
    rev              integer not null,
    name             text    not null,
    maker            text    not null,
    model            text    not null,
    year             integer not null,       -- 0: not known
    vin              text    not null,
    plate            text    not null,
    colour           text    not null,
    jurisdiction     text    not null,
    category         text    not null,
    distance_unit    text    not null,
    distance         integer not null,
    bought_on        text    not null,
    currency         text    not null,       -- ISO 4217
    ceiling_minor    integer,
    hour_value_minor integer,
    hours_per_week   real    not null,
    correlation      real    not null,
    wanted_by        text    not null,
    note             text    not null,
    shelved          integer not null check (shelved in (0, 1)),
    primary key (rebuild_id, number)
) strict, without rowid;

create table zone (
    rebuild_id         integer not null references rebuild (id),
    number             integer not null,
    rev                integer not null,
    open_share         real    not null,     -- 0 closed, 1 all stripped and looked at
    hidden_expected    real    not null,     -- faults to expect while all is closed
    hidden_cost_low    real    not null,
    hidden_cost_likely real    not null,
    hidden_cost_high   real    not null,
    note               text    not null,
    primary key (rebuild_id, number)
) strict, without rowid;

create table stage (
    rebuild_id integer not null references rebuild (id),
    number     integer not null,
    rev        integer not null,
    state      text    not null,
    done_on    text    not null,
    note       text    not null,
    primary key (rebuild_id, number)
) strict, without rowid;

create table finding (
    rebuild_id integer not null references rebuild (id),
    id         integer not null,
    rev        integer not null,
    zone       text    not null,
    what       text    not null,
    how_found  text    not null,
    severity   text    not null,
    safety     integer not null check (safety in (0, 1)),
    found_on   text    not null,
    dismissed  text    not null,             -- the reason why nothing needs doing; empty: it stands
    primary key (rebuild_id, id)
) strict, without rowid;

create table job (
    rebuild_id      integer not null references rebuild (id),
    id              integer not null,
    rev             integer not null,
    title           text    not null,
    zone            text    not null,
    stage           integer not null,        -- 0: not said
    safety          text    not null,
    needed          real    not null,        -- chance that it is needed at all
    chosen          integer,                 -- a route's id; null: none chosen yet
    estimate_low    real,                    -- the chosen route's cost as it stood at the choice
    estimate_likely real,
    estimate_high   real,
    reference_minor integer,                 -- what the trade would have charged
    reference_from  text    not null,
    state           text    not null,
    waiting_for     text    not null,
    done_on         text    not null,
    hours_spent     real    not null,
    failed          integer not null check (failed in (0, 1)),
    cost_nothing    integer not null check (cost_nothing in (0, 1)),
    proof           text    not null,
    note            text    not null,
    primary key (rebuild_id, id),
    foreign key (rebuild_id, chosen) references route (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table route (
    rebuild_id            integer not null,
    id                    integer not null,
    job_id                integer not null,
    place                 integer not null,  -- order among the job's routes, from 1
    kind                  text    not null,
    method                text    not null,
    name                  text    not null,
    cost_low              real    not null,  -- 10 %, 50 %, 90 % points, major units
    cost_likely           real    not null,
    cost_high             real    not null,
    hours_low             real    not null,
    hours_likely          real    not null,
    hours_high            real    not null,
    works                 real    not null,  -- chance that it cures
    fallback_name         text,              -- null: no fallback
    fallback_cost_low     real,
    fallback_cost_likely  real,
    fallback_cost_high    real,
    fallback_hours_low    real,
    fallback_hours_likely real,
    fallback_hours_high   real,
    basis                 text    not null,
    primary key (rebuild_id, id),
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index route_of_job on route (rebuild_id, job_id, place);

create table job_finding (
    rebuild_id integer not null,
    job_id     integer not null,
    place      integer not null,             -- order among the job's findings, from 1
    finding_id integer not null,
    primary key (rebuild_id, job_id, place),
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, finding_id) references finding (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index job_of_finding on job_finding (rebuild_id, finding_id);

create table entry (
    rebuild_id   integer not null references rebuild (id),
    id           integer not null,
    rev          integer not null,
    paid_on      text    not null,
    amount_minor integer not null,           -- tax included; below zero: money back
    tax_minor    integer,
    kind         text    not null,
    supplier     text    not null,
    what         text    not null,
    job_id       integer,                    -- null: belongs to no job
    general      integer not null check (general in (0, 1)), -- to no job on purpose
    primary key (rebuild_id, id),
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index entry_of_job on entry (rebuild_id, job_id);

create table file (
    hash        text    primary key,         -- SHA-256 of the content, in hex; kept as files/ab/HASH
    size        integer not null,            -- bytes
    media_type  text    not null,
    added_at_ms integer not null
) strict, without rowid;

create table attachment (
    rebuild_id integer not null references rebuild (id),
    finding_id integer,                      -- one of these three
    job_id     integer,
    entry_id   integer,
    place      integer not null,             -- order, from 1
    hash       text    not null references file (hash),
    name       text    not null,
    media_type text    not null,
    size       integer not null,
    caption    text    not null,
    check ((finding_id is not null) + (job_id is not null) + (entry_id is not null) = 1),
    foreign key (rebuild_id, finding_id) references finding (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, entry_id) references entry (rebuild_id, id) deferrable initially deferred
) strict;
create unique index attachment_of_finding on attachment (rebuild_id, finding_id, place) where finding_id is not null;
create unique index attachment_of_job on attachment (rebuild_id, job_id, place) where job_id is not null;
create unique index attachment_of_entry on attachment (rebuild_id, entry_id, place) where entry_id is not null;
create index attachment_of_file on attachment (hash);

-- The journal: what was done, by whom, with each item as it was and as it became.
create table change (
    id         integer primary key autoincrement,
    rebuild_id integer not null references rebuild (id),
    version    integer not null,             -- the rebuild's version after it
    at_ms      integer not null,
    who        text    not null,
    what       text    not null,
    kind       text    not null check (kind in ('do', 'undo', 'redo')),
    request    text,                         -- token of the form, so that it counts once
    of_id      integer references change (id), -- the change that an undo or redo is about
    undone_by  integer references change (id), -- the undo that holds; null: it stands
    unique (rebuild_id, version),
    check ((kind = 'do') = (of_id is null)),
    check (kind = 'do' or undone_by is null)
) strict;
create index change_of_rebuild on change (rebuild_id, id);
create index change_undone on change (rebuild_id, undone_by) where undone_by is not null;
create index change_of on change (of_id) where of_id is not null;
create unique index change_request on change (rebuild_id, request) where request is not null;

create table edit (
    change_id   integer not null references change (id),
    place       integer not null,            -- order within the change, from 1
    kind        text    not null,            -- car, zone, stage, finding, job, entry
    item_id     integer not null,
    before_json text,                        -- null: added
    after_json  text,                        -- null: deleted
    primary key (change_id, place)
) strict;
create index edit_of_item on edit (kind, item_id, change_id);

create table mark (
    rebuild_id   integer not null references rebuild (id),
    on_day       text    not null,
    spent        real    not null,
    mean         real    not null,
    p10          real    not null,
    p50          real    not null,
    p80          real    not null,
    p90          real    not null,
    chance_under real,                       -- null: no ceiling set
    version      integer not null,
    primary key (rebuild_id, on_day)
) strict, without rowid;

create table setting (
    key   text primary key,
    value text not null
) strict, without rowid;
