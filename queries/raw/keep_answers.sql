-- Purpose: keep the answers of one sheet, in its order. Grain: one row per answer.
insert into answers by name
select *
from sheet_answers
where trim(answer) <> '';
