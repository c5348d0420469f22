-- Purpose: keep answers as values. Grain: one row per answered question.
insert into answered by name
select *
from answer_values;
