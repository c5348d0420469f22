-- Purpose: the numbers of those slips as typed, with the zeros at their end, where the text is the number stored; a
--          workbook keeps no such zeros.
-- Grain: one row per suspect slip and number. Key: slip_id, column.
with cells as (
    unpivot (
        select slip_id, file, sheet, row, {{ timeslips.of_role('ticket') | map(attribute='name') | join(', ') }}
        from suspects
        where not regexp_matches(file, '(?i)\.(xlsx|ods)$')
    )
    on {{ timeslips.of_role('ticket') | map(attribute='name') | join(', ') }}
    into name "column" value value
),

typed as (
    select
        c.slip_id, c."column", c.value, replace(trim(e."value"), ',', '.') as text,
        coalesce(s.factor, 1) as factor, coalesce(s.shift, 0) as shift
    from cells as c
    join entries as e
        on e.file = c.file and e.sheet = c.sheet and e.row = c.row and e."column" = c."column"
    left join sheet_columns as s
        on s.file = c.file and s.sheet = c.sheet and s."column" = c."column"
)

select slip_id, "column", text
from typed
where regexp_full_match(text, '-?[0-9]*\.?[0-9]+') and abs(try_cast(text as double) * factor + shift - value) < 1e-4;
