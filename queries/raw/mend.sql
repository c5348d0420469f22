-- Purpose: put what the careful reading found into rows_{{ of }}.
-- Grain: one row per row with such a cell. Reads the table mended_cells.
{% set several = table.several if table.several and table.has(table.several.each) %}
update rows_{{ of }}
set
{% for number in table.numbers %}
    {{ number.name }} = coalesce(rows_{{ of }}.{{ number.name }}, found.{{ number.name }}),
{% endfor %}
{% if several %}
    {{ several.each }} = coalesce(found.{{ several.each }}, rows_{{ of }}.{{ several.each }}),
{% endif %}
{% if table.has('extras') %}
    extras = map_concat(rows_{{ of }}.extras, found.extras),
{% endif %}
    "day" = coalesce(rows_{{ of }}."day", found."day"),
    clock_s = coalesce(rows_{{ of }}.clock_s, found.clock_s)
from (
    select
        sheet_no,
        "row",
{% for number in table.numbers %}
        max(number) filter (where "column" = '{{ number.name }}') as {{ number.name }},
{% endfor %}
{% if several %}
        any_value(several) filter (where "column" = '{{ several.name }}') as {{ several.each }},
{% endif %}
{% if table.has('extras') %}
        map_from_entries(
            list({'k': "column"[7:], 'v': number}) filter (where "column" like 'extra:%' and number is not null)
        ) as extras,
{% endif %}
        max("day") as "day",
        max(clock_s) as clock_s
    from mended_cells
    group by sheet_no, "row"
) as found
where rows_{{ of }}.sheet_no = found.sheet_no and rows_{{ of }}."row" = found."row";
