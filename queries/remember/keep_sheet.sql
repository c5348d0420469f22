-- Purpose: remember what was read from a sheet. Grain: one row.
insert into kept_sheets
values ($version, $sheet, $mark, $answers, $lessons, $book, $tables);
