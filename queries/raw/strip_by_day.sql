-- Purpose: give rows that name no strip the one strip that the slips of that day name, slips the one that the
-- readings of that day name, else the only one of garage.toml. Grain: rows of rows_{{ of }}.
{% if table.has("venue") %}
update rows_{{ of }}
set venue = coalesce(
    (
        select if(count(distinct slips.venue) = 1, min(slips.venue), null)
        from rows_timeslips as slips
        where slips."day" = rows_{{ of }}."day" and slips.venue is not null and slips.set_aside is null
    ),
    {% if of == "timeslips" %}
    (
        select if(count(distinct readings.venue) = 1, min(readings.venue), null)
        from (
            select "day", venue, set_aside from rows_weather
            union all
            select "day", venue, set_aside from rows_track
        ) as readings
        where readings."day" = rows_{{ of }}."day" and readings.venue is not null and readings.set_aside is null
    ),
    {% endif %}
    (select if(count(*) = 1, min(venues.venue), null) from venues)
)
where venue is null and set_aside is null;
{% else %}
select 'no strip on sheets of this kind';
{% endif %}
