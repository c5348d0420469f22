-- Purpose: the other dates, as typed, of sheets with a date that is to be guessed. Grain: one row per text of a sheet.
-- Reads: guessable
select distinct file, sheet, "value"
from entries
where "column" = 'date' and (file, sheet) in (select (file, sheet) from guessable where "column" = 'date');
