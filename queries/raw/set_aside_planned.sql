-- Purpose: set aside runs that are planned and not made: settings are written, and neither a date nor any result.
-- Grain: rows of rows_timeslips, after the careful reading.
update rows_timeslips
set set_aside = 'planned, not run yet'
where
    "day" is null
    and set_aside is null
    and undated[1] is null
    and reaction_s is null
    and t60_s is null
    and t330_s is null
    and t660_s is null
    and v660_mph is null
    and t1000_s is null
    and t1320_s is null
    and v1320_mph is null
    and outcome is null
    and not coalesce(
        list_bool_or(
            list_transform(
                odd,
                lambda cell: cell."column" not in (
                    'time', 'preload_turns', 'counterweight_g', 'launch_rpm', 'tire_pressure_psi', 'track_temp_degf'
                )
                and not starts_with(cell."column", 'extra:')
            )
        ),
        false
    );
