-- Purpose: weather and track at each run, side by side.
-- Grain: one row per slip. Key: slip_id.
-- A track temperature on the slip wins; one under question is missing, not replaced. The run's own lane
-- comes before all lanes. weather_gap_h is the longest of the gaps used. track_source is 'slip', or the
-- series of conditions_at_run that was taken.
-- Reads: conditions_at_run
create or replace temp table conditions as
with side_by_side as (
    select
        slip_id,
        any_value(reading) filter (where series = 'air temp') as air_temp_degf,
        any_value(reading) filter (where series = 'pressure') as station_pressure_inhg,
        any_value(reading) filter (where series = 'vapor') as vapor_pressure_inhg,
        any_value(reading) filter (where series = 'headwind') as headwind_mph,
        max(gap_h) filter (where series in ('air temp', 'pressure', 'vapor')) as weather_gap_h,
        any_value(reading) filter (where starts_with(series, 'track ')) as lane_temp_degf,
        any_value(gap_h) filter (where starts_with(series, 'track ')) as lane_gap_h,
        any_value(series) filter (where starts_with(series, 'track ')) as lane_series,
        any_value(reading) filter (where series = 'track') as track_temp_degf,
        any_value(gap_h) filter (where series = 'track') as track_gap_h
    from conditions_at_run
    group by slip_id
)

select
    slips.slip_id,
    found.air_temp_degf,
    found.station_pressure_inhg,
    found.vapor_pressure_inhg,
    found.headwind_mph,
    found.weather_gap_h,
    case
        when list_contains(slips.questioned, 'track_temp_degf') then null
        else coalesce(slips.track_temp_degf, found.lane_temp_degf, found.track_temp_degf)
    end as track_temp_degf,
    case
        when list_contains(slips.questioned, 'track_temp_degf') then null
        when slips.track_temp_degf is not null then 0.0
        when found.lane_temp_degf is not null then found.lane_gap_h
        else found.track_gap_h
    end as track_temp_gap_h,
    case
        when list_contains(slips.questioned, 'track_temp_degf') then null
        when slips.track_temp_degf is not null then 'slip'
        when found.lane_temp_degf is not null then found.lane_series
        when found.track_temp_degf is not null then 'track'
    end as track_source
from timeslips as slips
left join side_by_side as found using (slip_id);
