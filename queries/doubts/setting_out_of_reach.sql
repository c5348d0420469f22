-- Reason: launch rpm or tire pressure outside the car's limits, or far from everything the car has had.
-- Severity: questioned. Suggests: a digit or the point put right, when that is near the car's usual.
insert into findings
with readings as (
    select
        *,
        if("column" = 'launch_rpm', coalesce(low_rpm * 0.8, 1000), coalesce(low_psi * 0.7, 2)) as least,
        if("column" = 'launch_rpm', coalesce(high_rpm, 12000), coalesce(high_psi * 1.3, 40)) as most,
        if("column" = 'launch_rpm', coalesce(6 * w_rpm, 1500), 0.4 * usual) as room
    from judged_settings
    where "column" in ('launch_rpm', 'tire_pressure_psi')
),

judged as (
    select
        *,
        list_filter(
            list_concat(
                [value * 10, value / 10, value * 100, value / 100],
                if("column" = 'launch_rpm', swapped(value, 0), swapped(value, 1))
            ),
            lambda reading: reading between least and most and abs(reading - usual) < least(room, abs(value - usual) / 2)
        ) as possible
    from readings
    where value not between least and most or (abs(value - usual) > room and times >= 3)
)

select
    file, sheet, row, "column", written(value, null),
    if(
        value between least and most,
        'Far from everything this car has had (usually ' || written(usual, null) || ').',
        'Outside the limits for this car, ' || written(least, null) || ' to ' || written(most, null) || '.'
    ),
    written(list_sort(list_transform(possible, lambda reading: {'away': abs(reading - usual), 'reading': reading}))[1].reading, null),
    'questioned', 'setting_out_of_reach'
from judged
where value not between least and most or len(possible) > 0;
