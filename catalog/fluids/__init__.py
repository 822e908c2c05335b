"""Fluids: classes and what may stand in for what, viscosity, filling."""
