-- Purpose: each weather reading as station pressure, vapor pressure and headwind.
-- Grain: one row per reading. Key: reading_id.
-- A pressure of no stated kind is the barometer's own, at the strip.
-- What no weather can be is missing here, whoever answered for it.
-- Humidity is taken from the first of relative humidity, dew point, wet bulb and grains that is written.
-- Reads: between_or_null, kelvin, saturation_vapor_pressure_pa, station_from_altimeter_pa, vapor_from_ratio_pa, vapor_from_wet_bulb_pa
create or replace temp table weather_values as
with possible as (
    select
        reading_id,
        venue,
        read_at,
        between_or_null(air_temp_degf, -40.0, 140.0) as air_temp_degf,
        between_or_null(pressure_inhg, 15.0, 35.0) as pressure_inhg,
        coalesce(pressure_kind, 'station') as pressure_kind,
        between_or_null(humidity_pct, 0.0, 100.0) as humidity_pct,
        between_or_null(dew_point_degf, -40.0, 140.0) as dew_point_degf,
        between_or_null(wet_bulb_degf, -40.0, 140.0) as wet_bulb_degf,
        between_or_null(grains, 0.0, 1000.0) as grains,
        between_or_null(wind_speed_mph, 0.0, 100.0) as wind_speed_mph,
        lower(trim(wind_from)) as wind_word
    from weather
),

si as (
    select
        possible.*,
        kelvin(air_temp_degf) as temp_k,
        case pressure_kind
            when 'station' then pressure_inhg * 3386.388640341
            when 'altimeter'
                then station_from_altimeter_pa(pressure_inhg * 3386.388640341, elevation_ft * 0.3048)
        end as station_pa
    from possible
    left join venues using (venue)
),

vapor as (
    select
        *,
        case
            when humidity_pct is not null
                then humidity_pct / 100.0 * saturation_vapor_pressure_pa(temp_k)
            when dew_point_degf is not null
                then saturation_vapor_pressure_pa(kelvin(dew_point_degf))
            when wet_bulb_degf is not null
                then vapor_from_wet_bulb_pa(temp_k, kelvin(wet_bulb_degf), station_pa)
            when grains is not null
                then vapor_from_ratio_pa(grains / 7000.0, station_pa)
        end as vapor_pa
    from si
)

select
    reading_id,
    venue,
    read_at,
    air_temp_degf,
    station_pa / 3386.388640341 as station_pressure_inhg,
    case when vapor_pa >= 0.0 then vapor_pa / 3386.388640341 end as vapor_pressure_inhg,
    case
        when wind_speed_mph = 0.0 then 0.0
        when regexp_matches(wind_word, '^(head|ahead|front|nose)') then wind_speed_mph
        when regexp_matches(wind_word, '^(tail|behind|back|rear)') then -wind_speed_mph
        when regexp_matches(wind_word, '^(cross|side|left|right)') then 0.0
    end as headwind_mph
from vapor;
