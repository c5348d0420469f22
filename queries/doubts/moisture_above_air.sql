-- Reason: neither dew point nor wet bulb can be above the air temperature.
-- Severity: questioned. Suggests: nothing; asked only while the air temperature itself is not in doubt.
-- Reads: celsius, typed_weather, written
-- Needs: typed_weather
insert into findings
with moisture as (
    select file, sheet, row, air_temp_degf, 'dew_point_degf' as "column", dew_point_degf as degf from typed_weather
    union all
    select file, sheet, row, air_temp_degf, 'wet_bulb_degf', wet_bulb_degf from typed_weather
)

select
    file, sheet, row, "column", written(degf),
    'It cannot be above the air temperature, ' || written(air_temp_degf) || ' degF.',
    null, 'questioned', 'moisture_above_air'
from moisture
where
    degf > air_temp_degf + 1.5
    and (file, sheet, row, 'air_temp_degf') not in (select (file, sheet, row, "column") from findings);
