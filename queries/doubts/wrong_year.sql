-- Reason: the year is not that of the rows around it: last year's still in the pen.
-- Severity: questioned. Suggests: the same day of the year that fits.
-- Reads: strayed_rows
-- Needs: strayed_rows
insert into findings
select
    file, sheet, row, 'date', "day"::varchar,
    'The year does not fit the rows around it.', meant::varchar, 'questioned', rule
from strayed_rows
where rule = 'wrong_year';
