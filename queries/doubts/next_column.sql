-- Reason: a number stands in the column beside its own, which was left empty.
-- Severity: questioned. Suggests: the number one column back (or on), and this cell empty.
insert into guessed_cells
select
    s.slip_id, 'next_column', k.place * 10 + other.place,
    unnest([k."column", other."column"]), unnest([s.value, null])
from suspect_cells as s
join slip_columns as other using ("column")
join slip_columns as k on abs(k.place - other.place) between 1 and 2
where
    s.value between k.low and k.high
    and not exists (
        select 1 from suspect_cells as held where held.slip_id = s.slip_id and held."column" = k."column"
    )
union all
select slip_id, 'next_column', 99, unnest(['t60_s', 'reaction_s']), unnest([reaction_s, null])
from suspects
where t60_s is null and reaction_s between 0.7 and 6;
