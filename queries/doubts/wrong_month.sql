-- Reason: the days of the sheet stand in order, and this one would in another month.
-- Severity: questioned. Suggests: the same day of the month that lies between the days above and below.
-- Reads: strayed_rows
-- Needs: strayed_rows
-- Yields to: wrong_year, day_and_month_swapped
insert into findings
select
    file, sheet, row, 'date', "day"::varchar,
    'The month does not fit the rows above and below.', meant::varchar, 'questioned', rule
from strayed_rows
where rule = 'wrong_month';
