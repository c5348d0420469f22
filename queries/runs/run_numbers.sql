-- Purpose: number the runs of the store and of each car, and name each event once.
-- Grain: one row per slip. Key: slip_id.
-- An event that returns under one name after more than four days is another event, told apart by its date.
create or replace temp table run_numbers as
with event_days as (
    select distinct event, cast(run_at as date) as run_date
    from timeslips
    where event is not null and run_at is not null
),

day_steps as (
    select
        *,
        coalesce(
            run_date - lag(run_date) over (partition by event order by run_date) > 4,
            true
        ) as starts_meeting
    from event_days
),

meetings as (
    select
        event,
        run_date,
        sum(cast(starts_meeting as integer)) over (partition by event order by run_date) as meeting
    from day_steps
),

meeting_names as (
    select
        event,
        meeting,
        case
            when count(*) over (partition by event) = 1 then event
            else event || ' ' || strftime(min(run_date), '%Y-%m-%d')
        end as event_name
    from meetings
    group by event, meeting
),

named as (
    select
        slips.slip_id,
        slips.car,
        slips.run_at,
        slips.entry_order,
        coalesce(
            meeting_names.event_name,
            slips.event,
            concat_ws(' ', strftime(slips.run_at, '%Y-%m-%d'), slips.venue)
        ) as event
    from timeslips as slips
    left join meetings
        on slips.event = meetings.event
        and cast(slips.run_at as date) = meetings.run_date
    left join meeting_names
        on meetings.event = meeting_names.event
        and meetings.meeting = meeting_names.meeting
)

select
    slip_id,
    car,
    run_at,
    event,
    row_number() over (
        order by car nulls last, run_at nulls last, entry_order, slip_id
    ) as run_id,
    case
        when run_at is not null and car is not null
            then row_number() over (partition by car order by run_at nulls last, entry_order, slip_id)
    end as run_no,
    row_number() over (
        partition by car, event order by run_at nulls last, entry_order, slip_id
    ) as run_of_event
from named;
