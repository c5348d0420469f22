-- Purpose: rows of a sheet that look like headings because one cell is a word for a date, each sort once.
-- Grain: one row per sort of such row. A cell that begins and ends with a digit is a date: looked past cheaply.
select distinct undated
from (
{% for table in sheets %}
    select sheet_no, undated from rows_{{ table.name }}
    {{ 'union all' if not loop.last }}
{% endfor %}
)
where
    sheet_no = $sheet_no
    and undated is not null
    and not coalesce(
        strlen(undated[1]) > 5 and undated[1][1] between '0' and '9' and undated[1][-1] between '0' and '9', false
    )
    and list_has_any(
        list_transform(undated, lambda cell: regexp_replace(lower(cell), '[^a-z0-9]', '', 'g')), $date_words
    );
