-- Purpose: nothing is asked about the cells of rows that are set aside. Grain: rows of odd_cells.
delete from odd_cells
where (sheet_no, "row") in (
{% for table in sheets %}
    select (sheet_no, "row")
    from rows_{{ table.name }}
    where set_aside is not null
    {{ 'union all' if not loop.last }}
{% endfor %}
);
