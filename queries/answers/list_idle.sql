-- Question: which answers count and yet change nothing?
-- Grain: one row per answer. $words: the columns that hold words, where whatever stands is kept.
select
    q.file, q.sheet, q.row, q."column", coalesce(q.value, '') as value, q.answer,
    if(
        q.answer = 'keep', 'the entry cannot be read, so the cell stays empty', 'it is what stands there already'
    ) as reason
from questions as q
left join answered as a using (file, sheet, row, "column")
where
    trim(q.answer) = trim(q.value)
    or (
        q.answer = 'keep' and q.rule = 'unreadable' and q.severity <> 'doubt' and trim(coalesce(q.value, '')) <> ''
        and not list_contains($words, q."column")
        and not coalesce(a.is_number, false) and a."day" is null and a.clock_s is null
    )
order by q.file, q.sheet, q.row, q."column";
