-- Purpose: rows in which a doubtful spelling stands, as cells with a problem.
-- Grain: one row per cell. Reads the table name_doubts(column, text, problem, suggestion).
insert into bad_cells by name
select
    spelled.file,
    spelled.sheet,
    spelled."row",
    spelled."column",
    spelled."text" as "value",
    name_doubts.problem,
    name_doubts.suggestion,
    'questioned' as severity
from (
{% for table in sheets %}
{% set is_last = loop.last %}
{% for word in table.settled %}
    select file, sheet, "row", '{{ word }}' as "column", {{ word }} as "text"
    from rows_{{ table.name }}
    where set_aside is null and {{ word }} is not null
    {{ 'union all' if not (is_last and loop.last) }}
{% endfor %}
{% endfor %}
) as spelled
inner join name_doubts using ("column", "text");
