-- Purpose: put the entry as typed into questions that do not have it. Grain: questions.
update questions
set "value" = entries."value"
from entries
where
    questions."value" is null
    and questions.file = entries.file
    and questions.sheet = entries.sheet
    and questions."row" = entries."row"
    and questions."column" = entries."column";
