-- Purpose: keep one part of a file. Grain: one row.
insert into raw_parts
values ($version_id, $part, $size_bytes, $packed);
