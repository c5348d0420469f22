-- Purpose: a number as a person writes it: with as few decimals as needed, or with so many.
-- Grain: scalar macro. Key: none.
create or replace temp macro written(number) as printf('%g', round(number::double, 4)),
(number, decimals) as
case decimals
    when 4 then printf('%.4f', number::double)
    when 3 then printf('%.3f', number::double)
    when 2 then printf('%.2f', number::double)
    when 1 then printf('%.1f', number::double)
    else printf('%g', round(number::double, 4))
end;
