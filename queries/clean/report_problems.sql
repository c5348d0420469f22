-- Purpose: problems of files, sheets and headings. Grain: one row per problem.
select file, sheet, problem
from sheet_problems
order by file, sheet, problem;
