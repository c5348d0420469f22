-- Purpose: forget what was read from sheets that have changed or gone: all but these. Grain: one row per sheet.
delete from kept_sheets
where (version_id, sheet) not in (select unnest($versions), unnest($sheets));
