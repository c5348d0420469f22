-- Purpose: the rows that are another car's, so that one car's questions can be listed alone.
-- Grain: one row per slip, change or check of a car that has runs and is not $car. Key: file, sheet, row.
with others as (
    select distinct car
    from runs
    where car <> $car
)

{% for table in sheets if table.has('car') %}
select file, sheet, "row"
from typed_{{ table.name }}
where car in (from others)
{{ 'union all' if not loop.last }}
{% endfor %}
;
