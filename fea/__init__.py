"""Axisymmetric contact mechanics: bodies, named edges, contact pairs with friction, driven edges."""
