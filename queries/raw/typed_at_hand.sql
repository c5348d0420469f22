-- Purpose: the data rows of every {{ of }} sheet of a small logbook as a table: forty queries read them, and each
--          would put the view together again.
-- Grain: one row per data row. Key: {{ table.key }}.
drop table if exists temp.typed_{{ of }};
create temp table typed_{{ of }} as from typed_{{ of }};
