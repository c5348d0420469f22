-- Purpose: what a command said and wrote, and of what content, so that it is not drawn again.
-- Grain: one row per request, the last one made.
create table if not exists written_pages (
    request varchar not null,
    inputs varchar not null,
    said varchar not null,
    document varchar,
    waiting bigint not null,
    files varchar[] not null,
    digests varchar[] not null
);
