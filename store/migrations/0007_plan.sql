-- The seventh form: measuring sheets are kept, and what the plan needs - who works
-- when, things that jobs share, milestones, how each job is planned, what is to
-- come, what holds for the whole plan - with the plan as it stood on earlier days.

create table sheet (
    rebuild_id integer not null references rebuild (id),
    id         integer not null,
    rev        integer not null,
    of         text    not null,             -- survey, angles
    title      text    not null,
    job_id     integer,                      -- null: none
    phase      text    not null,             -- before, after; empty: not said
    told       text    not null,             -- what was entered so far, JSON; empty: nothing
    note       text    not null,
    primary key (rebuild_id, id),
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index sheet_of_job on sheet (rebuild_id, job_id);

create table person (
    rebuild_id integer not null references rebuild (id),
    id         integer not null,
    rev        integer not null,
    name       text    not null,
    own        integer not null check (own in (0, 1)), -- whose hours are own hours
    note       text    not null,
    primary key (rebuild_id, id)
) strict, without rowid;
create unique index own_hands on person (rebuild_id) where own = 1;

create table person_hours (
    rebuild_id integer not null,
    person_id  integer not null,
    place      integer not null,             -- order, from 1
    weekday    integer not null check (weekday between 0 and 6), -- 0: Sunday
    from_min   integer not null,             -- minutes after midnight
    to_min     integer not null,
    primary key (rebuild_id, person_id, place),
    foreign key (rebuild_id, person_id) references person (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table person_away (
    rebuild_id integer not null,
    person_id  integer not null,
    place      integer not null,             -- order, from 1
    from_day   text    not null,             -- ISO dates, both included
    to_day     text    not null,
    why        text    not null,
    primary key (rebuild_id, person_id, place),
    foreign key (rebuild_id, person_id) references person (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table person_extra (
    rebuild_id integer not null,
    person_id  integer not null,
    place      integer not null,             -- order, from 1
    on_day     text    not null,             -- ISO date
    from_min   integer not null,
    to_min     integer not null,
    primary key (rebuild_id, person_id, place),
    foreign key (rebuild_id, person_id) references person (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table thing (
    rebuild_id integer not null references rebuild (id),
    id         integer not null,
    rev        integer not null,
    name       text    not null,
    count      integer not null check (count > 0),
    from_day   text    not null,             -- ISO date; empty: always was there
    to_day     text    not null,             -- ISO date; empty: stays
    note       text    not null,
    primary key (rebuild_id, id)
) strict, without rowid;

create table milestone (
    rebuild_id         integer not null references rebuild (id),
    id                 integer not null,
    rev                integer not null,
    name               text    not null,     -- empty: that of its gate
    gate               text    not null,     -- empty: an own milestone
    wished_on          text    not null,     -- ISO date; empty: none
    late_once_minor    integer,              -- null: not said
    late_per_day_minor integer,
    note               text    not null,
    primary key (rebuild_id, id)
) strict, without rowid;
create unique index milestone_of_gate on milestone (rebuild_id, gate) where gate <> '';

create table milestone_job (
    rebuild_id   integer not null,
    milestone_id integer not null,
    place        integer not null,           -- order, from 1
    job_id       integer not null,
    primary key (rebuild_id, milestone_id, place),
    foreign key (rebuild_id, milestone_id) references milestone (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index milestone_with_job on milestone_job (rebuild_id, job_id);

create table job_plan (
    rebuild_id          integer not null references rebuild (id),
    id                  integer not null,
    rev                 integer not null,
    job_id              integer not null,
    without_me          integer not null check (without_me in (0, 1)),
    wait_days           real    not null,    -- after its end: curing, drying
    not_before          text    not null,    -- ISO date; empty: any day
    noisy               integer not null check (noisy in (0, 1)),
    daylight            integer not null check (daylight in (0, 1)),
    set_up              text    not null,    -- what has to be set up for it
    outside             integer not null check (outside in (0, 1)), -- somebody else does it elsewhere
    car_goes            integer not null check (car_goes in (0, 1)), -- the car itself is away meanwhile
    outside_days_low    real    not null,
    outside_days_likely real    not null,
    outside_days_high   real    not null,
    started_at          text    not null,    -- RFC 3339; empty: not yet
    done_at             text    not null,
    note                text    not null,
    primary key (rebuild_id, id),
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create unique index job_plan_of_job on job_plan (rebuild_id, job_id);

create table job_plan_after (
    rebuild_id integer not null,
    plan_id    integer not null,
    place      integer not null,             -- order, from 1
    job_id     integer not null,             -- that is done before
    primary key (rebuild_id, plan_id, place),
    foreign key (rebuild_id, plan_id) references job_plan (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index job_plan_after_job on job_plan_after (rebuild_id, job_id);

create table job_plan_helper (
    rebuild_id integer not null,
    plan_id    integer not null,
    place      integer not null,             -- order, from 1
    person_id  integer not null,
    primary key (rebuild_id, plan_id, place),
    foreign key (rebuild_id, plan_id) references job_plan (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, person_id) references person (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index job_plan_with_person on job_plan_helper (rebuild_id, person_id);

create table job_plan_thing (
    rebuild_id integer not null,
    plan_id    integer not null,
    place      integer not null,             -- order, from 1
    thing_id   integer not null,
    count      integer not null check (count > 0),
    primary key (rebuild_id, plan_id, place),
    foreign key (rebuild_id, plan_id) references job_plan (rebuild_id, id) deferrable initially deferred,
    foreign key (rebuild_id, thing_id) references thing (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index job_plan_with_thing on job_plan_thing (rebuild_id, thing_id);

create table job_plan_slot (
    rebuild_id integer not null,
    plan_id    integer not null,
    place      integer not null,             -- order, from 1
    on_day     text    not null,             -- ISO date
    primary key (rebuild_id, plan_id, place),
    foreign key (rebuild_id, plan_id) references job_plan (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table delivery (
    rebuild_id       integer not null references rebuild (id),
    id               integer not null,
    rev              integer not null,
    job_id           integer,                -- null: none
    what             text    not null,
    supplier         text    not null,
    ordered_on       text    not null,       -- ISO dates; empty: not yet, not known
    lead_days_low    real    not null,       -- from the order; all 0: not known
    lead_days_likely real    not null,
    lead_days_high   real    not null,
    expected_on      text    not null,
    arrived_on       text    not null,
    faster_days      integer,                -- null: no quicker way
    faster_minor     integer,                -- what it costs on top; null: not said
    amount_minor     integer,                -- null: not known
    note             text    not null,
    primary key (rebuild_id, id),
    foreign key (rebuild_id, job_id) references job (rebuild_id, id) deferrable initially deferred
) strict, without rowid;
create index delivery_of_job on delivery (rebuild_id, job_id);

create table timetable (
    rebuild_id integer not null references rebuild (id),
    id         integer not null,
    rev        integer not null,
    quiet_from integer not null,             -- minutes after midnight; both equal: none
    quiet_to   integer not null,
    kept       text    not null,             -- JSON: the plan that later ones are held against; empty: none
    note       text    not null,
    primary key (rebuild_id, id)
) strict, without rowid;
create unique index one_timetable on timetable (rebuild_id);

create table timetable_closed (
    rebuild_id   integer not null,
    timetable_id integer not null,
    place        integer not null,           -- order, from 1
    from_day     text    not null,           -- ISO dates, both included
    to_day       text    not null,
    why          text    not null,
    primary key (rebuild_id, timetable_id, place),
    foreign key (rebuild_id, timetable_id) references timetable (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

create table timetable_cost (
    rebuild_id   integer not null,
    timetable_id integer not null,
    place        integer not null,           -- order, from 1
    name         text    not null,
    amount_minor integer,                    -- null: not said
    per          text    not null,           -- day, week, month
    primary key (rebuild_id, timetable_id, place),
    foreign key (rebuild_id, timetable_id) references timetable (rebuild_id, id) deferrable initially deferred
) strict, without rowid;

-- The plan as it stood on the day of a mark, JSON; empty: none was worked out.
alter table mark add column plan text not null default '';
