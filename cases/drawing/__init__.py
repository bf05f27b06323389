"""The coupling drawn to scale as SVG, from the sizes of a case alone: no mesh, no solver, no library."""
