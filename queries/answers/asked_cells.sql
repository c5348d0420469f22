-- Question: what stands on each row that is asked about, as far as ingest laid it out cell by cell?
-- Grain: one row per cell of such a row, in the order of the sheet.
select entries.file, entries.sheet, entries."row", columns.heading, entries."value"
from entries
semi join questions using (file, sheet, "row")
inner join (
    select file, sheet, "column", min(position) as position, min_by(heading, position) as heading
    from sheet_columns
    where "column" is not null
    group by file, sheet, "column"
) as columns
    using (file, sheet, "column")
order by entries.file, entries.sheet, entries."row", columns.position;
