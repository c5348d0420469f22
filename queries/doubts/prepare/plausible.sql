-- Purpose: the range of each number as the dictionary gives it.
-- Grain: one row per kind of sheet and column. Key: kind, column.
create or replace temp table plausible as
{% for table in sheets %}
{% set is_last = loop.last %}
{% for number in table.numbers %}
select '{{ table.name }}' as kind, '{{ number.name }}' as "column", {{ number.low }}::double as low, {{ number.high }}::double as high
{{ 'union all' if not (is_last and loop.last) }}
{% endfor %}
{% endfor %}
;
