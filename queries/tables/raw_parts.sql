-- Purpose: the bytes of each version as they were, packed with zstandard. Append-only.
-- Grain: one row per part of a file. Key: version_id, part.
create table if not exists raw_parts (
    version_id bigint not null,
    part integer not null,
    size_bytes bigint not null,
    packed blob not null
);
