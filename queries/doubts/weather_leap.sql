-- Reason: a reading of the air or the track that leaps away from the one before and the one after, which agree; at the start or
--         end of a day, from the two beside it; of two on a day, away from the other and from the usual; alone on its day, a pressure
--         far from the usual one (of the strip, or for its elevation). Weather turns and stays turned; a slip of the pen comes back.
--         Where two figures exchanged bring it to where the others are, six tenths of the way are enough.
-- Severity: questioned. Suggests: of what a digit put right makes of it, in the unit it is typed in, that which lies nearest
--           to where the others are; where none lies there and they agree, what lies between them. A pressure is that of its day.
-- Reads: air_cells, leaping, digit, written, swapped, celsius, fahrenheit, altimeter_or_station, humidity_fraction, moisture_above_air, out_of_range, wrong_year, day_and_month_swapped
-- Needs: leaping
-- Yields to: out_of_range
insert into findings
-- As typed, and where the others are, with no more decimals than any of them has.
with leaps as (
    select
        *, round((value - shift) / factor, 3) as typed, (expected - shift) / factor as meant,
        list_max(list_transform(
            [(coalesce(before, after, value) - shift) / factor, (coalesce(after, before, value) - shift) / factor, (value - shift) / factor],
            lambda number: case when abs(number - round(number)) < 1e-3 then 0 when abs(number * 10 - round(number * 10)) < 1e-2 then 1 else 2 end
        )) as decimals
    from leaping
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
    e.file, e.sheet, e.row, m."column", written(m.value),
    if(
        before is null and after is null, 'It is far from what is usual there, ' || written(round(usual, 2)) || '.',
        'It leaps away from the readings beside it: ' || coalesce(written(before) || ' before', '')
        || if(before is not null and after is not null, ' and ', '') || coalesce(written(after) || ' after', '') || '.'
    ),
    written(coalesce(reading, between_them) * factor + shift), 'questioned', 'weather_leap'
from flagged as m
join air_cells as e
    on e.file = m.file and e.row = m.row and e."column" = m."column" and e.read_at = m.read_at and e.value = m.value
where not exists (
    from flagged as other
    where other.venue is not distinct from m.venue and other."column" = m."column" and other.read_at::date = m.read_at::date
        and abs(other.place - m.place) = 1 and abs(other.value - m.value) > m.least
        and abs(other.value - other.usual) > abs(m.value - m.usual)
        and (m.of_day < 3 or abs(m.value - m.day_usual) <= 0.6 * m.room)
);
