-- Reason: a setting that no car has, or far from everything the car has had, or well outside the car's limits in
--         garage.toml. Turns and counterweight have rules of their own.
-- Severity: questioned; a doubt, and the number used, where only today's limit speaks against it: a past run
--           outside it may be true, and is worth a warning. Suggests: a digit or the point put right, when that
--           is near the car's usual.
-- Reads: judged_settings, swapped, typed_twice, written
-- Needs: judged_settings
-- Yields to: doubles_differ
insert into findings
with rules ("column", least_ever, most_ever, slack_low, slack_high, far, decimals, unit, line) as (
    values
{% for factor in adjustments if factor.name not in ('preload', 'counterweight') %}
{% set kind = columns.timeslips[factor.column] %}
        (
            '{{ factor.column }}', {{ kind.low }}, {{ kind.high }}, {{ factor.slack_low }}, {{ factor.slack_high }},
            {{ factor.far or 'null' }}, {{ factor.decimals }}, '{{ factor.unit }}', '{{ factor.limits_key }}'
        ){{ ',' if not loop.last }}
{% endfor %}
),

readings as (
    select
        *,
        coalesce(low * (1 - slack_low), least_ever) as least,
        coalesce(high * (1 + slack_high), most_ever) as most,
        if(far is null, 0.4 * usual, coalesce(6 * width, far)) as room
    from judged_settings
    join rules using ("column")
),

judged as (
    select
        *,
        value not between least and most as is_outside,
        value not between least_ever and most_ever as is_impossible,
        abs(value - usual) > room as is_far,
        list_filter(
            list_concat(
                [value * 10, value / 10, value * 100, value / 100, value * 1000],
                list_filter(swapped(value, decimals), lambda other: other < greatest(10 * value, least_ever)),
                typed_twice(value)
            ),
            lambda reading: reading between least and most and abs(reading - usual) < least(room, abs(value - usual) / 2)
        ) as possible
    from readings
    where value not between least and most or (abs(value - usual) > room and times >= 3)
)

select
    file, sheet, row, "column", written(value),
    case
        when is_impossible
            then 'Outside ' || written(least_ever) || ' to ' || written(most_ever) || ' ' || unit
                || ', where it must lie.'
        when not is_outside
            then 'Far from everything this car has had (usually ' || written(usual) || ').'
        when low is null
            then 'Above engine_rpm_limit in garage.toml, ' || written(high) || '.'
        else 'Outside ' || line || ' in garage.toml, ' || written(low) || ' to ' || written(high) || ' '
            || unit || '.'
    end,
    written(
        list_sort(list_transform(possible, lambda reading: {
            'is_odd': "column" = 'launch_rpm' and reading % 50 <> 0 and usual % 50 = 0,
            'is_rare': "column" = 'launch_rpm' and reading <> value / 10 and list_contains(possible, value / 10),
            'away': abs(reading - usual), 'reading': reading
        }))[1].reading
    ),
    if(is_impossible or is_far or times < 3, 'questioned', 'doubt'),
    'setting_out_of_reach'
from judged
where is_outside or len(possible) > 0;
