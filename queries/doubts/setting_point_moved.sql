-- Reason: turns or counterweight a tenth of what the car has before and after: the point stands one digit too far left.
-- Severity: questioned. Suggests: ten times the number.
-- Reads: judged_settings, written
-- Needs: judged_settings
-- Yields to: doubles_differ
insert into findings
select
    file, sheet, row, "column", written(value),
    'A tenth of what this car usually has (' || written(usual) || '): the point looks misplaced.',
    written(value * 10), 'questioned', 'setting_point_moved'
from judged_settings
where
    "column" in ('preload_turns', 'counterweight_g') and value > 0 and times >= 3
    and value * 3.5 <= least(nearest, usual) and abs(value * 10 - nearest) <= 0.3 * nearest
    and value * 2.5 < coalesce(value_after, nearest) and value * 10 <= coalesce(high * 1.2, value * 10);
