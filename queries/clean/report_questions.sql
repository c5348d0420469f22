-- Purpose: how many questions wait for an answer. Grain: one row.
select count(*) filter (where answer is null and severity <> 'doubt') as open_questions
from questions;
