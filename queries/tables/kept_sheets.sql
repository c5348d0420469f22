-- Purpose: what was read from the sheets of the logbook as they are now, so that one that has not changed is not
-- looked at again. Grain: one row per sheet. Key: version_id, sheet; mark tells of what else it was made.
create table if not exists kept_sheets (
    version_id bigint not null,
    sheet varchar not null,
    mark varchar not null,
    answers varchar not null,
    lessons varchar not null,
    book varchar not null,
    tables blob not null
);
