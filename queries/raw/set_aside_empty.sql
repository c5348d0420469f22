-- Purpose: set aside lines of words without a date, and dated rows in which nothing is written.
-- Grain: rows of rows_{{ of }}, after the careful reading.
update rows_{{ of }}
set set_aside = case when "day" is null then 'a line of words' else 'nothing but the date' end
where
    set_aside is null
{% for column in table.measured %}
    and {{ column.name }} is null
{% endfor %}
{% if table.has('extras') %}
    and coalesce(len(map_keys(extras)), 0) = 0
{% endif %}
    and not coalesce(list_bool_or(list_transform(odd, lambda cell: cell."column" not in ('date', 'time'))), false)
    and case
        when "day" is null then len(list_filter(undated, lambda cell: cell is not null)) = 1
        else notes is null
    end;
