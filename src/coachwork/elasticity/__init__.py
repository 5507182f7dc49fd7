"""How solids give: finite elements on the real shape of a part, kept as the flexibility between its fittings.

Method     : linear elasticity, second-order tetrahedra, the third order on the same mesh as the estimate of the error
Sources    : docs/theory/structure.md
Leaves out : large deflections, plastic flow, cracks, layers
"""
