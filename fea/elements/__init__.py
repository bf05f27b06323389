"""Shapes, meshes and the kinematics of ring elements."""
