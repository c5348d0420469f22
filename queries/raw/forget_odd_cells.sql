-- Purpose: nothing is asked about the cells of rows that are set aside. Grain: rows of odd_cells.
delete from odd_cells
where (sheet_no, "row") in (select (sheet_no, "row") from rows_{{ of }} where set_aside is not null);
