-- Question: what was attached to each run of a car?
-- Grain: one row per run and row used; a run that used none stands once, without a kind.
select
    runs.run_id,
    runs.event,
    runs.run_at,
    runs.run_date,
    coalesce(slips.has_time, false) as has_time,
    runs.venue,
    runs.run_of_event,
    runs.file as slip_file,
    runs.sheet as slip_sheet,
    runs."row" as slip_row,
    uses.kind,
    uses.file,
    uses.sheet,
    uses."row",
    uses.quantities,
    coalesce(uses.is_questioned, false) as is_questioned,
    uses.moment,
    uses.off_h,
    uses.off_runs,
    coalesce(uses.is_on_slip, false) as is_on_slip
from runs
inner join run_numbers as numbers using (run_id)
inner join timeslips as slips using (slip_id)
left join attached_uses as uses using (slip_id)
where runs.car = $car
order by
    runs.run_at nulls last,
    runs.run_id,
    list_position(['setup', 'weather', 'track', 'check'], uses.kind),
    abs(coalesce(uses.off_h, 0)),
    uses.file,
    uses.sheet,
    uses."row";
