-- Purpose: the checks to work with: what is under question is null and named in questioned, answers
-- are applied, and rows rejected, merged or left out are gone.
-- Grain: one row per clutch check or service. Key: check_id.
create or replace view checks as
select
    typed.check_id,
    typed.file,
    typed.sheet,
    typed."row",
    typed.entry_order,
    settled_text('car', typed.car, marks.questioned, marks.words) as car,
    case
        when marks."row" is null then typed.checked_at
        when list_contains(marks.questioned, 'checked_at') then null
        when marks."day" is null and marks.clock_s is null then typed.checked_at
        else coalesce(marks."day", typed.checked_at::date)
            + coalesce(to_seconds(coalesce(marks.clock_s, typed.clock_s)), to_seconds(0))
    end as checked_at,
    settled_number('ring_height_in', typed.ring_height_in, marks.questioned, marks.numbers) as ring_height_in,
    settled_list('ring_height_in', typed.ring_heights_in, marks.questioned, marks.lists) as ring_heights_in,
    settled_number('shim_removed_in', typed.shim_removed_in, marks.questioned, marks.numbers) as shim_removed_in,
    settled_number('bearing_clearance_in', typed.bearing_clearance_in, marks.questioned, marks.numbers) as bearing_clearance_in,
    settled_number('disc_thickness_in', typed.disc_thickness_in, marks.questioned, marks.numbers) as disc_thickness_in,
    settled_text('notes', typed.notes, marks.questioned, marks.words) as notes,
    coalesce(marks.questioned, []::varchar[]) as questioned
from typed_checks as typed
left join row_marks as marks
    on typed.file = marks.file and typed.sheet = marks.sheet and typed."row" = marks."row"
where not coalesce(marks.is_out, false);
