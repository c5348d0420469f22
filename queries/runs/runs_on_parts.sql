-- Purpose: how many runs each part had on it at each run, counted from when it was put on new.
-- Grain: one row per slip of a car of which a note tells so, before that run or at it. Key: slip_id.
-- Reads: parts_put_on, run_numbers
create or replace temp table runs_on_parts as
with run_counts as (
    select car, run_at, max(run_no) as runs_made
    from run_numbers
    where run_no is not null
    group by car, run_at
),

starts as (
    select parts.*, coalesce(run_counts.runs_made, 0) as runs_before
    from parts_put_on as parts
    asof left join run_counts
        on parts.car = run_counts.car and parts.moment > run_counts.run_at
),

wanted as (
    select slip_id, car, run_at, run_no, unnest([{{ counted | quoted }}]) as part
    from run_numbers
    where run_no is not null
),

counted as (
    select wanted.slip_id, wanted.part, wanted.run_no - 1 - starts.runs_before as runs
    from wanted
    asof join starts
        on wanted.car = starts.car and wanted.part = starts.part and wanted.run_at >= starts.moment
)

select
    slip_id,
{% for factor in counted %}
    cast(any_value(runs) filter (where part = '{{ factor.column }}') as integer) as {{ factor.column }},
{% endfor %}
from counted
group by slip_id;
