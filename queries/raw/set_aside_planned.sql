-- Purpose: set aside runs that are planned and not made: settings are written, and neither a date nor any result.
-- Grain: rows of rows_timeslips, after the careful reading.
{% set results = timeslips.of_role('ticket', 'result') %}
update rows_timeslips
set set_aside = 'planned, not run yet'
where
    "day" is null
    and set_aside is null
    and undated[1] is null
{% for column in results %}
    and {{ column.name }} is null
{% endfor %}
    and not coalesce(
        list_bool_or(
            list_transform(
                odd,
                lambda cell: cell."column" not in (
                    'time'{% for column in timeslips.numbers if column not in results %}, '{{ column.name }}'{% endfor %}

                )
                and not starts_with(cell."column", 'extra:')
            )
        ),
        false
    );
