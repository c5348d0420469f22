-- Purpose: every spelling of a name or set word, the frequent first. Grain: one row per column and spelling.
with
{% for table in sheets %}
{{ table.name }}_words as (
    select {{ table.settled | join(', ') }}, count(*) as times
    from rows_{{ table.name }}
    where set_aside is null
    group by all
),

{% endfor %}
words as (
{% for table in sheets %}
{% set is_last = loop.last %}
{% for word in table.settled %}
    select '{{ word }}' as "column", {{ word }} as "text", times from {{ table.name }}_words
    {{ 'union all' if not (is_last and loop.last) }}
{% endfor %}
{% endfor %}
)

select "column", "text", sum(times)::bigint as times
from words
where "text" is not null
group by "column", "text"
order by "column", times desc, "text";
