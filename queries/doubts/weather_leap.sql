-- Reason: a reading of the air or the track that leaps away from the one before and the one after, which agree; at the start or
--         end of a day, from the two beside it; on a day of one or two, an air pressure far from the strip's usual one. Weather turns and stays turned; a slip of the pen comes back.
-- Severity: questioned. Suggests: a digit put right, where that lies between the others.
-- Reads: written, swapped, typed_weather, typed_track, typed_timeslips, celsius, fahrenheit, altimeter_or_station, humidity_fraction, moisture_above_air, out_of_range, wrong_year, day_and_month_swapped
-- Yields to: out_of_range
insert into findings
with gunned as (
    select reading_id, file, sheet, row, venue, read_at, track_temp_degf
    from typed_track
    where read_at is not null and track_temp_degf is not null
    union all
    select slip_id, file, sheet, row, venue, run_at, track_temp_degf
    from typed_timeslips
    where has_time and track_temp_degf is not null
),

cells as (
    unpivot (
        select
            reading_id, file, sheet, row, venue, read_at, air_temp_degf, pressure_inhg, humidity_pct, dew_point_degf
        from typed_weather
        where read_at is not null
    )
    on air_temp_degf, pressure_inhg, humidity_pct, dew_point_degf
    into name "column" value value
    union all by name
    select reading_id, file, sheet, row, venue, read_at, 'track_temp_degf' as "column", track_temp_degf as value
    from gunned
    where (venue, read_at::date) in (
        select (venue, read_at::date)
        from gunned
        group by venue, read_at::date
        having max(track_temp_degf) - min(track_temp_degf) > 25
    )
),

allowed ("column", least, an_hour) as (
    values ('air_temp_degf', 14.0, 3.0), ('pressure_inhg', 0.25, 0.05), ('humidity_pct', 38.0, 5.0), ('dew_point_degf', 16.0, 3.0),
    ('track_temp_degf', 20.0, 9.0)
),

beside as (
    select
        c.*, a.least, a.an_hour,
        lag(value) over along as before, lead(value) over along as after,
        lag(value, 2) over along as before_2, lead(value, 2) over along as after_2,
        median(value) over strip as usual, count(*) over strip as of_strip,
        epoch(read_at - lag(read_at) over along) / 3600 as hours_before,
        epoch(lead(read_at) over along - read_at) / 3600 as hours_after
    from cells as c
    join allowed as a using ("column")
    where (file, sheet, row, "column") not in (select (file, sheet, row, "column") from findings)
        and (file, sheet, row) not in (select (file, sheet, row) from findings where "column" in ('date', 'pressure_kind'))
    window along as (partition by venue, "column", read_at::date order by read_at, reading_id),
        strip as (partition by venue, "column")
),

judged as (
    select
        *,
        case
            when is_alone then usual
            when before is not null and after is not null then before + (after - before) * hours_before / greatest(hours_before + hours_after, 0.01)
            when before is null then after
            else before
        end as expected,
        case
            when before is not null and after is not null
                then least + 0.6 * abs(after - before) + an_hour * least(hours_before, hours_after)
            when before is null and abs(after - after_2) < least then 1.2 * least + 1.2 * an_hour * hours_after
            when after is null and abs(before - before_2) < least then 1.2 * least + 1.2 * an_hour * hours_before
            when is_alone then 0.7
        end as room
    from (
        select
            *, "column" = 'pressure_inhg' and of_strip >= 4 and before_2 is null and after_2 is null
            and (before is null or after is null)
            and reading_id not in (select reading_id from typed_weather where pressure_kind = 'altimeter')
            and coalesce(abs(value - coalesce(before, after)) > 0.5, true) as is_alone
        from beside
    )
),

leaps as (
    select
        *,
        list_filter(
            list_concat(
                swapped(value, 2), [value * 10, value / 10, value + 100, value - 100],
                list_transform(range(-9, 10), lambda more: value + more)
            ),
            lambda reading: abs(reading - expected) < 0.2 * room
        ) as possible
    from judged
    where abs(value - expected) > room
)

select
    file, sheet, row, "column", written(value, null),
    'It leaps away from the readings beside it: ' || coalesce(written(before, null) || ' before', '')
    || if(before is not null and after is not null, ' and ', '') || coalesce(written(after, null) || ' after', '') || '.',
    if(len(list_distinct(possible)) = 1, written(possible[1], null), null), 'questioned', 'weather_leap'
from leaps;
