-- Purpose: the answers given, common words for accept, keep, leave out and empty brought to one; the last
--          answer to a question stands.
-- Grain: one row per question answered. Key: file, sheet, row, column, value, question_id.
create or replace temp table answer_words as
with plain as (
    select *, rtrim(lower(trim(answer)), ' .!,;') as said from answers
)

select
    question_id, file, coalesce(sheet, '') as sheet, row, "column", coalesce(value, '') as value, entry_order,
    case
        when regexp_full_match(said, 'a|accept(ed)?|y|yes|ok|okay|right|agree(d)?') then 'accept'
        when regexp_full_match(said, 'k|keep|as (typed|is|written)|no|n|wrong|keep as typed')
            then 'keep'
        when regexp_full_match(said, 'leave( it)?( out)?|skip|out|drop|omit') then 'leave out'
        when regexp_full_match(
            said, '(leave|leave out|skip|drop|omit)( the| this)?( whole)? (row|run|slip|line)( out)?'
        ) then 'leave out row'
        when regexp_full_match(said, 'day( |-)?(first|month)|d/m(/y)?|dmy') then 'day first'
        when regexp_full_match(said, 'month( |-)?(first|day)|m/d(/y)?|mdy') then 'month first'
        when regexp_full_match(said, 'empty|blank|nothing|none') then 'empty'
        when regexp_full_match(said, '[ap]\.? ?m?') and said <> 'a' then left(said, 1) || 'm'
        else trim(answer)
    end as answer
from plain
where trim(coalesce(answer, '')) <> ''
qualify row_number() over (
    partition by question_id, file, coalesce(sheet, ''), row, "column", coalesce(value, '')
    order by entry_order desc
) = 1;
