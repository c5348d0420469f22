-- Purpose: what was said and written for each request, and of what content. Grain: one row per request.
-- Asked without parameters: DuckDB imports pandas as soon as it is given one.
select request, inputs, said, document, waiting, files, digests
from written_pages;
