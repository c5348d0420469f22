-- Purpose: forget a request, and all that was made of other content. Grain: any number of rows.
delete from written_pages
where request = $request or inputs <> $inputs;
