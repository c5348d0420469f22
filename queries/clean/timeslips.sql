-- Purpose: the timeslips to work with: what is under question is null and named in questioned, answers
-- are applied, and rows rejected, merged or left out are gone.
-- Grain: one row per run on paper. Key: slip_id.
create or replace view timeslips as
select
    typed.slip_id,
    typed.file,
    typed.sheet,
    typed."row",
    typed.entry_order,
    settled_text('car', typed.car, marks.questioned, marks.words) as car,
    case
        when marks."row" is null then typed.run_at
        when list_contains(marks.questioned, 'run_at') then null
        when marks."day" is null and marks.clock_s is null then typed.run_at
        else coalesce(marks."day", typed.run_at::date)
            + coalesce(to_seconds(coalesce(marks.clock_s, typed.clock_s)), to_milliseconds(typed."row"))
    end as run_at,
    typed.has_time or marks.clock_s is not null as has_time,
    settled_text('venue', typed.venue, marks.questioned, marks.words) as venue,
    settled_text('event', typed.event, marks.questioned, marks.words) as event,
    settled_text('round', typed.round, marks.questioned, marks.words) as round,
    settled_text('lane', typed.lane, marks.questioned, marks.words) as lane,
    settled_number('reaction_s', typed.reaction_s, marks.questioned, marks.numbers) as reaction_s,
    settled_number('t60_s', typed.t60_s, marks.questioned, marks.numbers) as t60_s,
    settled_number('t330_s', typed.t330_s, marks.questioned, marks.numbers) as t330_s,
    settled_number('t660_s', typed.t660_s, marks.questioned, marks.numbers) as t660_s,
    settled_number('v660_mph', typed.v660_mph, marks.questioned, marks.numbers) as v660_mph,
    settled_number('t1000_s', typed.t1000_s, marks.questioned, marks.numbers) as t1000_s,
    settled_number('t1320_s', typed.t1320_s, marks.questioned, marks.numbers) as t1320_s,
    settled_number('v1320_mph', typed.v1320_mph, marks.questioned, marks.numbers) as v1320_mph,
    settled_number('launch_rpm', typed.launch_rpm, marks.questioned, marks.numbers) as launch_rpm,
    settled_number('track_temp_degf', typed.track_temp_degf, marks.questioned, marks.numbers) as track_temp_degf,
    settled_number('preload_turns', typed.preload_turns, marks.questioned, marks.numbers) as preload_turns,
    settled_number('counterweight_g', typed.counterweight_g, marks.questioned, marks.numbers) as counterweight_g,
    settled_number('tire_pressure_psi', typed.tire_pressure_psi, marks.questioned, marks.numbers) as tire_pressure_psi,
    settled_extras(typed.extras, marks.questioned, marks.numbers) as extras,
    settled_text('outcome', typed.outcome, marks.questioned, marks.words) as outcome,
    typed.lifted_after_ft,
    settled_text('notes', typed.notes, marks.questioned, marks.words) as notes,
    coalesce(marks.questioned, []::varchar[]) as questioned
from typed_timeslips as typed
left join row_marks as marks
    on typed.file = marks.file and typed.sheet = marks.sheet and typed."row" = marks."row"
where not coalesce(marks.is_out, false);
