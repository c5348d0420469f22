-- Reason: a reading of the air or the track that leaps away from the one before and the one after, which agree; at the start or
--         end of a day, from the two beside it; of two on a day, away from the other and from the usual; alone on its day, a pressure
--         far from the usual one (of the strip, or for its elevation). Weather turns and stays turned; a slip of the pen comes back.
--         Where two figures exchanged bring it to where the others are, six tenths of the way are enough.
-- Severity: questioned. Suggests: of what a digit put right makes of it, in the unit it is typed in, that which lies nearest
--           to where the others are; where none lies there and they agree, what lies between them. A pressure is that of its day.
-- Reads: given_venues, standard_of, digit, written, swapped, typed_weather, typed_track, typed_timeslips, celsius, fahrenheit, altimeter_or_station, humidity_fraction, moisture_above_air, out_of_range, wrong_year, day_and_month_swapped
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

every_cell as (
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
        having max(track_temp_degf) - min(track_temp_degf) > 15
    )
),

-- What was typed once may stand in several tables.
cells as (
    select distinct on (venue, file, row, "column", read_at, value) *
    from every_cell
    order by reading_id
),

allowed ("column", least, an_hour) as (
    values ('air_temp_degf', 14.0, 3.0), ('pressure_inhg', 0.25, 0.05), ('humidity_pct', 38.0, 5.0), ('dew_point_degf', 16.0, 3.0),
    ('track_temp_degf', 20.0, 9.0)
),

-- A pressure under question as of the other kind stands beside no other, unless most of its day are.
asked_kind as (
    select distinct file, sheet, row from findings where "column" = 'pressure_kind'
),

lone_kind as (
    select file, sheet, row
    from (
        select
            w.file, w.sheet, w.row, a.row is not null as is_asked,
            avg((a.row is not null)::int) over (partition by w.venue, w.read_at::date) as part
        from typed_weather as w
        left join asked_kind as a using (file, sheet, row)
    )
    where is_asked and part <= 0.5
),

units as (
    select file, sheet, "column", any_value(factor) as factor, any_value(shift) as shift
    from sheet_columns
    where factor is not null
    group by all
),

standards as (
    select venue as strip, standard_of(elevation_ft) as standard
    from given_venues
    where elevation_ft is not null
),

beside as (
    select
        c.*, coalesce(u.factor, 1) as factor, coalesce(u.shift, 0) as shift, a.least, a.an_hour, s.standard,
        lag(value) over along as before, lead(value) over along as after,
        lag(value, 2) over along as before_2, lead(value, 2) over along as after_2,
        median(value) over strip as strip_usual, count(*) over strip as of_strip,
        median(value) over everywhere as book_usual,
        quantile_cont(value - s.standard, [0.25, 0.5, 0.75]) over everywhere as above_standard,
        count(s.standard) over everywhere as of_book,
        median(value) over a_day as day_usual, count(*) over a_day as of_day, row_number() over along as place, epoch(read_at - lag(read_at) over along) / 3600 as hours_before,
        epoch(lead(read_at) over along - read_at) / 3600 as hours_after
    from cells as c
    join allowed as a using ("column")
    left join units as u using (file, sheet, "column")
    left join standards as s on s.strip = c.venue and c."column" = 'pressure_inhg'
    where (file, sheet, row, "column") not in (select (file, sheet, row, "column") from findings)
        and (file, sheet, row) not in (select (file, sheet, row) from findings where "column" = 'date')
        and (file, sheet, row) not in (select (file, sheet, row) from lone_kind)
    window along as (partition by venue, "column", read_at::date order by read_at, reading_id),
        a_day as (partition by venue, "column", read_at::date), strip as (partition by venue, "column"), everywhere as (partition by "column")
),

-- Of a pressure that stands twice, what lies beyond is beside it; what is usual is the strip's own where it has enough.
spread_out as (
    select
        * replace (
            if("column" = 'pressure_inhg' and abs(value - before) < 0.1 * least and after is not null, coalesce(before_2, before), before) as before,
            if("column" = 'pressure_inhg' and abs(value - after) < 0.1 * least and before is not null, coalesce(after_2, after), after) as after
        ),
        case
            when "column" <> 'pressure_inhg' then book_usual
            when of_strip >= 4 then strip_usual
            when of_book >= 5 and above_standard[3] - above_standard[1] < 0.35 then standard + above_standard[2]
        end as usual
    from beside
),

-- On a day of one or two readings the usual tells which of them is wrong.
lonely as (
    select
        *,
        before_2 is null and after_2 is null and (before is null or after is null) and usual is not null
        and reading_id not in (select reading_id from typed_weather where pressure_kind = 'altimeter') as is_lonely,
        coalesce(before, after) as other
    from spread_out
),

judged as (
    select
        *,
        case
            when is_lonely then coalesce(other, usual)
            when before is not null and after is not null then before + (after - before) * hours_before / greatest(hours_before + hours_after, 0.01)
            when before is null then after
            else before
        end as expected,
        case
            when is_lonely and other is null then if("column" = 'pressure_inhg', 0.6, null)
            when is_lonely
                then if(abs(value - usual) >= abs(other - usual), if("column" = 'pressure_inhg', 1.6 * least, 2 * least), null)
            when before is not null and after is not null
                then least + 0.6 * abs(after - before) + an_hour * least(hours_before, hours_after)
            when before is null and abs(after - after_2) < least then 1.2 * least + 1.2 * an_hour * hours_after
            when after is null and abs(before - before_2) < least then 1.2 * least + 1.2 * an_hour * hours_before
        end as room
    from lonely
),

-- As typed, and where the others are, with no more decimals than any of them has.
leaps as (
    select
        *, round((value - shift) / factor, 3) as typed, (expected - shift) / factor as meant,
        list_max(list_transform(
            [(coalesce(before, after, value) - shift) / factor, (coalesce(after, before, value) - shift) / factor, (value - shift) / factor],
            lambda number: case when abs(number - round(number)) < 1e-3 then 0 when abs(number * 10 - round(number * 10)) < 1e-2 then 1 else 2 end
        )) as decimals
    from judged
    where abs(value - expected) > 0.6 * room
),

mended as (
    select
        *,
        list_sort(list_transform(
            list_filter(
                list_concat(
                    swapped(typed, decimals), [typed * 10, typed / 10],
                    flatten(list_transform(range(-decimals, 4), lambda place: list_transform(
                        range(0, 10), lambda other: typed + (other - digit(round(typed * 100)::bigint, place + 2)) * 10.0 ** place
                    )))
                ),
                lambda reading: abs(reading - meant) * factor < 0.2 * room
            ),
            lambda reading: {'far': round(abs(reading - meant), 6), 'reading': reading}
        ))[1].reading as reading,
        len(list_filter(swapped(typed, decimals), lambda reading: abs(reading - meant) * factor < 0.2 * room)) > 0 as is_swapped,
        if(
            abs(after - before) <= 0.3 * least or ("column" = 'pressure_inhg' and coalesce(before, after) is not null),
            round(meant, decimals), null
        ) as between_them
    from leaps
),

flagged as (
    select *
    from mended
    where abs(value - expected) > room or (is_swapped and coalesce(abs(after - before), 0) < least)
)

-- What stands beside a reading that leaps farther leaps only from that.
select
    e.file, e.sheet, e.row, m."column", written(m.value, null),
    if(
        before is null and after is null, 'It is far from what is usual there, ' || written(round(usual, 2), null) || '.',
        'It leaps away from the readings beside it: ' || coalesce(written(before, null) || ' before', '')
        || if(before is not null and after is not null, ' and ', '') || coalesce(written(after, null) || ' after', '') || '.'
    ),
    written(coalesce(reading, between_them) * factor + shift, null), 'questioned', 'weather_leap'
from flagged as m
join every_cell as e
    on e.file = m.file and e.row = m.row and e."column" = m."column" and e.read_at = m.read_at and e.value = m.value
where not exists (
    from flagged as other
    where other.venue is not distinct from m.venue and other."column" = m."column" and other.read_at::date = m.read_at::date
        and abs(other.place - m.place) = 1 and abs(other.value - m.value) > m.least
        and abs(other.value - other.usual) > abs(m.value - m.usual)
        and (m.of_day < 3 or abs(m.value - m.day_usual) <= 0.6 * m.room)
);
