-- Purpose: an answer that cannot be read leaves its question open. Grain: one question.
update questions
set answer = null, problem = problem || $why
where question_id = $question_id;
