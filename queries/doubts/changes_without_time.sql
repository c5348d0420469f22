-- Reason: two changes of one adjustment on one day, neither with a time: which came last cannot be told, and runs of
--         that day lie after one of them. Changes told among the runs of a sheet stand in their order.
-- Severity: questioned. Suggests: nothing; both orders are told.
-- Reads: settings, typed_timeslips, written
-- Needs: settings
insert into findings
with untimed as (
    select s.car, s."column", s.setup_id, s.file, s.sheet, s.row, s.value, s.set_at::date as "day"
    from settings as s
    where s.set_at = s.set_at::date and not ends_with(s.sheet, 'setups')
),

pairs as (
    select
        *, lag(value) over same_day as first_value, lag(row) over same_day as first_row,
        count(*) over (partition by car, "column", "day") as times
    from untimed
    window same_day as (partition by car, "column", "day" order by setup_id)
)

select
    file, sheet, row, 'time', null,
    'Two changes stand on this day without a time: ' || written(first_value) || ' (row ' || first_row || ') and '
    || written(value) || '. Write when this one was made; as it stands, ' || written(value) || ' comes last.',
    null, 'questioned', 'changes_without_time'
from pairs
where times = 2 and first_value is distinct from value and first_value is not null
    and (car, "day") in (select (car, run_at::date) from typed_timeslips where run_at is not null);
