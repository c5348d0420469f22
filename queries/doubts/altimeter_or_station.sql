-- Reason: read as the kind it says, the pressure can not be that of a strip at this elevation, or jumps
--         away from the other readings of that strip; read as the other kind it fits.
-- Severity: questioned. Suggests: the other kind of pressure.
insert into findings
with readings as (
    select
        w.*, v.elevation_ft, coalesce(pressure_kind, 'station') as kind,
        if(pressure_kind = 'altimeter', station_of(pressure_inhg, v.elevation_ft), pressure_inhg) as as_said,
        if(pressure_kind = 'altimeter', pressure_inhg, station_of(pressure_inhg, v.elevation_ft)) as as_other,
        standard_of(v.elevation_ft) as standard
    from typed_weather as w
    join given_venues as v using (venue)
    where pressure_inhg between 20 and 32 and v.elevation_ft is not null
),

compared as (
    select
        a.reading_id,
        median(b.as_said) filter (b.read_at::date = a.read_at::date) as same_day,
        median(b.as_said) filter (b.read_at::date <> a.read_at::date) as other_days,
        count(b.as_said) filter (b.read_at::date <> a.read_at::date) as others
    from readings as a
    join readings as b on a.venue = b.venue and a.reading_id <> b.reading_id
    group by a.reading_id
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
    (abs(as_said - standard) > 0.75 and abs(as_other - standard) < 0.6 * abs(as_said - standard))
    or (
        abs(as_said - same_day) > 0.15 and abs(as_other - same_day) < 0.4 * abs(as_said - same_day)
        and (others < 3 or abs(as_said - other_days) > 0.5 * abs(as_said - as_other) or abs(as_said - standard) > abs(as_other - standard))
    )
    or (
        others >= 3 and abs(as_said - other_days) > 0.5 and abs(as_other - other_days) < 0.4 * abs(as_said - other_days)
    );
