-- Purpose: the sheets that mended_cells has something for. Grain: one row per sheet.
select distinct sheet_no from mended_cells;
