-- Purpose: what became of every slip, with its car and its event, to count one car's or one night's:
-- read = kept + questioned + rejected + set_aside here too. Headings, blanks and totals are no slips.
-- Grain: one row per data row of a timeslips sheet. Key: file, sheet, row.
-- A slip whose car is not known is the only car's; with several cars it is nobody's.
-- A slip that became no run is of the night its event column names, or of the car's only event of that day.
with only_car as (
    select if(count(distinct car) = 1, min(car), null) as car
    from runs
),

nights as (
    select car, run_date, if(count(distinct event) = 1, min(event), null) as event
    from runs
    where car is not null and run_date is not null
    group by car, run_date
),

slips as (
    select
        typed.file,
        typed.sheet,
        typed."row",
        runs.event,
        typed.event as typed_event,
        coalesce(runs.run_date, cast(typed.run_at as date)) as run_date,
        coalesce(runs.car, known.car, only_car.car) as car,
        case
            when marks.fate in ('merged', 'left out') then 'set_aside'
            when marks.fate = 'rejected' then 'rejected'
            when len(marks.questioned) > 0 then 'questioned'
            else 'kept'
        end as fate
    from typed_timeslips as typed
    cross join only_car
    left join row_marks as marks
        on typed.file = marks.file and typed.sheet = marks.sheet and typed."row" = marks."row"
    left join runs
        on typed.file = runs.file and typed.sheet = runs.sheet and typed."row" = runs."row"
    left join (select distinct car from runs) as known on typed.car = known.car
)

select
    slips.file,
    slips.sheet,
    slips."row",
    slips.car,
    coalesce(slips.event, nights.event, slips.typed_event) as event,
    slips.fate
from slips
left join nights on slips.car = nights.car and slips.run_date = nights.run_date
order by slips.file, slips.sheet, slips."row";
