-- Reason: read as the kind it says, the pressure cannot be that of a strip at this elevation, or jumps
--         away from the other readings of that strip; read as the other kind it fits.
-- Severity: questioned. Suggests: the other kind of pressure.
-- Reads: given_venues, middle_without, standard_of, station_of, typed_weather
-- Needs: typed_weather
insert into findings
with readings as (
    select
        w.*, v.elevation_ft, coalesce(pressure_kind, 'station') as kind,
        if(pressure_kind = 'altimeter', station_of(pressure_inhg, v.elevation_ft), pressure_inhg) as as_said,
        if(pressure_kind = 'altimeter', pressure_inhg, station_of(pressure_inhg, v.elevation_ft)) as as_other,
        standard_of(v.elevation_ft) as standard
    from typed_weather as w
    join given_venues as v using (venue)
    where pressure_inhg between {{ columns.weather.pressure_inhg.low }} and {{ columns.weather.pressure_inhg.high }}
        and v.elevation_ft is not null
),

-- The middle of the others is the middle of all with this one taken out: by its rank, from three of them.
ranked as (
    select
        *,
        row_number() over (partition by venue, read_at::date order by as_said) as place,
        count(*) over (partition by venue, read_at::date) as n,
        count(*) over (partition by venue) as in_all
    from readings
),

days as (
    select
        venue, read_at::date as "day", median(as_said) as middle,
        max(as_said) filter (place = n // 2) as below,
        max(as_said) filter (place = n // 2 + 1) as at_middle,
        max(as_said) filter (place = n // 2 + 2) as above
    from ranked
    group by all
),

ranked_days as (
    select
        *,
        row_number() over (partition by venue order by middle) as place,
        count(*) over (partition by venue) as n
    from days
),

venues as (
    select
        venue,
        max(middle) filter (place = n // 2) as below,
        max(middle) filter (place = n // 2 + 1) as at_middle,
        max(middle) filter (place = n // 2 + 2) as above
    from ranked_days
    group by venue
),

compared as (
    select
        r.reading_id,
        middle_without(r.place, r.n, d.below, d.at_middle, d.above) as same_day,
        middle_without(d.place, d.n, v.below, v.at_middle, v.above) as other_days,
        r.in_all - r.n as others
    from ranked as r
    join ranked_days as d on d.venue = r.venue and d."day" = r.read_at::date
    join venues as v on v.venue = r.venue
)

select
    r.file, r.sheet, r.row, 'pressure_kind', kind,
    printf(
        '%.2f inHg as %s pressure does not fit %s at %.0f ft; as %s pressure it does.',
        pressure_inhg, kind, venue, elevation_ft, if(kind = 'station', 'altimeter', 'station')
    ),
    if(kind = 'station', 'altimeter', 'station'), 'questioned', 'altimeter_or_station'
from readings as r
left join compared as c using (reading_id)
where
    -- What fits the rest of its day neither way is no pressure of the other kind, but one that leaps (weather_leap).
    not coalesce(abs(as_said - same_day) > 0.25 and abs(as_other - same_day) > 0.2, false)
    -- Nor is one that fits better with a single digit read otherwise: 29.84 beside 28.83 and 28.85.
    and not coalesce(abs(abs(as_said - same_day) - 1.0) < 0.5 * abs(as_other - same_day), false)
    and (
    (abs(as_said - standard) > 0.75 and abs(as_other - standard) < 0.6 * abs(as_said - standard))
    or (
        abs(as_said - same_day) > 0.15 and abs(as_other - same_day) < 0.4 * abs(as_said - same_day)
        and (others < 3 or abs(as_said - other_days) > 0.5 * abs(as_said - as_other) or abs(as_said - standard) > abs(as_other - standard))
    )
    or (
        -- From day to day the air alone changes by as much as the two kinds differ at a low strip.
        others >= 3 and abs(as_said - as_other) > 0.75
        and abs(as_said - other_days) > 0.5 and abs(as_other - other_days) < 0.4 * abs(as_said - other_days)
    )
    );
