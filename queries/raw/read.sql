-- Purpose: read the text cells of one {{ of }} sheet: plain numbers, ISO dates and 24-hour times here;
-- whatever else stands in a cell is kept in odd for the careful reading.
-- A row with e, E or _ among its numbers, or one past 1e9, goes to the careful reading whole: try_cast alone
-- would also take nan, inf, 1e5 and 1_000, and to look cell by cell costs a third of reading a long sheet.
-- What the sheet has no column for is null, and not asked about: the work grows with its columns.
-- Grain: one row per row of the sheet. Reads the view sheet_cells (canonical columns as text).
{% set texts = table.texts | map(attribute='name') | list %}
{% set numbers = table.numbers | map(attribute='name') | select('in', has) | list %}
{% set several = table.several if 'several' in has else none %}
{% set has_extras = table.has('extras') and 'extras' in has %}
insert into rows_{{ of }} by name
with typed_cells as (
    select
        *,
        try_cast("date" as date) as date_typed,
        try_cast("time" as time) as time_typed,
{% for number in numbers %}
        try_cast({{ number }} as double) as {{ number }}_typed,
{% endfor %}
        concat('', {{ numbers | join(', ') or 'null' }}) as joined
    from sheet_cells
),

looked_at as (
    select
        *,
        case
            when
                not (contains(joined, 'e') or contains(joined, 'E') or contains(joined, '_'))
                and coalesce(greatest({{ (numbers | join('_typed, ') ~ '_typed') if numbers else 'null' }}), 0) < 1e9
                and (
                    not contains(joined, '-')
                    or coalesce(least({{ (numbers | join('_typed, ') ~ '_typed') if numbers else 'null' }}), 0) > -1e9
                )
                then 1.0::double
        end as one_if_plain
    from typed_cells
),

read_cells as (
    select
        *,
{% for number in numbers %}
        {{ number }}_typed * ${{ number }}_factor * one_if_plain + ${{ number }}_offset as {{ number }}_read,
{% endfor %}
{% if several %}
        list_transform(
            several, lambda cell: plain_number(cell, ${{ several.name }}_factor, ${{ several.name }}_offset)
        ) as several_read,
{% endif %}
{% if has_extras %}
        list_transform(extra_texts, lambda cell: plain_number(cell, 1.0, 0.0)) as extras_read,
{% endif %}
        iso_day("date", date_typed) as "day",
        clock_seconds("time", time_typed) as clock_s
    from looked_at
),

judged as (
    select
        *,
        case
            when
                ("day" is null and "date" <> '')
                or (clock_s is null and "time" <> '')
{% for number in numbers %}
                or ({{ number }}_read is null and {{ number }} <> '')
{% endfor %}
{% if several %}
                or is_odd(several, several_read)
{% endif %}
{% if has_extras %}
                or is_odd(extra_texts, extras_read)
{% endif %}
                or spill <> ''
                then true
            else false
        end as is_odd_row
    from read_cells
)

select
    $sheet_no as sheet_no,
    $file as file,
    $sheet as sheet,
    line as "row",
    "day",
    clock_s,
{% for text in texts %}
{% if text in ('car', 'venue') %}
    or_only(tidy({{ text }}), $only_{{ text }}) as {{ text }},
{% elif text == 'wind_from' and 'wind_speed_mph' in has %}
    coalesce(tidy(wind_from), if(wind_speed_mph_read is null, wind_side(wind_speed_mph), null)) as wind_from,
{% elif text in has %}
    tidy({{ text }}) as {{ text }},
{% endif %}
{% endfor %}
{% for number in numbers if not several or number != several.name %}
    {{ number }}_read as {{ number }},
{% endfor %}
{% if several %}
    {{ 'coalesce(%s_read, list_avg(several_read))' % several.name if several.name in has else 'list_avg(several_read)' }} as {{ several.name }},
{% endif %}
{% if several and table.has(several.each) %}
    list_filter(several_read, lambda number: number is not null) as {{ several.each }},
{% endif %}
{% if has_extras %}
    named_numbers($extra_names, extras_read) as extras,
{% endif %}
{% if of == 'timeslips' %}
    0
{% for time in table.numbers if time.role == 'ticket' and time.decimals == 3 %}
{% if time.name in has %}
    + {{ 2 ** loop.index0 }} * has_two_decimals({{ time.name }}, {{ time.name }}_read)
{% endif %}
{% endfor %}
    as short_splits,
{% endif %}
    case
        when is_odd_row then list_filter(
            list_concat([
                {'column': 'date', 'text': case when "day" is null then "date" end},
                {'column': 'time', 'text': case when clock_s is null then "time" end},
{% for number in numbers %}
                {'column': '{{ number }}', 'text': case when {{ number }}_read is null then {{ number }} end},
{% endfor %}
{% if several %}
                {
                    'column': '{{ several.name }}',
                    'text': case when is_odd(several, several_read) then array_to_string(several, ' / ') end
                },
{% endif %}
                {'column': 'spill', 'text': spill}
            ]{{ ', odd_extras($extra_names, extra_texts, extras_read)' if has_extras }}),
            lambda cell: trim(cell."text") <> ''
        )
    end as odd,
    case
        when "day" is null then [
            tidy("date"), tidy("time"){% for column in table.texts + table.numbers %}, {{ 'tidy(%s)' % column.name if column.name in has else 'null' }}{% endfor +%}
        ]
    end as undated
from judged;
