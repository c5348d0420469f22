-- Purpose: note a problem of a file or sheet. Grain: one row.
insert into sheet_problems
values ($file, $sheet, $problem);
