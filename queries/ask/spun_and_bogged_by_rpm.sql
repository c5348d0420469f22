-- Question: at which launch rpm does the car spin or bog, on a cool and on a hot track?
-- Grain: one row per car, half of the track temperatures, and 250 rpm of launch rpm.
with middle as (
    select car, median(track_temp_degf) as middle_degf
    from runs
    group by car
)

select
    runs.car,
    if(track_temp_degf < middle_degf, 'cool half', 'hot half') as track,
    floor(launch_rpm / 250)::integer * 250 as launch_rpm_from,
    count(*) as runs,
    count(*) filter (where outcome = 'spun') as spun,
    count(*) filter (where outcome = 'bogged') as bogged
from runs
inner join middle on runs.car = middle.car
where launch_rpm is not null and track_temp_degf is not null
group by all
order by runs.car, track, launch_rpm_from;
