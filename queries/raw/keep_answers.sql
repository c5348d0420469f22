-- Purpose: keep the answers of one sheet, in its order. The apostrophe that questions.csv puts before what a
--          spreadsheet would run is taken off again. Grain: one row per answer.
insert into answers by name
select * replace (
    regexp_replace(file, '^''([=+\-@\t\r])', '\1') as file,
    regexp_replace(sheet, '^''([=+\-@\t\r])', '\1') as sheet,
    regexp_replace(value, '^''([=+\-@\t\r])', '\1') as value,
    regexp_replace(answer, '^''([=+\-@\t\r])', '\1') as answer
)
from sheet_answers
where trim(answer) <> '';
