-- Purpose: the view of one sheet's cells has served. Grain: not a table.
drop view sheet_cells;
