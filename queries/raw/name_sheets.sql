-- Purpose: on which sheets some spellings of cars or strips stand. Grain: one row per spelling and sheet.
select distinct {{ of }} as "text", sheet_no
from (
{% for table in sheets if table.has(of) %}
    select {{ of }}, sheet_no
    from rows_{{ table.name }}
    where set_aside is null
    {{ 'union all' if not loop.last }}
{% endfor %}
)
where list_contains($texts, {{ of }});
