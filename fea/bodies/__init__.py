"""Material laws, solids and the stresses in them."""
