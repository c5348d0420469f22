-- Reason: the number cannot be what its column says, whatever the car or the day.
-- Severity: questioned. Suggests: the number with the point moved, when that is possible.
-- Reads: plausible, typed_checks, typed_timeslips, typed_track, typed_weather, written
-- Yields to: celsius, humidity_fraction, moisture_above_air, ring_height_down
insert into findings
with numbers as (
{% for table in sheets if table.ranged %}
    unpivot (
        select '{{ table.name }}' as kind, file, sheet, row, {{ table.ranged | map(attribute='name') | join(', ') }}
        from typed_{{ table.name }}
        where
{% for number in table.ranged %}
            {{ 'or ' if not loop.first }}{{ number.name }} not between {{ number.low }} and {{ number.high }}
{% endfor %}
    )
    on {{ table.ranged | map(attribute='name') | join(', ') }}
    into name "column" value value
    {{ 'union all by name' if not loop.last }}
{% endfor %}
),

outside as (
    select n.*, p.low, p.high
    from numbers as n
    join plausible as p using (kind, "column")
    where n.value not between p.low and p.high
)

select
    file, sheet, row, "column", written(value, null),
    'Outside ' || written(low, null) || ' to ' || written(high, null) || ', where it must lie.',
    written(
        list_filter(
            if("column" = 'reaction_s', [value / 1000, value / 100], [value / 10, value / 100, value / 1000, value * 10]),
            lambda moved: moved between low and high
        )[1],
        null
    ),
    'questioned', 'out_of_range'
from outside;
