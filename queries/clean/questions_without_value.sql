-- Purpose: questions whose entry was not laid out, because the sheet is long. Grain: one row per question.
select sheets.version_id, questions.file, questions.sheet, questions."row", questions."column", columns.position
from questions
inner join current_sheets as sheets using (file, sheet)
inner join sheet_columns as columns
    on questions.file = columns.file and questions.sheet = columns.sheet
    and questions."column" = columns."column"
where questions."value" is null and sheets."rows" > 20000;
