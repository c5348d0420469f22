-- Purpose: the value of each weather and track series at each run, and how far its reading is.
-- Grain: one row per slip and series that has a value. Key: slip_id, series.
-- Linear between two readings at most $bracket_h hours apart; else the nearest within the series' reach;
-- for a run or a reading without a time of day the mean of the day, with no gap known.
-- first_at and last_at are the moments of the readings used: both for a line, both null for a day's mean.
-- Reads: condition_days, condition_spans
create or replace temp table conditions_at_run as
with wanted as (
    select
        slip_id,
        venue,
        run_at,
        coalesce(has_time, true) as has_time,
        unnest(
            ['air temp', 'pressure', 'vapor', 'headwind', 'track', 'track ' || lower(lane)]
        ) as series
    from timeslips
    where venue is not null and run_at is not null
),

spanned as (
    select
        wanted.*,
        spans.from_reading,
        spans.to_reading,
        spans.from_at,
        spans.to_at,
        epoch(wanted.run_at - spans.from_at) / 3600.0 as from_h,
        epoch(spans.to_at - wanted.run_at) / 3600.0 as to_h,
        case when starts_with(wanted.series, 'track') then $track_reach_h else $weather_reach_h end
            as reach_h
    from wanted
    asof join condition_spans as spans
        on wanted.venue = spans.venue
        and wanted.series = spans.series
        and wanted.run_at >= spans.from_at
),

chosen as (
    select
        *,
        case
            when not has_time then null
            when from_reading is not null and to_reading is not null and from_h + to_h <= $bracket_h
                then 'both'
            when from_reading is not null and from_h <= reach_h
                and (to_reading is null or from_h <= to_h)
                then 'from'
            when to_reading is not null and to_h <= reach_h then 'to'
        end as taken
    from spanned
),

timed as (
    select
        slip_id,
        venue,
        series,
        run_at,
        has_time,
        case taken
            when 'both' then from_reading + (to_reading - from_reading) * from_h / (from_h + to_h)
            when 'from' then from_reading
            when 'to' then to_reading
        end as reading,
        case
            when from_reading is null then to_h
            when to_reading is null then from_h
            else least(from_h, to_h)
        end as gap_h,
        case when taken in ('both', 'from') then from_at end as first_at,
        case when taken in ('both', 'to') then to_at end as last_at
    from chosen
)

select
    timed.slip_id,
    timed.series,
    coalesce(
        timed.reading,
        case when timed.has_time then days.untimed_reading else days.reading end
    ) as reading,
    case when timed.reading is not null then timed.gap_h end as gap_h,
    timed.first_at,
    timed.last_at
from timed
left join condition_days as days
    on timed.venue = days.venue
    and timed.series = days.series
    and cast(timed.run_at as date) = days.read_date
where coalesce(
    timed.reading,
    case when timed.has_time then days.untimed_reading else days.reading end
) is not null;
