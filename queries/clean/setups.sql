-- Purpose: the setups to work with: what is under question is null and named in questioned, answers
-- are applied, and rows rejected, merged or left out are gone.
-- Grain: one row per change of the setup; what is empty stays as it was. Key: setup_id.
create or replace view setups as
select
    typed.setup_id,
    typed.file,
    typed.sheet,
    typed."row",
    typed.entry_order,
    settled_text('car', typed.car, marks.questioned, marks.words) as car,
    case
        when marks."row" is null then typed.set_at
        when list_contains(marks.questioned, 'set_at') then null
        when marks."day" is null and marks.clock_s is null then typed.set_at
        else coalesce(marks."day", typed.set_at::date)
            + coalesce(to_seconds(coalesce(marks.clock_s, typed.clock_s)), to_seconds(0))
    end as set_at,
    settled_number('preload_turns', typed.preload_turns, marks.questioned, marks.numbers) as preload_turns,
    settled_list('preload_turns', typed.preload_screws, marks.questioned, marks.lists) as preload_screws,
    settled_number('counterweight_g', typed.counterweight_g, marks.questioned, marks.numbers) as counterweight_g,
    settled_number('launch_rpm', typed.launch_rpm, marks.questioned, marks.numbers) as launch_rpm,
    settled_number('tire_pressure_psi', typed.tire_pressure_psi, marks.questioned, marks.numbers) as tire_pressure_psi,
    settled_extras(typed.extras, marks.questioned, marks.numbers) as extras,
    settled_text('notes', typed.notes, marks.questioned, marks.words) as notes,
    coalesce(marks.questioned, []::varchar[]) as questioned
from typed_setups as typed
left join row_marks as marks
    on typed.file = marks.file and typed.sheet = marks.sheet and typed."row" = marks."row"
where not coalesce(marks.is_out, false);
