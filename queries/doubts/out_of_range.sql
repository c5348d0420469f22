-- Reason: the number cannot be what its column says, whatever the car or the day.
-- Severity: questioned. Suggests: the number with the point moved, when that is possible.
insert into findings
with numbers as (
    unpivot (
        select 'timeslips' as kind, file, sheet, row, reaction_s, track_temp_degf
        from typed_timeslips
        where reaction_s not between -2 and 10 or track_temp_degf not between 25 and 190
    )
    on reaction_s, track_temp_degf
    into name "column" value value
    union all by name
    unpivot (
        select
            'weather' as kind, file, sheet, row, air_temp_degf, pressure_inhg, humidity_pct, dew_point_degf,
            wet_bulb_degf, grains, wind_speed_mph
        from typed_weather
    )
    on air_temp_degf, pressure_inhg, humidity_pct, dew_point_degf, wet_bulb_degf, grains, wind_speed_mph
    into name "column" value value
    union all by name
    unpivot (select 'track' as kind, file, sheet, row, track_temp_degf from typed_track)
    on track_temp_degf
    into name "column" value value
    union all by name
    unpivot (
        select
            'checks' as kind, file, sheet, row, ring_height_in, shim_removed_in, bearing_clearance_in,
            disc_thickness_in
        from typed_checks
    )
    on ring_height_in, shim_removed_in, bearing_clearance_in, disc_thickness_in
    into name "column" value value
),

outside as (
    select n.*, p.low, p.high
    from numbers as n
    join plausible as p using (kind, "column")
    where n.value not between p.low and p.high
)

select
    file, sheet, row, "column", written(value, null),
    'Outside ' || written(low, null) || ' to ' || written(high, null) || ', where it must lie.',
    written(
        list_filter(
            if("column" = 'reaction_s', [value / 1000, value / 100], [value / 10, value / 100, value / 1000, value * 10]),
            lambda moved: moved between low and high
        )[1],
        null
    ),
    'questioned', 'out_of_range'
from outside;
