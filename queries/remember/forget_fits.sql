-- Purpose: forget every car's fit, before those of now are noted. Grain: one row per car.
delete from remembered
where stage = 'fit';
