-- Reason: an altimeter setting becomes a pressure only by the strip's elevation, which garage.toml does not give.
-- Severity: questioned. Suggests: nothing; asked once a strip, at its first such reading.
-- Reads: given_venues, typed_weather
-- Needs: typed_weather
-- Yields to: altimeter_or_station
insert into findings
select
    file, sheet, row, 'pressure_kind', 'altimeter',
    printf(
        'An altimeter setting needs the elevation of %s, so %d %s no pressure. Add elevation to its [[venue]] in garage.toml.',
        coalesce(venue, 'a strip without a name'), count(*) over strip,
        if(count(*) over strip = 1, 'reading gives', 'readings give')
    ),
    null, 'questioned', 'altimeter_without_elevation'
from typed_weather as w
left join given_venues as v using (venue)
where pressure_kind = 'altimeter' and pressure_inhg is not null and v.elevation_ft is null
window strip as (partition by venue)
qualify row_number() over (partition by venue order by read_at, file, sheet, "row") = 1;
