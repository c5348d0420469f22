-- Question: which rows repeat another row, so that only the first of the two counts?
-- Grain: one row per row set aside for that.
select file, sheet, "row", same_file, same_sheet, same_row
from doubles
order by file, sheet, "row";
