-- The second form: a candidate car is weighed before it is bought. Every rebuild
-- has one appraisal; those that were there get an empty one.

alter table car add column candidate integer not null default 0 check (candidate in (0, 1));

create table appraisal (
    rebuild_id             integer not null references rebuild (id),
    number                 integer not null check (number = 1),
    rev                    integer not null,
    first_used             text    not null, -- empty: not known
    value_low              real    not null, -- 10 %, 50 %, 90 % points, major units
    value_likely           real    not null,
    value_high             real    not null,
    marker_discount_low    real    not null, -- shares of the value
    marker_discount_likely real    not null,
    marker_discount_high   real    not null,
    selling_percent        real    not null,
    selling_fixed_minor    integer,
    fee_tax                real    not null, -- share
    price_tax              real    not null, -- share
    wanted_profit_minor    integer,
    confidence             real    not null,
    step_minor             integer,
    keep                   integer not null check (keep in (0, 1)),
    asking_minor           integer,
    bought_on              text,             -- null, as all that follows: not bought from this appraisal
    bought_price_minor     integer,
    bought_fees_minor      integer,
    max_bid_minor          integer,          -- what follows is as it stood on that day
    safe_bid_minor         integer,
    chance                 real,
    expected_profit        real,             -- major units
    cost_mean              real,
    cost_p10               real,
    cost_p50               real,
    cost_p80               real,
    cost_p90               real,
    job_count              integer,
    primary key (rebuild_id, number)
) strict, without rowid;

create table appraisal_event (
    rebuild_id integer not null,
    number     integer not null check (number = 1), -- of the appraisal
    place      integer not null,             -- order, from 1
    on_day     text    not null,
    kind       text    not null,
    odometer   integer,                      -- null: not read
    unit       text    not null,             -- empty: the car's
    category   text    not null,
    result     text    not null,
    country    text    not null,             -- jurisdiction where it happened; empty: not said
    came_from  text    not null,             -- of an import: the jurisdiction before
    note       text    not null,
    primary key (rebuild_id, place),
    foreign key (rebuild_id, number) references appraisal (rebuild_id, number)
) strict, without rowid;

create table appraisal_fee_band (
    rebuild_id    integer not null,
    number        integer not null check (number = 1),
    place         integer not null,
    from_minor    integer,                   -- hammer price from which it applies
    fixed_minor   integer,
    percent       real    not null,
    minimum_minor integer,
    primary key (rebuild_id, place),
    foreign key (rebuild_id, number) references appraisal (rebuild_id, number)
) strict, without rowid;

create table appraisal_other (
    rebuild_id integer not null,
    number     integer not null check (number = 1),
    place      integer not null,
    name       text    not null,
    cost_minor integer,
    primary key (rebuild_id, place),
    foreign key (rebuild_id, number) references appraisal (rebuild_id, number)
) strict, without rowid;

insert into appraisal (rebuild_id, number, rev, first_used, value_low, value_likely, value_high, marker_discount_low, marker_discount_likely,
    marker_discount_high, selling_percent, fee_tax, price_tax, confidence, keep)
select id, 1, 0, '', 0, 0, 0, 0, 0, 0, 0, 0, 0, 0.8, 0 from rebuild;
