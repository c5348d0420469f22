-- Purpose: which row of which sheet each run took its setup, weather, track temperature and wear from.
-- Grain: one row per run and row used, with what was taken from it. Key: slip_id, kind, file, sheet, row.
-- Reads the working tables of queries/runs on the connection that built the runs, so building costs nothing
-- more. off_h is the row's time less the run's, so minus is before it; null where no time of day is known.
-- off_runs is the runs made between a check and the run. A run or a reading without a time of day takes all
-- of its day's readings.
create or replace temp table attached_uses as
with slips as (
    select
        timeslips.slip_id,
        timeslips.file,
        timeslips.sheet,
        timeslips."row",
        timeslips.run_at,
        coalesce(timeslips.has_time, true) as has_time,
        timeslips.venue,
        numbers.run_no
    from timeslips
    inner join run_numbers as numbers using (slip_id)
),

setup_rows as (
    select
        found.slip_id,
        'setup' as kind,
        if(found.is_on_slip, slips.file, setups.file) as file,
        if(found.is_on_slip, slips.sheet, setups.sheet) as sheet,
        if(found.is_on_slip, slips."row", setups."row") as "row",
        if(found.is_on_slip, slips.run_at, setups.set_at) as moment,
        found.adjustment as quantity,
        found.is_questioned,
        cast(null as integer) as off_runs
    from settings_at_run as found
    inner join slips using (slip_id)
    left join setups using (setup_id)
    where found.adjustment <> 'preload_spread_turns'
),

series_taken as (
    select found.slip_id, found.series, found.first_at, found.last_at
    from conditions_at_run as found
    inner join conditions using (slip_id)
    where not starts_with(found.series, 'track') or found.series = conditions.track_source
),

moments_taken as (
    select slip_id, series, unnest([first_at, last_at]) as moment from series_taken
),

entries_taken as (
    select taken.slip_id, entries.kind, entries.reading_id, taken.series, taken.moment
    from moments_taken as taken
    inner join slips using (slip_id)
    inner join reading_entries as entries
        on slips.venue = entries.venue and taken.series = entries.series and taken.moment = entries.read_at
    union all
    select taken.slip_id, entries.kind, entries.reading_id, taken.series, null
    from series_taken as taken
    inner join slips using (slip_id)
    inner join reading_entries as entries
        on slips.venue = entries.venue
        and taken.series = entries.series
        and cast(slips.run_at as date) = cast(entries.read_at as date)
    where taken.first_at is null and taken.last_at is null
),

reading_rows as (
    select
        taken.slip_id,
        taken.kind,
        coalesce(weather.file, track.file) as file,
        coalesce(weather.sheet, track.sheet) as sheet,
        coalesce(weather."row", track."row") as "row",
        taken.moment,
        if(taken.kind = 'track', 'track temp', taken.series) as quantity,
        false as is_questioned,
        cast(null as integer) as off_runs
    from entries_taken as taken
    left join weather on taken.kind = 'weather' and taken.reading_id = weather.reading_id
    left join track on taken.kind = 'track' and taken.reading_id = track.reading_id
),

slip_track_rows as (
    select
        slips.slip_id, 'track' as kind, slips.file, slips.sheet, slips."row", slips.run_at as moment,
        'track temp' as quantity, false as is_questioned, cast(null as integer) as off_runs
    from slips
    inner join conditions using (slip_id)
    where conditions.track_source = 'slip'
),

height_spans as (
    select clutch.slip_id, clutch.car, clutch.service_no, slips.run_no, spans.from_runs, spans.to_runs
    from clutch_at_run as clutch
    inner join slips using (slip_id)
    asof join ring_spans as spans
        on clutch.car = spans.car
        and clutch.service_no = spans.service_no
        and slips.run_no - 1 >= spans.from_runs
),

checks_taken as (
    select spans.slip_id, spans.run_no, knots.check_id, 'ring height' as quantity
    from height_spans as spans
    inner join ring_knots as knots
        on spans.car = knots.car
        and spans.service_no = knots.service_no
        and knots.runs_made in (spans.from_runs, spans.to_runs)
    union all
    select clutch.slip_id, slips.run_no, services.check_id, 'service'
    from clutch_at_run as clutch
    inner join slips using (slip_id)
    inner join clutch_checks as services
        on clutch.car = services.car and clutch.service_no = services.service_no
    where services.is_service
),

check_rows as (
    select
        taken.slip_id,
        'check' as kind,
        checks.file,
        checks.sheet,
        checks."row",
        checks.checked_at as moment,
        taken.quantity,
        false as is_questioned,
        cast(counted.runs_made - (taken.run_no - 1) as integer) as off_runs
    from checks_taken as taken
    inner join checks using (check_id)
    inner join clutch_checks as counted using (check_id)
),

every_row as (
    select * from setup_rows
    union all
    select * from reading_rows
    union all
    select * from slip_track_rows
    union all
    select * from check_rows
)

select
    every_row.slip_id,
    every_row.kind,
    every_row.file,
    every_row.sheet,
    every_row."row",
    list_sort(list(distinct every_row.quantity)) as quantities,
    bool_or(every_row.is_questioned) as is_questioned,
    any_value(every_row.moment) as moment,
    if(
        bool_and(slips.has_time),
        epoch(any_value(every_row.moment) - any_value(slips.run_at)) / 3600.0,
        null
    ) as off_h,
    any_value(every_row.off_runs) as off_runs,
    every_row.file = any_value(slips.file)
    and every_row.sheet = any_value(slips.sheet)
    and every_row."row" = any_value(slips."row") as is_on_slip
from every_row
inner join slips using (slip_id)
group by every_row.slip_id, every_row.kind, every_row.file, every_row.sheet, every_row."row";
