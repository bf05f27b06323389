"""Section outlines from plain numbers, their structured mesh by gmsh, and its quality.

`meshing.section` holds the numbers, `meshing.outlines` the geometry (no gmsh), `meshing.build`
the mesh with its named edges, `meshing.quality` what the mesh is worth.
"""
