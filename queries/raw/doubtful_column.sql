-- Purpose: a column that may be something else, as one question at its heading. Grain: one row.
insert into bad_cells by name
select
    $file as file,
    $sheet as sheet,
    $row as "row",
    $column as "column",
    $value as "value",
    $problem as problem,
    $suggestion as suggestion,
    'questioned' as severity;
