-- Purpose: what is remembered of sheets, so far as it was made of the same garage.toml by the same slipledger.
-- Grain: one row per sheet.
select version_id, sheet, mark, answers, lessons, book, tables
from kept_sheets
where mark = $mark;
