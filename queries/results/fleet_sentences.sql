-- Purpose: what else is to be said of a fleet.
-- Grain: one row per fit and sentence.
-- Key: fitted, position.
create or replace table fleet_sentences as
select * from incoming
order by fitted, position;
