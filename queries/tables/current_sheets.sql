-- Purpose: the sheets the logbook holds now, and which version of its file each was read from.
-- Grain: one row per sheet, unreadable files included (sheet_no null). Key: file, sheet.
create or replace table current_sheets (
    sheet_no integer,
    file varchar,
    sheet varchar,
    kind varchar,
    version_id bigint,
    rows bigint,
    heading_row integer,
    headings varchar[]
);
