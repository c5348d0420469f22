-- Purpose: facts about the store itself, first of all the version of its layout.
-- Grain: one row per fact.
create table store_facts (
    fact varchar primary key,
    value varchar not null
);

insert into store_facts values ('store_version', $version);
