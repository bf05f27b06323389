"""Section outlines from plain numbers, their structured mesh by gmsh, and its quality.

`colletfea.meshing.section` holds the numbers, `colletfea.meshing.outlines` the geometry (no gmsh), `colletfea.meshing.build`
the mesh with its named edges, `colletfea.meshing.quality` what the mesh is worth.
"""
