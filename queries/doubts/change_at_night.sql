-- Reason: a change of the setup in the night of a day raced by daylight; twelve hours away it lies among the runs.
-- Severity: questioned. Suggests: the time twelve hours away.
-- Reads: clock_text, typed_setups, typed_timeslips
-- Needs: typed_setups
insert into findings
with days as (
    select
        car, run_at::date as "day", epoch(min(run_at) - run_at::date::timestamp) / 3600 as first_hour,
        epoch(max(run_at) - run_at::date::timestamp) / 3600 as last_hour
    from typed_timeslips
    where has_time
    group by car, run_at::date
    having count(*) >= 2
),

changes as (
    select
        s.file, s.sheet, s.row, epoch(s.set_at - s.set_at::date::timestamp) / 3600 as hour, d.first_hour, d.last_hour
    from typed_setups as s
    join days as d on d.car = s.car and d."day" = s.set_at::date
    where s.set_at > s.set_at::date and not ends_with(s.sheet, 'setups')
)

select
    file, sheet, row, 'time', clock_text(hour),
    'Morning and afternoon look swapped: the runs of that day lie from ' || clock_text(first_hour) || ' to '
    || clock_text(last_hour) || '.',
    clock_text(if(hour < 12, hour + 12, hour - 12)), 'questioned', 'change_at_night'
from changes
where
    (hour < 5.5 or hour >= 21) and hour not between first_hour - 1 and last_hour + 3
    and if(hour < 12, hour + 12, hour - 12) between first_hour - 3 and last_hour + 0.5;
