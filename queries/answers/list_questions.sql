-- Question: what is asked, and what was answered? One row a cause, with how many entries it has and where;
--           entries answered for themselves stand apart. Open questions by sheet and row; stale answers last.
-- Grain: one row per cause (or entry answered apart) and per stale answer.
with answered_as_one as (
    select q.group_id, any_value(m.answer) as answer
    from matched_answers as m
    join questions as q using (question_id)
    where m.strength = 3
    group by q.group_id
),

parts as (
    select
        q.*,
        if(q.answer is null or q.answer is not distinct from o.answer, '', q.question_id) as apart
    from questions as q
    left join answered_as_one as o using (group_id)
),

causes as (
    select
        if(count(*) = 1, min(question_id), any_value(group_id)) as question_id,
        any_value(answer) as answer, file, min(sheet) as sheet, arg_min(row, {'s': sheet, 'r': row}) as row, "column",
        arg_min(coalesce(value, ''), {'s': sheet, 'r': row}) as value, arg_min(reading, {'s': sheet, 'r': row}) as reading,
        arg_min(suggestion, {'s': sheet, 'r': row}) as suggestion,
        arg_min(problem, {'s': sheet, 'r': row}) || if(
            count(*) > 1, ' ' || count(*) || ' entries are like this: one answer is for all of them, each by its own reading.', ''
        ) as problem,
        any_value(severity) as severity, any_value(rule) as rule, count(*) as entries,
        string_agg(
            row || ': ' || concat_ws(' -> ', nullif(coalesce(value, reading, ''), ''), suggestion), '; ' order by row
        ) as places
    from parts
    group by group_id, apart, file, "column"
)

select
    question_id, answer, file, sheet, row, "column", nullif(value, '') as value, reading, suggestion, problem,
    severity, rule, entries, if(entries > 1, places, null) as places
from (
    select *, 0 as is_stale from causes
    union all
    select
        question_id, answer, file, sheet, row, "column", value, null, null,
        'This answer does not count: ' || reason || '.', 'stale', null, null, null, 1
    from stale_answers
)
order by is_stale, file, sheet, row, "column";
