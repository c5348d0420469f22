-- Purpose: the data rows of every current {{ of }} sheet, each value in its canonical unit.
-- A row without a time stands at {{ {0: 'the start of its day', 43200: 'noon'}.get(table.untimed_s, 'midnight plus its row in milliseconds, so rows keep their order') }}.
-- Grain: one row per data row. Key: {{ table.key }}, which follows the order of sheets and rows.
create or replace view typed_{{ of }} as
select
{% for column in table.columns if column.name != 'questioned' %}
{% if column.name in (table.key, 'entry_order') %}
    sheet_no::bigint * 100000000 + "row" as {{ column.name }},
{% elif column.name == table.moment %}
    case
        when clock_s is not null then "day" + to_seconds(clock_s)
        else "day" + {{ 'to_milliseconds("row")' if table.untimed_s is none else 'to_seconds(%s)' % table.untimed_s }}
    end as {{ column.name }},
{% elif column.name == 'has_time' %}
    clock_s is not null as has_time,
{% elif column.name == 'extras' %}
    coalesce(extras, map([]::varchar[], []::double[])) as extras,
{% else %}
    "{{ column.name }}",
{% endif %}
{% endfor %}
{% if of == 'timeslips' %}
    short_splits,
{% endif %}
    clock_s
from rows_{{ of }}
where set_aside is null;
