-- Purpose: every version of every sheet's file that was ever read, told apart by its hash. Append-only.
-- Grain: one row per version of a file. Key: version_id; also file, hash.
create table if not exists raw_versions (
    version_id bigint primary key,
    file varchar not null,
    hash varchar not null,
    size_bytes bigint not null,
    first_seen_at timestamp not null
);
