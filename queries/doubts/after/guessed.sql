-- Purpose: write what the rows around tell into the questions. Grain: one row per question.
update questions
set suggestion = guessed.told
from guessed
where
    questions.file = guessed.file and questions.sheet = guessed.sheet and questions."row" = guessed."row"
    and questions."column" = guessed."column";
