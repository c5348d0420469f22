-- Reason: a temperature under a degF heading that is far from the others of its day (or, when the whole
--         day is, from the weeks around) and lies among them when read as degC.
-- Severity: questioned. Suggests: the temperature in degF, or its figures exchanged, whichever lies nearer.
-- Reads: swapped, air_days, track_days, typed_weather, written
-- Needs: air_days or track_days
-- Yields to: doubles_differ
insert into findings
with readings as (
    select
        w.file, w.sheet, w.row, 'air_temp_degf' as "column", a.air_temp_degf as degf, same_day_degf, season_degf,
        null as air_degf
    from air_days as a
    join typed_weather as w using (reading_id)
    union all
    select
        file, sheet, row, 'track_temp_degf', track_temp_degf, if(readings > 1, same_day_degf, null), season_degf,
        air_degf
    from track_days
)

select
    file, sheet, row, "column", written(degf),
    written(degf) || ' degF does not fit that day; it looks like '
    || if(nearest.far < abs(degf * 1.8 + 32 - middle), 'two figures exchanged.', 'degC.'),
    written(if(nearest.far < abs(degf * 1.8 + 32 - middle), nearest.degf, round(degf * 1.8 + 32, 1))), 'questioned', 'celsius'
from (
    select
        *, coalesce(same_day_degf, season_degf) as middle,
        list_sort(list_transform(
            swapped(degf, if(degf = round(degf), 0, 1)), lambda other: {'far': abs(other - middle), 'degf': other}
        ))[1] as nearest
    from readings
)
where
    (air_degf is null or degf < air_degf - 10)
    and (
    (
        abs(degf - same_day_degf) > 15
        and abs(degf * 1.8 + 32 - same_day_degf) < least(25, abs(degf - same_day_degf) * 0.7)
    )
    or (
        (same_day_degf is null or abs(degf - same_day_degf) < 12)
        and abs(degf - season_degf) > 28
        and abs(degf * 1.8 + 32 - season_degf) < abs(degf - season_degf) * 0.6
    )
    or (
        same_day_degf is null and degf < air_degf - 12 and degf * 1.8 + 32 between air_degf - 5 and air_degf + 60
    )
    );
