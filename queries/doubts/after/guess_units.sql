-- Purpose: the unit of the columns with entries that are to be guessed. Grain: one row per column of a sheet.
-- Reads: guessable
select file, sheet, "column", any_value(factor), any_value(shift)
from sheet_columns
where factor is not null and (file, sheet, "column") in (select (file, sheet, "column") from guessable)
group by all;
