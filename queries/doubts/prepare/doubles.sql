-- Purpose: slips that repeat an earlier one: same car at the same minute, or (without a time) on the same
--          day with the same early or the same late numbers, and at least two numbers equal, more than differ.
-- Grain: one row per repeating slip, with the slip it repeats. Key: file, sheet, row.
create or replace temp table doubles as
with keyed as (
    select slip_id, hash(car, run_at) as same from typed_timeslips where has_time
    union all
    select slip_id, hash(car, run_at::date, t60_s, t330_s, 1)
    from typed_timeslips
    where not has_time and t60_s is not null and t330_s is not null
    union all
    select slip_id, hash(car, run_at::date, coalesce(t1320_s, t660_s), coalesce(v1320_mph, v660_mph), 2)
    from typed_timeslips
    where not has_time and coalesce(t1320_s, t660_s) is not null and coalesce(v1320_mph, v660_mph) is not null
),

repeated as (
    select same, min(slip_id) as first_id
    from keyed
    group by same
    having count(*) > 1
),

pairs as (
    select distinct repeated.first_id, keyed.slip_id
    from keyed
    join repeated using (same)
),

judged as (
    select
        b.slip_id, b.file, b.sheet, b.row, a.slip_id as first_id,
        a.file as same_file, a.sheet as same_sheet, a.row as same_row,
        list_sum([
            (a.t60_s = b.t60_s)::int, (a.t330_s = b.t330_s)::int, (a.t660_s = b.t660_s)::int,
            (a.v660_mph = b.v660_mph)::int, (a.t1000_s = b.t1000_s)::int, (a.t1320_s = b.t1320_s)::int,
            (a.v1320_mph = b.v1320_mph)::int, (a.reaction_s = b.reaction_s)::int
        ]) as equal,
        list_sum([
            (a.t60_s <> b.t60_s)::int, (a.t330_s <> b.t330_s)::int, (a.t660_s <> b.t660_s)::int,
            (a.v660_mph <> b.v660_mph)::int, (a.t1000_s <> b.t1000_s)::int, (a.t1320_s <> b.t1320_s)::int,
            (a.v1320_mph <> b.v1320_mph)::int, (a.reaction_s <> b.reaction_s)::int
        ]) as different
    from pairs as p
    join typed_timeslips as a on a.slip_id = p.first_id
    join typed_timeslips as b on b.slip_id = p.slip_id
    where p.slip_id <> p.first_id and a.car is not distinct from b.car
)

select slip_id, file, sheet, row, first_id, same_file, same_sheet, same_row
from judged
where equal >= 2 and equal > different
qualify row_number() over (partition by slip_id order by first_id) = 1;
