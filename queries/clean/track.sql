-- Purpose: the track to work with: what is under question is null and named in questioned, answers
-- are applied, and rows rejected, merged or left out are gone.
-- Grain: one row per track reading. Key: reading_id.
create or replace view track as
select
    typed.reading_id,
    typed.file,
    typed.sheet,
    typed."row",
    settled_text('venue', typed.venue, marks.questioned, marks.words) as venue,
    case
        when marks."row" is null then typed.read_at
        when list_contains(marks.questioned, 'read_at') then null
        when marks."day" is null and marks.clock_s is null then typed.read_at
        else coalesce(marks."day", typed.read_at::date)
            + coalesce(to_seconds(coalesce(marks.clock_s, typed.clock_s)), to_seconds(43200))
    end as read_at,
    settled_text('lane', typed.lane, marks.questioned, marks.words) as lane,
    settled_number('track_temp_degf', typed.track_temp_degf, marks.questioned, marks.numbers) as track_temp_degf,
    settled_text('notes', typed.notes, marks.questioned, marks.words) as notes,
    coalesce(marks.questioned, []::varchar[]) as questioned
from typed_track as typed
left join row_marks as marks
    on typed.file = marks.file and typed.sheet = marks.sheet and typed."row" = marks."row"
where not coalesce(marks.is_out, false);
