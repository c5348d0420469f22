-- Purpose: take back a mere doubt about how a cell is written where a rule questions what it says.
-- Grain: one row per question. Key: file, sheet, row, column.
-- Reads: findings, questions
delete from questions
where severity = 'doubt'
    and (file, sheet, row, "column") in (
        select (file, sheet, row, "column") from findings where severity <> 'doubt'
    );
