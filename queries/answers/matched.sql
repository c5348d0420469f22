-- Purpose: which question each answer is to: by its name; else by place and entry as typed; else, when the
--          row has moved, by file, sheet, column and entry if only one question and one answer have these.
-- Grain: one row per question that has an answer. Key: question_id.
create or replace temp table matched_answers as
with by_name as (
    select q.question_id, a.answer, a.entry_order, a.question_id as answer_id, a.row as answer_row, 1 as strength
    from questions as q
    join answer_words as a using (question_id)
),

by_place as (
    select q.question_id, a.answer, a.entry_order, a.question_id, a.row, 2
    from questions as q
    join answer_words as a
        on a.file = q.file and a.sheet = coalesce(q.sheet, '') and a.row = q.row and a."column" = q."column"
        and a.value = coalesce(q.value, '')
),

moved_questions as (
    select file, coalesce(sheet, '') as sheet, "column", value, any_value(question_id) as question_id
    from questions
    where question_id not in (select question_id from by_name union all select question_id from by_place)
        and coalesce(value, '') <> ''
    group by all
    having count(*) = 1
),

moved_answers as (
    select
        file, sheet, "column", value, any_value(answer) as answer, any_value(entry_order) as entry_order,
        any_value(question_id) as answer_id, any_value(row) as answer_row
    from answer_words
    where value <> '' and (question_id is null or question_id not in (select question_id from questions))
    group by file, sheet, "column", value
    having count(*) = 1
)

select *
from (
    select * from by_name
    union all
    select * from by_place
    union all
    select q.question_id, a.answer, a.entry_order, a.answer_id, a.answer_row, 3
    from moved_questions as q
    join moved_answers as a using (file, sheet, "column", value)
)
qualify row_number() over (partition by question_id order by strength, entry_order desc) = 1;
