-- Purpose: the number of the next version. Grain: one row.
select coalesce(max(version_id), 0) + 1 as version_id
from raw_versions;
