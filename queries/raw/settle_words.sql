-- Purpose: write names and set words one way; the parameters list spellings and the words meant.
-- Grain: rows of rows_{{ of }}.
update rows_{{ of }}
set
{% for word in table.settled %}
    {{ word }} = coalesce(($meant_{{ word }}::varchar[])[list_position($typed_{{ word }}::varchar[], {{ word }})], {{ word }}){{ ',' if not loop.last }}
{% endfor %}
where
{% for word in table.settled %}
    {{ 'or ' if not loop.first }}list_contains($typed_{{ word }}::varchar[], {{ word }})
{% endfor %}
;
