-- Question: what is asked, and what was answered? Open questions by sheet and row; stale answers last.
-- Grain: one row per question and per stale answer.
select question_id, answer, file, sheet, row, "column", value, reading, suggestion, problem, severity, rule
from (
    select
        question_id, answer, file, sheet, row, "column", value, reading, suggestion, problem, severity, rule,
        0 as is_stale
    from questions
    union all
    select
        question_id, answer, file, sheet, row, "column", value, null, null,
        'This answer does not count: ' || reason || '.', 'stale', null, 1
    from stale_answers
)
order by is_stale, file, sheet, row, "column";
