-- Purpose: forget the rows of {{ of }} sheets that have changed or gone: all but these. Grain: one row per row.
delete from kept_rows_{{ of }}
where mark not in (select unnest($marks));
