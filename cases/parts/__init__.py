"""A case as parts to make: solids as STEP files and a dimensioned drawing."""
