-- Purpose: an hour of the day with decimals as HH:MM.
-- Grain: scalar macro. Key: none.
create or replace temp macro clock_text(hours) as
printf('%02d:%02d', floor(round(hours * 60) / 60)::int, (round(hours * 60) % 60)::int);
