-- Purpose: give a number of a slip that could not be read the reading that fits the rest of the slip.
-- Grain: one row per question.
-- Reads: findings
update questions
set suggestion = f.suggestion
from findings as f
where
    questions.rule = 'unreadable' and f.file = questions.file and f.sheet = questions.sheet and f.row = questions.row
    and f."column" = questions."column" and f.rule <> 'doubles_differ' and f.suggestion is not null;
