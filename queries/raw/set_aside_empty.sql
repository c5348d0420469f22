-- Purpose: set aside lines of words without a date, and dated rows in which nothing is written, or but a remark.
-- Grain: rows of rows_{{ of }}, after the careful reading.
update rows_{{ of }}
set set_aside = case
    when "day" is null then 'a line of words'
    when notes is null then 'nothing but the date'
    else 'a remark and no run'
end
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
{% if of == 'timeslips' %}
        else notes is null or (clock_s is null and round is null and lane is null)
{% else %}
        else notes is null
{% endif %}
    end;
