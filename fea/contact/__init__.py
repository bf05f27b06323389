"""Pairs of edges: closest points, friction, forces, tangents and totals."""
