-- Reason: the number cannot be what its column says, whatever the car or the day.
-- Severity: questioned. Suggests: the number with the point moved, without its minus sign, or in the other unit of
--           pressure or temperature, when that is possible.
-- Reads: plausible, typed_checks, typed_timeslips, typed_track, typed_weather, written
-- Yields to: celsius, fahrenheit, humidity_fraction, moisture_above_air, ring_height_down
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

-- A suggestion lies where such air is raced in.
usual ("column", usual_low, usual_high) as (
    values ('air_temp_degf', 25, 115), ('track_temp_degf', 35, 165), ('pressure_inhg', 24, 31.2)
),

outside as (
    select n.*, p.low, p.high
    from numbers as n
    join plausible as p using (kind, "column")
    where n.value not between p.low and p.high
)

select
    file, sheet, row, "column", written(value),
    'Outside ' || written(low) || ' to ' || written(high) || ', where it must lie.',
    written(
        list_filter(
            case
                when "column" = 'reaction_s' then [value / 1000, value / 100]
                when "column" = 'pressure_inhg'
                    then [round(value * 33.86389, 2), round(value / 33.86389, 3), value / 10, value / 100, value / 1000, value * 10]
                when factor is not null
                    then list_concat(
                        -- Of two figures no point was lost: they are degF.
                        if((value - shift) / factor between 40 and 99, [round((value - shift) / factor, 2)], []),
                        list_transform(
                            [-(value - shift), (value - shift) / 10, (value - shift) / 100, (value - shift) / 1000, (value - shift) * 10],
                            lambda typed: round(typed + shift, 4)
                        )
                    )
                else [-value, value / 10, value / 100, value / 1000, value * 10]
            end,
            lambda moved: moved between greatest(low, coalesce(usual_low, low)) and least(high, coalesce(usual_high, high))
        )[1]
    ),
    'questioned', 'out_of_range'
from outside
left join usual using ("column")
left join (
    select file, sheet, "column", any_value(factor) as factor, any_value(shift) as shift
    from sheet_columns
    where shift <> 0
    group by all
) as units using (file, sheet, "column");
