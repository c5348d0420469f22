-- Reason: more turns than the clutch is safe with (garage.toml), or than any clutch has.
-- Severity: questioned. Suggests: the point moved, two digits put back, a doubled digit or the digit before the point changed,
--           when that is within the limit and nearest to the setting before; else nothing.
-- Reads: judged_settings, swapped, written
-- Needs: judged_settings
{% set most = columns.setups.preload_turns.high %}
insert into findings
with readings as (
    select
        *, coalesce(high, {{ most }}) as most,
        list_filter(
            list_concat(
                if(value > {{ most }}, [value / 10, value / 100], []), swapped(value, 1), list_transform(range(10), lambda d: replace(value::varchar, repeat(d::varchar, 2), d::varchar)::double),
                if(value > coalesce(high, {{ most }}) + 1, list_transform(range(1, 10), lambda more: value - more), [])
            ),
            lambda turns: turns between 0.2 and coalesce(high, {{ most }}) and (value > {{ most }} or abs(turns - nearest) <= 2)
        ) as possible
    from judged_settings
    where "column" = 'preload_turns' and value > coalesce(high, {{ most }})
)

select
    file, sheet, row, "column", written(value),
    'More turns than the safe limit, ' || written(most) || '. Check the screws before the next run.',
    written(list_sort(list_transform(possible, lambda turns: {'away': abs(turns - nearest) + if(turns < value / 50, 1.5, 0), 'turns': turns}))[1].turns),
    'questioned', 'turns_past_limit'
from readings;
