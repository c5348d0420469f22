-- Purpose: the numbers of a slip in the order they stand on the ticket, with the range no slip leaves
--          and decimals.
-- Grain: one row per column. Key: column.
create or replace temp table slip_columns as
select *
from (
    values
{% for number in timeslips.of_role('ticket') %}
    ('{{ number.name }}', {{ loop.index }}, {{ number.low }}::double, {{ number.high }}::double, {{ number.decimals }})
    {{ ',' if not loop.last }}
{% endfor %}
) as slip_column ("column", place, low, high, decimals);
