-- Purpose: which question each answer is to: by its name; else by place and entry as typed; else by its cause,
--          asked once for all; else, when the row has moved, by file, sheet, column and entry if only one question
--          and one answer have these. One answer for entries that differ cannot be a value.
-- Grain: one row per question that has an answer. Key: question_id.
create or replace temp table matched_answers as
with causes as (
    select group_id, count(distinct coalesce(value, '')) > 1 as is_mixed from questions group by group_id
),

by_name as (
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
    where a.question_id is null or a.question_id not in (select group_id from causes)
),

by_cause as (
    select q.question_id, a.answer, a.entry_order, a.question_id, a.row, 3
    from questions as q
    join causes using (group_id)
    join answer_words as a on a.question_id = q.group_id
    where not is_mixed or a.answer in ('accept', 'keep', 'leave out', 'leave out row', 'empty', 'day first', 'month first', 'am', 'pm')
),

moved_questions as (
    select file, coalesce(sheet, '') as sheet, "column", value, any_value(question_id) as question_id
    from questions
    where question_id not in (
            select question_id from by_name union all select question_id from by_place
            union all select question_id from by_cause
        )
        and coalesce(value, '') <> ''
    group by all
    having count(*) = 1
),

moved_answers as (
    select
        file, sheet, "column", value, any_value(answer) as answer, any_value(entry_order) as entry_order,
        any_value(question_id) as answer_id, any_value(row) as answer_row
    from answer_words
    where value <> '' and (
            question_id is null
            or question_id not in (select question_id from questions union all select group_id from questions)
        )
    group by file, sheet, "column", value
    having count(*) = 1
)

select *
from (
    select * from by_name
    union all
    select * from by_place
    union all
    select * from by_cause
    union all
    select q.question_id, a.answer, a.entry_order, a.answer_id, a.answer_row, 4
    from moved_questions as q
    join moved_answers as a using (file, sheet, "column", value)
)
qualify row_number() over (partition by question_id order by strength, entry_order desc) = 1;
