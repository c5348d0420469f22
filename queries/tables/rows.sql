-- Purpose: the rows of every {{ of }} sheet as read; typed_{{ of }} shows those that are data.
-- Grain: one row per row of a current sheet, headings and blanks included. Key: sheet_no, row.
-- odd: cells that the quick reading could not read. undated: all cells, where there is no date.
create or replace table rows_{{ of }} (
    sheet_no integer,
    file varchar,
    sheet varchar,
    "row" integer,
    "day" date,
    clock_s integer,
{% for column in table.texts + table.numbers %}
    {{ column.name }} {{ column.sql_type | lower }},
{% endfor %}
{% if table.several and table.has(table.several.each) %}
    {{ table.several.each }} double[],
{% endif %}
{% if table.has('extras') %}
    extras map(varchar, double),
{% endif %}
{% if of == 'timeslips' %}
    lifted_after_ft integer,
    short_splits integer,
{% endif %}
    odd struct("column" varchar, "text" varchar)[],
    undated varchar[],
    set_aside varchar
);
