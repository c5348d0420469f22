-- Purpose: give each question its lasting name, made of where the entry stands and what it says. The rule
--          is no part of it, so an answer outlives a better rule.
-- Grain: one row per question. Key: question_id.
update questions
set question_id = left(md5(concat_ws(chr(31), file, sheet, row, "column", coalesce(value, ''))), 12);
