-- Purpose: the middle (median) and the width (quartile range / 1.349, with a floor for a clock of
--          thousandths) of each tie, of each car; the usual ratios where the car has under six runs.
-- Grain: one row per car. Key: car.
-- Reads: middle, slip_features, slip_sample, typed_timeslips, usual_ratios, width
-- Needs: typed_timeslips
create or replace temp table slip_usual as
with quartiles as (
    select
        car,
        count(*) as runs,
        quantile_cont(f_60, [0.25, 0.5, 0.75]) as q_60,
        quantile_cont(f_v660, [0.25, 0.5, 0.75]) as q_v660,
        quantile_cont(f_v1320, [0.25, 0.5, 0.75]) as q_v1320,
        quantile_cont(f_330, [0.25, 0.5, 0.75]) as q_330,
        quantile_cont(f_early, [0.25, 0.5, 0.75]) as q_early,
        quantile_cont(f_660, [0.25, 0.5, 0.75]) as q_660,
        quantile_cont(f_trap660, [0.25, 0.5, 0.75]) as q_trap660,
        quantile_cont(f_pass660, [0.25, 0.5, 0.75]) as q_pass660,
        quantile_cont(f_1000, [0.25, 0.5, 0.75]) as q_1000,
        quantile_cont(f_1320, [0.25, 0.5, 0.75]) as q_1320,
        quantile_cont(f_half, [0.25, 0.5, 0.75]) as q_half,
        quantile_cont(f_trap1320, [0.25, 0.5, 0.75]) as q_trap1320,
        quantile_cont(f_pass1320, [0.25, 0.5, 0.75]) as q_pass1320,
        quantile_cont(f_speeds, [0.25, 0.5, 0.75]) as q_speeds,
        quantile_cont(f_back, [0.25, 0.5, 0.75]) as q_back,
{% for factor in adjustments %}
        quantile_cont({{ factor.column }}, [0.25, 0.5, 0.75]) as q_{{ factor.name }}{{ ',' if not loop.last }}
{% endfor %}
    from slip_features('slip_sample')
    group by car
),

cars as (
    select distinct car from typed_timeslips
)

select
    cars.car,
    coalesce(q.runs, 0) as runs,
    if(q.runs >= 6, q.q_60[2], null) as m_60,
    width(q.q_60, q.runs, 0.008) as w_60,
    if(q.runs >= 6, q.q_v660[2], null) as m_v660,
    width(q.q_v660, q.runs, 0.012) as w_v660,
    if(q.runs >= 6, q.q_v1320[2], null) as m_v1320,
    width(q.q_v1320, q.runs, 0.012) as w_v1320,
    middle(q.q_330, q.runs, u.m_330) as m_330,
    coalesce(width(q.q_330, q.runs, 0.006), u.w_330) as w_330,
    middle(q.q_early, q.runs, u.m_early) as m_early,
    coalesce(width(q.q_early, q.runs, 0.006), u.w_early) as w_early,
    middle(q.q_660, q.runs, u.m_660) as m_660,
    coalesce(width(q.q_660, q.runs, 0.004), u.w_660) as w_660,
    middle(q.q_trap660, q.runs, u.m_trap660) as m_trap660,
    coalesce(width(q.q_trap660, q.runs, 0.004), u.w_trap660) as w_trap660,
    middle(q.q_pass660, q.runs, u.m_pass660) as m_pass660,
    coalesce(width(q.q_pass660, q.runs, 0.005), u.w_pass660) as w_pass660,
    middle(q.q_1000, q.runs, u.m_1000) as m_1000,
    coalesce(width(q.q_1000, q.runs, 0.003), u.w_1000) as w_1000,
    middle(q.q_1320, q.runs, u.m_1320) as m_1320,
    coalesce(width(q.q_1320, q.runs, 0.003), u.w_1320) as w_1320,
    middle(q.q_half, q.runs, u.m_half) as m_half,
    coalesce(width(q.q_half, q.runs, 0.004), u.w_half) as w_half,
    middle(q.q_trap1320, q.runs, u.m_trap1320) as m_trap1320,
    coalesce(width(q.q_trap1320, q.runs, 0.003), u.w_trap1320) as w_trap1320,
    middle(q.q_pass1320, q.runs, u.m_pass1320) as m_pass1320,
    coalesce(width(q.q_pass1320, q.runs, 0.005), u.w_pass1320) as w_pass1320,
    middle(q.q_speeds, q.runs, u.m_speeds) as m_speeds,
    coalesce(width(q.q_speeds, q.runs, 0.004), u.w_speeds) as w_speeds,
    middle(q.q_back, q.runs, u.m_back) as m_back,
    coalesce(width(q.q_back, q.runs, 0.004), u.w_back) as w_back,
{% for factor in adjustments %}
    q.q_{{ factor.name }}[2] as m_{{ factor.name }},
    (q.q_{{ factor.name }}[3] - q.q_{{ factor.name }}[1]) / 1.349 as w_{{ factor.name }}{{ ',' if not loop.last }}
{% endfor %}
from cars
left join quartiles as q on q.car is not distinct from cars.car
cross join usual_ratios as u;
