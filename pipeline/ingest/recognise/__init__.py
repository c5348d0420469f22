"""Know a sheet by what is in it: headings, units and values judged together."""
