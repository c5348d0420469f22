-- Purpose: a number as a person writes it, with so many decimals (as few as needed when not given).
-- Grain: scalar macro. Key: none.
create or replace temp macro written(number, decimals) as
case decimals
    when 4 then printf('%.4f', number::double)
    when 3 then printf('%.3f', number::double)
    when 2 then printf('%.2f', number::double)
    when 1 then printf('%.1f', number::double)
    else printf('%g', round(number::double, 4))
end;
