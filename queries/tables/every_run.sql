-- Purpose: every run in one row: its setting, air and track, what was expected of its 60 ft, why it was left out.
-- Grain: one row per run. Key: run_id.
-- Reads: runs, run_checks
create or replace table every_run as
select
    runs.car,
    runs.run_id,
    runs.run_date,
    runs.event,
    runs.run_of_event,
    runs.round,
    runs.lane,
{% for factor in adjustments %}
    runs.{{ factor.column }},
{% endfor %}
    runs.extras,
    runs.air_temp_degf,
    runs.density_altitude_ft,
    runs.track_temp_degf,
    runs.t60_s,
    expected.expected_s as expected_t60_s,
    expected.low_s as expected_low_s,
    expected.high_s as expected_high_s,
    expected.observed_s - expected.expected_s as off_by_s,
    case
        when expected.observed_s > expected.high_s then 'slower'
        when expected.observed_s < expected.low_s then 'quicker'
        when expected.observed_s is not null then 'inside'
    end as own_bar,
    runs.outcome,
    runs.left_out_reason,
    runs.notes,
    runs.file,
    runs.sheet,
    runs."row"
from runs
left join run_checks as expected
    on runs.car = expected.car and runs.run_id = expected.run_id and expected.response = 't60'
order by runs.car, runs.run_id;
