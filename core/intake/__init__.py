"""Pin tables, as pasted or from a file, to parts: what the columns say, and what is doubtful about it."""
