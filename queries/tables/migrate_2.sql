-- Purpose: the clean entries become tables, where they were views. Grain: none.
{% for table in sheets %}
drop view if exists {{ table.name }};
{% endfor %}
