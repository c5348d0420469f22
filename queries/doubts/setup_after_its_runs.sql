-- Reason: runs made before this change already carry its setting on their slips, while the change before
--         it says another: the change is dated after the runs it explains. A change written on the slip of the run
--         from which it holds cannot be dated wrong by itself.
-- Severity: questioned. Suggests: the day (or time) of the first run that carries the setting. Runs without a
--           time are compared by their day alone.
-- Reads: am_pm_slip, day_and_month_swapped, wrong_year, settings, strayed_rows, typed_setups, typed_timeslips
-- Needs: settings, typed_timeslips
-- Yields to: am_pm_slip
insert into findings
with slip_values as (
    unpivot (
        select car, run_at, has_time, {{ adjustments | listed }}
        from typed_timeslips
        where car in (select car from typed_setups) and run_at is not null
            and (file, sheet, row) not in (
                select (file, sheet, row) from findings where "column" in ('date', 'time')
            )
    )
    on {{ adjustments | listed }}
    into name "column" value value
),

before as (
    select
        s.setup_id, s.file, s.sheet, s.row, s.set_at, s."column", s.value, s.value_before, v.run_at, v.value as on_slip,
        v.has_time
    from settings as s
    join slip_values as v on v.car = s.car and v."column" = s."column"
    where if(v.has_time, v.run_at < s.set_at, v.run_at::date < s.set_at::date) and s.value <> s.value_before
        and if(v.has_time, v.run_at, v.run_at::date + interval 1 day) >= if(
            s.set_before < s.set_at, s.set_before, timestamp '1900-01-01'
        )
        and (s.file, s.sheet, s.row) not in (select (file, sheet, row) from strayed_rows)
        and not (ends_with(s.sheet, 'setups') and (s.file, s.row) in (select (file, row) from typed_timeslips))
),

runs_with as (
    select
        setup_id, file, sheet, row, set_at, "column",
        min(run_at) filter (abs(on_slip - value) < 0.001) as first_with,
        max(run_at) filter (abs(on_slip - value_before) < 0.001) as last_without,
        count(*) filter (abs(on_slip - value) < 0.001) as with_it,
        bool_and(has_time) as has_time
    from before
    group by all
)

select distinct on (file, sheet, row)
    file, sheet, row, if(first_with::date = set_at::date, 'time', 'date'),
    if(first_with::date = set_at::date, strftime(set_at, '%H:%M'), set_at::date::varchar),
    with_it || if(with_it = 1, ' run', ' runs') || ' before this change already carry its setting, the first on '
    || strftime(first_with, '%Y-%m-%d %H:%M') || '.',
    if(first_with::date = set_at::date, strftime(first_with, '%H:%M'), first_with::date::varchar),
    'questioned', 'setup_after_its_runs'
from runs_with
where first_with is not null and (
        last_without is null or last_without < first_with
        or (not has_time and last_without::date <= first_with::date)
    )
order by file, sheet, row, with_it desc;
