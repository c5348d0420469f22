-- Purpose: questions that were answered. Grain: one row per question.
select
    questions.question_id,
    questions.file,
    questions.sheet,
    questions."row",
    questions."column",
    questions."value",
    questions.suggestion,
    questions.answer,
    questions.severity,
    questions."rule",
    columns.factor,
    columns.shift
from questions
left join sheet_columns as columns
    on questions.file = columns.file and questions.sheet = columns.sheet
    and questions."column" = columns."column"
where questions.answer is not null
order by questions.file, questions.sheet, questions."row", questions."column";
