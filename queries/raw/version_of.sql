-- Purpose: is this version of a file kept already? Grain: at most one row.
select version_id
from raw_versions
where file = $file and hash = $hash;
