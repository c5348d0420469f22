-- Reason: read the other way round, day and month fit the rows around it; as written they do not.
-- Severity: questioned. Suggests: the day with the two exchanged.
-- Reads: strayed_rows
-- Needs: strayed_rows
-- Yields to: wrong_year
insert into findings
select
    file, sheet, row, 'date', "day"::varchar,
    'Day and month look swapped: no other sheet knows this day.', meant::varchar, 'questioned', rule
from strayed_rows
where rule = 'day_and_month_swapped';
