-- Purpose: keep what is known of a version. Grain: one row.
insert into raw_versions
values ($version_id, $file, $hash, $size_bytes, $first_seen_at);
