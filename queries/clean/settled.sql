-- Purpose: the {{ of }} to work with: what is under question is null and named in questioned, answers
-- are applied, and rows rejected, merged or left out are gone.
-- A run whose time of day is under question keeps its day and stands as one without a time; among the changes
-- of that day it stands where morning and afternoon, if that is the question, would no longer look swapped.
-- A table and no view: a dozen queries read it, and putting it together takes longer than reading it.
-- Grain: {{ table.grain }}. Key: {{ table.key }}.
{% set clock_asked = "coalesce(list_contains(marks.questioned, 'time'), false)" %}
create or replace table {{ of }} as
select
{% for column in table.columns %}
{% set name = column.name %}
{% if name == table.moment %}
    case
        when marks."row" is null then typed.{{ name }}
        when list_contains(marks.questioned, '{{ name }}') then null
        when marks."day" is null and marks.clock_s is null{{ ' and not %s' % clock_asked if table.has('has_time') }} then typed.{{ name }}
        else coalesce(marks."day", typed.{{ name }}::date) + coalesce(
            to_seconds({{ 'if(%s, marks.likely_clock_s, coalesce(marks.clock_s, typed.clock_s))' % clock_asked if table.has('has_time') else 'coalesce(marks.clock_s, typed.clock_s)' }}),
            {{ 'to_milliseconds(typed."row")' if table.untimed_s is none else 'to_seconds(%s)' % table.untimed_s }}
        )
    end as {{ name }},
{% elif name == 'has_time' %}
    (typed.has_time or marks.clock_s is not null) and not {{ clock_asked }} as has_time,
{% elif column in table.texts %}
    settled('{{ name }}', typed.{{ name }}, marks.questioned, marks.words) as {{ name }},
{% elif column.needs %}
    case
        when coalesce(list_contains(marks.questioned, '{{ column.needs }}'), false) then null
        else settled('{{ name }}', typed.{{ name }}, marks.questioned, marks.numbers)
    end as {{ name }},
{% elif column in table.numbers %}
    settled('{{ name }}', typed.{{ name }}, marks.questioned, marks.numbers) as {{ name }},
{% elif table.several and name == table.several.each %}
    settled('{{ table.several.name }}', typed.{{ name }}, marks.questioned, marks.lists) as {{ name }},
{% elif name == 'extras' %}
    settled_extras(typed.extras, marks.questioned, marks.numbers) as extras,
{% elif name == 'questioned' %}
    coalesce(marks.questioned, []::varchar[]) as questioned
{% else %}
    typed."{{ name }}",
{% endif %}
{% endfor %}
from typed_{{ of }} as typed
left join row_marks as marks
    on typed.file = marks.file and typed.sheet = marks.sheet and typed."row" = marks."row"
where not coalesce(marks.is_out, false);
