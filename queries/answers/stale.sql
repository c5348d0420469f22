-- Purpose: answers that belong to no entry as it stands now, or that accept where nothing is suggested.
-- Grain: one row per answer. Key: question_id.
create or replace table stale_answers as
select distinct
    a.question_id, a.file, a.sheet, a.row, a."column", a.value, a.answer, a.entry_order,
    case
        when m.question_id is not null then 'there is no suggestion to accept; write the value'
        when a.question_id in (select group_id from questions)
            then 'one answer for entries that differ must be accept, keep or leave out'
        else 'the entry has changed or is no longer in doubt'
    end as reason
from answer_words as a
left join matched_answers as m
    on m.answer_id is not distinct from a.question_id and m.answer_row is not distinct from a.row
    and m.entry_order = a.entry_order
left join questions as q on q.question_id = m.question_id
where m.question_id is null or q.answer is null;
