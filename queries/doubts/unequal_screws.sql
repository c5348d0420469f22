-- Reason: a screw a whole turn off the others is a slip of the pen; less is a ring set crooked, which is warned of.
-- Severity: questioned. Suggests: what most of the screws say, on all of them.
-- Reads: typed_setups, written
-- Needs: typed_setups
-- Yields to: turns_past_limit
insert into findings
select
    file, sheet, row, 'preload_turns',
    list_aggregate(list_transform(preload_screws, lambda turns: written(turns)), 'string_agg', ' '),
    'A screw stands a turn or more off the others.',
    list_aggregate(list_transform(preload_screws, lambda turns: written(list_mode(preload_screws))), 'string_agg', ' '),
    'questioned', 'unequal_screws'
from typed_setups
where len(preload_screws) > 1 and list_max(preload_screws) - list_min(preload_screws) >= 1.0;
