-- Reason: counterweight is grams per lever; this is past the limit, or far above the car's other settings,
--         and the number of levers, or the point put back, brings it down to what the car usually carries.
-- Severity: questioned. Suggests: the number divided by the levers (or with the point moved, when that is
--           what the car usually carries and a round half gram).
-- Reads: judged_settings, written
-- Needs: judged_settings
-- Yields to: doubles_differ
insert into findings
with readings as (
    select *, coalesce(levers, 6) as count_of_levers
    from judged_settings
    where "column" = 'counterweight_g' and value > 0
),

judged as (
    select
        *, value / count_of_levers as per_lever,
        if(
            (levers is null and abs(value / 10 - nearest) < abs(value / count_of_levers - nearest))
            or abs(per_lever * 10 - round(per_lever * 10)) > 0.01 and abs(value / 10 - nearest) <= 0.6 * nearest
            or abs(value / 10 - nearest) <= 0.02 * nearest and abs(value / count_of_levers - nearest) > 0.5 * nearest
            or abs(value / 10 - nearest) <= 0.1 * nearest and abs(value / count_of_levers - nearest) > 0.5 * nearest
            and (value * 0.2 = floor(value * 0.2) or value * 2 / count_of_levers <> floor(value * 2 / count_of_levers)),
            value / 10,
            value / count_of_levers
        ) as meant
    from readings
)

select
    file, sheet, row, "column", written(value),
    if(
        abs(meant - value / 10) < 0.001 and abs(per_lever - nearest) > 0.35 * nearest,
        'The decimal point looks lost: this car carries about ' || written(nearest) || ' grams.',
        'This looks like the total of ' || count_of_levers || ' levers; it should be grams per lever.'
    ),
    written(round(meant, 2)), 'questioned', 'counterweight_total'
from judged
where
    value > coalesce(high, {{ columns.setups.counterweight_g.high }})
    or (
        nearest > 0 and value >= if(times >= 3, 3.5, 7.0) * nearest
        and (abs(per_lever - nearest) <= 0.35 * nearest or abs(value / 10 - nearest) <= 0.35 * nearest)
        and coalesce(value_after, nearest) < 0.5 * value
    );
