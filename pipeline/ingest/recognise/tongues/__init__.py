"""Words of headings in other languages than English, a family of languages a module."""
