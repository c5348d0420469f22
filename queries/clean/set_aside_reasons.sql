-- Question: why were rows set aside, and how many for each reason?
-- Grain: one row per reason. Rows of sheets that are no data (answers, not recognised) are not among them.
with rows_of as (
{% for table in sheets %}
    select file, sheet, "row", set_aside from rows_{{ table.name }}
    {{ 'union all' if not loop.last }}
{% endfor %}
),

reasons as (
    select set_aside as reason from rows_of where set_aside is not null
    union all
    select case m.fate when 'merged' then 'typed twice' else 'left out by your answer' end
    from row_marks as m
    join rows_of as r using (file, sheet, "row")
    where m.fate in ('merged', 'left out') and r.set_aside is null
)

select reason, count(*) as times
from reasons
group by reason
order by times desc, reason;
