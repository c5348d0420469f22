-- Purpose: the sheets whose times are on a twelve-hour clock without am or pm: none is past one in the afternoon,
--          none in the first hour of a day, and some before six, when nobody runs. Grain: one row per sheet.
create or replace temp table early_sheets as
{% for table in sheets %}
select sheet_no
from rows_{{ table.name }}
where set_aside is null
group by sheet_no
having max(clock_s) < 46800 and min(clock_s) >= 3600 and min(clock_s) < 21600
{{ 'union all' if not loop.last else ';' }}
{% endfor %}

from early_sheets;
