-- Purpose: note what was said and written for a request. Grain: one row.
insert into written_pages
values ($request, $inputs, $said, $document, $waiting, $files, $digests);
