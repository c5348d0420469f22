-- Purpose: facts about the store itself, first of all the version of its layout.
-- Grain: one row per fact.
create table if not exists store_facts (
    fact varchar primary key,
    value varchar not null
);

insert or ignore into store_facts values ('store_version', '1');
