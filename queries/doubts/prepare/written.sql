-- Purpose: a number as a person writes it, with so many decimals (as few as needed when not given).
-- Grain: scalar macro. Key: none.
create or replace temp macro written(number, decimals) as
if(decimals = 3, printf('%.3f', number::double), if(decimals = 2, printf('%.2f', number::double),
    if(decimals = 1, printf('%.1f', number::double), printf('%g', round(number::double, 4)))));
