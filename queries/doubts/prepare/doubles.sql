-- Purpose: slips that repeat an earlier one: same car at the same minute (without a time: on the same day), or
--          there also with the same early or the same late numbers; and at least two numbers equal, more than differ.
--          Without a time, three numbers in hundredths may be alike by chance: thousandths count twice there.
--          With another reaction, or without a time in other air, it is asked about (copied_slip), not set aside.
--          Each slip is held beside the first of its like only, so that a sheet with one moment on every row
--          costs no more than any other.
-- Grain: one row per repeating slip, with the slip it repeats. Key: file, sheet, row.
-- Reads: typed_timeslips, typed_weather
{% set results = timeslips.numbers | selectattr('role', 'in', ('ticket', 'result')) | list %}
create or replace table doubles as
with moments as (
    select
        slip_id, car, has_time, t60_s, t330_s,
        hash(car, has_time, if(has_time, coalesce(run_at, timestamp '1970-01-01' + to_seconds(clock_s)), run_at::date)) as moment,
        coalesce(t1320_s, t660_s) as late_s, coalesce(v1320_mph, v660_mph) as late_mph
    from typed_timeslips
),

crowded as (
    select moment
    from moments
    group by moment
    having count(*) > 1
),

members as (
    select * from moments semi join crowded using (moment)
),

keyed as (
    select slip_id, car, moment as same from members where has_time
    union all
    select slip_id, car, hash(moment, t60_s, t330_s, 1)
    from members
    where t60_s is not null and t330_s is not null
    union all
    select slip_id, car, hash(moment, late_s, late_mph, 2)
    from members
    where late_s is not null and late_mph is not null
),

repeated as (
    select same, car, min(slip_id) as first_id
    from keyed
    group by same, car
    having count(*) > 1
),

pairs as (
    select distinct r.first_id, k.slip_id
    from keyed as k
    join repeated as r on r.same = k.same and r.car is not distinct from k.car
    where k.slip_id <> r.first_id
),

-- The air written on a slip's own row.
airs as (
    select
        file, regexp_replace(sheet, '(^|, )weather$', '') as sheet, row,
        any_value(hash(air_temp_degf, pressure_inhg, humidity_pct, dew_point_degf)) as air
    from typed_weather
    where (file, row) in (
        select (file, row) from typed_timeslips where slip_id in (select slip_id from pairs union all select first_id from pairs)
    )
    group by file, sheet, row
),

judged as (
    select
        b.slip_id, b.file, b.sheet, b.row, a.slip_id as first_id, b.has_time,
        coalesce(a.reaction_s <> b.reaction_s, false) as is_other_start,
        coalesce(a.file = b.file and a.sheet = b.sheet and wa.air <> wb.air, false) as is_other_air,
        a.file as same_file, a.sheet as same_sheet, a.row as same_row,
        list_sum([{% for number in results %}{{ ', ' if not loop.first }}(a.{{ number.name }} = b.{{ number.name }})::int{% endfor %}]) as equal,
        list_sum([{% for number in results %}{{ ', ' if not loop.first }}(a.{{ number.name }} <> b.{{ number.name }})::int{% endfor %}]) as different,
        list_sum([{% for number in results %}{{ ', ' if not loop.first }}(
            a.{{ number.name }} = b.{{ number.name }} and abs(a.{{ number.name }} * 100 - round(a.{{ number.name }} * 100)) > 1e-4
        )::int{% endfor %}]) as equal_thousandths
    from pairs as p
    join typed_timeslips as a on a.slip_id = p.first_id
    join typed_timeslips as b on b.slip_id = p.slip_id
    left join airs as wa on wa.file = a.file and wa.sheet = a.sheet and wa.row = a.row
    left join airs as wb on wb.file = b.file and wb.sheet = b.sheet and wb.row = b.row
)

select slip_id, file, sheet, row, first_id, same_file, same_sheet, same_row
from judged
where equal >= 2 and equal > different and not is_other_start
    and (has_time or (equal + equal_thousandths >= 4 and not is_other_air))
qualify row_number() over (partition by slip_id order by first_id) = 1;
