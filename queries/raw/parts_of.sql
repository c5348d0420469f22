-- Purpose: the parts of a version, in order. Grain: one row per part.
select packed, size_bytes
from raw_parts
where version_id = $version_id
order by part;
