-- Reason: launch rpm or tire pressure that no car has, or far from everything the car has had, or well outside
--         the car's limits in garage.toml.
-- Severity: questioned; a doubt, and the number used, where only today's limit speaks against it: a past run
--           outside it may be true, and is worth a warning. Suggests: a digit or the point put right, when that
--           is near the car's usual.
insert into findings
with readings as (
    select
        *,
        "column" = 'launch_rpm' as is_rpm,
        if("column" = 'launch_rpm', low_rpm, low_psi) as low_limit,
        if("column" = 'launch_rpm', high_rpm, high_psi) as high_limit,
        if("column" = 'launch_rpm', coalesce(low_rpm * 0.8, 1000), coalesce(low_psi * 0.7, 2)) as least,
        if("column" = 'launch_rpm', coalesce(high_rpm, 12000), coalesce(high_psi * 1.3, 40)) as most,
        if("column" = 'launch_rpm', coalesce(6 * w_rpm, 1500), 0.4 * usual) as room
    from judged_settings
    where "column" in ('launch_rpm', 'tire_pressure_psi')
),

judged as (
    select
        *,
        value not between least and most as is_outside,
        if(is_rpm, value not between 1000 and 12000, value not between 2 and 40) as is_impossible,
        abs(value - usual) > room as is_far,
        list_filter(
            list_concat(
                [value * 10, value / 10, value * 100, value / 100],
                if(is_rpm, swapped(value, 0), swapped(value, 1))
            ),
            lambda reading: reading between least and most and abs(reading - usual) < least(room, abs(value - usual) / 2)
        ) as possible
    from readings
    where value not between least and most or (abs(value - usual) > room and times >= 3)
)

select
    file, sheet, row, "column", written(value, null),
    case
        when is_impossible
            then 'Outside ' || if(is_rpm, '1000 to 12000 rpm', '2 to 40 psi') || ', where it must lie.'
        when not is_outside
            then 'Far from everything this car has had (usually ' || written(usual, null) || ').'
        when low_limit is null
            then 'Above engine_rpm_limit in garage.toml, ' || written(high_limit, null) || '.'
        else 'Outside ' || if(is_rpm, 'launch_rpm_limits', 'tire_pressure_limits') || ' in garage.toml, '
            || written(low_limit, null) || ' to ' || written(high_limit, null) || if(is_rpm, ' rpm.', ' psi.')
    end,
    written(list_sort(list_transform(possible, lambda reading: {'away': abs(reading - usual), 'reading': reading}))[1].reading, null),
    if(is_impossible or is_far or times < 3, 'questioned', 'doubt'),
    'setting_out_of_reach'
from judged
where is_outside or len(possible) > 0;
