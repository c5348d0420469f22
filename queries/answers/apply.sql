-- Purpose: write each answer beside its question. Accept without a suggestion is no answer.
-- Grain: one row per question. Key: question_id.
update questions
set answer = if(m.answer = 'accept' and questions.suggestion = 'empty', 'empty', m.answer)
from matched_answers as m
where
    m.question_id = questions.question_id
    and not (m.answer = 'accept' and questions.suggestion is null);
